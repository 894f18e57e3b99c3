"""The first steps with one furnace: what its meter asks for, its first days, its opening reading."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import flag, opt
from meltbook.method.called import Called
from meltbook.method.checks import charged_with_weight
from meltbook.method.constants import NO_METER
from meltbook.method.energy import FurnaceLog
from meltbook.method.melt import Melt
from meltbook.studio.energy import Furnace

METER_PLACES = {"Hour meter": 1, "kWh meter": 2, "Gas meter": 3, "No meter": 4}
"""The place of each kind of meter in the list of what they ask for."""


@dataclass(slots=True)
class FirstSteps:
    """Each step in words, and 1 where it is done."""

    meter_row: int
    meter_step: str
    meter_done: int
    charge_done: int
    reading_step: str
    reading_done: int
    opening_step: str
    opening_done: int

    @property
    def all_done(self) -> bool:
        """Whether the furnace is on its way."""
        return all((self.meter_done, self.charge_done, self.reading_done, self.opening_done))

    @property
    def log_waits(self) -> str | None:
        """What the log waits for once a charge is in it."""
        return self.reading_step if self.charge_done and not self.reading_done else None

    @property
    def waits(self) -> str | None:
        """What the furnace waits for, if it can be said without its name."""
        if not self.meter_done:
            return self.meter_step
        return self.log_waits if self.opening_done else self.opening_step


def first_steps(furnace: Furnace, log: FurnaceLog, melt: Melt, sheets: Called) -> FirstSteps:
    """How far the owner has come with a furnace."""
    place = METER_PLACES[furnace.meter_kind]
    without = log.meter.meter_code == NO_METER
    gas = furnace.meter_kind == "Gas meter"
    asks = {
        "Hour meter": f"Type the connected kW on {sheets.meter}, under The furnace and its meter",
        "kWh meter": "Nothing to type for a kWh meter: no kW is needed",
        "Gas meter": f"Type the billing factor (1 if there is none) on {sheets.meter}, under The furnace and its meter",
        "No meter": f"Type the use of a day of each kind on {sheets.meter}, under How days share a reading",
    }
    return FirstSteps(
        meter_row=place,
        meter_step=asks[furnace.meter_kind],
        meter_done=flag(furnace.billing_factor is not None) if gas else log.meter.energy_known,
        charge_done=flag(charged_with_weight(log)),
        reading_step=(
            f"Log the days after it on {sheets.log}, too"
            if without
            else f"Log an Idle day, or any later row, with the meter's reading on {sheets.log}"
        ),
        reading_done=flag(opt(melt.all_time.period_rows) > 0 and opt(melt.all_time.period_weight) > 0),
        opening_step=(
            "No opening reading is needed without a meter"
            if without
            else f"Type the opening reading on {sheets.meter}, under The furnace and its meter (new: 0)"
        ),
        opening_done=flag(without or furnace.opening_reading is not None),
    )
