"""What the glass cost: the ladder, for all time, between two dates, in the pricing window, and by campaign.

Each measured row of the log is dropped into the baskets that it belongs to; then each is counted out once.
Everything here is *what happened*. What to price with is worked out next door, in ``melt_prices``.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from meltbook.method.arithmetic import (
    Maybe,
    calendar,
    flag,
    maybe_serial,
    opt,
    over,
    plus,
    serial,
    times,
    total,
)
from meltbook.method.constants import (
    BLOW,
    CHARGE,
    COLD,
    DAYS_IN_YEAR,
    FAR_CAMPAIGN,
    FAR_DATE,
    HEAT_UP,
    IDLE,
)
from meltbook.method.energy import FurnaceLog, LogDay
from meltbook.method.glass import GlassUse, weigh_glasses
from meltbook.method.tariff import TariffNow
from meltbook.method.wear import Ledger, paid, used_up_unused
from meltbook.studio.energy import Furnace
from meltbook.studio.model import Studio
from meltbook.studio.shop import Shop

ALL_TIME, BETWEEN, WINDOW, CAMPAIGN = 1, 2, 3, 4
TITLES = {ALL_TIME: "All time", BETWEEN: "Between your dates", WINDOW: "Last 12 months"}


@dataclass(slots=True)
class Spans:
    """The days that the owner chose, and the twelve months that prices are drawn from."""

    chosen_from: int
    chosen_to: int
    dates_words: str | None
    window_end: int | None
    window_start: int | None
    window_year_weight: Maybe
    window_low: int
    window_high: int
    window_first: int | None = None
    window_last: int | None = None
    period_overrun: int | None = None


@dataclass(slots=True)
class Shares:
    """What the Shop and Furnace sheets say about the melt, apart from the log."""

    glass_gap: int
    raw_glass_known: int
    ends_share: Maybe
    own_known: int
    own_yearly: Maybe


@dataclass(slots=True)
class Period:
    """One row of the periods: what is in its basket, and its ladder. A row without a label stays blank."""

    code: int
    number: int
    campaign_test: str
    period_label: str | None
    campaign_first: int
    campaign_from: int
    campaign_to: int
    day_from: int
    day_to: int
    period_part_from: int | None = None
    period_part_to: int | None = None
    # what is in it
    period_rows: int | None = None
    period_weight: Maybe = None
    period_charges: Maybe = None
    period_gathers: Maybe = None
    period_days: Maybe = None
    period_hot_days: Maybe = None
    period_starts: Maybe = None
    heatup_days: Maybe = None
    charge_days: Maybe = None
    blow_days: Maybe = None
    idle_days: Maybe = None
    cold_days: Maybe = None
    heatup_use: Maybe = None
    charge_use: Maybe = None
    blow_use: Maybe = None
    idle_use: Maybe = None
    heatup_cost: Maybe = None
    charge_cost: Maybe = None
    blow_cost: Maybe = None
    idle_cost: Maybe = None
    own_charge_use: Maybe = None
    own_charge_days: Maybe = None
    own_charge_weight: Maybe = None
    own_idle_use: Maybe = None
    own_idle_days: Maybe = None
    period_standing: Maybe = None
    period_glass: Maybe = None
    period_row_wear: Maybe = None
    period_use: Maybe = None
    period_cost: Maybe = None
    weight_shown: Maybe = None
    charges_shown: Maybe = None
    hot_days_shown: Maybe = None
    use_shown: Maybe = None
    # wear
    period_unused: Maybe = None
    wear_used_up: Maybe = None
    wear_paid: Maybe = None
    period_wear: Maybe = None
    # the ladder
    idle_use_day: Maybe = None
    step_charge: Maybe = None
    step_melt: Maybe = None
    step_hot: Maybe = None
    step_standing: Maybe = None
    step_wear: Maybe = None
    step_glass: Maybe = None
    step_own: Maybe = None
    line_standing: Maybe = None
    line_wear: Maybe = None
    line_glass: Maybe = None
    line_own: Maybe = None
    line_sold: Maybe = None
    # for reading
    use_a_weight: Maybe = None
    use_a_day: Maybe = None
    cost_a_day: Maybe = None
    cost_a_charge: Maybe = None
    share_heatup: Maybe = None
    share_charge: Maybe = None
    share_blow: Maybe = None
    share_idle: Maybe = None


@dataclass(slots=True)
class Melt:
    """The melt's side of the book."""

    spans: Spans
    shares: Shares
    glasses: list[GlassUse]
    periods: list[Period] = field(default_factory=list)
    first_measured: int | None = None
    """The first day of the first row that is measured."""

    @property
    def all_time(self) -> Period:
        """All measured rows."""
        return self.periods[0]

    @property
    def chosen(self) -> Period:
        """The rows between the owner's two dates."""
        return self.periods[1]

    @property
    def window(self) -> Period:
        """The rows that prices are drawn from."""
        return self.periods[2]


