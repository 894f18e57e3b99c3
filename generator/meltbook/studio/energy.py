"""The furnace's energy: how it is metered, and the log of its days."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal

from pydantic import Field

from meltbook.studio.base import ELECTRIC, Amount, DayKind, Part, Share, Text, Whole

MeterKind = Literal["Hour meter", "kWh meter", "Gas meter", "No meter"]
HeatIn = Literal["kWh", "MJ", "Btu", "therm (US)"]
Days = Annotated[int, Field(ge=0, le=3660)]
"""The days of one row: ten years at the most. More was meant as something else, and would run past all calendars."""


def fitting_meter(energy_unit: str) -> MeterKind:
    """The kind of meter to begin with: gas is read from a gas meter. Gas billed in kWh can't be told from its unit."""
    return "Hour meter" if energy_unit == ELECTRIC else "Gas meter"


class Furnace(Part):
    """One furnace: its meter, its connected load and how its days share a reading.

    Connected kW is taken from the first of these that is complete: ``connected_kw`` as typed; amps, volts and
    phases as a licensed electrician measured them; the nameplate with the supply's volts. ``billing_factor`` is how
    many of the tariff's units one count of a kWh or gas meter is; ``heat_content`` the heat of one of those units.
    """

    meter_kind: MeterKind = "Hour meter"
    opening_reading: Amount | None = None
    billing_factor: Amount | None = None
    heat_content: Amount | None = None
    heat_content_in: HeatIn | None = None
    heat_content_on: dt.date | None = None
    connected_kw: Amount | None = None
    measured_amps: Amount | None = None
    measured_volts: Amount | None = None
    measured_phases: Literal[1, 3] | None = None
    measured_on: dt.date | None = None
    nameplate_kw: Amount | None = None
    nameplate_volts: Amount | None = None
    supply_volts: Amount | None = None
    cullet_share: Share | None = None
    furnace_purchase: Amount | None = None
    furnace_worth_end: Amount | None = None
    furnace_life: Amount | None = None
    furnace_maintenance: Amount | None = None


class DayKindRow(Part):
    """How one kind of day shares a reading, and what it uses where there is no meter. Six rows, in order."""

    weighting: Amount | None = None
    use: Amount | None = None


class LogRow(Part):
    """A stretch of furnace days of one kind. An empty row is allowed and stays empty."""

    date: dt.date | None = None
    kind: DayKind | None = None
    days: Days | None = None
    charges: Whole | None = None
    reading: Amount | None = None
    new_kw: Amount | None = None
    weight: Amount | None = None
    glass: Text | None = None
    gathers: Amount | None = None
    note: Text | None = None
