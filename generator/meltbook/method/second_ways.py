"""Sums that the book makes twice, for its checks: what each comes to in a sound book.

A sheet can hold a formula that was typed over; a studio that is read from values can't. So both ways to a
figure give the same here, and each is worked out once, from the finished figures. The exception are campaigns
beyond those that the book has rows for. The order is that of the pairs on the Checks sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from meltbook.method.arithmetic import Maybe, flag, opt, total
from meltbook.method.bench import Rates
from meltbook.method.checks import Book
from meltbook.method.constants import (
    CHARGE,
    CLOSENESS,
    DAYS_IN_YEAR,
    HEAT_UP,
    MIXED_KINDS,
    NEW_METER,
    NO_METER,
    WATTS_IN_KILOWATT,
)
from meltbook.method.energy import READ, LogDay, counted_use
from meltbook.method.equipment import ANNEALER, GLORY_HOLE, OTHER, EquipmentCost
from meltbook.method.machines_again import machine_pairs
from meltbook.method.melt import CAMPAIGN, Period
from meltbook.method.melt_prices import LINES, STEPS, PriceWith
from meltbook.method.results import Results
from meltbook.method.ways_again import log_whole

Way = float | tuple[float, float]
"""What a figure comes to, or the two that the ways to it come to."""


class Known(NamedTuple):
    """Everything that the sums are made of."""

    results: Results
    book: Book
    rates: Rates
    equipment: Sequence[EquipmentCost]
    prices: PriceWith

    def total(self, *names: str) -> float:
        """The numbers of some columns, added up."""
        return total(value for name in names for value in self.results.columns[name] if isinstance(value, int | float))

    def products(self, *names: str) -> float:
        """The sum over the rows of columns multiplied with one another; a row that lacks one counts 0."""
        rows = zip(*(self.results.columns[name] for name in names), strict=True)
        return total(_product(row) for row in rows)

    def typed(self, key: str, *, beside: str = "") -> float:
        """What is typed in a column of Pieces; only in rows where another one is typed too, if asked."""
        return total(
            getattr(piece.typed, key)
            for piece in self.book.pieces
            if piece.named and (not beside or getattr(piece.typed, beside) is not None)
        )


def _product(values: Iterable[object]) -> float:
    result = 1.0
    for value in values:
        result *= value if isinstance(value, int | float) else 0.0
    return result


def publish_pairs(known: Known) -> None:
    """Add the three columns of the pairs."""
    ways: list[Way] = []
    for check, chapters in CHECKED.items():
        found = [way for chapter in chapters for way in chapter(known)]
        known.results.groups[check] = range(len(ways), len(ways) + len(found))
        ways += found
    both = [way if isinstance(way, tuple) else (way, way) for way in ways]
    known.results.column("pair_one", [one for one, _ in both])
    known.results.column("pair_other", [other for _, other in both])
    apart = [flag(abs(one - other) > CLOSENESS * max(1.0, abs(one))) for one, other in both]
    known.results.column("pair_apart", apart)


def _readings(known: Known) -> Iterator[Way]:
    log, meter, rows = known.book.log, known.book.log.meter, known.book.log.rows
    furnace = known.book.studio.furnace
    if meter.meter_code == NO_METER:
        yield total(row.energy_used for row in rows)
    else:
        yield counted_use(log) - log.last_pending
    yield rows[-1].reading_base - meter.starting_reading
    yield counted_use(log)
    yield sum(row.stretch_close > 0 for row in rows)
    yield rows[-1].reading_factor
    yield meter.starting_factor
    yield opt(meter.kw_measured) * WATTS_IN_KILOWATT
    yield opt(meter.kw_nameplate) * opt(furnace.nameplate_volts) ** 2
    yield meter.starting_reading
    yield total(kind.kind_weight for kind in log.kinds)
    yield total(kind.kind_day_use for kind in log.kinds)
    yield meter.own_basis
    read = [row for row in rows if row.row_kind and row.stretch_state == READ]
    pure = [row for row in read if row.stretch_kind < MIXED_KINDS]
    yield len(read)
    yield len(pure)
    yield sum(row.row_hot_days > 0 for row in pure)
    yield 0.0
    yield sum(row.row_measured for row in rows)
    yield sum(row.row_own for row in rows)


def _costs(known: Known) -> Iterator[Way]:
    log, tariff = known.book.log, known.book.tariff
    yield total(row.energy_cost for row in log.rows)
    end = log.rows[-1].next_day
    for rates in (tariff.prices, tariff.standing):
        yield tariff.accrued(end, rates) if log_whole(log) else 0.0
    yield sum(row.row_priced for row in log.rows)


def _days(known: Known) -> Iterator[Way]:
    book, rows = known.book, known.book.log.rows
    shares = book.melt.shares
    lasting = [row for row in rows if row.row_kind and row.row_kind != NEW_METER]
    days = total(row.row_days for row in rows)
    yield sum(row.row_kind for row in rows)
    yield days + sum(row.typed.days is not None for row in lasting)
    yield total(row.row_hot_days for row in rows)
    yield total(row.weighted_days for row in rows)
    charging = [row for row in rows if row.row_kind == CHARGE and row.row_days > 0]
    yield total(row.row_charges for row in rows) + sum(row.typed.charges is not None for row in charging)
    undated = any(row.row_kind and row.first_day == 0 for row in rows)
    yield 0.0 if undated else days
    yield 0.0
    yield sum(row.row_kind for row in rows if row.row_days > 0)
    yield sum(row.row_kind == HEAT_UP and row.row_days > 0 for row in rows)
    yield book.log.campaign_count
    yield book.log.campaign_count
    strange = [row for row in rows if row.row_kind and row.typed.weight is not None and row.row_glass == 0]
    yield sum(row.row_glass for row in rows) + len(strange)
    yield total(row.glass_charged_cost for row in rows if row.row_measured)
    glasses = book.melt.glasses
    yield total(glass.glass_price_known for glass in glasses)
    yield total(glass.glass_used_weight for glass in glasses)
    yield total(glass.glass_window_weight for glass in glasses)
    yield sum(glass.glass_used_weight > 0 for glass in glasses) + len(strange)
    yield shares.raw_glass_known


def _tariffs(known: Known) -> Iterator[Way]:
    letters = known.book.tariff.letters
    valid = [letter for letter in letters if letter.tariff_valid]
    last = letters[-1]
    yield last.tariff_integral
    yield last.tariff_standing_integral
    yield sum(letter.tariff_shares for letter in letters)
    third = (opt(letter.typed.share_three) * opt(letter.typed.price_three) for letter in letters)
    yield total(letter.tariff_by_share for letter in letters) - total(third)
    yield total(letter.tariff_mix for letter in letters)
    yield total(letter.tariff_all_in for letter in valid) - total(letter.tariff_mix for letter in valid)
    yield 0.0
    yield total(letter.tariff_standing for letter in valid)
    yield 0.0
    yield total(letter.tariff_service_day for letter in letters) * DAYS_IN_YEAR
    yield total(letter.tariff_demand_day for letter in letters) * DAYS_IN_YEAR
    yield sum(letter.tariff_used for letter in letters)
    yield 0.0
    yield 0.0


def _parts(known: Known) -> Iterator[Way]:
    ledger, kinds, parts = known.book.ledger, known.book.ledger.kinds, known.book.ledger.parts
    yield total(row.row_wear for row in known.book.log.rows)
    yield sum(part.part_kind_row for part in parts)
    yield ledger.parts_used
    yield 0.0
    yield 0.0
    yield sum(part.part_is_retired for part in parts)
    yield sum(part.part_basis_code for part in parts)
    uses = total(part.part_uses for part in parts)
    yield uses
    yield uses
    yield sum(part.part_is_retired for part in parts)
    yield known.products("kind_of_part_mean", "kind_of_part_lives")
    yield total(part.part_expected for part in parts)
    yield total(part.part_life_used for part in parts)
    yield total(part.part_rate * opt(part.part_life_used) for part in parts)
    yield total(part.part_rate for part in parts)
    yield sum(part.part_newest for part in parts)
    yield total(kind.kind_of_part_newest for kind in kinds)
    yield total(kind.kind_of_part_cost_used for kind in kinds)
    serving = sum(part.part_serving for part in parts)
    yield serving
    yield serving
    empty = zip(kinds, known.results.columns["kind_of_part_parts"], strict=True)
    yield serving + sum(count != 0 and kind.kind_of_part_in_service == 0 for kind, count in empty)
    yield total(opt(part.part_now_rate) * opt(part.part_expected) for part in parts)
    yield total(part.part_now_rate for part in parts)
    yield sum(part.part_unknown for part in parts)
    yield sum(part.part_now_unknown for part in parts)
    yield ledger.wear_known + ledger.wear_now_known
    yield total(part.part_unused_cost for part in parts)


def _periods(known: Known) -> Iterator[Way]:
    melt = known.book.melt
    spans, everything = melt.spans, melt.all_time
    campaigns = [period for period in melt.periods if period.code == CAMPAIGN]
    for name in ("period_weight", "period_cost", "period_days"):
        yield opt(getattr(everything, name)), total(getattr(period, name) for period in campaigns)
    yield 0.0
    yield total(period.period_use for period in melt.periods)
    yield total(period.period_cost for period in melt.periods)
    yield known.total("period_weight", "period_charges", "period_hot_days", "period_use")
    yield opt(everything.period_weight)
    yield opt(melt.window.period_weight)
    after: list[LogDay] = []
    if spans.window_end is not None:
        after = [row for row in known.book.log.rows if row.row_measured and row.first_day > spans.window_end]
    yield opt(spans.window_year_weight) + total(row.weight for row in after)
    yield 0.0
    yield 0.0
    yield 0.0
    yield (spans.window_end or 0) - (spans.window_start or 0)
    yield 0.0
    yield 0.0


def _ladder(known: Known) -> Iterator[Way]:
    melt, shop = known.book.melt, known.book.studio.shop
    periods, everything = melt.periods, melt.all_time
    yield total(opt(period.line_own) * opt(period.period_weight) for period in periods)
    yield total(opt(period.step_melt) * opt(period.period_weight) for period in periods)
    yield total(period.own_idle_use for period in periods)
    yield total(opt(period.step_charge) * opt(period.own_charge_weight) for period in periods)
    ends = opt(shop.share_drawn) if shop.share_in_pieces is None else shop.share_in_pieces
    yield total(period.line_sold for period in periods) * opt(shop.share_good) * ends
    yield total(period.period_wear for period in periods)
    yield total(period.wear_used_up for period in periods)
    yield opt(everything.period_unused)
    yield opt(everything.wear_paid)
    asked = shop.period_from is not None or shop.period_to is not None
    names = [*(f"step_{step}" for step in STEPS), *LINES]
    half = len(names) // 2
    for shown, counts in ((everything, True), (melt.chosen, asked)):
        for some in (names[:half], names[half:]):
            yield _rungs(shown, some) if counts else 0.0


def _rungs(period: Period, names: Sequence[str]) -> float:
    return total(getattr(period, name) for name in names)


def _per_weight(known: Known) -> Iterator[Way]:
    scalars, prices, melt = known.results.scalars, known.prices, known.book.melt
    window, everything, shop, furnace = melt.window, melt.all_time, known.book.studio.shop, known.book.studio.furnace
    weight, year = opt(window.period_weight), opt(prices.year_weight)
    yield 0.0
    yield _number(scalars["price_now"])
    yield _number(scalars["standing_now"])
    yield year
    yield opt(prices.price_hot) * weight
    yield opt(prices.price_melt) * weight
    yield opt(prices.price_charge)
    yield opt(prices.price_standing) * year
    yield opt(prices.price_wear_charge) * weight
    yield opt(prices.price_wear_day) * weight
    started = window if opt(window.period_starts) > 0 else everything
    yield opt(prices.price_wear_start) * opt(started.period_weight)
    yield opt(prices.price_wear)
    yield opt(prices.price_glass) * weight
    yield opt(prices.price_own) * year
    own = melt.shares.own_yearly
    yield 0.0 if own is None else (own - opt(furnace.furnace_maintenance)) * opt(furnace.furnace_life)
    yield opt(prices.price_line_own) * weight
    ends = opt(shop.share_drawn) if shop.share_in_pieces is None else shop.share_in_pieces
    yield opt(prices.price_line_sold) * opt(shop.share_good) * ends


def _number(value: object) -> float:
    return value if isinstance(value, int | float) else 0.0


def _rates(known: Known) -> Iterator[Way]:
    rates, shop, window = known.rates, known.book.studio.shop, known.book.melt.window
    yield opt(rates.window_minutes)
    per: dict[str, Maybe] = {
        "Weight": opt(window.period_weight) * opt(shop.share_drawn),
        "Gathers": window.period_gathers,
        "Bench minutes": rates.window_minutes,
    }
    yield opt(rates.furnace_rate) * opt(per[shop.furnace_by])
    yield opt(rates.low_rate) * opt(shop.share_drawn)
    yield opt(rates.gather_weight_used)
    yield opt(rates.gaffer_rate) + rates.first_rate + rates.second_rate
    yield rates.off_rate
    yield rates.gaffer_hired + rates.first_hired + rates.second_hired + rates.off_hired
    yield rates.paid_used
    yield rates.overhead_total
    yield opt(rates.overhead_hour) * opt(shop.ordinary_hours) if rates.overhead_total else 0.0
    hourly = [row for row in known.book.studio.equipment if row.per == "Hour" and row.hours is not None]
    costs = [each for each in known.equipment if not each.equipment_detail]
    yield total(each.equipment_minute for each in costs) + total(row.cost for row in hourly) / 60
    yield total(each.equipment_load for each in costs)
    yield rates.overhead_known
    yield known.book.melt.shares.own_known
    yield sum(each.equipment_known for each in costs)
    fed = [each for each in known.equipment if each.equipment_detail]
    driven = total(each.equipment_driven_minute + each.equipment_driven_load for each in fed)
    yield driven + total(each.equipment_minute + each.equipment_load for each in costs)


def _machines(known: Known) -> Iterator[Way]:
    price_now = _number(known.results.scalars["price_now"])
    yield from machine_pairs(known.book.machines, known.equipment, price_now)


def _lines(known: Known) -> Iterator[Way]:
    rates, pieces, equipment = known.rates, known.book.pieces, known.equipment
    named = [piece for piece in pieces if piece.named]
    yield known.total("cost_good")
    yield len(named)
    beside = known.typed("gathers", beside="drawn")
    one_furnace = known.book.furnaces_unknown is None
    yield known.total("piece_drawn_used") + (beside * opt(rates.gather_weight_used) if one_furnace else 0)
    yield known.total("piece_furnace_units")
    yield known.total("cost_furnace")
    yield known.total("piece_glass_row")
    yield known.total("piece_glass_price")
    returned = (
        opt(piece.piece_glass_price) * opt(piece.piece_drawn_used) * opt(piece.typed.recovered) for piece in named
    )
    yield known.total("cost_glass") + total(returned)
    yield total(opt(piece.typed.colour_weight) * opt(piece.typed.colour_price) for piece in named)
    yield known.total("cost_gaffer") * 60
    yield known.total("cost_first", "cost_second") * 60
    yield known.total("cost_off") * 60
    yield known.total("cost_labour")
    yield known.typed("load_share")
    loads = [piece for piece in named if piece.typed.per_load is not None]
    both = sum(piece.typed.load_share is not None for piece in loads)
    yield total(opt(piece.piece_load_part) * opt(piece.typed.per_load) for piece in loads) + both
    minutes = known.typed("minutes")
    yield (known.typed("glory_minutes") + minutes) * equipment[GLORY_HOLE].equipment_minute
    yield minutes * equipment[ANNEALER].equipment_minute
    yield known.typed("other_minutes") * equipment[OTHER].equipment_minute
    yield known.total("cost_materials", "cost_packing")
    yield known.total("cost_overhead") * 60


def _losses(known: Known) -> Iterator[Way]:
    low = "piece_low_known"
    yield known.total("good_share") + known.typed("loss") + known.typed("loss_after")
    yield known.total("kiln_share")
    lost_before = zip(known.book.pieces, known.results.columns["piece_later"], strict=True)
    later = total(opt(piece.typed.loss) * _number(brings) for piece, brings in lost_before if piece.named)
    yield known.total("seconds_credit") + later
    yield known.total("spent_kiln")
    yield known.products("cost_before_packing", "good_share") + known.products("piece_costed", "seconds_credit")
    yield known.total("low_hands")
    hole, kiln = known.equipment[GLORY_HOLE], known.equipment[ANNEALER]
    minutes = known.total("piece_glory_used") * hole.equipment_driven_minute
    minutes += known.typed("minutes") * kiln.equipment_driven_minute
    loads = known.total("piece_load_part") * total(each.equipment_driven_load for each in known.equipment)
    yield minutes + loads
    yield known.total("low_hot") - known.products(low, "low_hands") - known.products(low, "low_equipment")
    yield known.products("low_good", "good_share") + known.products(low, "seconds_credit")
    yield known.typed("minutes")
    yield known.total("not_own_again")
    yield known.total("own_minutes")
    yield known.book.lists.pieces_final


def _terms(known: Known) -> Iterator[Way]:
    pricing = known.book.pricing
    for place, terms in enumerate(pricing.terms):
        exact = [tag.sold[place].tag_exact for tag in pricing.tags]
        tags = [tag for tag in exact if isinstance(tag, float)]
        counted = terms.channel_can and min(tags, default=0.0) > CLOSENESS
        yield total(tags) * terms.channel_factor - len(tags) * terms.channel_costs if counted else 0.0
    for name in ("channel_used", "channel_tag_part", "channel_left", "channel_refunded"):
        yield known.total(name)
    yield known.total("channel_refunded", "channel_replaced")
    for name in ("channel_factor", "channel_costs", "channel_open", "channel_can", "channel_must"):
        yield known.total(name)
    yield pricing.must_count - pricing.must_blocked
    yield pricing.tag_factor + pricing.tag_step_used + pricing.tag_ending_used


def _tags(known: Known) -> Iterator[Way]:
    for measure in ("net", "margin", "lowest", "must", "hours", "earn", "watched"):
        yield known.total(f"slot_{measure}")
    yield known.total("margin_lowest")
    yield known.total("margin_worst")
    yield known.total("tag_gap")
    yield known.total("tag_wanted")
    yield 0.0
    yield known.total("tag_in_force")
    yield known.total("tag_in_force")
    yield known.total("lowest_worst")
    yield known.total("slot_sells")
    yield known.total("must_here")
    yield sum(tag.must_here - tag.must_stuck for tag in known.book.pricing.tags)
    yield known.total("open_here")
    yield known.total("tag_losing")


def _lists(known: Known) -> Iterator[Way]:
    lists = known.book.lists

    def places(count: int) -> float:
        return count * (count + 1) / 2

    yield known.total("left_ranked")
    yield places(sum(rank.left_ranked is not None for rank in lists.ranks))
    yield known.total("left_ranked")
    yield known.total("ranking_tag")
    yield known.total("ranking_minutes")
    yield lists.list_count
    yield lists.list_count + lists.list_held
    yield places(lists.list_count)
    yield known.total("list_row")
    yield 0.0
    yield 0.0
    yield known.total("list_tag")
    slices = ("glass", "furnace", "colour", "labour", "equipment", "materials", "overhead", "losses", "packing")
    yield total(_number(known.results.scalars[f"slice_{name}"]) for name in slices)


def _hired(known: Known) -> Iterator[Way]:
    """A hot day's open hours by what they are made of; what all sessions leave."""
    hiring, typed = known.book.hiring, known.book.studio.hire
    by_hour = opt(hiring.hire_equipment) + opt(hiring.hire_overhead) + opt(typed.hire_attendant)
    by_load = total(each.equipment_load for each in known.equipment)
    day = opt(hiring.hire_day) + by_hour * opt(typed.hire_open_hours) + opt(typed.hire_loads) * by_load
    yield 0.0 if hiring.hire_open_hour is None else day
    yield known.total("course_leaves")


CHECKED: dict[str, tuple[Callable[[Known], Iterator[Way]], ...]] = {
    "use_adds_up": (_readings,),
    "cost_adds_up": (_costs,),
    "days_add_up": (_days,),
    "tariff_adds_up": (_tariffs,),
    "wear_adds_up": (_parts,),
    "campaigns_add_up": (_periods,),
    "ladder_adds_up": (_ladder,),
    "pricing_adds_up": (_per_weight, _rates),
    "machines_add_up": (_machines,),
    "piece_costs_add_up": (_lines, _losses),
    "prices_add_up": (_terms, _tags),
    "ranking_adds_up": (_lists,),
    "hire_adds_up": (_hired,),
}
"""The pairs by the check that looks at them, in order."""
