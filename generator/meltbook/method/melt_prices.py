"""To price with: what the glass is expected to cost from now on.

Use per weight comes from the pricing window, prices from the pricing date, wear from what each part costs now
and is expected to last, and yearly costs are spread over an ordinary year. Pieces read only these figures, so
that one bad pot or one slow year does not move every tag.
"""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, dflt, opt, over, plus, times, total
from meltbook.method.constants import BATCH_HEAT, DAYS_IN_YEAR, KILOJOULES_IN_KWH, MELT_HEAT
from meltbook.method.heat import heat_of
from meltbook.method.melt import Melt, Period
from meltbook.method.results import Results
from meltbook.method.tariff import TariffNow
from meltbook.method.wear import Ledger
from meltbook.studio.model import Studio
from meltbook.units import weight_in_kg


@dataclass(slots=True)
class PriceWith:
    """The ladder to price with, its lines, and what it is built from."""

    heat_to_melt: float
    furnace_efficiency: Maybe
    heat_factor: float
    heat_in_unit: Maybe
    year_weight: Maybe
    starts_a_weight: Maybe
    charges_a_weight: Maybe
    days_a_weight: Maybe
    price_charge: Maybe
    price_melt: Maybe
    price_hot: Maybe
    price_standing: Maybe
    price_wear_charge: Maybe
    price_wear_day: Maybe
    price_wear_start: Maybe
    price_wear: Maybe
    price_glass: Maybe
    price_own: Maybe
    price_line_standing: Maybe
    price_line_wear: Maybe
    price_line_glass: Maybe
    price_line_own: Maybe
    price_line_sold: Maybe


def price_with(studio: Studio, melt: Melt, ledger: Ledger, now: TariffNow) -> PriceWith:
    """Work out the ladder that pieces are priced with."""
    shop, shares, window = studio.shop, melt.shares, melt.window
    weight, price = window.period_weight, now.price_now

    year_weight = shop.ordinary_weight
    if year_weight is None:
        year_weight = over(times(window.period_weight, DAYS_IN_YEAR), window.period_days)

    hot = times(over(window.period_use, weight), price)
    standing = over(times(now.standing_now, DAYS_IN_YEAR), year_weight) if hot is not None else None

    charges_a_weight = over(window.period_charges, weight)
    days_a_weight = over(window.period_hot_days, weight)
    starting = window if opt(window.period_starts) > 0 else melt.all_time
    starts_a_weight = over(starting.period_starts, starting.period_weight)

    counted = studio.wear.wear_counted != "None"

    def expected(rate: float, units: Maybe) -> Maybe:
        if charges_a_weight is None or (counted and not ledger.wear_now_known):
            return None
        return times(rate, units) if counted else 0.0

    wear_charge = expected(total(part.part_now_charges for part in ledger.parts), charges_a_weight)
    wear_day = expected(total(part.part_now_days for part in ledger.parts), days_a_weight)
    wear_start = expected(total(part.part_now_starts for part in ledger.parts), starts_a_weight)
    wear = plus(wear_charge, wear_day, wear_start)

    bought = total(each.glass_window_weight * each.glass_price_known for each in melt.glasses)
    glass = over(bought, weight) if shares.raw_glass_known else None
    own = over(shares.own_yearly, year_weight)

    line_standing = plus(hot, opt(standing))
    line_wear = plus(line_standing, opt(wear))
    line_glass = plus(line_wear, opt(glass))
    line_own = plus(line_glass, opt(own))

    batch_share = 1 - dflt(studio.furnace.cullet_share, 0)
    heat = (MELT_HEAT + batch_share * BATCH_HEAT) / KILOJOULES_IN_KWH * float(weight_in_kg(shop.weight_unit))
    billed = heat_of(studio.furnace, shop.energy_unit)
    return PriceWith(
        heat_to_melt=heat,
        furnace_efficiency=over(heat, times(melt.all_time.use_a_weight, billed.heat_in_unit)),
        heat_factor=billed.heat_factor,
        heat_in_unit=billed.heat_in_unit,
        year_weight=year_weight,
        starts_a_weight=starts_a_weight,
        charges_a_weight=charges_a_weight,
        days_a_weight=days_a_weight,
        price_charge=window.step_charge,
        price_melt=times(over(plus(window.charge_use, window.blow_use), weight), price),
        price_hot=hot,
        price_standing=standing,
        price_wear_charge=wear_charge,
        price_wear_day=wear_day,
        price_wear_start=wear_start,
        price_wear=wear,
        price_glass=glass,
        price_own=own,
        price_line_standing=line_standing,
        price_line_wear=line_wear,
        price_line_glass=line_glass,
        price_line_own=line_own,
        price_line_sold=over(line_own, shares.ends_share, shop.share_good),
    )


STEPS = ("charge", "melt", "hot", "standing", "wear", "glass", "own")
LINES = ("line_standing", "line_wear", "line_glass", "line_own", "line_sold")


def publish_ladder(results: Results, studio: Studio, melt: Melt, prices: PriceWith) -> None:
    """The ladder of all time and of the owner's dates, beside the one to price with."""
    asked = studio.shop.period_from is not None or studio.shop.period_to is not None
    for step in STEPS:
        happened = _rung(melt.all_time, f"step_{step}")
        expected: Maybe = getattr(prices, f"price_{step}")
        results.put(**{f"happened_{step}": happened})
        results.put(**{f"chosen_{step}": _rung(melt.chosen, f"step_{step}") if asked else None})
        results.put(**{f"gap_{step}": plus(happened, times(-1, expected))})
    for line in LINES:
        results.put(**{f"happened_{line}": _rung(melt.all_time, line)})
        results.put(**{f"chosen_{line}": _rung(melt.chosen, line) if asked else None})


def _rung(period: Period, name: str) -> Maybe:
    found: Maybe = getattr(period, name)
    return found
