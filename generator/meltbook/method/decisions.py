"""Decisions about the furnace: idle or cold, how long a campaign, when to change the pot."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, opt, over, plus, times, total
from meltbook.method.called import Called
from meltbook.method.campaign_length import CampaignLength, Wearing, weigh_campaigns
from meltbook.method.idle_cold import DayCosts, IdleOrCold, weigh_idling
from meltbook.method.melt import Melt
from meltbook.method.melt_prices import PriceWith
from meltbook.method.pot_life import Lives, Replacement, read_lives, weigh_ages
from meltbook.method.results import Results
from meltbook.method.tariff import TariffNow
from meltbook.method.wear import Ledger
from meltbook.studio.model import Studio


@dataclass(slots=True)
class Pot:
    """The kind of part that is meant, and what losing one costs. ``pot_row`` is 0 if there is none of that name."""

    pot_row: int
    pot_name: str | None
    pot_cost: Maybe
    planned_cost: Maybe
    failure_cost: Maybe


@dataclass(slots=True)
class FurnaceDecisions:
    """All of them."""

    pot: Pot
    wear: Wearing
    days: DayCosts
    price_lacks_day: str
    idle: IdleOrCold
    campaigns: CampaignLength
    lives: Lives
    replacement: Replacement


def decide(
    studio: Studio,
    melt: Melt,
    ledger: Ledger,
    newest: int | None,
    now: TariffNow,
    prices: PriceWith,
    campaigns: int,
    sheets: Called,
) -> FurnaceDecisions:
    """Weigh what can be weighed; the rest stays blank and says what is missing.

    ``newest`` is the date of the last usable letter, in force or not.
    """
    typed = studio.decisions
    pot = _pot(studio, ledger)
    counted = studio.wear.wear_counted != "None"
    wear = Wearing(
        *(
            total(getattr(part, rate) for part in ledger.parts) if counted else 0.0
            for rate in ("part_now_charges", "part_now_days", "part_now_starts")
        )
    )
    lacks_day = (
        "Log a day first, or type a pricing date on Shop."
        if now.pricing_date_used is None
        else f"No tariff is in force on the pricing date: see {sheets.tariffs}."
    )
    days = _days(studio, melt, now, "Type a tariff first." if newest is None else lacks_day, pot, wear)
    named = pot.pot_name is not None
    expected = ledger.kinds[pot.pot_row - 1].kind_of_part_mean if pot.pot_row else None
    lives = read_lives(ledger.parts, pot.pot_row, named, expected, typed)
    return FurnaceDecisions(
        pot,
        wear,
        days,
        lacks_day,
        weigh_idling(typed, days),
        weigh_campaigns(
            typed,
            melt.window,
            melt.all_time,
            campaigns,
            days,
            wear,
            prices.price_charge,
            studio.shop.weight_unit,
        ),
        lives,
        weigh_ages(
            lives,
            pot.planned_cost,
            pot.failure_cost,
            _say_no_pot(pot, sheets),
            named,
            failure_typed=any(each is not None for each in (typed.glass_worth, typed.repair_cost, typed.lost_days)),
        ),
    )


def _say_no_pot(pot: Pot, sheets: Called) -> str:
    if pot.pot_row == 0:
        return f"Choose on {sheets.decisions} which part is the pot: no kind has that name."
    return f"Name a kind of part on {sheets.pots} first."


def _pot(studio: Studio, ledger: Ledger) -> Pot:
    typed = studio.decisions
    names = [kind.typed.name for kind in ledger.kinds]
    meant = typed.pot_kind or names[0]
    row = names.index(meant) + 1 if meant in names else 0
    name = (names[row - 1] or None) if row else None
    cost = (
        (ledger.kinds[row - 1].kind_of_part_cost_used or None) if name else None
    )  # what costs nothing isn't typed yet
    planned = cost if typed.planned_typed is None else typed.planned_typed
    lost = opt(typed.lost_days) * opt(typed.day_value)
    failure = plus(planned, opt(typed.glass_worth), opt(typed.repair_cost), lost)
    return Pot(row, name, cost, planned, failure)


def _days(studio: Studio, melt: Melt, now: TariffNow, price_lacks: str, pot: Pot, wear: Wearing) -> DayCosts:
    typed, window, everything = studio.decisions, melt.window, melt.all_time
    logged = window.idle_use_day if window.idle_use_day is not None else window.use_a_day
    idle = logged if typed.idle_day_typed is None else typed.idle_day_typed
    start_use = over(everything.heatup_use, everything.period_starts)
    start_days = over(everything.heatup_days, everything.period_starts)
    use = start_use if typed.heatup_use_typed is None else typed.heatup_use_typed
    days = start_days if typed.heatup_days_typed is None else typed.heatup_days_typed
    return DayCosts(
        price_now=now.price_now,
        price_lacks=price_lacks,
        pot_cost=pot.pot_cost,
        idle_day_use=idle,
        heatup_use_one=use,
        heatup_days_one=days,
        idle_day_cost=plus(times(idle, now.price_now), wear.decide_wear_day),
        heatup_cost_one=plus(times(use, now.price_now), wear.decide_wear_start, times(days, wear.decide_wear_day)),
    )


def publish_decisions(results: Results, found: FurnaceDecisions) -> None:
    """Hand over every figure of the decisions."""
    days = found.days
    for name in (
        "idle_day_use",
        "heatup_use_one",
        "heatup_days_one",
        "idle_day_cost",
        "heatup_cost_one",
        "price_lacks",
    ):
        results.put(**{name: getattr(days, name)})
    results.put(price_lacks_day=found.price_lacks_day)
    for chapter in (found.pot, found.wear, found.idle, found.campaigns, found.lives, found.replacement):
        results.take(chapter)
    for table in (found.idle.gaps, found.campaigns.sizes, found.campaigns.fills):
        results.table(table)
    results.table(found.lives.rows)
    results.table(found.lives.steps)
    results.column("gamma_log", found.lives.gammas)
    results.table(found.replacement.ages)
    results.frame("life_no", seed=0)
    results.frame("age_survives", seed=1)
    results.frame("age_lived", seed=0)
