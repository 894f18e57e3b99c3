"""Furnace days and their energy.

The log is read in order, three times over. First each row is given its place in time. Then the rows are
gathered into *stretches*: what lies between one meter reading and the next. The use of a stretch is known
from its two readings, and is dealt out to its hot days by their weight. Last the rows are gathered into
*campaigns*, from one heat-up to the next.

What a row costs is the business of the tariff and wear chapters; they fill in the rest of each record.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, groupby

from meltbook.method.arithmetic import Maybe, dflt, flag, half_up, maybe_serial, opt, over, times, total
from meltbook.method.constants import (
    CHARGE,
    CLOSENESS,
    HEAT_UP,
    HOT_KINDS,
    HOUR_METER,
    HOURS_IN_DAY,
    IDLE,
    KINDS,
    KWH_METER,
    MIXED_KINDS,
    NEW_METER,
    NO_METER,
    THREE_PHASE,
    WATTS_IN_KILOWATT,
)
from meltbook.studio.energy import DayKindRow, Furnace, LogRow
from meltbook.studio.model import Studio

READ, FELL_BACK, LOST, WAITING = 1, 2, 3, 4
"""How a stretch ended: a good reading, one below the last, a new meter, or not yet."""


@dataclass(slots=True)
class DayKind:
    """One kind of day: how much of a reading it draws, and what it uses where there is no meter."""

    typed: DayKindRow
    hot: int
    kind_weight: float
    kind_day_use: float


@dataclass(slots=True)
class Meter:
    """How the furnace's use is known at all."""

    kw_measured: Maybe
    kw_nameplate: Maybe
    kw_in_use: Maybe
    meter_code: int
    energy_known: int
    starting_factor: float
    starting_reading: float
    weights_differ: int
    own_basis: int


@dataclass(slots=True)
class LogDay:
    """A row of the log with everything that follows from it. A row without a kind keeps its zeros."""

    typed: LogRow
    date: int | None = None
    weight: float = 0.0
    # where it lies in time
    row_kind: int = 0
    row_days: int = 0
    first_day: int = 0
    next_day: int = 0
    row_hot_days: int = 0
    row_charges: float = 0
    row_charge_default: int = 0
    weighted_days: float = 0.0
    day_gap: int = 0
    # the stretch that it belongs to, and its energy
    reading_factor: float = 0.0
    reading_base: float = 0.0
    stretch_close: int = 0
    days_since: float = 0.0
    hot_since: float = 0.0
    hours_over: int = 0
    reading_use: float = 0.0
    use_to_share: float = 0.0
    use_pending: float = 0.0
    stretch_state: int = WAITING
    use_per_day: float = 0.0
    energy_used: float = 0.0
    stretch_mix: int = 0
    stretch_kind: int = 0
    # the campaign that it belongs to
    run_kind: int = 0
    row_starts: int = 0
    campaign_no: int = 0
    # tariff
    tariff_first: int = 1
    tariff_last: int = 1
    row_priced: int = 0
    price_to_first: float = 0.0
    price_to_next: float = 0.0
    mean_price: float = 0.0
    energy_cost: float = 0.0
    standing_to_first: float = 0.0
    standing_to_next: float = 0.0
    row_standing: float = 0.0
    late_days: int = 0
    late_change: float = 0.0
    # what counts in the ladder
    row_measured: int = 0
    row_own: int = 0
    measured_to: int = 0
    row_past: int = 0
    # glass and wear
    row_glass: int = 0
    glass_charged_cost: float = 0.0
    wear_a_charge: float = 0.0
    wear_a_day: float = 0.0
    wear_a_start: float = 0.0
    row_wear: float = 0.0
    # what the row says about itself
    row_typed: int = 0
    row_bad_numbers: int = 0
    row_number_fault: int = 0
    row_other_fault: int = 0
    row_fault: int = 0
    row_flow_dates: int = 0
    row_flow_reading: int = 0
    row_flow_rest: int = 0
    row_flow: int = 0
    log_status: str | None = None
    log_day_shown: int | None = None
    log_energy_shown: float | None = None
    log_cost_shown: float | None = None
    log_campaign_shown: int | None = None


@dataclass(slots=True)
class FurnaceLog:
    """The whole log, with the meter and the kinds of day that it was read by."""

    meter: Meter
    kinds: list[DayKind]
    rows: list[LogDay]
    log_rows_used: int = 0
    log_rows_free: int = 0
    log_last_day: int | None = None
    waiting_rows: int | None = None
    use_not_placed: Maybe = None
    last_pending: float = 0.0
    campaign_count: int = 0
    starts_all: int = 0
    last_measured_day: int | None = None
    heads: list[int] = field(default_factory=list)


def last_day_logged(studio: Studio) -> int | None:
    """The last day that any row of the log reaches, without reading the rest of it."""
    return _last_day(_placed(studio, day_kinds(studio.day_kinds), len(studio.log)))


