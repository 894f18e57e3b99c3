"""Bills from the utility against the log: how much of what was billed the owner knows of.

The log knows of stretches, a bill of days. So the energy of each measured row is dealt out to its days, alike to
each, and a bill is owed the days from its first to its last. That is one pass over days; the workbook gets to the
same by what had been used before a day. What those four cells show is worked out besides, row by row.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, dflt, flag, half_up, maybe_serial, nearest, over, total
from meltbook.method.constants import CLOSENESS, DAYS_IN_YEAR
from meltbook.method.energy import FurnaceLog, LogDay
from meltbook.method.machines import BilledUse
from meltbook.studio.bills import BillRow

UNEXPLAINED = 0.1
"""May stay unexplained where the owner says nothing: lights, fans, tools."""

ROWS_WAIT = "Rows of the log wait for a reading"
LOG_ENDS = "Log ends before this bill does"
EXPLAINED = "Explained"
MORE_BILLED = "More billed than you know of"
MORE_COUNTED = "You count more than was billed"


@dataclass(slots=True)
class Waited:
    """What all furnaces on a bill's source used in its days, and their rows that wait for a reading."""

    all_bill_furnace: Maybe = None
    all_bill_waiting: int | None = None
    all_bill_unlogged: int | None = None


@dataclass(slots=True)
class BillsOfAll:
    """The logs of several furnaces, each with its source."""

    logs: Sequence[tuple[str, FurnaceLog]]
    two: bool
    """Whether the bills are those of two sources."""

    def on(self, source: str | None) -> list[FurnaceLog]:
        """The logs of the furnaces on a source; the first where none is named, or there is no second."""
        if not any(theirs == "Second" for theirs, _ in self.logs):
            return [log for _, log in self.logs]
        return [log for theirs, log in self.logs if theirs == (source or "First")]


@dataclass(slots=True)
class Bill:
    """One bill. All is blank until both its days and its use are there, in order."""

    typed: BillRow
    bill_given: int = 0
    bill_close: int | None = None
    bill_before_rows: Maybe = None
    bill_before_days: Maybe = None
    bill_until_rows: Maybe = None
    bill_until_days: Maybe = None
    bill_furnace: Maybe = None
    bill_estimate_used: Maybe = None
    bill_known: Maybe = None
    bill_unexplained: Maybe = None
    bill_share: Maybe = None
    bill_waiting: int | None = None
    bill_unlogged: int | None = None
    bill_counted: int = 0
    bill_verdict: str | None = None
    bill_side: str | None = None
    bill_word: str | None = None
    together: Waited | None = None


@dataclass(slots=True)
class Together:
    """All bills of a source, or of the only one."""

    bills_given: int
    bills_in: int
    bills_left: int
    bills_use: Maybe = None
    bills_furnace: Maybe = None
    bills_known: Maybe = None
    bills_share: Maybe = None
    bills_percent: int | None = None
    bills_main: str | None = None
    bills_out: str | None = None
    bills_sentence: str | None = None


@dataclass(slots=True)
class Allowed:
    """What may stay unexplained, as it is used."""

    unexplained_used: float


@dataclass(slots=True)
class Bills:
    """All bills, one by one and together; ``second`` are those of the second source, if there is one."""

    rows: list[Bill]
    allowed: Allowed
    first: Together
    second: Together | None = None


def check_bills(
    typed: Sequence[BillRow],
    prepared: int,
    log: FurnaceLog,
    limit: Maybe,
    machines: Mapping[str, BilledUse],
    of_all: BillsOfAll | None = None,
) -> Bills:
    """Hold every bill against the log, or all logs, and the machines of its source.

    ``limit`` is the share that may stay unexplained.
    """
    allowed = dflt(limit, UNEXPLAINED)
    blank = BillRow()
    rows = [Bill(typed[at] if at < len(typed) else blank) for at in range(max(prepared, len(typed)))]
    if of_all:
        for bill in rows:
            bill.together = Waited()
    held = [bill for bill in rows if _hold_against(bill, log.rows, allowed, machines, of_all)]
    if of_all is None or not of_all.two:
        return Bills(rows, Allowed(allowed), _together(held, "all that was billed"))
    # What the second source bills is of another unit, and belongs in no sum with the first one's.
    of_second = [bill for bill in held if bill.typed.source == "Second"]
    of_first = [bill for bill in held if bill.typed.source != "Second"]
    return Bills(
        rows,
        Allowed(allowed),
        _together(of_first, "what the first source billed"),
        _together(of_second, "what the second source billed"),
    )


