"""Cells that are typed over, and what other cells must show for it.

Some formulas only speak when something is wrong: text where a number belongs, a figure that two ways no longer
agree on, a date that falls on a border to the day. No studio can hold these, so they are put into the cells of one
right book. A twist is one step: every other cell keeps its value, and only the cells that it names are judged. What
they must show is worked out here, by hand or from the right values, and never from the formula.
"""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.fields.check_pairs import PAIRS
from meltbook.fields.kernel import Fixed, Input, Shape
from meltbook.method.checks import CHECKS
from meltbook.studio.decisions import Decisions
from meltbook.studio.hire import Hire
from tests.mutation.right import ERROR, Cells, Right, Twist, Value
from tests.mutation.twists_back import looking_back_side
from tests.mutation.twists_decisions import decision_side
from tests.mutation.twists_furnace import furnace_side
from tests.mutation.twists_hire import hire_side
from tests.mutation.twists_letter import letter_side
from tests.mutation.twists_machines import machine_side
from tests.mutation.twists_shop import shop_side
from tests.mutation.twists_where import where_to_look
from tests.mutation.two_ways import as_twists
from tests.mutation.two_ways_furnace import furnace_pairs
from tests.mutation.two_ways_shop import shop_pairs

FAR_OFF = 1000.0


def twists(right: Right) -> Iterator[Twist]:
    """All of them."""
    yield from lists_of_checks(right)
    yield from _texts(right)
    yield from figures(right)


def lists_of_checks(right: Right) -> Iterator[Twist]:
    """What the checks find, and what they count."""
    yield from _pairs_apart(right)
    yield from _checks_of_pairs(right)
    yield from _checks_of_rows(right)
    yield from _hours_and_dates(right)
    yield from where_to_look(right)
    yield from _other_checks(right)
    yield from _errors(right)


def figures(right: Right) -> Iterator[Twist]:
    """What single figures show."""
    yield from _log_faults(right)
    yield from _words()
    yield from furnace_side(right)
    yield from shop_side(right)
    yield from letter_side(right)
    yield from machine_side(right)
    yield from hire_side(right)
    yield from decision_side(right)
    yield from looking_back_side(right)
    yield from as_twists(right, furnace_pairs(right))
    yield from as_twists(right, shop_pairs(right))


# ------------------------------------------------------------------------------------------------- two ways


def _pairs_apart(right: Right) -> Iterator[Twist]:
    """Two ways that differ by more than a millionth of the figure, or of 1 where it is smaller."""
    sides: tuple[tuple[Value, Value, int], ...] = (
        (FAR_OFF, FAR_OFF * 1.000002, 1),
        (FAR_OFF, FAR_OFF * 1.0000005, 0),
        (FAR_OFF * 1.000002, FAR_OFF, 1),
        (-FAR_OFF, -FAR_OFF * 1.0000005, 0),
        (-FAR_OFF, -FAR_OFF * 1.000002, 1),
        (0.25, 0.2500006, 0),
        (0.25, 0.250002, 1),
        (1.7, 1.7000016, 0),
        (1.0, 1.0000015, 1),
        (0.0, 0.0, 0),
        (5.0, 5.0, 0),
        (5.0, ERROR, 1),
        (5.0, "five", 1),
    )
    for row, (one, other, apart) in enumerate(sides, start=1):
        yield Twist({f"pair_one.{row}": one, f"pair_other.{row}": other}, {f"pair_apart.{row}": apart})
    wide: Cells = {"close_enough": 0.25}
    yield Twist({**wide, "pair_one.1": 1, "pair_other.1": 1.25}, {"pair_apart.1": 0})
    yield Twist({**wide, "pair_one.1": 4, "pair_other.1": 5.2}, {"pair_apart.1": 1})


def _checks_of_pairs(right: Right) -> Iterator[Twist]:
    """A pair that is apart is reported by its own check and by no other."""
    found = {check: f"check_found.{CHECKS.index(check) + 1}" for check in {pair.check for pair in PAIRS}}
    for row, pair in enumerate(PAIRS, start=1):
        shows = {cell: right.number(cell) + (check == pair.check) for check, cell in found.items()}
        yield Twist({f"pair_apart.{row}": right.number(f"pair_apart.{row}") + 1}, shows)


