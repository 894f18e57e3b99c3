"""Twists of the figures that are worked out by two ways: one way is typed over, and only that one moves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from meltbook.fields.check_pairs import PAIRS
from tests.mutation.right import Cells, Right, Twist, Value

PLACES: Mapping[str, int] = {f"{pair.check}: {pair.what}": row for row, pair in enumerate(PAIRS, start=1)}
"""The row of each pair, by its check and what it is about."""


class By:
    """What a way must show: so much more than in the right book."""

    def __init__(self, more: float = 0) -> None:
        self.more = more

    def of(self, now: float) -> float:
        """The value that must be shown."""
        return now + self.more


class Is(By):
    """What a way must show, whatever it shows in the right book."""

    def of(self, now: float) -> float:
        """The value that must be shown."""
        return self.more


SAME = By()

Line = tuple[str, str, Cells, By | None, By | None]
"""The check, what the pair is about, what is typed, and what the two ways must show; ``None`` is not judged."""


def lines(check: str, *some: tuple[str, Cells, By | None, By | None]) -> Iterator[Line]:
    """Lines about pairs of one check."""
    for what, typed, one, other in some:
        yield check, what, typed, one, other


def raised(right: Right, *places: str, by: float = 1) -> dict[str, Value]:
    """Cells with something added to what they hold; a blank becomes a number."""
    found: dict[str, Value] = {}
    for place in places:
        now = right.value(place)
        found[place] = (now if isinstance(now, int | float) else 0) + by
    return found


def as_twists(right: Right, some: Iterable[Line]) -> Iterator[Twist]:
    """Lines as what is typed into cells, and what cells must show."""
    for check, what, typed, one, other in some:
        row = PLACES[f"{check}: {what}"]
        shows = {}
        for side, value in (("pair_one", one), ("pair_other", other)):
            if value is not None:
                shows[f"{side}.{row}"] = value.of(right.number(f"{side}.{row}"))
        yield Twist(typed, shows)
