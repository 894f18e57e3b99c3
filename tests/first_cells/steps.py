"""The first cells that an owner types into a blank book, one after the other, and what should be seen then."""

from __future__ import annotations

from typing import NamedTuple

from meltbook.fields.start import ALL_DONE

Typed = float | str


class Step(NamedTuple):
    """One cell, and the number of the step that Start then says comes next."""

    place: str
    value: Typed
    next_step: int


NEW_YEAR = 46023
"""2026-01-01 as a day number."""

CHECKS_FIRST = 0
"""In place of a step: a row is typed by half, and Checks says what it lacks."""

COST_OF_GLASS = (
    Step("connected_kw", 12.0, 2),
    Step("tariff_price.1", 0.15, 3),
    Step("log_kind.1", "Charge", CHECKS_FIRST),
    Step("log_date.1", NEW_YEAR, 3),
    Step("log_days.1", 4.0, 3),
    Step("log_charges.1", 4.0, 3),
    Step("log_weight.1", 200.0, 4),
    Step("log_kind.2", "Idle", 4),
    Step("log_days.2", 2.0, 4),
    Step("log_reading.2", 90.0, 5),
)
"""Ten cells. 90 hours × 12 kW = 1,080 kWh; × 0.15 = 162; ÷ 200 lb = 0.81 a pound."""

FIRST_TAG = (
    Step("piece_name.1", "Cup", 5),
    Step("piece_drawn.1", 1.5, 5),
    Step("piece_minutes.1", 20.0, 6),
    Step("person_rate.1", 30.0, 7),
)
"""Four more. 1.5 lb × 0.81 = 1.215 and 20 minutes of 30 an hour = 10: 11.215; at half of it for margin a tag
of 22.43, which goes up to 23.
"""

COMPLETE = (
    Step("opening_reading", 0.0, 8),
    Step("overhead_amount.1", 0.0, 8),
    Step("piece_loss.1", 0.0, 8),
    Step("equipment_cost.2", 0.0, 8),
    Step("wear_counted", "None", 8),
    Step("glass_price.1", 0.8, 8),
    Step("furnace_purchase", 0.0, 9),
)
"""The meter was new; what is not counted, set to none, and the price of the glass: 1.5 lb × 0.80 = 1.20 more, 12.415
in all; a tag of 24.83, which goes up to 25.
"""

ALL = (*COST_OF_GLASS, *FIRST_TAG, *COMPLETE)

STEPS = (
    "Type the connected kW on Shop, under The furnace and its meter",
    "Type the unit price on Tariffs",
    "Log a Charge day with its weight on Furnace log",
    "Log an Idle day, or any later row, with the meter's reading on Furnace log",
    "Type a piece, its glass and its bench minutes on Pieces",
    "Type the gaffer's hourly rate on Shop, under People",
    "Type the opening reading on Shop, under The furnace and its meter (new: 0)",
    "Type, or set to 0, what is not counted yet; see What each costs",
)


def says(step: int) -> str:
    """What Start says comes next."""
    if step == CHECKS_FIRST:
        return 'Look at Checks, the line "Dates in the log run on"'
    return STEPS[step - 1] if step <= len(STEPS) else ALL_DONE


MISSING = ("rent", "losses", "annealing", "wear", "raw glass", "ownership")
"""What the first tag does not hold, in the order in which the last six cells settle it but for the glass."""