# ---------------------------------------------------------------------------------------------------- spans


def year_before(day: int) -> int:
    """The first of the twelve calendar months that end on a day. The 29 February looks back to 1 March."""
    end = calendar(day)
    return serial(date(end.year - 1, end.month, 1) + timedelta(days=end.day))


def find_spans(shop: Shop, log: FurnaceLog, now: TariffNow, measured: Sequence[LogDay]) -> Spans:
    """Which days the owner asked for, and which days prices are drawn from."""
    chosen_to = maybe_serial(shop.period_to)
    undated = shop.period_from is None and chosen_to is None
    spans = Spans(
        chosen_from=FAR_DATE if undated else maybe_serial(shop.period_from) or 0,
        chosen_to=FAR_DATE if chosen_to is None else chosen_to,
        dates_words=", none typed" if undated else None,
        window_end=None,
        window_start=None,
        window_year_weight=None,
        window_low=0,
        window_high=FAR_DATE,
    )
    if now.pricing_date_used is not None and log.last_measured_day is not None:
        end = min(now.pricing_date_used, log.last_measured_day)
        start = year_before(end)
        spans.window_end, spans.window_start = end, start
        spans.window_year_weight = total(row.weight for row in measured if start <= row.first_day <= end)
        if spans.window_year_weight > 0:
            spans.window_low, spans.window_high = start, end
            spans.window_first, spans.window_last = start, end
    for row in measured:
        if spans.chosen_from <= row.first_day <= spans.chosen_to:
            row.row_past = max(0, row.next_day - 1 - spans.chosen_to)
    chosen = [row for row in measured if spans.chosen_from <= row.first_day <= spans.chosen_to]
    if chosen and (shop.period_from is not None or shop.period_to is not None):
        spans.period_overrun = max(row.row_past for row in chosen)
    return spans


# ---------------------------------------------------------------------------------------------- the baskets


def read_melt(
    studio: Studio, log: FurnaceLog, ledger: Ledger, now: TariffNow, glasses: list[GlassUse], campaigns: int
) -> Melt:
    """Count out every period."""
    measured = [row for row in log.rows if row.row_measured]
    spans = find_spans(studio.shop, log, now, measured)
    weigh_glasses(glasses, measured, spans.window_low, spans.window_high)
    gap = sum(glass.glass_used_weight > 0 and glass.typed.price is None for glass in glasses)
    gap += sum(row.row_kind > 0 and row.typed.weight is not None and row.row_glass == 0 for row in log.rows)
    own = _own_yearly(studio.furnace)
    shares = Shares(
        glass_gap=gap,
        raw_glass_known=flag(gap == 0 and any(row.row_glass for row in measured)),
        ends_share=(studio.shop.share_drawn if studio.shop.share_in_pieces is None else studio.shop.share_in_pieces),
        own_known=flag(own is not None),
        own_yearly=own,
    )
    melt = Melt(spans, shares, glasses, first_measured=min((row.first_day for row in measured), default=None))

    baskets: dict[int, list[LogDay]] = defaultdict(list)
    for row in measured:
        baskets[max(1, row.campaign_no)].append(row)
    chosen = [row for row in measured if spans.chosen_from <= row.first_day <= spans.chosen_to]
    window = [row for row in measured if spans.window_low <= row.first_day <= spans.window_high]
    everything = [(ALL_TIME, 0, measured), (BETWEEN, 0, chosen), (WINDOW, 0, window)]
    everything += [(CAMPAIGN, number, baskets[number]) for number in range(1, campaigns + 1)]
    for code, number, rows in everything:
        period = _bounds(code, number, log, spans)
        melt.periods.append(period)
        if period.period_label is not None:
            _count_out(period, rows)
            _show(period)
            _wear_of(period, ledger, studio)
            _ladder(period, melt, now, studio.shop.share_good)
    return melt


