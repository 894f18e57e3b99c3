"""A whole studio: what the owner's workbook, or a studio file, holds.

Each section's keys are the names of input fields. Each table's keys, with the table's prefix before them, are
the names of input columns: ``log`` rows have ``date``, which is the column ``log_date``. That one rule is how a
studio becomes cells and cells become a studio again. What further furnaces and a second source have besides stands in
``meltbook.studio.furnaces``; the names of their fields end in a word that tells which one is meant.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from meltbook.studio.base import Part
from meltbook.studio.bills import BillRow
from meltbook.studio.decisions import Decisions
from meltbook.studio.energy import DayKindRow, Furnace, LogRow
from meltbook.studio.furnaces import MOST_FURNACES, MoreFurnace, Place, SecondSource, Source
from meltbook.studio.hire import Course, Hire
from meltbook.studio.letter import Letter
from meltbook.studio.machines import Machine
from meltbook.studio.pieces import Piece
from meltbook.studio.prices import Channel
from meltbook.studio.shop import Equipment, Glass, Overhead, Person, Shop
from meltbook.studio.tariff import TariffRow
from meltbook.studio.wear import LedgerRow, PartKind, Wear


class Studio(Part):
    """Everything typed. Lists may be shorter than the rows that the workbook prepares."""

    shop: Shop = Field(default_factory=Shop)
    furnace: Furnace = Field(default_factory=Furnace)
    wear: Wear = Field(default_factory=Wear)
    letter: Letter = Field(default_factory=Letter)
    decisions: Decisions = Field(default_factory=Decisions)
    hire: Hire = Field(default_factory=Hire)
    day_kinds: tuple[DayKindRow, ...] = ()
    glasses: tuple[Glass, ...] = ()
    people: tuple[Person, ...] = ()
    overheads: tuple[Overhead, ...] = ()
    equipment: tuple[Equipment, ...] = ()
    machines: tuple[Machine, ...] = ()
    channels: tuple[Channel, ...] = ()
    tariffs: tuple[TariffRow, ...] = ()
    log: tuple[LogRow, ...] = ()
    part_kinds: tuple[PartKind, ...] = ()
    ledger: tuple[LedgerRow, ...] = ()
    pieces: tuple[Piece, ...] = ()
    bills: tuple[BillRow, ...] = ()
    courses: tuple[Course, ...] = ()
    place: Place = Field(default_factory=Place)
    more_furnaces: Annotated[tuple[MoreFurnace, ...], Field(max_length=MOST_FURNACES - 1)] = ()
    second_source: SecondSource | None = None

    @property
    def places(self) -> tuple[Place, ...]:
        """What tells the furnaces apart, the first one's included."""
        return (self.place, *(more.place for more in self.more_furnaces))

    @property
    def furnace_sources(self) -> tuple[Source, ...]:
        """The source that each furnace runs on, the first one's included."""
        return ("First", *(more.source for more in self.more_furnaces))


SECTIONS: tuple[str, ...] = ("shop", "furnace", "wear", "letter", "decisions", "hire", "place")
"""The parts of a studio whose keys are scalar input names."""

PREFIXES: dict[str, str] = {
    "day_kinds": "kind_",
    "glasses": "glass_",
    "people": "person_",
    "overheads": "overhead_",
    "equipment": "equipment_",
    "machines": "machine_",
    "channels": "channel_",
    "tariffs": "tariff_",
    "log": "log_",
    "part_kinds": "kind_of_part_",
    "ledger": "part_",
    "pieces": "piece_",
    "bills": "bill_",
    "courses": "course_",
}
"""Each table of a studio and what its keys are prefixed with to give the column's name."""
