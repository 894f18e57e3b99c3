"""Studios whose ledger holds lives of pots that a test chooses, to the last use."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

LONG_AGO, SOON_AFTER = "2001-01-01", "2001-02-01"
"""Parts that came and went before the log: their life is what was typed as uses before it."""

LEDGERS = Capacity(log=30, tariffs=4, ledger=40, part_kinds=3, glasses=2, overheads=3, pieces=2, campaigns=3)
LONG_LEDGER = Capacity(log=30, tariffs=4, ledger=210, part_kinds=3, glasses=2, overheads=3, pieces=2, campaigns=3)


def pot_studio(
    failed: Sequence[float],
    others: Sequence[float] = (),
    serving: float | None = None,
    life: float = 130.0,
    **known: Any,
) -> Studio:
    """A studio with pots that failed, pots that were taken out in time, and one in service.

    ``life`` is the kind's expected one. ``known`` goes to the decisions; a planned change costs 1000 unless it says
    otherwise.
    """
    gone = {"name": "Pot", "installed": LONG_AGO, "retired": SOON_AFTER, "cost": 900.0}
    ledger: list[dict[str, Any]] = [
        gone | {"uses_before": float(life), "why": "Cracked" if at % 2 else "Leaking"} for at, life in enumerate(failed)
    ]
    ledger += [
        gone | {"uses_before": float(life), "why": ("Planned", "Other")[at % 2]} for at, life in enumerate(others)
    ]
    if serving is not None:
        ledger.append({"name": "Pot", "installed": "2026-01-18", "cost": 950.0, "uses_before": float(serving)})
    return Studio.model_validate(
        {
            "furnace": {"meter_kind": "No meter"},
            "day_kinds": [{"use": 210.0}, {"use": 240.0}, {"use": 190.0}, {"use": 150.0}],
            "tariffs": [{"start": "2020-01-01", "price": 0.14}],
            "log": [
                {"date": "2026-01-01", "kind": "Heat-up", "days": 4},
                {"kind": "Charge", "days": 6, "charges": 6, "weight": 720.0},
                {"kind": "Blow", "days": 3},
                {"kind": "Idle", "days": 5},
            ],
            "part_kinds": [{"name": "Pot", "basis": "Charges", "life": life}],
            "ledger": ledger,
            "decisions": {"planned_typed": 1000.0, "repair_cost": 400.0, "lost_days": 6.0, "day_value": 90.0} | known,
        }
    )


def lives(count: int, seed: int = 1) -> Iterator[tuple[list[float], list[float]]]:
    """Failed lives and others, of many shapes, sizes and shares: the same ``count`` ledgers every time."""
    source = random.Random(seed)
    for _ in range(count):
        shape = source.choice((0.7, 1.0, 1.5, 2.0, 2.5, 3.5, 5.0))
        scale = source.choice((40.0, 90.0, 150.0, 600.0))
        limit = scale * source.choice((0.6, 1.0, 1.6, 5.0))
        drawn = [source.weibullvariate(scale, shape) for _ in range(source.randrange(5, 37))]
        failed = [float(max(1, round(life))) for life in drawn if life <= limit]
        yield failed, [float(round(limit))] * (len(drawn) - len(failed))