# ------------------------------------------------------------------------------------------------ the checks

BY_CODE = (
    ("log_kinds", "row_fault", 1),
    ("log_numbers", "row_fault", 2),
    ("log_dates", "row_flow_dates", 1),
    ("log_dates", "row_flow_dates", 2),
    ("log_gaps", "row_flow_dates", 3),
    ("readings_back", "stretch_close", 2),
    ("meter_change", "row_flow_reading", 5),
    ("meter_change", "row_fault", 4),
    ("glass_names", "row_fault", 3),
    ("log_numbers", "row_fault", 5),
)
"""Checks that count the rows of the log with a code."""

DATED = (
    ("log_kinds", "row_fault", 1),
    ("log_numbers", "row_fault", 2),
    ("log_dates", "row_flow_dates", 2),
    ("log_gaps", "row_flow_dates", 3),
    ("readings_back", "stretch_close", 2),
    ("meter_change", "row_flow_reading", 5),
    ("tariff_cover", "row_flow_rest", 6),
    ("charges_asked", "row_flow_rest", 7),
    ("waiting", "row_flow_rest", 8),
    ("glass_names", "row_fault", 3),
    ("log_numbers", "row_fault", 5),
    ("meter_hours", "hours_over", 1),
)
"""Checks that say from which day on to look: that of the first row with the code."""

SUMMED = {
    "tariff_order": "tariff_bad_order",
    "tariff_shares": "tariff_bad_share",
    "tariff_size": "tariff_jump",
    "part_rows": "part_fault",
    "shop_numbers": "number_texts",
    "inputs_missing": "need_missing",
    "stray_prices": "tag_losing",
    "sold_nowhere": "sold_nowhere_row",
    "course_rows": "course_nameless",
}
"""Checks that sum a column of their own."""


def _found(check: str) -> str:
    return f"check_found.{CHECKS.index(check) + 1}"


