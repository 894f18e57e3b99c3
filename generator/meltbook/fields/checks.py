"""What the book finds wrong with itself, one line a check, and the one line that every sheet repeats."""

from __future__ import annotations

from meltbook.fields.check_list import CHECKS
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import date_words

ALL_PASS = "All checks pass"
ASKING = "inputs_missing"
NOTHING_YET = "Nothing to check yet"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """How many checks there are, how many want a look, and the sentence that says so."""
    return (
        Figure(
            "checks_total",
            "Checks",
            Shape.COUNT,
            note="Lines in the list below.",
            formula="COUNT(check_level.all)",
        ),
        Figure(
            "checks_failing",
            "Need a look",
            Shape.COUNT,
            note="Lines that say LOOK.",
            formula="SUM(check_look.all)",
        ),
        Figure(
            "checks_notes",
            "Notes",
            Shape.COUNT,
            note="Lines that say NOTE: good to know, nothing is wrong.",
            formula='COUNTIFS(check_state.all,"NOTE")',
        ),
        Figure(
            "checks_state",
            "All checks",
            Shape.TEXT,
            note="The same sentence stands on every sheet.",
            formula="IF(checks_failing=0,checks_calm,"
            'IF(checks_failing=1,"1 check needs a look",checks_failing&" checks need a look"))',
        ),
        Figure(
            "checks_begun",
            "There is something to check",
            Shape.COUNT,
            note="1 once a row of the log, a price of energy or a piece is typed.",
            formula="IF(log_rows_used+pieces_named+COUNT(tariff_newest)=0,0,1)",
        ),
        Figure(
            "checks_calm",
            "Where no check needs a look",
            Shape.TEXT,
            note="All pass, unless there is nothing to look at yet.",
            formula=f'IF(checks_begun=0,"{NOTHING_YET}","{ALL_PASS}")',
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The list of checks."""
    return (
        Table(
            "checks",
            "Checks",
            (
                Fixed("check_id", "Name", Shape.TEXT, values=tuple(check.key for check in CHECKS)),
                Fixed(
                    "check_title",
                    "What should be so",
                    Shape.TEXT,
                    values=tuple(check.title for check in CHECKS),
                ),
                Figure(
                    "check_found",
                    "Found",
                    Shape.COUNT,
                    note="How many faults there are; 0 is fine.",
                    formulas=tuple(f"IFERROR({check.found},1)" for check in CHECKS),
                ),
                Fixed(
                    "check_level",
                    "Level",
                    Shape.COUNT,
                    note="1 for a fault, 0 for a note.",
                    values=tuple(int(check.fault) for check in CHECKS),
                ),
                Figure(
                    "check_state",
                    "State",
                    Shape.TEXT,
                    note="OK, LOOK or NOTE.",
                    formula='IF(check_found=0,"OK",IF(check_level=1,"LOOK","NOTE"))',
                ),
                Figure(
                    "check_look",
                    "Counts",
                    Shape.COUNT,
                    note="1 if it wants a look.",
                    formula='IF(check_state="LOOK",1,0)',
                ),
                Figure(
                    "check_wrong",
                    "Is wrong",
                    Shape.COUNT,
                    note="1 if it wants a look, and not only because something needed is empty.",
                    formula=f'IF(check_id="{ASKING}",0,check_look)',
                ),
                Figure(
                    "check_line",
                    "Line",
                    Shape.COUNT,
                    note="The line of the log that is meant first, counted from its first; 0 for none.",
                    formulas=tuple(check.line() for check in CHECKS),
                ),
                Figure(
                    "check_day",
                    "First day",
                    Shape.DATE,
                    note="The first day of the first row of the log that is meant; 0 where no such row has a date.",
                    formula="IF(check_line=0,0,INDEX(first_day.all,check_line+1))",
                ),
                Figure(
                    "check_on",
                    "Day in words",
                    Shape.TEXT,
                    note="The first day, as Where says it.",
                    formula=f'"first on "&{date_words("check_day")}',
                    nonzero=("check_day",),
                ),
                Figure(
                    "check_first",
                    "Where",
                    Shape.TEXT,
                    note="The date from which to look in the log, or the cells to look at.",
                    formulas=tuple(check.where() for check in CHECKS),
                    nonzero=("check_found",),
                ),
                Fixed("check_do", "What to do", Shape.TEXT, values=tuple(check.do for check in CHECKS)),
            ),
            rows=len(CHECKS),
        ),
    )
