"""What the owner knows, beyond the log, for the decisions about the furnace."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from meltbook.studio.base import Amount, Part, Share, Text

WeibullShape = Annotated[float, Field(ge=0.2, le=20)]
"""How lives spread: at 1 a pot fails as easily new as old; above 1 an old one fails more easily."""


class Decisions(Part):
    """All of it may stay blank: the log and the ledger then stand in, or the sheet says what is missing.

    Energy is in kWh and days are days of the furnace. ``gap_days`` runs from the last use to the next one,
    cooling and heating up inside. ``pot_kind`` names a kind of part; blank is the first.
    """

    pot_kind: Text | None = None
    gap_days: Amount | None = None
    idle_day_typed: Amount | None = None
    cooling_days: Amount | None = None
    cooling_use: Amount | None = None
    heatup_days_typed: Amount | None = None
    heatup_use_typed: Amount | None = None
    crack_chance: Share | None = None
    glass_worth: Amount | None = None
    cold_labour: Amount | None = None
    day_value: Amount | None = None
    saving_share: Share | None = None
    full_charge: Amount | None = None
    shape_typed: WeibullShape | None = None
    planned_typed: Amount | None = None
    repair_cost: Amount | None = None
    lost_days: Amount | None = None
