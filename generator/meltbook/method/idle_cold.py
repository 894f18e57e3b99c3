"""Idle, or let the furnace go cold, until it is needed again."""

from __future__ import annotations

import math
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, half_up, in_words, opt, plus, times
from meltbook.method.constants import CLOSENESS
from meltbook.studio.decisions import Decisions

GAPS = 30
GO_COLD, IDLE = "Go cold", "Idle"


@dataclass(slots=True)
class DayCosts:
    """What an idle day and a heat-up take and cost; blank where neither the log nor the owner tells."""

    price_now: Maybe
    price_lacks: str
    pot_cost: Maybe
    idle_day_use: Maybe
    heatup_use_one: Maybe
    heatup_days_one: Maybe
    idle_day_cost: Maybe
    heatup_cost_one: Maybe


@dataclass(slots=True)
class Gap:
    """So many days: what idling and what going cold cost."""

    gap_idle: Maybe = None
    gap_cold: Maybe = None
    gap_saves: Maybe = None
    gap_choice: str | None = None


@dataclass(slots=True)
class IdleOrCold:
    """Where the two cross, and the answer for the days that the owner asks about."""

    gaps: list[Gap]
    cold_trip_days: Maybe
    crack_cost: Maybe
    cold_cost_once: Maybe
    gap_crossing: Maybe = None
    gap_first_cold: int | None = None
    gap_last_idle: int | None = None
    gap_last_words: str | None = None
    gap_sentence: str | None = None
    asked_idle: Maybe = None
    asked_cold: Maybe = None
    asked_saves: Maybe = None
    asked_words: str | None = None
    asked_sentence: str | None = None
    gap_number_words: str | None = None
    gap_words: str | None = None
    gap_answer: str | None = None
    gap_uncounted: str | None = None
    gap_missing: str | None = None
    gap_lacks: str = ""
    gap_lacks_more: str = ""


def days_in_words(days: float) -> str:
    """14, or 2.50 where it is no whole number."""
    near = half_up(days, 6)
    return f"{near:.0f}" if near == math.floor(near) else in_words(days)


def weigh_idling(typed: Decisions, costs: DayCosts) -> IdleOrCold:
    """Work out both costs for each gap of up to 30 days, and for the one asked about."""
    crack = times(typed.crack_chance, opt(costs.pot_cost) + opt(typed.glass_worth))
    cooling = times(opt(typed.cooling_days) * opt(typed.cooling_use), costs.price_now)
    once = plus(cooling, costs.heatup_cost_one, opt(crack), opt(typed.cold_labour))
    trip = plus(opt(typed.cooling_days), costs.heatup_days_one)
    found = IdleOrCold([], trip, crack, once)
    found.gaps = [_gap(float(days), typed, costs, found) for days in range(1, GAPS + 1)]
    if typed.gap_days is not None:
        asked = _gap(typed.gap_days, typed, costs, found)
        found.asked_idle, found.asked_cold, found.asked_saves = asked.gap_idle, asked.gap_cold, asked.gap_saves
        found.gap_number_words = days_in_words(typed.gap_days)
        found.gap_words = found.gap_number_words + (" day" if typed.gap_days == 1 else " days")
        if asked.gap_saves is not None:
            found.asked_words = in_words(abs(asked.gap_saves))
            what = f"{'going cold' if asked.gap_saves > 0 else 'idling'} saves {found.asked_words}"
            if found.asked_words == in_words(0):
                what = "both cost the same"
            found.asked_sentence = f"For {found.gap_words}, {what}."
    if typed.crack_chance is None and typed.cold_labour is None and typed.day_value is None:
        found.gap_uncounted = " No crack, work or lost days counted yet."
    _cross(found, typed, costs)
    _say_missing(found, costs)
    return found


def _gap(days: float, typed: Decisions, costs: DayCosts, found: IdleOrCold) -> Gap:
    gap = Gap(times(days, costs.idle_day_cost))
    if found.cold_cost_once is not None and found.cold_trip_days is not None:
        gap.gap_cold = found.cold_cost_once + max(0.0, found.cold_trip_days - days) * opt(typed.day_value)
    if gap.gap_idle is not None and gap.gap_cold is not None:
        gap.gap_saves = gap.gap_idle - gap.gap_cold
        gap.gap_choice = GO_COLD if gap.gap_saves > CLOSENESS else IDLE
    return gap


def _cross(found: IdleOrCold, typed: Decisions, costs: DayCosts) -> None:
    once, trip, a_day = found.cold_cost_once, found.cold_trip_days, costs.idle_day_cost
    if once is None or trip is None or not a_day:
        return
    lost = opt(typed.day_value)
    found.gap_crossing = once / a_day if once >= trip * a_day else (once + trip * lost) / (a_day + lost)
    last = math.floor(half_up(found.gap_crossing, 6))
    found.gap_last_idle, found.gap_first_cold = last, last + 1
    found.gap_last_words = f"{last} day" if last == 1 else f"{last} days"
    found.gap_answer = (
        f"Idle for up to {found.gap_last_words}; from {last + 1} days on, going cold costs less."
        if last
        else "Going cold costs less from the first day on."
    )
    found.gap_sentence = found.gap_answer + (found.gap_uncounted or "")


def _say_missing(found: IdleOrCold, costs: DayCosts) -> None:
    no_start = costs.heatup_use_one is None or costs.heatup_days_one is None
    found.gap_lacks_more = (
        "Log a heat-up, or type its energy and days."
        if no_start
        else "An idle day costs nothing here, so there is nothing to weigh."
    )
    no_idle = costs.idle_day_use is None
    found.gap_lacks = "Log an idle day, or type the energy of one." if no_idle else found.gap_lacks_more
    if found.gap_crossing is None:
        found.gap_missing = costs.price_lacks if costs.price_now is None else found.gap_lacks