def _edges(right: Right, column: str) -> tuple[int, ...]:
    rows = right.rows(column)
    return rows[0], rows[len(rows) // 2], rows[-1]


def _checks_of_rows(right: Right) -> Iterator[Twist]:
    for check, column, code in BY_CODE:
        for row in _edges(right, column):
            cell = f"{column}.{row}"
            more = right.value(cell) != code
            yield Twist({cell: code}, {_found(check): right.number(_found(check)) + more})
    for check, column, code in DATED:
        nowhere = dict.fromkeys(right.cells(column), 0)
        day, line = (f"{name}.{CHECKS.index(check) + 1}" for name in ("check_day", "check_line"))
        yield Twist(nowhere, {line: 0})
        yield Twist({line: 0}, {day: 0})
        for row in _edges(right, column):
            # The day is the one that counts, and not the one that is typed.
            dated: Cells = {f"log_date.{row}": 40000, f"next_day.{row}": 41000}
            yield Twist({**dated, line: row}, {day: right.value(f"first_day.{row}")})
            typed = {**nowhere, f"{column}.{row}": code, **dated}
            later = {f"{column}.{right.rows(column)[-1]}": code}
            yield Twist({**typed, **later}, {line: row})
            elsewhere = {f"{other}.{row}": 0 for other in ("row_flow", "row_other_fault") if other != column}
            yield Twist({**typed, **elsewhere}, {line: row})
    number = _edges(right, "row_fault")
    nowhere = dict.fromkeys(right.cells("row_fault"), 0)
    both = {**nowhere, f"row_fault.{number[0]}": 5, f"row_fault.{number[1]}": 2, f"row_fault.{number[2]}": 2}
    yield Twist(both, {f"check_line.{CHECKS.index('log_numbers') + 1}": number[1]})
    for check, column in SUMMED.items():
        for row in _edges(right, column):
            cell = f"{column}.{row}"
            yield Twist({cell: right.number(cell) + 1}, {_found(check): right.number(_found(check)) + 1})


def _hours_and_dates(right: Right) -> Iterator[Twist]:
    """The most hours that two hot days, and one more, can have; and texts in the log, which no studio holds."""
    hours: Cells = {"meter_code": 1, "stretch_close.3": 1, "reading_base.2": 100, "reading_base.3": 0, "hot_since.3": 2}
    for reading, over in ((172, 0), (172.125, 0), (172.25, 0), (172.5, 1)):
        yield Twist({**hours, "close_enough": 0.25, "log_reading.3": reading}, {"hours_over.3": over})
    for other in ({"meter_code": 2}, {"stretch_close.3": 0}):
        yield Twist({**hours, "log_reading.3": 900, **other}, {"hours_over.3": 0})
    yield Twist({"log_date.3": "8 March", "first_day.3": 5}, {"row_number_fault.3": 5})
    yield Twist({"log_date.3": 45000, "row_bad_numbers.3": 1}, {"row_number_fault.3": 2})
    yield Twist({"number_texts.1": 3}, {"number_bad.1": 1})


def _other_checks(right: Right) -> Iterator[Twist]:
    """Checks that count something of their own."""
    for pieces, other, asked in ((1, 0, 1), (0, 3, 0)):
        taxed: Cells = {"tax_inside": "Yes", "sales_tax": None, "pieces_named": pieces, "rank_slot": other}
        yield Twist(taxed, {_found("tax_asked"): asked})
    for factor, unit, asked in ((None, 1, 1), (None, 0.5, 1), ("one", 1, 1), (None, 0, 0), (1, 1, 0)):
        metered: Cells = {"meter_kind": "Gas meter", "billing_factor": factor, "unit_in_kwh": unit}
        yield Twist(metered, {_found("gas_factor"): asked})
    last = right.rows("row_kind")[-1]
    calm = dict.fromkeys(right.cells("reading_use"), 0) | dict.fromkeys(right.cells("stretch_close"), 0)
    for row in (1, last):
        back = {**calm, f"reading_use.{row}": -5, f"use_to_share.{row}": 5}
        yield Twist(back, {_found("readings_back"): 1})
        yield Twist({**back, f"stretch_close.{row}": 2}, {_found("readings_back"): 2})
        yield Twist({**calm, f"use_to_share.{row}": -5}, {_found("readings_back"): 0})
    placed = {**calm, "close_enough": 0.25, **dict.fromkeys(right.cells("use_to_share"), 0)}
    for unplaced, use, found in ((0.25, 0, 0), (0.5, 0, 1), (0.5, 2, 0), (0.625, 2, 1), (1, 8, 0), (0.375, 1.25, 1)):
        for row in (1, last):
            typed = {**placed, "use_not_placed": unplaced, f"reading_use.{row}": use}
            yield Twist(typed, {_found("use_unplaced"): found})
    for row in (1, last):
        nowhere = {**placed, "use_not_placed": 0, f"reading_use.{row}": 3, f"days_since.{row}": 0}
        yield Twist({**nowhere, f"stretch_close.{row}": 1}, {_found("use_unplaced"): 1})
        yield Twist({**nowhere, f"stretch_close.{row}": 0, f"stretch_state.{row}": 1}, {_found("use_unplaced"): 0})
        covered = dict.fromkeys(right.cells("row_priced"), 1)
        bare = {**covered, f"row_priced.{row}": 0, f"first_day.{row}": 44000, f"next_day.{row}": 0}
        yield Twist({**bare, f"row_kind.{row}": 1}, {_found("tariff_cover"): 1})
        yield Twist({**bare, f"row_kind.{row}": 0}, {_found("tariff_cover"): 0})
        yield Twist({**bare, f"row_kind.{row}": 1, f"first_day.{row}": 1}, {_found("tariff_cover"): 1})
        yield Twist({**bare, f"row_kind.{row}": 1, f"first_day.{row}": 0}, {_found("tariff_cover"): 0})
        asked: dict[str, Value] = {
            **dict.fromkeys(right.cells("row_charge_default"), 0),
            f"row_charge_default.{row}": 1,
        }
        asked |= {f"row_days.{row}": 3, f"log_days.{row}": None, f"row_hot_days.{row}": 0}
        yield Twist(asked, {_found("charges_asked"): 1})
        yield Twist({**asked, f"row_days.{row}": 2}, {_found("charges_asked"): 0})
    formulas = right.number(_found("log_formulas"))
    for column in ("row_kind", "energy_used", "energy_cost", "row_measured", "row_wear"):
        for row in (1, last):
            yield Twist({f"{column}.{row}": "gone"}, {_found("log_formulas"): formulas + 1})
    made = right.number("log_rows_made")
    yield Twist({"log_cells": made - 1}, {_found("log_rows"): 3})
    yield Twist({"log_cells": made + 5}, {_found("log_rows"): 0})
    yield Twist({"log_rows_made": 40, "log_cells": 30}, {_found("log_rows"): 12})
    for recovered, found in ((1.25, 0), (1.375, 1), (0.75, 0), (0.625, 1)):
        yield Twist({"made_recovered": recovered, "recovery_tolerance": 0.25}, {_found("furnace_recovered"): found})
    wide = {"recovery_tolerance": 0.25, "close_enough": 0.25}
    yield Twist({**wide, "made_recovered": 1.5}, {_found("furnace_recovered"): 0})
    yield Twist({**wide, "made_recovered": 1.625}, {_found("furnace_recovered"): 1})
    for free, used, found in ((20, 5, 0), (19, 5, 1), (19, 1, 1), (19, 0, 0)):
        yield Twist({"log_rows_free": free, "log_rows_used": used}, {_found("log_room"): found})
    for column in ("log_below_date", "log_below_kind"):
        for row in (1, right.rows(column)[-1]):
            yield Twist({f"{column}.{row}": "Idle"}, {_found("below_last"): 1})
            yield Twist({f"{column}.{row}": 45000}, {_found("below_last"): 1})
    pieces = right.rows("piece_position")[-1]
    yield Twist({"pieces_named": pieces}, {_found("list_full"): 1})
    yield Twist({"pieces_named": pieces - 1}, {_found("list_full"): 0})
    yield Twist({"pieces_named": pieces - 1, "piece_position.1": "one"}, {_found("list_full"): 1})
    for row in (1, pieces):
        strange = {**dict.fromkeys(right.cells("piece_glass_row"), 1), **dict.fromkeys(right.cells("row_fault"), 0)}
        yield Twist({**strange, f"piece_glass_row.{row}": 0}, {_found("glass_names"): 1})


def _errors(right: Right) -> Iterator[Twist]:
    """A figure that fails counts as one fault of the check that reads it."""
    failing = {
        "meter_change": "new_meter_unread",
        "use_unplaced": "use_not_placed",
        "waiting": "waiting_rows",
        "log_room": "log_rows_free",
        "log_formulas": "log_cells",
        "log_rows": "log_cells",
        "list_full": "pieces_named",
        "piece_names": "piece_twice.1",
        **{check: f"{column}.2" for check, column in SUMMED.items()},
        **{pair.check: f"pair_apart.{row}" for row, pair in enumerate(PAIRS, start=1)},
    }
    for check, cell in failing.items():
        yield Twist({cell: ERROR}, {_found(check): 1})


# ------------------------------------------------------------------------------------------- texts for numbers


ON_NEW_TARIFF = ("letter_", "retag_")
"""How the names of single cells begin that are typed on New tariff, and not on Shop."""


def _asking_for_numbers(right: Right) -> Iterator[tuple[str, str]]:
    """Each cell or column outside the log that asks for a number, and its label."""
    for name, item in right.vocabulary.scalars.items():
        if isinstance(item, Input) and item.shape is not Shape.TEXT:
            yield name, item.label
    for name, (table, item) in right.vocabulary.columns.items():
        if isinstance(item, Input) and item.shape is not Shape.TEXT and table.name not in ("log", "log_below"):
            yield name, item.label


ELSEWHERE = dict.fromkeys(Decisions.model_fields, "Idle or cold, Campaign length, Change the pot") | {
    "unexplained_limit": "Bill check",
    **dict.fromkeys(Hire.model_fields, "Hire and classes"),
}
"""Where single figures are typed that stand neither on Shop nor on New tariff."""


def _texts(right: Right) -> Iterator[Twist]:
    """A text where a number belongs is counted once, in the line that names the cell."""
    where = right.vocabulary.columns["number_where"][1]
    assert isinstance(where, Fixed)
    lines = [str(value) for value in where.values]
    for name, label in _asking_for_numbers(right):
        places = [name] if name in right.vocabulary.scalars else [right.cells(name)[0], right.cells(name)[-1]]
        alone = "New tariff" if name.startswith(ON_NEW_TARIFF) else ELSEWHERE.get(name, "Shop")
        table = alone if name in right.vocabulary.scalars else right.vocabulary.columns[name][0].label
        own = [
            row
            for row, line in enumerate(lines, start=1)
            if line.partition(": ")[0] == table and f", {label}," in f", {line.partition(': ')[2]},"
        ]
        assert len(own) >= 1, (name, label)
        if len(own) > 1:
            continue
        for place in places:
            typed: Cells = {place: "12,50"}
            yield Twist(typed, {f"number_texts.{row}": int(row in own) for row in range(1, len(lines) + 1)})


LOG_NUMBERS = ("log_date", "log_days", "log_charges", "log_reading", "log_new_kw", "log_weight", "log_gathers")


def _log_faults(right: Right) -> Iterator[Twist]:
    """What is wrong with what is typed on one row of the log."""
    row = next(row for row in right.rows("log_kind") if right.value(f"row_fault.{row}") == 0)
    none: dict[str, Value] = {f"{column}.{row}": None for column in LOG_NUMBERS}
    for column in LOG_NUMBERS:
        cell = f"{column}.{row}"
        yield Twist({**none, cell: -1.0}, {f"row_number_fault.{row}": 2})
        yield Twist({**none, cell: 0.0}, {f"row_number_fault.{row}": 0})
        no_words: dict[str, Value] = {f"{word}.{row}": None for word in ("log_kind", "log_glass", "log_note")}
        yield Twist({**none, **no_words, cell: "three"}, {f"row_typed.{row}": 1})
        yield Twist({**none, **no_words, cell: "three", f"row_typed.{row}": 1}, {f"row_bad_numbers.{row}": 1})
        yield Twist({**none, **no_words, cell: 3.0, f"row_typed.{row}": 1}, {f"row_bad_numbers.{row}": 0})
    for fault in right.rows("fault_word"):
        yield Twist({f"row_fault.{row}": fault}, {f"log_status.{row}": right.value(f"fault_word.{fault}")})
    yield Twist({f"row_bad_numbers.{row}": 1}, {f"row_number_fault.{row}": 2})
    for number_fault, other, fault in ((2, 4, 2), (5, 0, 5), (0, 4, 4), (0, 0, 0), (1, 4, 1)):
        yield Twist(
            {f"row_number_fault.{row}": number_fault, f"row_other_fault.{row}": other}, {f"row_fault.{row}": fault}
        )


# ------------------------------------------------------------------------------------------------------ words

IN_WORDS = (
    (0.0, "0.00"),
    (0.05, "0.05"),
    (-0.05, "-0.05"),
    (-3e-7, "0.00"),
    (0.5, "0.50"),
    (0.985, "0.99"),
    (0.99499997, "0.99"),
    (0.994999997, "1.00"),
    (0.9949997, "0.99"),
    (0.995, "1.00"),
    (1.0, "1.00"),
    (8.119999999999999, "8.12"),
    (12.124999997, "12.13"),
    (-1234.5, "-1234.50"),
)
"""Amounts as they are written, a half of the last digit upwards, with what rounding leaves of a half."""

WORDED = {
    "price_hot": "hot_words",
    "price_line_own": "line_words",
    "late_energy": "late_words",
    "recent_dearest": "recent_words",
    "slice_tag": "tag_words",
    "slice_left": "left_words",
    "suggested_amount": "suggested_words",
    "hire_open_hour": "hire_open_words",
    "hire_needed": "hire_needed_words",
    "ladder_bar_amount.1": "ladder_bar_words.1",
    "slice_bar_amount.1": "slice_bar_words.1",
}


def _words() -> Iterator[Twist]:
    for amount, words in IN_WORDS:
        yield Twist(dict.fromkeys(WORDED, amount), dict.fromkeys(WORDED.values(), words))