def _own_yearly(furnace: Furnace) -> Maybe:
    """What the furnace itself costs a year; blank unless its price and a life to spread it over are known."""
    price = furnace.furnace_purchase
    if price is None:
        return None
    if price == 0:
        return opt(furnace.furnace_maintenance)
    yearly = over(price - opt(furnace.furnace_worth_end), furnace.furnace_life)
    return plus(yearly, opt(furnace.furnace_maintenance))


def _bounds(code: int, number: int, log: FurnaceLog, spans: Spans) -> Period:
    """The label of a period and what lies inside it."""

    def opens(campaign: int) -> int:
        return log.rows[log.heads[campaign - 1]].first_day

    label: str | None = TITLES.get(code)
    first, low, high = 0, 0, FAR_DATE
    if code == BETWEEN:
        label = f"{label}{spans.dates_words or ''}"
        low, high = spans.chosen_from, spans.chosen_to
    elif code == WINDOW:
        low, high = spans.window_low, spans.window_high
    known = code != CAMPAIGN or number <= log.campaign_count
    if code == CAMPAIGN and known:
        label = f"Campaign {number}"
        first = opens(number)
    period = Period(
        code=code,
        number=number,
        campaign_test=_test(code, number),
        period_label=label,
        campaign_first=first,
        campaign_from=number if code == CAMPAIGN and number > 1 else 0,
        campaign_to=number if code == CAMPAIGN else FAR_CAMPAIGN,
        day_from=low,
        day_to=high,
    )
    if known:
        period.period_part_from, period.period_part_to = low, high
    if code == CAMPAIGN and known:
        period.period_part_from = first if number > 1 else 0
        period.period_part_to = opens(number + 1) - 1 if number < log.campaign_count else FAR_DATE
    return period


def _test(code: int, number: int) -> str:
    """How the sheet picks a period's campaigns: one alone, or all up to one."""
    if code != CAMPAIGN:
        return f"<={FAR_CAMPAIGN}"
    return f"={number}" if number > 1 else "<=1"


def _count_out(period: Period, rows: Sequence[LogDay]) -> None:
    """Sum what is in the basket: by kind of day where the kind matters, of all rows where it doesn't."""
    by_kind: dict[int, list[LogDay]] = defaultdict(list)
    for row in rows:
        by_kind[row.row_kind].append(row)
    heating, charging, blowing, idling = (by_kind[kind] for kind in (HEAT_UP, CHARGE, BLOW, IDLE))

    period.period_rows = len(rows)
    period.period_weight = total(row.weight for row in rows)
    period.period_charges = total(row.row_charges for row in rows)
    period.period_gathers = total(row.typed.gathers for row in rows)
    period.period_days = sum(row.row_days for row in rows)
    period.period_hot_days = sum(row.row_hot_days for row in rows)
    period.period_starts = sum(row.row_starts for row in rows)
    period.heatup_days, period.charge_days, period.blow_days, period.idle_days, period.cold_days = (
        sum(row.row_days for row in by_kind[kind]) for kind in (HEAT_UP, CHARGE, BLOW, IDLE, COLD)
    )
    period.heatup_use, period.charge_use = _use(heating), _use(charging)
    period.blow_use, period.idle_use = _use(blowing), _use(idling)
    period.heatup_cost, period.charge_cost = _cost(heating), _cost(charging)
    period.blow_cost, period.idle_cost = _cost(blowing), _cost(idling)

    own_charging = [row for row in charging if row.row_own]
    own_idling = [row for row in idling if row.row_own]
    period.own_charge_use, period.own_idle_use = _use(own_charging), _use(own_idling)
    period.own_charge_days = sum(row.row_days for row in own_charging)
    period.own_idle_days = sum(row.row_days for row in own_idling)
    period.own_charge_weight = total(row.weight for row in own_charging)

    period.period_standing = total(row.row_standing for row in rows)
    period.period_glass = total(row.glass_charged_cost for row in rows)
    period.period_row_wear = total(row.row_wear for row in rows)
    period.period_use = plus(period.heatup_use, period.charge_use, period.blow_use, period.idle_use)
    period.period_cost = plus(period.heatup_cost, period.charge_cost, period.blow_cost, period.idle_cost)


