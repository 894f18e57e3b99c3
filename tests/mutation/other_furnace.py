"""Twists of a book of one furnace, as they are typed into a book of several.

The figures of the shop read some cells under another name there, and the second furnace has all of its own once more.
So a twist that is written in the names of one furnace is typed where this book reads it, or about the second furnace.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from meltbook.fields.check_pairs import PAIRS
from meltbook.fields.kernel import Fixed, Vocabulary
from meltbook.fields.several import OF_THE_ONLY_FURNACE
from meltbook.method.checks import CHECKS
from tests.mutation.alike import Whose
from tests.mutation.right import Cells, Right, Twist, Value

ANEW = ("{}_first", "here_{}", "all_{}")
"""How a field is called that stands for another one in what several furnaces share."""

LISTS = ("check_", "pair_")
"""How columns begin that stand in lists of which a further furnace has only some lines."""


def as_read_here(right: Right, some: Iterable[Twist]) -> Iterator[Twist]:
    """Twists about the first furnace, with what they type also in the cells that are read in place of it.

    Those that type over what Start shows of the only furnace are left out.
    """
    for twist in some:
        if not OF_THE_ONLY_FURNACE.isdisjoint(twist.typed):
            continue
        typed: dict[str, Value] = {}
        for place, value in twist.typed.items():
            name, _, row = place.partition(".")
            for called in (each.format(name) for each in ANEW):
                if called in right.vocabulary.scalars and not row:
                    typed[called] = value
                elif called in right.vocabulary.columns:
                    typed |= dict.fromkeys([f"{called}.{row}"] if row else right.cells(called), value)
        days = {place: value for place, value in twist.typed.items() if place.startswith("next_day.")}
        if days:
            # The other log is meant to end before this one.
            logged = right.all("next_day") | days
            typed["logs_next_day"] = max(day for day in logged.values() if isinstance(day, int | float))
        yield Twist(typed | dict(twist.typed), twist.shows)


class OfAnother(Right):
    """The cells of another furnace, asked for by the names of the first one's."""

    def __init__(self, right: Right, ends: Whose) -> None:
        super().__init__(right.vocabulary, self._here)
        self._right = right
        self._ends = ends

    def _here(self, place: str) -> Value:
        found = self.place(place)
        return 0 if found is None else self._right.value(found)

    def rows(self, column: str) -> range:
        """The rows of a column, counted from 1; those of a list are the first one's."""
        return super().rows(column if column.startswith(LISTS) else self.name(column))

    def name(self, name: str) -> str:
        """The name of a field of this furnace."""
        fields = self.vocabulary
        found = (f"{name}{end}" for end in self._ends)
        return next((each for each in found if each in fields.scalars or each in fields.columns), name)

    def place(self, place: str) -> str | None:
        """Where a cell of this furnace stands; nowhere, if its line is not in the list."""
        name, dot, row = place.partition(".")
        if name.startswith(LISTS) and name in self.vocabulary.columns:
            line = self._line(name, int(row))
            return None if line is None else f"{name}{self._ends[0]}.{line}"
        return f"{self.name(name)}{dot}{row}"

    def _line(self, name: str, row: int) -> int | None:
        checks = _lines(self.vocabulary, f"check_id{self._ends[0]}")
        if name.startswith("check_"):
            key = CHECKS[row - 1]
            return checks.index(key) + 1 if key in checks else None
        rows = [at for at, pair in enumerate(PAIRS, start=1) if pair.check in checks]
        return rows.index(row) + 1 if row in rows else None

    def twists(self, some: Iterable[Twist]) -> Iterator[Twist]:
        """Twists in the names of the first furnace, about this one.

        Those of lines that it hasn't are left out, and those of pieces, which are counted for the shop.
        """
        for twist in some:
            if any(place.startswith("piece_") for place in twist.typed):
                continue
            typed, shows = self._moved(twist.typed), self._moved(twist.shows)
            if len(typed) == len(twist.typed) and shows:
                yield Twist(typed, shows)

    def _moved(self, cells: Cells) -> Cells:
        """The same about this furnace, as far as it has such lines."""
        places = ((self.place(place), value) for place, value in cells.items())
        return {place: value for place, value in places if place is not None}


def _lines(vocabulary: Vocabulary, name: str) -> list[str]:
    _, item = vocabulary.columns[name]
    assert isinstance(item, Fixed)
    return [str(value) for value in item.values]
