"""Pots, elements and what else wears out.

A part's uses are what the log counts between the day it was fitted and the day it came out. Once its life is
known, every use costs the same; the rows of the log pay that rate for each part that stood in the furnace on
their first day. Which parts those were changes only on the days when one comes or goes, so the log is priced
span by span.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import accumulate

from meltbook.method.arithmetic import Maybe, flag, maybe_serial, opt, over, total
from meltbook.method.constants import FAR_DATE, LIVES_NEEDED
from meltbook.method.energy import FurnaceLog
from meltbook.studio.model import Studio
from meltbook.studio.wear import LedgerRow, PartKind

CHARGES, HOT_DAYS, HEAT_UPS = 1, 2, 3
BASIS = {None: CHARGES, "Charges": CHARGES, "Hot days": HOT_DAYS, "Heat-ups": HEAT_UPS}
FAILED = ("Cracked", "Leaking")


@dataclass(slots=True)
class KindOfPart:
    """A kind of part, and what the ledger knows of it."""

    typed: PartKind
    kind_of_part_retired: int = 0
    kind_of_part_uses: float = 0.0
    kind_of_part_mean: Maybe = None
    kind_of_part_newest: float = 0.0
    kind_of_part_cost_used: float = 0.0
    kind_of_part_in_service: int = 0


@dataclass(slots=True)
class LedgerPart:
    """One part that was fitted. Rows that aren't used keep their zeros and blanks."""

    typed: LedgerRow
    kind: KindOfPart | None
    part_order: int
    part_kind_row: int
    part_used: int = 0
    part_tied: int = 0
    part_from: int = 0
    part_end: int = 0
    part_is_retired: int = 0
    part_basis_code: int = 0
    part_log_charges: float = 0
    part_log_days: float = 0
    part_log_starts: float = 0
    part_log_uses: float = 0
    part_uses: Maybe = None
    part_expected: Maybe = None
    part_life_used: Maybe = None
    part_rate: float = 0.0
    part_rate_charges: float = 0.0
    part_rate_days: float = 0.0
    part_rate_starts: float = 0.0
    part_unused_cost: float = 0.0
    part_used_up: Maybe = None
    part_left: Maybe = None
    part_lost_early: Maybe = None
    part_unknown: int = 0
    part_serving: int = 0
    part_newest: int = 0
    part_prices: int = 0
    part_now_rate: Maybe = None
    part_now_charges: float = 0.0
    part_now_days: float = 0.0
    part_now_starts: float = 0.0
    part_now_unknown: int = 0
    part_fault: int = 0


@dataclass(slots=True)
class Ledger:
    """All parts, all kinds of part."""

    kinds: list[KindOfPart]
    parts: list[LedgerPart]
    parts_used: int = 0
    wear_known: int = 0
    wear_now_known: int = 0
    lost_early_total: float = 0.0
    used: list[LedgerPart] = field(default_factory=list)


class _UsesByDay:
    """The log's charges, hot days and starts, ready to be summed between two days."""

    def __init__(self, log: FurnaceLog) -> None:
        rows = sorted((row for row in log.rows if row.row_kind), key=lambda row: row.first_day)
        self.days = [row.first_day for row in rows]
        self.charges = [0.0, *accumulate(float(row.row_charges) for row in rows)]
        self.hot_days = [0.0, *accumulate(float(row.row_hot_days) for row in rows)]
        self.starts = [0.0, *accumulate(float(row.row_starts) for row in rows)]

    def between(self, first: int, after: int) -> tuple[float, float, float]:
        low, high = bisect_left(self.days, first), bisect_left(self.days, after)
        if high <= low:
            return 0.0, 0.0, 0.0
        charges, hot_days, starts = (sums[high] - sums[low] for sums in (self.charges, self.hot_days, self.starts))
        return charges, hot_days, starts


