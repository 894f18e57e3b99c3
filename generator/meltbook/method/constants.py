"""The fixed numbers of the method, and the exact words that it writes."""

from __future__ import annotations

DAYS_IN_YEAR = 365
MONTHS_IN_YEAR = 12
HOURS_IN_DAY = 24
THREE_PHASE = 1.732
WATTS_IN_KILOWATT = 1000

FAR_DATE = 2958465
"""9999-12-31: no end yet."""
FAR_CAMPAIGN = 999999

# Heat of glass melt at 1300 °C above 25 °C, and what raw batch needs on top of it, in kJ per kg.
MELT_HEAT = 1523.8
BATCH_HEAT = 461.8
KILOJOULES_IN_KWH = 3600

LIVES_NEEDED = 3
"""So many parts of a kind must have been retired before their own lives say how long one lasts."""
JUMP_LIMIT = 3
"""A unit price that grows more than so many fold was probably typed in cents."""
ROWS_LOW = 20
"""With fewer free rows than this the log is nearly full."""
CLOSENESS = 0.000001
"""How near two routes to the same figure must come, as a share of it."""
TINY = 0.000000001
DEFAULT_TOLERANCE = 0.01
"""A margin may miss its target by one point before a new tariff asks for a new tag."""

HEAT_UP, CHARGE, BLOW, IDLE, COLD, NEW_METER = 1, 2, 3, 4, 5, 6
KINDS: tuple[str, ...] = ("Heat-up", "Charge", "Blow", "Idle", "Cold", "New meter")
HOT_KINDS = (HEAT_UP, CHARGE, BLOW, IDLE)
MIXED_KINDS = 9
"""Stands for "days of more than one kind" where the kind of a stretch is told."""

HOUR_METER, KWH_METER, NO_METER = 1, 2, 3

NO_TAG = "No tag can do it"
AT_A_LOSS = "At a loss"

FAULT_WORDS: tuple[str, ...] = (
    "Which kind of day is this?",
    "A number belongs here",
    "This glass is not on the Shop sheet",
    "A new kW goes on a New meter row",
    "A date belongs here",
)
FLOW_WORDS: tuple[str, ...] = (
    "The first row needs a date",
    "Starts before the row above ends",
    "Days are missing before this row",
    "Reading below the one before",
    "Read the old meter before the new one",
    "No tariff on this day yet",
    "How many charges were these days?",
    "Waiting for a reading",
    "More hours than these days have",
)
LETTER_WORDS: tuple[str, ...] = (
    "Type the letter: from when, and what changes.",
    "No tariff is in force on that day yet; type one that is.",
    "More than three times the price in force: was it typed in cents?",
    "The table of tariffs is full.",
    "A letter taken over has this date or a later one; see that the dates stay in order.",
)
