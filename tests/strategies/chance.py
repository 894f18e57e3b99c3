"""Choices, made either by dice with a seed or by hypothesis.

Everything in this folder asks one question, "which of so many?", through :class:`Chance`. Dice answer it for a
corpus that is the same every time and in which each studio is independent of the others: hypothesis likes to
vary its own examples, and hundreds of them may be a few dozen in disguise. Hypothesis answers it for the
properties, where a failure should be cut down to something small; so the first choice is always the plainest.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies as st

T = TypeVar("T")

Which = Callable[[int], int]
"""Picks a number from 0 to one less than the number given."""


class Chance:
    """Choices, and how likely something is that a careful owner would not do."""

    def __init__(self, which: Which, odd_percent: int) -> None:
        self.which = which
        self.odd_percent = odd_percent

    def of(self, *choices: T) -> T:
        return choices[self.which(len(choices))]

    def whole(self, low: int, high: int) -> int:
        return low + self.which(high - low + 1)

    def hundredths(self, low: float, high: float) -> float:
        """A number with two digits behind the point, as people type them."""
        return self.whole(round(low * 100), round(high * 100)) / 100

    def likely(self, percent: int) -> bool:
        """Yes in so many of a hundred cases."""
        return self.which(100) >= 100 - percent

    def strange(self, times: float = 1) -> bool:
        """Whether something odd happens here, as often as this studio is odd."""
        return self.likely(min(100, round(self.odd_percent * times)))

    def odd(self, usual: T, *strange: T) -> T:
        """The usual value; in an odd case one of the others."""
        return self.of(*strange) if self.strange() else usual


def dice(seed: int, odd_percent: int) -> Chance:
    """Throws that are the same in every release of Python, since they use ``random()`` alone."""
    throw = Random(seed).random
    return Chance(lambda count: int(throw() * count), odd_percent)


def drawn(draw: Callable[[st.SearchStrategy[Any]], Any], odd_percent: int) -> Chance:
    """Choices that hypothesis makes, and makes simpler where a test fails."""
    return Chance(lambda count: draw(st.integers(0, count - 1)), odd_percent)


def without_blanks(row: dict[str, Any]) -> dict[str, Any]:
    """What is typed of a row: a cell that is left blank isn't in a studio at all."""
    return {key: value for key, value in row.items() if value is not None}
