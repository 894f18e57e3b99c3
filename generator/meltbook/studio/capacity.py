"""How many rows a book prepares for each of its tables."""

from __future__ import annotations

from dataclasses import dataclass

CHANNEL_SLOTS: tuple[str, ...] = ("one", "two", "three", "four", "five", "six")
"""The ways of selling, by the word that their columns' names end in."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """Prepared rows by table; ``log`` is what ``--rows`` sets."""

    log: int = 1000
    tariffs: int = 24
    ledger: int = 60
    part_kinds: int = 8
    glasses: int = 8
    overheads: int = 20
    pieces: int = 40
    campaigns: int = 30
    bills: int = 24
    day_kinds: int = 6
    people: int = 4
    equipment: int = 3
    channels: int = len(CHANNEL_SLOTS)

    @property
    def periods(self) -> int:
        """All time, between dates and the pricing window stand before the campaigns."""
        return 3 + self.campaigns