def read_ledger(studio: Studio, log: FurnaceLog, prepared_kinds: int, prepared: int, today: int | None) -> Ledger:
    """Work out each part's life and rate, then what each kind costs now."""
    kinds = [KindOfPart(row) for row in studio.part_kinds]
    kinds += [KindOfPart(PartKind()) for _ in range(prepared_kinds - len(kinds))]
    known: dict[str, int] = {}
    for number, each in enumerate(kinds, start=1):
        if each.typed.name:
            known.setdefault(each.typed.name, number)

    rows = [*studio.ledger, *(LedgerRow() for _ in range(prepared - len(studio.ledger)))]
    parts = []
    for order, row in enumerate(rows, start=1):
        number = known.get(row.name, 0) if row.name else 0
        parts.append(LedgerPart(row, kinds[number - 1] if number else None, order, number))
    ledger = Ledger(kinds, parts)
    _count_ties(ledger)

    uses = _UsesByDay(log)
    for part in parts:
        _fit(part, uses, today)
    ledger.used = [part for part in parts if part.part_used]
    for number, kind in enumerate(kinds, start=1):
        _sum_up_kind(kind, [part for part in ledger.used if part.part_kind_row == number])
    for part in ledger.used:
        _share_cost(part)
        _cost_now(part)
    ledger.parts_used = len(ledger.used)
    unknown = sum(part.part_unknown for part in ledger.used)
    now_unknown = sum(part.part_now_unknown for part in ledger.used)
    ledger.wear_known = flag(bool(ledger.used) and unknown == 0)
    ledger.wear_now_known = flag(bool(ledger.used) and now_unknown == 0)
    ledger.lost_early_total = total(part.part_lost_early for part in parts)
    return ledger


def _count_ties(ledger: Ledger) -> None:
    """How many later rows would look just as new as each row: the same kind, fitted on the same day."""
    seen: Counter[tuple[int, int]] = Counter()
    for part in reversed(ledger.parts):
        fitted = maybe_serial(part.typed.installed) if part.part_kind_row else None
        key = (part.part_kind_row, fitted or 0)
        part.part_tied = seen[key]
        seen[key] += 1


def _fit(part: LedgerPart, uses: _UsesByDay, today: int | None) -> None:
    """When the part was in the furnace, and what it was used for meanwhile."""
    row = part.typed
    installed, retired = maybe_serial(row.installed), maybe_serial(row.retired)
    something = any(
        value is not None for value in (row.name or None, installed, retired, row.cost, row.uses_before, row.life)
    )
    wrong = part.kind is None or installed is None or row.cost is None or (retired is not None and retired < installed)
    part.part_fault = flag(something and wrong)
    if part.kind is None or installed is None:
        return
    part.part_used = 1
    part.part_from = installed
    part.part_end = FAR_DATE if retired is None else retired
    part.part_is_retired = flag(retired is not None)
    part.part_basis_code = BASIS[part.kind.typed.basis]
    counts = uses.between(part.part_from, part.part_end)
    part.part_log_charges, part.part_log_days, part.part_log_starts = counts
    part.part_log_uses = counts[part.part_basis_code - 1]
    part.part_uses = part.part_log_uses + opt(row.uses_before)
    part.part_serving = flag(today is not None and part.part_from <= today < part.part_end)


def _sum_up_kind(kind: KindOfPart, parts: Sequence[LedgerPart]) -> None:
    """How long parts of this kind last, which one is the newest, and which ones set the price."""
    kind.kind_of_part_retired = sum(part.part_is_retired for part in parts)
    kind.kind_of_part_uses = total(part.part_uses for part in parts)
    if kind.kind_of_part_retired >= LIVES_NEEDED:
        kind.kind_of_part_mean = kind.kind_of_part_uses / kind.kind_of_part_retired
    else:
        kind.kind_of_part_mean = kind.typed.life
    kind.kind_of_part_in_service = sum(part.part_serving for part in parts)
    newest = max(parts, key=lambda part: (part.part_from, part.part_order), default=None)
    if newest is not None:
        newest.part_newest = 1
        kind.kind_of_part_newest = opt(newest.typed.cost)
    now = kind.typed.cost_now
    kind.kind_of_part_cost_used = kind.kind_of_part_newest if now is None else now
    for part in parts:
        last_of_kind = part is newest and kind.kind_of_part_in_service == 0 and kind.typed.gone != "Yes"
        part.part_prices = flag(part.part_serving == 1 or last_of_kind)


