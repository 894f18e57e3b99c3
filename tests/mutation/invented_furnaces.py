"""Studios of two furnaces made up by throwing dice: the second has a log, parts and decisions of another throw."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from meltbook.studio.base import Part
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import FURNACE_TABLES, Melt, MoreFurnace, Place, SecondSource, titles
from meltbook.studio.model import Studio
from tests.mutation.invented import Dice, Row, invented

P = TypeVar("P", bound=Part)

OTHER, PLACES = 1_000, 50_000
"""The second furnace is that of another studio; what tells the two apart has dice of its own."""


def two_furnaces(seed: int, room: Capacity, *, second: bool, filled: float = 1.0, odd: float = 0.0) -> Studio:
    """One studio; ``second`` puts its further furnace on a source of its own."""
    base = invented(seed, room, filled, odd)
    rows = replace(room.of_furnace(1), tariffs=room.second)
    other = invented(OTHER + seed, rows, filled, odd)
    dice = Dice(PLACES + seed, filled, odd)
    sources = ("First", "Second", "Second", None)
    places = [_place(dice, name) for name in ("Day tank", "Colour pot")]
    named = (*titles(places), *titles(places), None, titles(places)[1].upper(), "Gone" if dice.odd(2) else None)
    source = SecondSource(
        energy_unit="kWh",
        letter=other.letter.model_copy(update={"retag_tolerance": None}),
        tariffs=other.tariffs,
    )
    return base.model_copy(
        update={
            "place": places[0],
            "more_furnaces": (furnace_of(other, source="Second" if second else "First", place=places[1]),),
            "second_source": source if second else None,
            "pieces": tuple(replaced(piece, furnace=dice.of(named)) for piece in base.pieces),
            "bills": tuple(replaced(bill, source=dice.of(sources) if second else None) for bill in base.bills),
            "machines": tuple(replaced(row, source=dice.of(sources) if second else None) for row in base.machines),
        }
    )


def furnace_of(studio: Studio, **more: Any) -> MoreFurnace:
    """The furnace of a studio of its own, as a further one of another."""
    parts = {name: getattr(studio, name) for name in ("furnace", "wear", "decisions", *FURNACE_TABLES)}
    melt = Melt(**{key: getattr(studio.shop, key) for key in Melt.model_fields})
    return MoreFurnace(melt=melt, **parts, **more)


def _place(dice: Dice, name: str) -> Place:
    row: Row = dice.row(
        furnace_name=name if dice.chance(0.7) else None,
        standing_part=dice.more(0.1, 0.9) if dice.chance(0.6) else None,
    )
    return Place.model_validate(row)


def replaced(part: P, **cells: Any) -> P:
    """A part of a studio, or a studio, with something else typed."""
    return part.model_copy(update=cells)
