"""What all parts of a studio share: strictness, and words that the owner chooses from."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

YesNo = Literal["Yes", "No"]
DayKind = Literal["Heat-up", "Charge", "Blow", "Idle", "Cold", "New meter"]
WeightUnit = Literal["lb", "kg"]
ELECTRIC = "kWh"


def plain_unit(unit: object) -> object:
    """A unit of energy as meltbook spells it, from what a keyboard without small raised figures has: m3, ft3."""
    return _KEYBOARD.get(unit.strip().casefold(), unit) if isinstance(unit, str) else unit


_KEYBOARD = {"m3": "m³", "m^3": "m³", "ft3": "ft³", "ft^3": "ft³"}
EnergyUnit = Annotated[
    Literal["kWh", "therm (US)", "therm (EC)", "m³", "ft³", "Ccf", "litre", "kg"], BeforeValidator(plain_unit)
]
"""What the furnace's energy is billed in: electricity, gas by its heat or its volume, propane by volume or weight."""

Share = Annotated[float, Field(ge=0, le=1)]
"""A part of a whole, 0 to 1."""
Amount = Annotated[float, Field(ge=0, le=1e12, allow_inf_nan=False)]
"""A number that is never negative: money, weight, hours, energy."""
Signed = Annotated[float, Field(ge=-1e12, le=1e12, allow_inf_nan=False)]
Whole = Annotated[int, Field(ge=0, le=10**9)]
Text = Annotated[str, Field(max_length=300)]


class Part(BaseModel):
    """A part of a studio: plain values, no surprises. An unknown key is an error that names it."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, str_strip_whitespace=True)
