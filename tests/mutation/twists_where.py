"""Twists of where the checks say to look: by a day of the log, by a line of it, by a cell's name, or nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.fields.check_list import CHECKS, Check
from tests.mutation.right import Cells, Right, Twist, only

NOWHERE = Check("", "", "", "").place


def where_to_look(right: Right) -> Iterator[Twist]:
    """What each check says of it, and that none says anything until it has found something."""
    for check in CHECKS:
        found, first = _of(check.key, "found"), _of(check.key, "first")
        yield Twist({found: 0}, {first: None})
        if check.first:
            yield from _in_the_log(check.key)
        elif check.place == NOWHERE:
            yield Twist({found: 1}, {first: None})
    yield from _the_first_of("shop_numbers", right, "number_bad", "number_where", {"number_texts": 2})
    yield from _the_first_of("inputs_missing", right, "need_missing", "need_what", {})
    found, first = _of("furnace_recovered", "found"), _of("furnace_recovered", "first")
    for paid, words in ((0.994999997, "paid: 100 %"), (0.9949997, "paid: 99 %"), (1.5, "paid: 150 %")):
        yield Twist({found: 1, "made_recovered": paid}, {first: words})


def _of(check: str, column: str) -> str:
    row = next(row for row, one in enumerate(CHECKS, start=1) if one.key == check)
    return f"check_{column}.{row}"


def _in_the_log(check: str) -> Iterator[Twist]:
    """By the day, else by the line, if only the check has found anything."""
    found, day, on, line, first = (_of(check, column) for column in ("found", "day", "on", "line", "first"))
    for found_there, day_there, line_there, shown in (
        (1, 45000, 5, "first on that day"),
        (1, 1, 0, "first on that day"),
        (1, 0, 5, "line 5 of the log"),
        (1, 0, 1, "line 1 of the log"),
        (1, 0, 0, None),
        (0, 45000, 5, None),
    ):
        typed: Cells = {found: found_there, day: day_there, on: "first on that day", line: line_there}
        yield Twist(typed, {first: shown})


def _the_first_of(check: str, right: Right, column: str, names: str, beside: dict[str, int]) -> Iterator[Twist]:
    """By the name of the first cell at fault, whatever else is."""
    found, first = _of(check, "found"), _of(check, "first")
    last = right.rows(column)[-1]
    others: Cells = {cell: value for name, value in beside.items() for cell in right.cells(name)}
    for row in {1, max(1, last - 1), last}:
        faults: Cells = {**only(right, column, row, 1), f"{column}.{last}": 1, found: 1}
        yield Twist({**others, **faults}, {first: right.value(f"{names}.{row}")})
    yield Twist({**others, **only(right, column, 1, 0), found: 1}, {first: None})
    yield Twist({**others, **only(right, column, 1, 1), found: 0}, {first: None})