def _placed(studio: Studio, kinds: Sequence[DayKind], length: int) -> list[LogDay]:
    """So many rows, each with its kind and its days."""
    empty = LogRow()
    rows = [LogDay(typed, maybe_serial(typed.date), opt(typed.weight)) for typed in studio.log]
    rows += [LogDay(empty) for _ in range(length - len(rows))]
    place_in_time(rows, kinds)
    return rows


def _last_day(rows: Iterable[LogDay]) -> int | None:
    latest = max((row.next_day for row in rows), default=0)
    return latest - 1 if latest > 0 else None


def read_log(studio: Studio, prepared: int) -> FurnaceLog:
    """Everything about the log that its own rows and the Furnace sheet decide."""
    kinds = day_kinds(studio.day_kinds)
    meter = meter_of(studio.furnace, kinds)
    length = max(prepared, len(studio.log))
    rows = _placed(studio, kinds, length)

    log = FurnaceLog(meter, kinds, rows)
    log.last_pending = share_readings(rows, meter)
    draw_energy(rows, meter, kinds)
    log.heads = number_campaigns(rows)

    used = [row for row in rows if row.row_kind > 0]
    log.log_rows_used = len(used)
    log.log_rows_free = length - len(used)
    log.log_last_day = _last_day(rows)
    if used:
        metered = meter.meter_code != NO_METER
        log.waiting_rows = sum(row.stretch_state == WAITING for row in used) if metered else 0
        log.use_not_placed = half_up(log.last_pending, 6) if metered else 0.0
    log.campaign_count = len(log.heads)
    log.starts_all = sum(row.row_starts for row in rows)
    return log


# ------------------------------------------------------------------------------------------ kinds and meter


def day_kinds(typed: Sequence[DayKindRow]) -> list[DayKind]:
    """The six kinds of day, in order."""
    found = []
    for code in range(1, len(KINDS) + 1):
        row = typed[code - 1] if code <= len(typed) else DayKindRow()
        hot = flag(code in HOT_KINDS)
        found.append(DayKind(row, hot, dflt(row.weighting, 1.0) if hot else 0.0, hot * opt(row.use)))
    return found


def meter_of(furnace: Furnace, kinds: Sequence[DayKind]) -> Meter:
    """The connected load and what the meter counts."""
    phases = THREE_PHASE if furnace.measured_phases == 3 else 1
    measured = over(times(furnace.measured_amps, furnace.measured_volts, phases), WATTS_IN_KILOWATT)
    ratio = over(furnace.supply_volts, furnace.nameplate_volts)
    nameplate = times(furnace.nameplate_kw, ratio, ratio)
    in_use = next((kw for kw in (furnace.connected_kw, measured, nameplate) if kw is not None), None)
    code = {"Hour meter": HOUR_METER, "No meter": NO_METER}.get(furnace.meter_kind, KWH_METER)
    known = {
        HOUR_METER: in_use is not None,
        KWH_METER: True,
        NO_METER: any(kind.typed.use is not None for kind in kinds),
    }[code]
    differ = kinds[CHARGE - 1].kind_weight != kinds[IDLE - 1].kind_weight
    return Meter(
        kw_measured=measured,
        kw_nameplate=nameplate,
        kw_in_use=in_use,
        meter_code=code,
        energy_known=flag(known),
        starting_factor=opt(in_use) if code == HOUR_METER else dflt(furnace.billing_factor, 1.0),
        starting_reading=opt(furnace.opening_reading),
        weights_differ=flag(differ),
        own_basis=flag(code == NO_METER or differ),
    )


# ---------------------------------------------------------------------------------------------------- time


def place_in_time(rows: Sequence[LogDay], kinds: Sequence[DayKind]) -> None:
    """Give each row its kind, its days and where they lie.

    ``free`` is the first day that no row has taken yet, 0 as long as nothing is dated. A row of 0 days is a
    reading at the close of a day, so it looks back to the last day taken, and takes the day that it names.
    """
    free = 0
    for row in rows:
        typed = row.typed
        if typed.kind is None:
            row.next_day = free
            continue
        row.row_kind = KINDS.index(typed.kind) + 1
        row.row_days = 0 if row.row_kind == NEW_METER else 1 if typed.days is None else typed.days
        kind = kinds[row.row_kind - 1]
        row.row_hot_days = row.row_days * kind.hot
        row.weighted_days = row.row_hot_days * kind.kind_weight

        row.row_charge_default = flag(row.row_kind == CHARGE and row.row_days > 0 and typed.charges is None)
        row.row_charges = row.row_charge_default if typed.charges is None else typed.charges

        follows = 0 if free == 0 else free if row.row_days > 0 else free - 1
        row.first_day = follows if row.date is None else row.date
        if row.date is not None and free > 0:
            row.day_gap = row.date - follows
        free = row.first_day + max(1, row.row_days) if row.first_day else 0
        row.next_day = free


# ----------------------------------------------------------------------------------------------- stretches


