"""The rates that pieces are costed with: people, overhead, and the furnace per weight, gather or minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, dflt, flag, opt, over, plus, times, total
from meltbook.method.constants import DAYS_IN_YEAR, MONTHS_IN_YEAR
from meltbook.method.melt import Melt
from meltbook.method.melt_prices import PriceWith
from meltbook.studio.model import Studio
from meltbook.studio.shop import Overhead, Person

LOW_ENERGY_NOTE = "It counts the energy that one more charge takes."
LOW_ENERGY_STANDS_IN = "One more charge is not known here, so melting and blowing days stand in."


@dataclass(slots=True)
class Rates:
    """People and overhead, the furnace's rate, and the low rate behind the lowest price."""

    gaffer_rate: Maybe
    first_rate: float
    second_rate: float
    off_rate: float
    gaffer_hired: int
    first_hired: int
    second_hired: int
    off_hired: int
    paid_used: float
    overhead_total: float
    overhead_lines: int
    overhead_known: int
    overhead_hour: Maybe
    rent_not_earned: Maybe
    gather_weight_used: Maybe
    furnace_pool: Maybe
    window_minutes: Maybe
    rate_weight: Maybe
    rate_gather: Maybe
    rate_minute: Maybe
    furnace_rate: Maybe
    low_energy: Maybe
    low_energy_note: str | None
    low_rate: Maybe


def overheads_yearly(typed: Sequence[Overhead], prepared: int) -> list[Maybe]:
    """What each overhead line comes to in a year; blank where no amount is typed."""
    yearly: list[Maybe] = [times(row.amount, MONTHS_IN_YEAR if row.per == "Month" else 1) for row in typed]
    return yearly + [None] * (prepared - len(yearly))


def bench_rates(studio: Studio, melt: Melt, prices: PriceWith, yearly: Sequence[Maybe]) -> Rates:
    """All rates per hour, weight, gather and minute."""
    shop, everyday, window = studio.shop, melt.all_time, melt.window
    people = [studio.people[place] if place < len(studio.people) else Person() for place in range(4)]
    gaffer, first, second, off = people

    overhead_total = total(yearly)
    lines = sum(amount is not None for amount in yearly)
    overhead_known = lines > 0 and (overhead_total == 0 or opt(shop.ordinary_hours) > 0)
    overhead_hour: Maybe = None
    if overhead_known:
        overhead_hour = 0.0 if overhead_total == 0 else over(overhead_total, shop.ordinary_hours)

    window_years = over(window.period_days, DAYS_IN_YEAR)
    rent: Maybe = None
    earned = times(shop.window_hours, overhead_hour)
    if earned is not None:
        rent = max(0.0, overhead_total * opt(window_years) - earned)

    gather_weight = shop.gather_weight
    if gather_weight is None:
        gather_weight = over(times(everyday.period_weight, shop.share_drawn), everyday.period_gathers)

    a_weight = plus(prices.price_hot, opt(prices.price_standing), opt(prices.price_wear), opt(prices.price_own))
    pool = times(a_weight, window.period_weight)
    if shop.window_hours is not None:
        minutes: Maybe = shop.window_hours * 60
    else:
        minutes = times(shop.ordinary_hours, 60, min(1.0, opt(window_years)))
    rate_weight = over(pool, window.period_weight, shop.share_drawn)
    rate_gather = over(pool, window.period_gathers)
    rate_minute = over(pool, minutes)

    low_energy = prices.price_melt if prices.price_charge is None else prices.price_charge
    energy_from = LOW_ENERGY_STANDS_IN if prices.price_charge is None else LOW_ENERGY_NOTE
    return Rates(
        gaffer_rate=gaffer.rate,
        first_rate=opt(first.rate),
        second_rate=opt(second.rate),
        off_rate=dflt(off.rate, opt(gaffer.rate)),
        gaffer_hired=flag(gaffer.hired == "Yes"),
        first_hired=flag(first.hired == "Yes"),
        second_hired=flag(second.hired == "Yes"),
        off_hired=flag(off.hired == "Yes"),
        paid_used=dflt(shop.paid_factor, 1),
        overhead_total=overhead_total,
        overhead_lines=lines,
        overhead_known=flag(overhead_known),
        overhead_hour=overhead_hour,
        rent_not_earned=rent,
        gather_weight_used=gather_weight,
        furnace_pool=pool,
        window_minutes=minutes,
        rate_weight=rate_weight,
        rate_gather=rate_gather,
        rate_minute=rate_minute,
        furnace_rate={"Weight": rate_weight, "Gathers": rate_gather, "Bench minutes": rate_minute}[shop.furnace_by],
        low_energy=low_energy,
        low_energy_note=None if low_energy is None else energy_from,
        low_rate=over(plus(low_energy, opt(prices.price_wear_charge)), shop.share_drawn),
    )