def _together(bills: Sequence[Bill], billed: str) -> Together:
    """What all of these bills come to, without those that reach past the log: nobody knows what their days used."""
    counted = [bill for bill in bills if bill.bill_counted]
    left = len(bills) - len(counted)
    found = Together(len(bills), len(counted), left)
    if counted:
        found.bills_use = total(bill.typed.use for bill in counted)
        found.bills_furnace = total(
            bill.together.all_bill_furnace if bill.together else bill.bill_furnace for bill in counted
        )
        found.bills_known = total(bill.bill_known for bill in counted)
        explained = over(found.bills_known, found.bills_use)
        if explained is not None:
            found.bills_share = 1 - explained
            percent = found.bills_percent = nearest(100 * explained)
            found.bills_main = (
                f"You count {percent} % of {billed}." if percent > 100 else f"Of {billed} you know of {percent} %."
            )
    if left:
        found.bills_out = f"{'1 bill is' if left == 1 else f'{left} bills are'} left out: the log ends before."
    if bills:
        found.bills_sentence = " ".join(filter(None, (found.bills_main, found.bills_out))) or None
    return found


def _hold_against(
    bill: Bill, log: Sequence[LogDay], allowed: float, machines: Mapping[str, BilledUse], of_all: BillsOfAll | None
) -> bool:
    first, last, billed = maybe_serial(bill.typed.start), maybe_serial(bill.typed.end), bill.typed.use
    if first is None or last is None or billed is None or last < first:
        return False
    bill.bill_given, bill.bill_close = 1, last + 1
    bill.bill_before_rows, bill.bill_before_days = _used_before(first, log)
    bill.bill_until_rows, bill.bill_until_days = _used_before(last + 1, log)
    bill.bill_furnace, bill.bill_waiting = used, waiting = _in_days(log, first, last)
    bill.bill_unlogged = unlogged = _past(log, first, last)
    if of_all and bill.together:
        rows = [row for theirs in of_all.on(bill.typed.source) for row in theirs.rows]
        used, waiting = _in_days(rows, first, last)
        unlogged = sum(_past(theirs.rows, first, last) for theirs in of_all.on(bill.typed.source))
        bill.together.all_bill_furnace, bill.together.all_bill_waiting = used, waiting
        bill.together.all_bill_unlogged = unlogged
    bill.bill_counted = flag(unlogged == 0)
    bill.bill_estimate_used = _estimate(bill.typed, last - first + 1, machines)
    bill.bill_known = total((used, bill.typed.metered, bill.bill_estimate_used))
    bill.bill_unexplained = billed - bill.bill_known
    bill.bill_share = over(bill.bill_unexplained, billed)
    if bill.bill_share is not None:
        # Nothing left over is no side: what rounding leaves of it must not tip the word one way or the other.
        bill.bill_side = MORE_BILLED if half_up(bill.bill_share, 6) > 0 else MORE_COUNTED
        bill.bill_verdict = EXPLAINED if abs(bill.bill_share) <= allowed + CLOSENESS else bill.bill_side
        bill.bill_word = ROWS_WAIT if waiting else LOG_ENDS if unlogged else bill.bill_verdict
    return True


def _estimate(row: BillRow, days: int, machines: Mapping[str, BilledUse]) -> float:
    """What all else is thought to have used: as typed, else the machines' part of a year.

    What meters of other equipment counted is a part of the bill already, so machines with a meter are left out then.
    """
    if row.estimated is not None:
        return row.estimated
    theirs = machines.get(row.source or "First", machines["First"])
    a_year = theirs.everything if row.metered is None else theirs.unmetered
    return a_year / DAYS_IN_YEAR * days


def _in_days(log: Sequence[LogDay], first: int, last: int) -> tuple[float, int]:
    """The furnace's energy from the first day to the last, and how many rows in them wait for a reading."""
    used = total(a_day for row in log for a_day in _day_by_day(row, first, last))
    return used, sum(_waits(row, first, last) for row in log)


def _past(log: Sequence[LogDay], first: int, last: int) -> int:
    """How many days of a bill lie after the last one logged."""
    logged = max((row.next_day for row in log), default=0) - 1
    return max(0, last - max(logged, first - 1))


def _day_by_day(row: LogDay, first: int, last: int) -> Iterator[float]:
    """The furnace's energy on each day that a row and a bill share."""
    if row.row_measured:
        for _ in range(max(first, row.first_day), min(last + 1, row.first_day + row.row_days)):
            yield row.energy_used / row.row_days


def _used_before(day: int, log: Sequence[LogDay]) -> tuple[float, float]:
    """What had been used when a day began: by rows that had ended, and by the days gone of rows under way."""
    ended, under_way = [], []
    for row in log:
        if not (row.row_measured and row.row_days):
            continue
        gone = day - row.first_day
        if gone >= row.row_days:
            ended.append(row.energy_used)
        elif gone > 0:
            under_way.append(row.energy_used / row.row_days * gone)
    return total(ended), total(under_way)


def _waits(row: LogDay, first: int, last: int) -> bool:
    """A row with a day in the bill whose energy isn't known yet."""
    return bool(
        row.row_kind and row.row_days and not row.row_measured and row.first_day <= last and row.next_day > first
    )
