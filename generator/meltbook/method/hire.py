"""Letting the bench: what an open hour costs, what a sold hour has to bring, and what to ask for it.

The shop is open for some hours of a hot day, and those hours carry the whole day of the furnace, whoever works in them
and however many of them are sold. The furnace is the first one, unless a day's cost is typed. Classes, which take open
hours too, are in ``courses``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import Maybe, dflt, in_words, opt, over, plus, times, total
from meltbook.method.courses import TYPE_HOT_DAY, TYPE_OPEN_HOURS, CourseCost, Terms, cost_courses
from meltbook.method.equipment import ANNEALER, GLORY_HOLE, EquipmentCost
from meltbook.method.melt import Period
from meltbook.method.pieces import Workshop
from meltbook.method.prices import Pricing
from meltbook.method.ranking import Lists
from meltbook.studio.hire import Hire
from meltbook.studio.model import Studio
from meltbook.units import money_digits


@dataclass(slots=True)
class Hiring:
    """An open hour, the hour that is let, and the classes."""

    hire_day: Maybe = None
    hire_furnace: Maybe = None
    hire_equipment: Maybe = None
    hire_annealing: Maybe = None
    hire_overhead: Maybe = None
    hire_shop_hour: Maybe = None
    hire_open_hour: Maybe = None
    hire_lacks_equipment: str | None = None
    hire_lacks_rest: str | None = None
    hire_lacks: str | None = None
    hire_missing: str | None = None
    hire_hour: Maybe = None
    hire_needed: float | str | None = None
    hire_ask: float | str | None = None
    hire_net: Maybe = None
    hire_margin_now: float | str | None = None
    hire_left: Maybe = None
    hire_glass: Maybe = None
    hire_open_words: str | None = None
    hire_needed_words: str | None = None
    hire_sentence: str | None = None
    hire_own: Maybe = None
    courses: list[CourseCost] = field(default_factory=list)


def let_the_bench(
    studio: Studio, prepared: int, workshop: Workshop, window: Period, pricing: Pricing, lists: Lists
) -> Hiring:
    """Work out the chapter, with ``prepared`` rows for classes.

    ``workshop`` and the pricing window ``window`` are the first furnace's.
    """
    typed, equipment = studio.hire, workshop.equipment
    glass_price = workshop.glasses[0].glass_price_known
    terms = Terms(pricing.tag_factor, money_digits(studio.shop.currency))
    hiring = Hiring(hire_glass=glass_price or None)
    hiring.hire_day = typed.hire_day_typed
    if hiring.hire_day is None:
        hiring.hire_day = over(workshop.rates.furnace_pool, window.period_hot_days)
    hiring.hire_overhead = workshop.rates.overhead_hour
    _open_hour(hiring, typed, equipment)
    _what_is_missing(hiring, typed, equipment)
    _sold_hour(hiring, typed, terms)
    lefts = [rank.left_ranked for rank in lists.ranks if rank.left_ranked is not None]
    hiring.hire_own = over(total(lefts), len(lefts))
    load = equipment[ANNEALER].equipment_load
    wanted = TYPE_HOT_DAY if typed.hire_open_hours else TYPE_OPEN_HOURS
    hiring.courses = cost_courses(studio.courses, prepared, hiring.hire_shop_hour, glass_price, load, terms, wanted)
    return hiring


def _open_hour(hiring: Hiring, typed: Hire, equipment: Sequence[EquipmentCost]) -> None:
    """A hot day of the furnace, the equipment, the rent and whoever is there, for one open hour."""
    hours = typed.hire_open_hours
    hiring.hire_furnace = over(hiring.hire_day, hours)
    hiring.hire_equipment = plus(*(each.equipment_open_hour for each in equipment))
    hiring.hire_annealing = over(opt(typed.hire_loads) * total(each.equipment_load for each in equipment), hours)
    hiring.hire_shop_hour = plus(hiring.hire_furnace, hiring.hire_equipment, opt(hiring.hire_overhead))
    hiring.hire_open_hour = plus(hiring.hire_shop_hour, hiring.hire_annealing, opt(typed.hire_attendant))


def _what_is_missing(hiring: Hiring, typed: Hire, equipment: Sequence[EquipmentCost]) -> None:
    """Name what the hour leaves out because it was never typed, not even as 0."""
    unknown_load = opt(typed.hire_loads) > 0 and not equipment[ANNEALER].equipment_known
    of_equipment = {
        "glory hole": not equipment[GLORY_HOLE].equipment_known,
        "annealing": typed.hire_loads is None or unknown_load,
    }
    rest = {
        "rent and other overheads": hiring.hire_overhead is None,
        "attendant": typed.hire_attendant is None,
    }
    hiring.hire_lacks_equipment, hiring.hire_lacks_rest = _listed(of_equipment), _listed(rest)
    hiring.hire_lacks = _listed(of_equipment | rest)
    if hiring.hire_open_hour is not None and hiring.hire_lacks:
        hiring.hire_missing = f"Not in it yet{hiring.hire_lacks.replace(',', ':', 1)}."


def _listed(missing: dict[str, bool]) -> str | None:
    """Those that are missing, each with a comma before it."""
    return "".join(f", {name}" for name, is_missing in missing.items() if is_missing) or None


def _sold_hour(hiring: Hiring, typed: Hire, terms: Terms) -> None:
    """Hours that are sold carry those that are not; then the margin, and what the price of today leaves."""
    hiring.hire_hour = over(hiring.hire_open_hour, dflt(typed.hire_sold, 1))
    hiring.hire_needed = terms.needed(hiring.hire_hour, typed.hire_margin)
    hiring.hire_ask = terms.asked(hiring.hire_needed)
    hiring.hire_net = terms.before_tax(typed.hire_price)
    hiring.hire_margin_now = terms.margin(hiring.hire_net, hiring.hire_hour)
    hiring.hire_left = plus(hiring.hire_net, times(-1, hiring.hire_hour))
    if hiring.hire_open_hour is not None:
        hiring.hire_open_words = in_words(hiring.hire_open_hour)
    if isinstance(hiring.hire_needed, float):
        hiring.hire_needed_words = in_words(hiring.hire_needed)
        costs, brings = hiring.hire_open_words, hiring.hire_needed_words
        hiring.hire_sentence = f"An open hour costs {costs}; an hour that is sold has to bring {brings} before tax."
