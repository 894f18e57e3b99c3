"""Days that are logged already although the letter holds from them on, and what it changes on them.

The log is not rewritten by a letter that is only typed on New tariff. These columns say what would happen to its
rows once the letter is taken over: only the days on or after its start count, and those before another letter
takes over from it. Rows that wait for a reading have no energy yet, so they are counted apart.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Shape
from meltbook.fields.words import amount_words


def log_columns() -> tuple[Figure, ...]:
    """The log's columns about the letter."""
    return (
        Figure(
            "late_days",
            "Days under the letter",
            Shape.DAYS,
            note="Days of the row on which the letter on {New tariff} holds.",
            formula="IF(OR(row_kind=0,row_days=0,letter_given=0),0,"
            "MAX(0,MIN(first_day+row_days,letter_until)-MAX(first_day,letter_start)))",
        ),
        Figure(
            "late_change",
            "Change by the letter",
            Shape.MONEY,
            unit="{currency}",
            note="The energy of those days × the change in the all-in price.",
            formula="IF(AND(row_measured=1,late_days>0),energy_used/row_days*late_days*letter_difference,0)",
        ),
    )


def scalars() -> tuple[Figure, ...]:
    """How many rows, and what the letter changes on them."""
    return (
        Figure(
            "letter_difference",
            "Change in the all-in price",
            Shape.RATE,
            unit="{currency}/{energy}",
            note="The new all-in price less the one before; 0 without a letter.",
            formula="SUM(new_all_in)-SUM(base_all_in)",
        ),
        Figure(
            "late_rows",
            "Rows logged and read",
            Shape.COUNT,
            note="Measured rows of the log with days on or after the letter's date.",
            formula='COUNTIFS(late_days.all,">0",row_measured.all,1)',
            nonzero=("letter_given",),
        ),
        Figure(
            "late_waiting",
            "Rows logged, not read yet",
            Shape.COUNT,
            note="More rows with such days, which wait for a reading: their change isn't known yet.",
            formula='COUNTIFS(late_days.all,">0",row_measured.all,0)',
            nonzero=("letter_given",),
        ),
        Figure(
            "late_energy",
            "Their energy changes by",
            Shape.MONEY,
            unit="{currency}",
            note="What the measured rows will cost more or less once the letter is taken over.",
            formula="SUM(late_change.all)",
            nonzero=("letter_given",),
        ),
        Figure(
            "late_standing",
            "Their service and demand by",
            Shape.MONEY,
            unit="{currency}",
            note="The same for the charges by the day.",
            formula="SUMIFS(late_days.all,row_measured.all,1)*(new_standing-base_standing)",
            needs=("new_standing",),
        ),
        *_words(),
    )


def _words() -> tuple[Figure, ...]:
    return (
        Figure(
            "late_logged",
            "Rows logged, read or not",
            Shape.COUNT,
            note="Both together.",
            formula="late_rows+late_waiting",
            needs=("late_rows",),
        ),
        Figure(
            "late_words",
            "Their change in words",
            Shape.TEXT,
            note="With two digits behind the point.",
            formula=amount_words("late_energy"),
            needs=("late_energy",),
        ),
        Figure(
            "late_waits",
            "Those that wait, in words",
            Shape.TEXT,
            note="Blank if none waits.",
            formula='IF(late_waiting=1," 1 of them waits"," "&late_waiting&" of them wait")&" for a reading."',
            needs=("late_waiting",),
            nonzero=("late_waiting",),
        ),
        Figure(
            "late_note",
            "Rows logged already",
            Shape.TEXT,
            note="How many rows the letter reaches back to.",
            formula='IF(late_logged=1,"1 row is",late_logged&" rows are")&" already logged from that day on: '
            'their energy changes by "&late_words&"."&late_waits',
            needs=("late_logged",),
            nonzero=("late_logged",),
        ),
    )
