"""Every check, what it found and what to do."""

from __future__ import annotations

from meltbook.sheets.kernel import Rows, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="checks",
        name="Checks",
        title="Checks",
        purpose="Each line compares two ways to the same figure, or names what is wrong and where.",
        role="check",
        landscape=True,
        blocks=(
            Rows(
                heading="Checks",
                intro="OK: nothing found. LOOK: something to mend. NOTE: good to know, nothing is wrong.",
                table="checks",
                columns=("check_title", "check_state", "check_found", "check_first", "check_do"),
                widths={"check_title": 40, "check_state": 10, "check_found": 8, "check_first": 19, "check_do": 70},
                workings=(
                    "check_id",
                    "check_level",
                    "check_look",
                    "check_wrong",
                    "check_line",
                    "check_day",
                    "check_on",
                ),
            ),
            Rows(
                heading="Cells that must hold numbers",
                intro="How many of them hold a text instead.",
                table="number_watch",
                columns=("number_where", "number_texts"),
                workings=("number_bad",),
            ),
            Rows(
                heading="Cells that must not be empty",
                table="need_list",
                columns=("need_what", "need_missing"),
            ),
            Rows(
                heading="Two ways to the same figure",
                intro="Each of these sums is made twice, by different routes.",
                table="sum_pairs",
                columns=("pair_what", "pair_one", "pair_other", "pair_apart"),
            ),
        ),
    )