def _share_cost(part: LedgerPart) -> None:
    """Spread what the part cost over its life, and say what was lost when it failed early."""
    row, uses = part.typed, opt(part.part_uses)
    assert part.kind is not None
    part.part_expected = part.kind.kind_of_part_mean if row.life is None else row.life
    if part.part_is_retired:
        part.part_life_used = uses
        part.part_unused_cost = opt(row.cost) if uses == 0 else 0.0
        used_share = over(uses, part.part_expected)
        if row.why in FAILED and used_share is not None:
            part.part_lost_early = opt(row.cost) * max(0.0, 1 - used_share)
    elif part.part_expected is not None:
        part.part_life_used = max(part.part_expected, uses)
        part.part_left = max(0.0, part.part_expected - uses)
    part.part_rate = opt(over(opt(row.cost), part.part_life_used))
    part.part_rate_charges, part.part_rate_days, part.part_rate_starts = _by_basis(part, part.part_rate)
    part.part_used_up = part.part_rate * part.part_log_uses + part.part_unused_cost
    part.part_unknown = flag(row.cost is None or (not part.part_is_retired and part.part_life_used is None))


def _cost_now(part: LedgerPart) -> None:
    """What a use of this part is expected to cost from now on, if it is one that prices go by."""
    assert part.kind is not None
    if not part.part_prices:
        return
    part.part_now_rate = over(part.kind.kind_of_part_cost_used, part.part_expected)
    part.part_now_unknown = flag(part.part_now_rate is None)
    now = _by_basis(part, opt(part.part_now_rate))
    part.part_now_charges, part.part_now_days, part.part_now_starts = now


def _by_basis(part: LedgerPart, rate: float) -> list[float]:
    """The rate per charge, per hot day and per start: only the one that the part is counted in is not 0."""
    return [rate if part.part_basis_code == code else 0.0 for code in (CHARGES, HOT_DAYS, HEAT_UPS)]


def wear_rows(log: FurnaceLog, ledger: Ledger) -> None:
    """Let each row of the log pay for the parts that stood in the furnace on its first day."""
    changes = sorted({day for part in ledger.used for day in (part.part_from, part.part_end)})
    spans = [(0.0, 0.0, 0.0)]
    for day in changes:
        inside = [part for part in ledger.used if part.part_from <= day < part.part_end]
        spans.append(
            (
                total(part.part_rate_charges for part in inside),
                total(part.part_rate_days for part in inside),
                total(part.part_rate_starts for part in inside),
            )
        )
    for row in log.rows:
        if row.row_kind:
            a_charge, a_day, a_start = spans[bisect_right(changes, row.first_day)]
            row.wear_a_charge, row.wear_a_day, row.wear_a_start = a_charge, a_day, a_start
            row.row_wear = row.row_charges * a_charge + row.row_hot_days * a_day + row.row_starts * a_start


def used_up_unused(ledger: Ledger, first: int, last: int) -> float:
    """The cost of parts that came out between two days without ever having been used."""
    return total(
        part.part_unused_cost
        for part in ledger.used
        if part.typed.retired is not None and first <= part.part_end <= last
    )


def paid(ledger: Ledger, first: int, last: int) -> float:
    """The cost of all parts fitted between two days."""
    found = []
    for part in ledger.parts:
        installed = maybe_serial(part.typed.installed)
        if installed is not None and first <= installed <= last:
            found.append(part.typed.cost)
    return total(found)
