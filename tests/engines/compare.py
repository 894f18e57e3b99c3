"""Compare what an engine found with what was expected, cell by cell."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .poison import poison_left
from .values import CellError, Value, Values

REL = 1e-9
ABS = 1e-9

# How many cells were compared, by engine. conftest.py prints it when the run ends.
compared: Counter[str] = Counter()


@dataclass(frozen=True)
class Mismatch:
    """A cell in which something else was found than expected."""

    sheet: str
    cell: str
    expected: Value
    found: Value

    def __str__(self) -> str:
        return f"{self.sheet}!{self.cell}: expected {_show(self.expected)}, found {_show(self.found)}"


def same(expected: Value, found: Value, *, rel: float = REL, abs: float = ABS) -> bool:
    """Whether two values are the same: numbers within a tolerance, everything else exactly.

    Nothing and an empty text are the same. A boolean is no number, and a number is no text.
    """
    expected, found = (None if value == "" else value for value in (expected, found))
    if isinstance(expected, bool) or isinstance(found, bool):
        return expected is found
    if isinstance(expected, int | float) and isinstance(found, int | float):
        return math.isclose(expected, found, rel_tol=rel, abs_tol=abs)
    return expected == found


def compare(
    expected: Mapping[tuple[str, str], Value],
    actual: Values,
    *,
    engine: str | None = None,
    rel: float = REL,
    abs: float = ABS,
) -> list[Mismatch]:
    """The cells of `expected` in which `actual` has something else. Counts them under the engine's name."""
    if engine is not None:
        compared[engine] += len(expected)
    return [
        Mismatch(sheet, cell, value, found)
        for (sheet, cell), value in expected.items()
        if not same(value, found := actual.get((sheet, cell)), rel=rel, abs=abs)
    ]


def describe(mismatches: Sequence[Mismatch], limit: int = 25) -> str:
    """The first mismatches, one a line, and how many more there are."""
    lines = [str(mismatch) for mismatch in mismatches[:limit]]
    if len(mismatches) > limit:
        lines.append(f"... and {len(mismatches) - limit} more")
    return "\n".join(lines)


def assert_agrees(
    engine: str,
    expected: Mapping[tuple[str, str], Value],
    actual: Values,
    *,
    rel: float = REL,
    abs: float = ABS,
) -> None:
    """Fail unless the engine recalculated every cell and found what was expected in each."""
    stale = poison_left(actual)
    assert not stale, f"{engine} kept {len(stale)} cached values, the first in {stale[0][0]}!{stale[0][1]}"
    wrong = compare(expected, actual, engine=engine, rel=rel, abs=abs)
    assert not wrong, f"{engine} differs in {len(wrong)} of {len(expected)} cells:\n{describe(wrong)}"


def _show(value: Value) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, CellError):
        return value.code
    return repr(value)
