"""Odd but legal studios, for comparing the reference engine with the workbook in other programs.

A studio that is wrong in many places at once shows nothing but blanks, and blanks agree everywhere. So each one
draws how odd it is: some are complete and come as far as a price list, some have a single thing missing, and some
are a mess. Numbers have few digits, so that two routes to the same figure differ by rounding only, and many of
them are such as 0.1, 0.2 and 0.3, whose sums a computer gets not quite right.

``tests/strategies/test_corpus.py`` holds the corpus to showing every figure and every word that a book can show.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from hypothesis import strategies as st

from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from tests.strategies import furnace_side, shop_side
from tests.strategies.chance import Chance, dice, drawn, without_blanks
from tests.strategies.hire_side import with_hire
from tests.strategies.machines import machines, without_costs_of

SMALL = Capacity(
    log=28,
    tariffs=8,
    ledger=6,
    part_kinds=4,
    glasses=3,
    overheads=4,
    pieces=5,
    campaigns=5,
    bills=5,
    machines=5,
    courses=3,
)
MANY_TARIFFS = Capacity(
    log=28,
    tariffs=40,
    ledger=6,
    part_kinds=4,
    glasses=3,
    overheads=4,
    pieces=5,
    campaigns=5,
    bills=2,
    machines=2,
    courses=1,
)
TINY = Capacity(
    log=10,
    tariffs=3,
    ledger=3,
    part_kinds=2,
    glasses=2,
    overheads=2,
    pieces=2,
    campaigns=2,
    bills=1,
    machines=2,
    courses=1,
)

ODD_PERCENT = (0, 2, 2, 6, 15)
"""How many of a hundred choices are odd ones, in studios of different owners."""


def generated(chance: Chance, capacity: Capacity = SMALL) -> Studio:
    """A studio that fits in a book of this capacity. Drawn last is what it lets and teaches: nothing hangs on that."""
    return with_hire(chance, melting_and_selling(chance, capacity), capacity)


def melting_and_selling(chance: Chance, capacity: Capacity = SMALL) -> Studio:
    """A studio that neither lets its bench nor teaches."""
    first = chance.of(*furnace_side.FIRST_DAYS)
    meter = chance.of("kWh meter", "Hour meter", "Hour meter", "No meter")
    data: dict[str, Any] = {
        "shop": shop_side.shop(chance, first),
        "furnace": furnace_side.furnace(chance, meter),
        "wear": {
            "wear_method": chance.of("Used up", "Paid"),
            "wear_counted": chance.of("Count", "Count", "Count", "None"),
        },
        "day_kinds": furnace_side.day_kinds(chance, meter),
        "glasses": shop_side.glasses(chance, capacity.glasses),
        "people": shop_side.people(chance),
        "overheads": shop_side.overheads(chance, capacity.overheads),
        "equipment": shop_side.equipment(chance),
        "channels": shop_side.channels(chance),
        "tariffs": furnace_side.tariffs(chance, capacity.tariffs, first),
        "log": furnace_side.log(chance, meter, capacity, first),
        "part_kinds": furnace_side.part_kinds(chance, capacity.part_kinds),
        "ledger": furnace_side.ledger(chance, capacity.ledger, first),
        "pieces": shop_side.pieces(chance, capacity.pieces),
        "letter": furnace_side.letter(chance, first),
        "decisions": furnace_side.decisions(chance),
    }
    unit, heat = furnace_side.gas(chance, meter)
    data["furnace"] |= heat
    data["shop"] |= {"energy_unit": unit, **without_blanks({"unexplained_limit": chance.of(None, 0.0, 0.4, 1.0)})}
    data["bills"] = furnace_side.bills(chance, capacity.bills, first)
    data["machines"] = machines(chance, capacity.machines)
    data["equipment"] = without_costs_of(chance, data["equipment"], data["machines"])
    data["pieces"] = [row | shop_side.where_sold(chance) for row in data["pieces"]]
    return Studio.model_validate(data)


@st.composite
def studios(draw: Callable[[st.SearchStrategy[Any]], Any], capacity: Capacity = SMALL) -> Studio:
    """Generated studios, for properties: hypothesis chooses."""
    return generated(drawn(draw, draw(st.sampled_from(ODD_PERCENT))), capacity)


@cache
def corpus_studio(seed: int, capacity: Capacity = SMALL) -> Studio:
    """The studio of this number: the same every time, whatever else is in a corpus."""
    return generated(dice(seed, ODD_PERCENT[seed % len(ODD_PERCENT)]), capacity)


def corpus(count: int, capacity: Capacity = SMALL, start: int = 0) -> list[Studio]:
    """So many generated studios, from number ``start`` on."""
    return [corpus_studio(seed, capacity) for seed in range(start, start + count)]
