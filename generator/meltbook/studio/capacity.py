"""How many rows a book prepares for each of its tables."""

from __future__ import annotations

from dataclasses import dataclass, replace

CHANNEL_SLOTS: tuple[str, ...] = ("one", "two", "three", "four", "five", "six")
"""The ways of selling, by the word that their columns' names end in."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """Prepared rows by table; ``log`` is what ``--rows`` sets.

    ``more`` has the rows of each further furnace, ``second`` those of the second source; where they are left out,
    the tables are as long as the first furnace's and the first source's.
    """

    log: int = 1000
    tariffs: int = 24
    ledger: int = 60
    part_kinds: int = 8
    glasses: int = 8
    overheads: int = 20
    pieces: int = 40
    campaigns: int = 30
    bills: int = 24
    courses: int = 6
    day_kinds: int = 6
    people: int = 4
    equipment: int = 3
    machines: int = 12
    channels: int = len(CHANNEL_SLOTS)
    more: tuple[Capacity, ...] = ()
    second: int = 0

    @property
    def periods(self) -> int:
        """All time, between dates and the pricing window stand before the campaigns."""
        return 3 + self.campaigns

    def of_furnace(self, place: int) -> Capacity:
        """The rows of one furnace's tables; the first has place 0."""
        return self.more[place - 1] if 0 < place <= len(self.more) else replace(self, more=())

    def of_second_source(self) -> Capacity:
        """The rows of the second source's tables."""
        return replace(self, tariffs=self.second or self.tariffs, more=())

    def of_source(self, source: str) -> Capacity:
        """The rows of a book that has one of the two sources as its only one, and no further furnaces."""
        return self.of_second_source() if source == "Second" else replace(self, more=())
