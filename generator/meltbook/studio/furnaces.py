"""More furnaces than one, and a second source of energy.

A studio's first furnace has the sections and tables that every studio has. Each further furnace has the same
again in one entry of ``more_furnaces``: its meter, its log, its pots and elements, its decisions. A furnace that
runs on another source than the first has that source's tariffs in ``second_source``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from pydantic import Field

from meltbook.studio.base import Amount, EnergyUnit, Part, Share, Text
from meltbook.studio.decisions import Decisions
from meltbook.studio.energy import DayKindRow, Furnace, LogRow
from meltbook.studio.letter import Letter
from meltbook.studio.tariff import TariffRow
from meltbook.studio.wear import LedgerRow, PartKind, Wear

Source = Literal["First", "Second"]

MOST_FURNACES = 6
FURNACE_WORDS: tuple[str, ...] = ("first", "second", "third", "fourth", "fifth", "sixth")
"""What the names of a furnace's own fields end in; those of the first end in nothing."""

SECOND_SOURCE = "fuel"
"""What the names of the second source's fields end in."""
SOURCE_ENDS: dict[str, str] = {"First": "", "Second": f"_{SECOND_SOURCE}"}
"""The same for either source, with the line that sets it off."""
SOURCE_NUMBERS: Mapping[str, int] = {"First": 1, "Second": 2}
"""What sheets of a source are numbered by."""


def name_ends(furnaces: int) -> tuple[str, ...]:
    """What the names of each furnace's own fields end in: nothing for the first."""
    return ("", *(f"_{word}" for word in FURNACE_WORDS[1:furnaces]))


class Place(Part):
    """What tells a furnace from the others in a studio that has several.

    ``standing_part`` is its part of the service and demand charges of its source; where it is left out, the
    furnaces of a source carry equal parts.
    """

    furnace_name: Text | None = None
    standing_part: Share | None = None


def titles(places: Iterable[Place]) -> list[str]:
    """What each furnace is called: its name, or its number where none is typed."""
    return [place.furnace_name or f"Furnace {number}" for number, place in enumerate(places, start=1)]


class Melt(Part):
    """What is typed among the shop's figures for the first furnace, and belongs to each furnace by itself."""

    ordinary_weight: Amount | None = None
    share_drawn: Share | None = 1.0
    share_in_pieces: Share | None = None


class MoreFurnace(Part):
    """A further furnace. ``source`` says which tariffs it is billed by."""

    source: Source = "First"
    place: Place = Field(default_factory=Place)
    melt: Melt = Field(default_factory=Melt)
    furnace: Furnace = Field(default_factory=Furnace)
    wear: Wear = Field(default_factory=Wear)
    decisions: Decisions = Field(default_factory=Decisions)
    day_kinds: tuple[DayKindRow, ...] = ()
    log: tuple[LogRow, ...] = ()
    part_kinds: tuple[PartKind, ...] = ()
    ledger: tuple[LedgerRow, ...] = ()


class SourceLimit(Part):
    """The second source's own limit for a believable price."""

    price_limit: Amount | None = None


class SecondSource(Part):
    """Another source of energy: its unit, its tariffs, and a letter that changes them."""

    energy_unit: EnergyUnit = "kWh"
    limit: SourceLimit = Field(default_factory=SourceLimit)
    letter: Letter = Field(default_factory=Letter)
    tariffs: tuple[TariffRow, ...] = ()


FURNACE_SECTIONS: tuple[str, ...] = ("place", "melt", "furnace", "wear", "decisions")
FURNACE_TABLES: tuple[str, ...] = ("day_kinds", "log", "part_kinds", "ledger")
"""The sections and tables of a further furnace; their keys are named as those of the first."""

SOURCE_SECTIONS: tuple[str, ...] = ("limit", "letter")
SOURCE_TABLES: tuple[str, ...] = ("tariffs",)