@dataclass(slots=True)
class Stretch:
    """The rows from one reading to the next, how it ended, and what the meter counted meanwhile."""

    rows: list[LogDay] = field(default_factory=list)
    end: int = WAITING
    count: float = 0.0
    counted: float = 0.0


def stretches(rows: Sequence[LogDay], meter: Meter) -> Iterator[Stretch]:
    """Cut the log at its readings. The last stretch may wait for one."""
    base, factor = meter.starting_reading, meter.starting_factor
    current = Stretch()
    for row in rows:
        current.rows.append(row)
        reading = row.typed.reading
        if row.row_kind == NEW_METER:
            current.end = LOST
            base = opt(reading)
            if meter.meter_code == HOUR_METER and row.typed.new_kw is not None:
                factor = row.typed.new_kw
        elif row.row_kind > 0 and reading is not None:
            current.end = READ if reading >= base else FELL_BACK
            if current.end == READ:
                current.count = reading - base
                current.counted = current.count * factor
            base = reading
        row.reading_base = base
        row.reading_factor = factor
        if current.end != WAITING:
            yield current
            current = Stretch()
    if current.rows:
        yield current


def share_readings(rows: Sequence[LogDay], meter: Meter) -> float:
    """Deal the use of each stretch out to its days; return what no day could carry in the end.

    Use that a stretch can't carry, having no hot day that weighs anything, goes to the next one that can.
    """
    pending = 0.0
    for stretch in stretches(rows, meter):
        seen: set[int] = set()
        weighted, hot = 0.0, 0.0
        since = list(accumulate(row.weighted_days for row in stretch.rows))
        for row, weighted in zip(stretch.rows, since, strict=True):
            row.days_since = weighted
            hot += row.row_hot_days
            row.hot_since = hot
            if row.row_hot_days:
                seen.add(row.row_kind)
            row.stretch_mix = MIXED_KINDS if len(seen) > 1 else max(seen, default=0)
            row.use_to_share = row.use_pending = pending

        to_share = pending + stretch.counted
        carried = stretch.end == READ and weighted > 0
        pending = 0.0 if carried else to_share
        if stretch.end != WAITING:
            last = stretch.rows[-1]
            last.stretch_close = stretch.end
            last.reading_use = stretch.counted
            last.hours_over = flag(
                meter.meter_code == HOUR_METER and stretch.count > HOURS_IN_DAY * (hot + 1) + CLOSENESS
            )
            last.use_to_share = to_share
            last.use_pending = pending

        a_day = to_share / weighted if carried else 0.0
        kind = 0 if stretch.end == WAITING else stretch.rows[-1].stretch_mix
        for row in stretch.rows:
            row.stretch_state = stretch.end
            row.use_per_day = a_day
            row.stretch_kind = kind
    return pending


def draw_energy(rows: Sequence[LogDay], meter: Meter, kinds: Sequence[DayKind]) -> None:
    """The energy of each row: its part of a reading, or what the owner says that such a day uses."""
    for row in rows:
        if row.row_kind == 0:
            continue
        if meter.meter_code == NO_METER:
            row.energy_used = row.row_days * kinds[row.row_kind - 1].kind_day_use
        else:
            row.energy_used = row.weighted_days * row.use_per_day


# ----------------------------------------------------------------------------------------------- campaigns


def number_campaigns(rows: Sequence[LogDay]) -> list[int]:
    """Find the starts, and number the campaigns between them; return the indexes of the rows that head one.

    Only rows that last count. A run of Heat-up rows is one start. The first row of the log heads campaign 1
    even if the furnace was hot already.
    """
    lasting = [index for index, row in enumerate(rows) if row.row_days > 0]
    heads = set(lasting[:1])
    for heating, run in groupby(lasting, key=lambda index: rows[index].row_kind == HEAT_UP):
        first = next(run)
        if heating:
            rows[first].row_starts = 1
            heads.add(first)
    ordered = sorted(heads)
    for index, row in enumerate(rows):
        row.campaign_no = bisect_right(ordered, index)
        before = bisect_right(lasting, index)
        row.run_kind = rows[lasting[before - 1]].row_kind if before else 0
    return ordered


# ------------------------------------------------------------------------------------------- measured rows


def mark_measured(log: FurnaceLog) -> None:
    """Mark the rows that figures may be drawn from: priced, and of a stretch that a good reading closes."""
    meter = log.meter
    for row in log.rows:
        closed = meter.meter_code == NO_METER or row.stretch_state == READ
        if not (row.row_kind and row.row_priced and meter.energy_known and closed):
            continue
        row.row_measured = 1
        row.measured_to = row.next_day - 1
        row.row_own = flag(meter.own_basis == 1 or row.stretch_kind == row.row_kind)
    last = max((row.measured_to for row in log.rows), default=0)
    log.last_measured_day = last if last > 0 else None


def counted_use(log: FurnaceLog) -> float:
    """What the meters counted in all."""
    return total(row.reading_use for row in log.rows)
