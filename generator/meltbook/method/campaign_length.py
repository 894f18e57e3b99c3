"""How many charges a campaign is worth, and what charging less than full costs."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, flag, in_words, nearest, opt, over, plus, times
from meltbook.method.constants import CLOSENESS, TINY
from meltbook.method.idle_cold import DayCosts
from meltbook.method.melt import Period
from meltbook.studio.decisions import Decisions

SIZES, FILLS = 60, 10
SAVING_IF_BLANK = 0.01


@dataclass(frozen=True, slots=True)
class Wearing:
    """What a charge, a hot day and a heat-up wear off the parts that prices go by."""

    decide_wear_charge: float
    decide_wear_day: float
    decide_wear_start: float


@dataclass(slots=True)
class Size:
    """A campaign of so many charges."""

    size_cost: Maybe = None
    size_saves: Maybe = None
    size_worth: int = 0


@dataclass(slots=True)
class Fill:
    """A charge of so much of a full one."""

    fill_weight: Maybe = None
    fill_cost: Maybe = None
    fill_dearer: Maybe = None


@dataclass(slots=True)
class CampaignLength:
    """What a charge takes, and the two answers."""

    sizes: list[Size]
    fills: list[Fill]
    charge_use_one: Maybe
    hot_days_one: Maybe
    charge_days_one: Maybe
    log_charge_weight: Maybe
    charge_weight_used: Maybe
    charge_cost_one: Maybe
    saving_used: float
    saving_hundredths: int
    saving_words: str
    campaign_enough: int | None = None
    campaign_average: Maybe = None
    campaign_words: str | None = None
    campaign_charges: str | None = None
    campaign_limit: str | None = None
    campaign_sentence: str | None = None
    campaign_missing: str | None = None
    campaign_lacks: str = ""
    fill_sentence: str | None = None
    fill_missing: str | None = None
    fill_lacks: str | None = None
    fill_lacks_more: str | None = None
    fill_worthless: str | None = None


def weigh_campaigns(
    typed: Decisions,
    window: Period,
    everything: Period,
    campaigns: int,
    costs: DayCosts,
    wear: Wearing,
    more_glass: Maybe,
    weight_unit: str,
) -> CampaignLength:
    """Cost campaigns of 1 to 60 charges, and charges of a tenth to a full one.

    ``more_glass`` is the energy cost that one more weight of glass adds to a charge day.
    """
    charges = window.period_charges
    a_weight = over(window.period_weight, charges)
    used = typed.full_charge if opt(typed.full_charge) > 0 else a_weight if opt(a_weight) > 0 else None
    use = over(plus(window.charge_use, window.blow_use, window.idle_use), charges)
    days = over(plus(window.charge_days, window.blow_days, window.idle_days), charges)
    energy, hot = times(use, costs.price_now), times(days, wear.decide_wear_day)
    share = SAVING_IF_BLANK if typed.saving_share is None else typed.saving_share
    hundredths = nearest(share * 100 * 100)
    percent = f"{hundredths // 100}" if hundredths % 100 == 0 else in_words(hundredths / 100)
    found = CampaignLength(
        sizes=[],
        fills=[],
        charge_use_one=use,
        hot_days_one=days,
        charge_days_one=over(window.charge_days, charges),
        log_charge_weight=a_weight,
        charge_weight_used=used,
        charge_cost_one=plus(energy, hot, wear.decide_wear_charge),
        saving_used=share,
        saving_hundredths=hundredths,
        saving_words=f"{percent} %",
    )
    found.sizes = [_size(number, found, costs.heatup_cost_one) for number in range(1, SIZES + 1)]
    found.campaign_average = over(everything.period_charges, float(campaigns))
    _say_campaigns(found, costs)
    _fill(found, costs, wear, more_glass, weight_unit, full_typed=opt(typed.full_charge) > 0)
    found.fill_lacks_more = found.fill_worthless
    if more_glass is None or costs.idle_day_use is None:
        found.fill_lacks_more = (
            "To know one more charge, read the meter before and after a run of charge days, and of idle days."
        )
    _say_fill(found, costs)
    return found


def _size(charges: int, found: CampaignLength, heat_up: Maybe) -> Size:
    together = plus(heat_up, times(float(charges), found.charge_cost_one))
    size = Size(over(together, times(float(charges), found.charge_weight_used)))
    if size.size_cost:
        # (c(n) - c(n + 1)) / c(n), of which all but the heat-up falls out
        size.size_saves = over(heat_up, float(charges + 1), together)
    size.size_worth = flag(size.size_saves is not None and size.size_saves >= found.saving_used - TINY)
    return size


def _say_campaigns(found: CampaignLength, costs: DayCosts) -> None:
    if found.campaign_average is not None:
        found.campaign_words = f"Yours had about {nearest(found.campaign_average)} on average."
    no_charge = found.charge_cost_one is None or found.charge_weight_used is None
    found.campaign_lacks = (
        "Log a charge with its weight first." if no_charge else "Log a heat-up, or type its energy and days."
    )
    if found.sizes[0].size_cost is None:
        found.campaign_missing = costs.price_lacks if costs.price_now is None else found.campaign_lacks
        return
    enough = sum(size.size_worth for size in found.sizes) + 1
    found.campaign_enough = enough
    found.campaign_charges = "1 charge" if enough == 1 else f"{enough} charges"
    past_all = enough > SIZES
    found.campaign_limit = (
        f"Even the {SIZES}th charge saves" if past_all else f"Past {found.campaign_charges}, one more saves less than"
    )
    ending = "or more." if past_all else ""
    saving = f"{found.saving_words} {ending}" if ending else f"{found.saving_words}."
    found.campaign_sentence = f"{found.campaign_limit} {saving} {found.campaign_words or ''}"


def _say_fill(found: CampaignLength, costs: DayCosts) -> None:
    nothing = found.charge_weight_used is None or found.charge_days_one is None
    found.fill_lacks = "Log a charge with its weight first." if nothing else found.fill_lacks_more
    found.fill_missing = costs.price_lacks if costs.price_now is None else found.fill_lacks


def _fill(
    found: CampaignLength, costs: DayCosts, wear: Wearing, more_glass: Maybe, unit: str, *, full_typed: bool
) -> None:
    days = found.charge_days_one
    empty = plus(
        times(costs.idle_day_use, costs.price_now, days), times(days, wear.decide_wear_day), wear.decide_wear_charge
    )
    for tenth in range(1, FILLS + 1):
        weight = times(tenth / FILLS, found.charge_weight_used)
        found.fills.append(Fill(weight, over(plus(empty, times(more_glass, weight)), weight)))
    full = found.fills[-1].fill_cost
    if full is not None and full <= CLOSENESS:
        full = None  # nothing, what rounding leaves of it, or less: no cost to compare with
    for fill in found.fills:
        ratio = over(fill.fill_cost, full)
        fill.fill_dearer = None if ratio is None else ratio - 1
    half = found.fills[FILLS // 2 - 1].fill_dearer
    if half is not None:
        whole = "a full one" if full_typed else "your mean charge"
        found.fill_sentence = f"A half charge costs {nearest(half * 100)} % more for each {unit} than {whole}."
    if full is None:
        found.fill_worthless = "By this log a full charge costs nothing or less, so there is nothing to weigh."
