"""The sheets that a furnace's sentences send somebody to, by the names that they have in the book."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Called:
    """What the sheets of a furnace are called. A book with one furnace has them without numbers."""

    tariffs: str = "Tariffs"
    pots: str = "Pots and elements"
    decisions: str = "Idle or cold"
    log: str = "Furnace log"
    meter: str = "Shop"


def called(number: int, source: int = 1) -> Called:
    """The sheets of the furnace with this number, which is billed by the source with that one."""
    tariffs = "Tariffs" if source == 1 else f"Tariffs {source}"
    if number == 1:
        return Called(tariffs=tariffs)
    own = f"Furnace {number}"
    return Called(tariffs, own, f"Decisions {number}", f"Furnace log {number}", own)