def _show(period: Period) -> None:
    """What people read of the sums; nothing, while nothing is in the basket."""
    if period.period_rows:
        period.weight_shown, period.charges_shown = period.period_weight, period.period_charges
        period.hot_days_shown, period.use_shown = period.period_hot_days, period.period_use


def _use(rows: Iterable[LogDay]) -> float:
    return total(row.energy_used for row in rows)


def _cost(rows: Iterable[LogDay]) -> float:
    return total(row.energy_cost for row in rows)


def _wear_of(period: Period, ledger: Ledger, studio: Studio) -> None:
    """Pots and elements: used up by the rows of the period, and paid for between its dates."""
    first, last = period.period_part_from, period.period_part_to
    assert first is not None and last is not None
    period.period_unused = used_up_unused(ledger, first, last)
    period.wear_used_up = plus(period.period_row_wear, period.period_unused)
    period.wear_paid = paid(ledger, first, last)
    if studio.wear.wear_counted == "None":
        period.period_wear = 0.0
    elif ledger.wear_known:
        as_paid = studio.wear.wear_method == "Paid"
        period.period_wear = period.wear_paid if as_paid else period.wear_used_up


# -------------------------------------------------------------------------------------------------- ladder


def _ladder(period: Period, melt: Melt, now: TariffNow, share_good: Maybe) -> None:
    """The steps, per weight charged, and the lines that add them up."""
    weight, everyday = period.period_weight, melt.all_time
    shares = melt.shares
    period.idle_use_day = over(period.own_idle_use, period.own_idle_days)
    if period.idle_use_day is None:
        period.idle_use_day = over(everyday.own_idle_use, everyday.own_idle_days)
    idle_instead = times(-1, period.own_charge_days, period.idle_use_day)
    more = plus(period.own_charge_use, idle_instead)
    period.step_charge = over(times(more, now.price_now), period.own_charge_weight)

    period.step_melt = over(plus(period.charge_cost, period.blow_cost), weight)
    period.step_hot = over(period.period_cost, weight)
    period.step_standing = over(period.period_standing, weight)
    period.step_wear = over(period.period_wear, weight)
    period.step_glass = over(period.period_glass, weight) if shares.raw_glass_known else None
    period.step_own = over(times(shares.own_yearly, period.period_days), DAYS_IN_YEAR, weight)
    period.line_standing = plus(period.step_hot, period.step_standing)
    period.line_wear = plus(period.line_standing, opt(period.step_wear))
    period.line_glass = plus(period.line_wear, opt(period.step_glass))
    period.line_own = plus(period.line_glass, opt(period.step_own))
    period.line_sold = over(period.line_own, shares.ends_share, share_good)

    period.use_a_weight = over(period.period_use, weight)
    period.use_a_day = over(period.period_use, period.period_hot_days)
    period.cost_a_day = over(period.period_cost, period.period_hot_days)
    period.cost_a_charge = over(period.period_cost, period.period_charges)
    period.share_heatup = over(period.heatup_use, period.period_use)
    period.share_charge = over(period.charge_use, period.period_use)
    period.share_blow = over(period.blow_use, period.period_use)
    period.share_idle = over(period.idle_use, period.period_use)
