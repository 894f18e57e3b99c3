"""Studios with up to six furnaces: the furnaces' sides of several generated studios, put into the shop of one.

A furnace of its own studio has that studio's log, parts and decisions; its dates, glasses and tariffs are now those of
another shop, so that rows lie before the first letter, glasses are not on the list and parts are older than any day.
"""

from __future__ import annotations

from dataclasses import replace

from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import MoreFurnace, SecondSource
from meltbook.studio.model import Studio
from tests.strategies.chance import Chance, dice
from tests.strategies.hire_side import with_hire
from tests.strategies.studios import ODD_PERCENT, SMALL, melting_and_selling

OWN_ROWS = (28, 12, 20)
"""Rows of the further furnaces' logs: they need not be as long as the first one's."""


def rooms(furnaces: int, capacity: Capacity = SMALL) -> Capacity:
    """The rows of a book with so many furnaces, each log of its own length."""
    more = tuple(replace(capacity, log=OWN_ROWS[place % len(OWN_ROWS)]) for place in range(furnaces - 1))
    return replace(capacity, more=more, second=5)


def furnace_studio(seed: int, furnaces: int, *, second: bool = True) -> Studio:
    """A generated studio with so many furnaces; ``second`` lets some of them run on a second source."""
    chance = dice(seed, ODD_PERCENT[seed % len(ODD_PERCENT)])
    capacity = rooms(furnaces)
    base = melting_and_selling(chance)
    other = melting_and_selling(chance, replace(SMALL, tariffs=5))
    names = [chance.of(None, "Day tank", "Big one", "Colour pot") for _ in range(furnaces)]
    more = tuple(_furnace(chance, capacity.more[place], names[place + 1], second) for place in range(furnaces - 1))
    called = [name or f"Furnace {number}" for number, name in enumerate(names, start=1)]
    pieces = tuple(
        piece.model_copy(update={"furnace": chance.of(None, *called, *([called[-1].upper(), "Gone"]))})
        for piece in base.pieces
    )
    machines = tuple(
        row.model_copy(update={"source": chance.of(None, "First", "Second")} if second else {"source": None})
        for row in base.machines
    )
    bills = tuple(bill.model_copy(update={"source": chance.of(None, "First", "Second")}) for bill in base.bills)
    machines = tuple(
        machine.model_copy(update={"source": chance.of(None, "First", "Second") if second else None})
        for machine in base.machines
    )
    source = SecondSource(
        energy_unit=other.shop.energy_unit,
        letter=other.letter.model_copy(update={"retag_tolerance": None}),
        tariffs=other.tariffs,
    )
    several = base.model_copy(
        update={
            "place": base.place.model_copy(
                update={"furnace_name": names[0], "standing_part": chance.of(None, 0.0, 0.4, 1.0)}
            ),
            "more_furnaces": more,
            "second_source": source if second else None,
            "pieces": pieces,
            "bills": bills,
            "machines": machines,
        }
    )
    return with_hire(chance, several, capacity)


def _furnace(chance: Chance, room: Capacity, name: str | None, second: bool) -> MoreFurnace:
    own = melting_and_selling(chance, room)
    return MoreFurnace.model_validate(
        {
            "source": chance.of("First", "Second") if second else "First",
            "place": {"furnace_name": name, "standing_part": chance.of(None, None, 0.25)},
            "melt": {
                "ordinary_weight": own.shop.ordinary_weight,
                "share_drawn": own.shop.share_drawn,
                "share_in_pieces": own.shop.share_in_pieces,
            },
            "furnace": own.furnace,
            "wear": own.wear,
            "decisions": own.decisions,
            "day_kinds": own.day_kinds,
            "log": own.log,
            "part_kinds": own.part_kinds,
            "ledger": own.ledger,
        }
    )
