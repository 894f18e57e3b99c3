"""Rows of the log that a new letter reaches back to: days on or after its first day that are logged already.

They are priced at the tariff that was known when they were logged. Once the letter is taken over they cost
more or less, and this chapter says by how much. Rows before the letter's first day never change.
"""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, in_words, plus, times, total
from meltbook.method.energy import FurnaceLog
from meltbook.method.letter import LetterRates


@dataclass(slots=True)
class Late:
    """How many rows lie under the letter, and what it changes for them."""

    late_rows: int | None = None
    late_waiting: int | None = None
    late_logged: int | None = None
    late_energy: Maybe = None
    late_standing: Maybe = None
    late_words: str | None = None
    late_waits: str | None = None
    late_note: str | None = None


def mark_late(log: FurnaceLog, letter: LetterRates) -> Late:
    """Count the days of every row that the letter would hold, and reprice them."""
    late = Late()
    if letter.reign is None:
        return late
    for row in log.rows:
        if row.row_kind:
            days = range(row.first_day, row.first_day + row.row_days)
            row.late_days = len(_common(days, letter.reign))
        if row.late_days and row.row_measured and letter.row is not None:
            a_day = row.energy_used / row.row_days
            row.late_change = a_day * row.late_days * letter.letter_difference

    reached = [row for row in log.rows if row.late_days]
    measured = [row for row in reached if row.row_measured]
    late.late_rows = len(measured)
    late.late_waiting = len(reached) - len(measured)
    late.late_logged = len(reached)
    late.late_energy = total(row.late_change for row in measured)
    a_day_more = plus(letter.new_standing, times(-1, letter.base_standing))
    late.late_standing = times(sum(row.late_days for row in measured), a_day_more)
    late.late_words = in_words(late.late_energy)
    late.late_waits = _waits(late.late_waiting)
    if reached:
        late.late_note = f"{_logged(len(reached))} by {late.late_words}.{late.late_waits or ''}"
    return late


def _common(one: range, other: range) -> range:
    return range(max(one.start, other.start), min(one.stop, other.stop))


def _logged(rows: int) -> str:
    subject = "1 row is" if rows == 1 else f"{rows} rows are"
    return f"{subject} already logged from that day on: their energy changes"


def _waits(rows: int) -> str | None:
    if rows == 0:
        return None
    return " 1 of them waits for a reading." if rows == 1 else f" {rows} of them wait for a reading."
