"""How much heat a unit of the furnace's energy holds."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, times
from meltbook.studio.energy import Furnace

KWH_BILLED = {"kWh": 1.0, "therm (US)": 105_480_400 / 3_600_000, "therm (EC)": 105_506_000 / 3_600_000}
"""Units that are heat themselves (NIST SP 811). All others are a volume or a weight of some gas."""
KWH_TYPED = {
    "kWh": 1.0,
    "MJ": 1 / 3.6,
    "Btu": 1055.05585262 / 3_600_000,
    "therm (US)": 105_480_400 / 3_600_000,
}
"""Units that a bill may give the heat content in."""


@dataclass(frozen=True, slots=True)
class HeatOfUnit:
    """``heat_in_unit``: kWh in a unit billed; ``None`` for a volume or weight whose heat content isn't typed."""

    heat_factor: float
    heat_in_unit: Maybe


def heat_of(furnace: Furnace, unit: str) -> HeatOfUnit:
    """The heat in one unit that the furnace's energy is billed in."""
    factor = KWH_TYPED[furnace.heat_content_in or "kWh"]
    return HeatOfUnit(factor, KWH_BILLED.get(unit) or times(furnace.heat_content, factor))
