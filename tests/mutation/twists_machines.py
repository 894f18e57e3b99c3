"""Twists of machines: texts for numbers, parts of an hour, the last row, and equipment that is counted once."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutation.right import Cells, Right, Twist


def machine_side(right: Right) -> Iterator[Twist]:
    """All of them."""
    yield from _equipment()
    yield from _machines()
    yield from _last_row(right)


def _equipment() -> Iterator[Twist]:
    none: Cells = {"equipment_detail.1": 0, "equipment_minute.1": 0, "equipment_load.1": 0}
    yield Twist({"equipment_cost.1": "some", **none}, {"equipment_counted.1": None, "equipment_known.1": 0})
    half: Cells = {"minutes_a_day": 0.5, "equipment_cost.2": None, "equipment_cost.3": None}
    yield Twist({"equipment_per.1": "Day", "equipment_cost.1": 6, **half}, {"pair_other.138": 12})
    # Machines that count, of which none is ready, are not the day's cost that is typed.
    cells: Cells = {"equipment_per.1": "Day", "equipment_detail.1": 1, "equipment_detail_ready.1": 0}
    for row in (1, 2, 3):
        cells |= {f"equipment_driven_minute.{row}": 0, f"equipment_driven_load.{row}": 0, f"equipment_minute.{row}": 0}
    yield Twist({**cells, "equipment_minute.1": 5}, {"pair_one.143": 0})


def _machines() -> Iterator[Twist]:
    owned: Cells = {"machine_name.1": "A", "machine_purchase.1": 100, "machine_life.1": 0.5}
    yield Twist({**owned, "machine_cost.1": 0, "machine_minute.1": 0, "machine_load.1": 0}, {"machine_ready.1": 1})
    load: Cells = {"machine_name.1": "A", "machine_way.1": 3, "machine_feeds_row.1": 1, "machine_per.1": "Hour"}
    yield Twist({**load, "machine_runs.1": 10, "machine_hours.1": 0.5}, {"machine_turns.1": 20})
    rest = dict.fromkeys((f"machine_{name}.1" for name in ("runs", "purchase", "worth_end", "upkeep")), None)
    yield Twist({**rest, "machine_life.1": "long"}, {"machine_typed_own.1": 1})


def _last_row(right: Right) -> Iterator[Twist]:
    rows = right.rows("machine_named")
    last = rows[-1]
    named: Cells = {f"machine_named.{row}": 0 for row in rows}
    asked: Cells = {f"machine_feeds.{last}": "Kiln", f"machine_feeds_row.{last}": 0, f"machine_named.{last}": 1}
    yield Twist(named | asked, {"machines_unknown": 1})
    cells: Cells = {}
    for row in rows:
        ready = row == last
        cells |= {
            f"machine_no_life.{row}": 0 if ready else 1,
            f"machine_cost.{row}": 0 if ready else None,
            f"machine_minute.{row}": 0,
            f"machine_load.{row}": 0,
        }
    yield Twist(cells, {"pair_other.160": 1})
