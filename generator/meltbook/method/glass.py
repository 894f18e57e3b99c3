"""Raw glass: which one was charged when, how much of it, and at what price."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import opt, total
from meltbook.method.energy import FurnaceLog, LogDay
from meltbook.studio.shop import Glass


@dataclass(slots=True)
class GlassUse:
    """A raw glass, and how much of it was charged."""

    typed: Glass
    glass_price_known: float
    glass_used_weight: float = 0.0
    glass_window_weight: float = 0.0


def charge_glass(log: FurnaceLog, typed: Sequence[Glass], prepared: int) -> list[GlassUse]:
    """Give each charged weight the price of its glass. A weight without a name is the first glass."""
    rows = [*typed, *(Glass() for _ in range(prepared - len(typed)))]
    glasses = [GlassUse(row, opt(row.price)) for row in rows]
    places = glass_places(glasses)
    for day in log.rows:
        if day.row_kind and day.typed.weight is not None:
            day.row_glass = places.get(day.typed.glass, 0) if day.typed.glass else 1
            if day.row_glass:
                day.glass_charged_cost = day.weight * glasses[day.row_glass - 1].glass_price_known
    return glasses


def glass_places(glasses: Sequence[GlassUse]) -> dict[str, int]:
    """The row of each glass by its name; where a name stands twice, the first counts."""
    places: dict[str, int] = {}
    for number, glass in enumerate(glasses, start=1):
        if glass.typed.name:
            places.setdefault(glass.typed.name, number)
    return places


def weigh_glasses(glasses: Sequence[GlassUse], measured: Sequence[LogDay], low: int, high: int) -> None:
    """How much of each glass the measured rows charged, ever and between two days."""
    ever: dict[int, list[float]] = defaultdict(list)
    lately: dict[int, list[float]] = defaultdict(list)
    for row in measured:
        ever[row.row_glass].append(row.weight)
        if low <= row.first_day <= high:
            lately[row.row_glass].append(row.weight)
    for number, glass in enumerate(glasses, start=1):
        glass.glass_used_weight = total(ever[number])
        glass.glass_window_weight = total(lately[number])
