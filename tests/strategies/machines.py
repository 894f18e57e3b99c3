"""Machines of generated studios, and studios made for them: each way to run, shared pieces, two sources, odd rows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.machines import Machine
from meltbook.studio.model import Studio
from tests.strategies.chance import Chance, without_blanks

Row = dict[str, Any]

FEEDS = ("Glory hole", "Annealer", "Other equipment")
WAYS: tuple[Row, ...] = ({"per": "Hour"}, {"per": "Day"}, {"per": "Load"}, {"per": "Hour", "hours": 14.0})


# ------------------------------------------------------------------------------------------ for generated studios


def machines(chance: Chance, most: int) -> list[Row]:
    """No machines, one, or as many as there is room for; more likely of one way than of many, so that some share."""
    if not chance.likely(60):
        return []
    ways = chance.of(WAYS, WAYS[:1], WAYS[2:], WAYS[:2])
    count = min(most, chance.of(most, 1, 2, 3))
    return [_machine(chance, number, ways) for number in range(1, count + 1)]


def _machine(chance: Chance, number: int, ways: Sequence[Row]) -> Row:
    if chance.strange():
        return chance.of({}, {"per": "Hour"}, {"upkeep": 20.0}, {"use": 3.0, "source": "Second"})
    bought = chance.likely(60)
    row: Row = {
        "name": f"Machine {number}",
        "feeds": chance.of(*FEEDS, *FEEDS, None),
        **chance.of(*ways),
        "use": chance.odd(chance.of(15.0, 1.5, 0.1, 0.0), None),
        "metered": chance.of(None, None, 90.0, 0.3),
        "metered_runs": chance.odd(chance.of(6.0, 3.0), None, 0.0),
        "price": chance.of(None, None, None, 0.7, 0.0),
        "runs": chance.odd(chance.of(800.0, 150.0, 0.5), None, 0.0),
        "purchase": chance.of(4500.0, 0.1) if bought else chance.of(None, 0.0),
        "worth_end": chance.of(None, 500.0) if bought else None,
        "life": chance.odd(10.0 if bought else None, None, 0.0),
        "upkeep": chance.of(None, 80.0, 0.0),
    }
    if chance.strange():
        row |= {"per": chance.of(None, "Hour"), "hours": chance.of(0.0, None, 14.0)}
    return without_blanks(row)


def without_costs_of(chance: Chance, equipment: Sequence[Row], typed: Sequence[Row]) -> list[Row]:
    """The equipment on Shop, with no cost where machines say it; now and then it was forgotten there."""
    fed = {row.get("feeds") for row in typed if row.get("name")}
    return [
        {key: value for key, value in row.items() if key != "cost"} if name in fed and not chance.strange() else row
        for name, row in zip(FEEDS, equipment, strict=True)
    ]


# ------------------------------------------------------------------------------------------------- made for them

ROOM = Capacity(
    log=24, tariffs=3, ledger=2, part_kinds=2, glasses=2, overheads=2, pieces=3, campaigns=3, bills=4, machines=6
)

HOLE: Row = {"name": "Hole", "feeds": "Glory hole", "use": 15.0, "per": "Hour", "runs": 800.0, "upkeep": 480.0}
BURNING: Row = {"name": "Garage", "feeds": "Glory hole", "use": 60.0, "per": "Day", "runs": 200.0}
BOX: Row = {"name": "Box", "feeds": "Annealer", "use": 25.0, "per": "Load", "runs": 150.0, "upkeep": 90.0}
LONG: Row = {"name": "Long box", "feeds": "Annealer", "use": 1.5, "per": "Hour", "hours": 14.0, "runs": 4200.0}
PICK_UP: Row = {"name": "Pick-up", "feeds": "Other equipment", "use": 6.0, "per": "Hour", "runs": 400.0}
TORCH: Row = {"name": "Torch", "feeds": "Other equipment", "use": 0.5, "per": "Hour", "price": 3.0, "runs": 100.0}
PUMP: Row = {"name": "Pump", "use": 2.0, "per": "Day", "runs": 365.0}
METERED: Row = {"metered": 84.0, "metered_runs": 6.0}
BOUGHT: Row = {"purchase": 5000.0, "worth_end": 1000.0, "life": 10.0}

PIECES: list[Row] = [
    {"name": "Bowl", "drawn": 1.5, "minutes": 10.0, "other_minutes": 4.0, "per_load": 20.0, "loss": 0.1},
    {"name": "Vase", "drawn": 4.0, "minutes": 45.0, "glory_minutes": 30.0, "load_share": 0.25, "loss_after": 0.05},
    {"name": "Bead", "drawn": 0.1, "minutes": 0.0},
]
DAYS: Row = {"start": "2025-03-03", "end": "2025-03-14"}
BILLS: list[Row] = [
    {**DAYS, "use": 1500.0},
    {**DAYS, "use": 1500.0, "metered": 100.0},
    {**DAYS, "use": 1500.0, "estimated": 0.0},
    {**DAYS, "use": 40.0, "source": "Second"},
]
LETTER: Row = {"letter_start": "2025-05-01", "letter_change": 0.4}


def machine_studios() -> dict[str, Studio]:
    """One furnace: machines of every kind and every fault."""
    day, load = {"per": "Day"}, {"per": "Load"}
    return {
        "each equipment by a machine": _studio(HOLE, BOX, PICK_UP),
        "with a letter": _studio(HOLE | BOUGHT, BOX | METERED, PICK_UP, PUMP, letter=LETTER),
        "shared, and not shared": _studio(
            HOLE, HOLE | {"name": "Small hole", "runs": 200.0}, BURNING, BOX, LONG, TORCH
        ),
        "one feeds by the hour, the day and the load": _studio(*({**HOLE, **way} for way in WAYS), letter=LETTER),
        "two that burn all day": _studio(BURNING, BURNING | {"name": "Other", "use": 30.0}, BOX | day, PICK_UP | day),
        "no piece minutes a day": _studio(BURNING, BOX, shop={"minutes_a_day": None}, letter=LETTER),
        "piece minutes of 0": _studio(BURNING, BOX, PICK_UP, shop={"minutes_a_day": 0.0}),
        "loads of 0 hours": _studio(LONG | {"hours": 0.0}, HOLE | {"hours": 0.0, "use": 0.0}, BOX),
        "hours with a day and a load": _studio(BURNING | {"hours": 8.0}, BOX | {"hours": 14.0}, HOLE | {"hours": 3.0}),
        "zeros": _studio(
            HOLE | {"use": 0.0, "upkeep": 0.0},
            BOX | {"metered": 0.0, "metered_runs": 3.0},
            PICK_UP | {"price": 0.0},
            BURNING | {"purchase": 0.0, "life": 0.0, "runs": 0.0},
        ),
        "meters that are not read": _studio(
            HOLE | {"metered": 84.0}, BOX | {"metered": 84.0, "metered_runs": 0.0}, PICK_UP | {"metered_runs": 9.0}
        ),
        "no runs": _studio({**HOLE, "runs": None}, {**BOX, "runs": 0.0}, {**LONG, "runs": None}, PICK_UP | BOUGHT),
        "no life": _studio(HOLE | {"purchase": 100.0}, BOX | {"purchase": 100.0, "life": 0.0}, PICK_UP | {"life": 3.0}),
        "worth more at the end": _studio(
            PICK_UP | {"purchase": 100.0, "worth_end": 900.0, "life": 1.0, "use": 0.0},
            BOX | {"purchase": 1000.0, "worth_end": 1900.0, "life": 10.0},
        ),
        "no use": _studio({**HOLE, "use": None}, {**BOX, "use": None}, PUMP),
        "no way": _studio({**HOLE, "per": None}, {**BOX, "per": None}, PICK_UP),
        "no tariff": _studio(HOLE, BOX, TORCH, tariffs=[]),
        "no name": _studio({**HOLE, "name": None}, {}, {"per": "Load"}, {"life": 0.0}, {"feeds": "Annealer"}, BOX),
        "for the bill alone": _studio({**HOLE, "feeds": None}, PUMP, PUMP | {"name": "Fan"} | METERED),
        "a cost on Shop besides": _studio(HOLE, BOX, equipment=[{"cost": 12.0, "per": "Hour"}, {"per": "Load"}]),
        "a cost of 0 on Shop besides": _studio(HOLE, BOX, PICK_UP, equipment=[{}, {"cost": 0.0}, {"cost": 5.0, **day}]),
        "named twice": _studio(HOLE, HOLE, BOX | load, BOX | load),
        "no equipment that is called so": _strange(),
        "only one": _studio(PUMP),
        "full to the last row": _studio(HOLE, BURNING, BOX, LONG, PICK_UP, TORCH, letter=LETTER),
        "a letter with nothing in force": _studio(HOLE, BOX, tariffs=[], letter=LETTER),
    }


def machines_on_two_sources() -> dict[str, Studio]:
    """Two furnaces, each on a source of its own, and one source for both."""
    second = {"energy_unit": "m³", "tariffs": [{"start": "2025-01-01", "price": 0.9, "tax": 0.1}]}
    gas = {"source": "Second"}
    rows = (HOLE | gas, BURNING | gas | METERED, BOX | {"source": "First"}, PICK_UP, TORCH | gas, PUMP | gas)
    return {
        "two sources": _two(*rows, second_source=second),
        "a letter for the first": _two(*rows, second_source=second, letter=LETTER),
        "a letter for the second": _two(*rows, second_source={**second, "letter": LETTER}),
        "a letter for both": _two(*rows, second_source={**second, "letter": LETTER}, letter=LETTER),
        "no tariff for the second": _two(*rows, second_source={**second, "tariffs": []}),
        "no tariff for the first": _two(*rows, second_source=second, tariffs=[]),
        "a source alone in a row": _two({**gas}, {"name": "Fan", **gas}, BOX, second_source=second),
        "both furnaces on one source": _two(*(row | {"source": "First"} for row in rows), source="First"),
    }


def _studio(*rows: Row, shop: Row | None = None, **sections: Any) -> Studio:
    return Studio.model_validate(_plain(*rows, shop=shop) | sections)


def _two(*rows: Row, source: str = "Second", **sections: Any) -> Studio:
    more: Row = {
        "source": source,
        "furnace": {"meter_kind": "No meter"},
        "day_kinds": [{"use": 90.0}, {"use": 55.0}, {"use": 50.0}, {"use": 35.0}],
        "log": [{"date": "2025-03-05", "kind": "Charge", "days": 6, "charges": 3, "weight": 60.0}],
    }
    pieces = [PIECES[0], {**PIECES[1], "furnace": "Furnace 2"}, PIECES[2]]
    return Studio.model_validate(_plain(*rows) | {"more_furnaces": [more], "pieces": pieces} | sections)


def _plain(*rows: Row, shop: Row | None = None) -> Row:
    return {
        "shop": {"minutes_a_day": 240.0, "share_drawn": 0.8, **(shop or {})},
        "furnace": {"meter_kind": "No meter"},
        "day_kinds": [{"use": 140.0}, {"use": 100.0}, {"use": 90.0}, {"use": 60.0}],
        "tariffs": [{"start": date(2025, 1, 1), "price": 0.2}],
        "log": [
            {"date": "2025-03-01", "kind": "Charge", "days": 10, "charges": 10, "weight": 500.0, "gathers": 400.0},
            {"kind": "Idle", "days": 10},
        ],
        "people": [{"rate": 30.0}],
        "channels": [{"name": "Own shop", "margin": 0.5, "must_earn": "Yes"}],
        "pieces": PIECES,
        "bills": BILLS,
        "machines": [without_blanks(row) for row in rows],
    }


def _strange() -> Studio:
    """What only a sheet can hold: names that are not on the list, and one that is in other letters."""
    studio = _studio(HOLE, BOX)
    words = ("Forge", "ANNEALER")
    # A studio file with such a word is refused, so the word is put in after it was read.
    rows = tuple(
        Machine.model_copy(row, update={"feeds": word}) for row, word in zip(studio.machines, words, strict=True)
    )
    return studio.model_copy(update={"machines": rows})
