"""Classes: what a seat costs, what to ask for it, and how many seats pay for a session.

A session costs its open hours and whoever teaches, however many come; each student costs the glass that is drawn and
what is used and taken home. The seats that are paid for carry both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from meltbook.method.arithmetic import (
    Maybe,
    flag,
    half_up,
    nearest,
    opt,
    over,
    plus,
    times,
    up_to_the_cent,
)
from meltbook.method.constants import CLOSENESS, NO_TAG
from meltbook.method.prices import margin_of
from meltbook.studio.hire import Course

NO_NUMBER = "No number can"
"""Seats to break even, where each seat costs at least what it brings."""

TYPE_SEATS = "Type the seats."
TYPE_HOURS = "Type the hours."
TYPE_OPEN_HOURS = "Type hours open on a hot day."
TYPE_HOT_DAY = "Type a hot day of the furnace."
NOBODY_PAYS = "Nobody pays."
TYPE_PRICE = "Type what you ask."
NEVER_ENOUGH = "At this price no number of seats is enough."


class Terms(NamedTuple):
    """How prices are quoted: with tax or without, in whole coins of the currency."""

    tag_factor: float
    digits: int

    def needed(self, cost: Maybe, *kept_back: Maybe) -> float | str | None:
        """What has to come in, before tax, so that a cost is left of it after each of these parts is taken."""
        if cost is None:
            return None
        if any(opt(part) >= 1 for part in kept_back):
            return NO_TAG
        for part in kept_back:
            cost /= 1 - opt(part)
        return cost

    def asked(self, needed: float | str | None) -> float | str | None:
        """The price to quote for it: with tax where tags include it, up to the next coin."""
        return up_to_the_cent(needed * self.tag_factor, self.digits) if isinstance(needed, float) else needed

    def before_tax(self, price: Maybe) -> Maybe:
        """What a quoted price brings."""
        return over(price, self.tag_factor)

    def margin(self, net: Maybe, cost: Maybe) -> float | str | None:
        """The same part of it as in the ways of selling; blank where either is unknown."""
        if net is None or cost is None:
            return None
        return margin_of(net, cost)


@dataclass(slots=True)
class CourseCost:
    """A class with all its figures. A row without a name stays blank."""

    typed: Course
    course_named: int = 0
    course_nameless: int = 0
    course_typed_session: int = 0
    course_typed_student: int = 0
    course_paying: Maybe = None
    course_shop: Maybe = None
    course_fixed: Maybe = None
    course_student: Maybe = None
    course_cost: Maybe = None
    course_needed: float | str | None = None
    course_ask: float | str | None = None
    course_net: Maybe = None
    course_over: Maybe = None
    course_leaves: Maybe = None
    course_margin_now: float | str | None = None
    course_even: int | str | None = None
    course_hour: Maybe = None
    course_asks: str | None = None
    course_waits: str | None = None
    course_breaks: str | None = None
    course_verdict: str | None = None
    course_says: str | None = None
    course_brings: float = 0.0
    course_takes: float = 0.0


def cost_courses(
    typed: Sequence[Course],
    prepared: int,
    shop_hour: Maybe,
    glass_price: float,
    load: float,
    terms: Terms,
    wanted: str = TYPE_OPEN_HOURS,
) -> list[CourseCost]:
    """Every class. An hour of the open shop, a weight of glass and an annealer load cost what is given.

    ``wanted`` are the words for what an hour's cost still waits for.
    """
    courses = [CourseCost(row) for row in (*typed, *(Course() for _ in range(prepared - len(typed))))]
    for course in courses:
        row = course.typed
        _count_typed(course)
        if row.name:
            course.course_named = 1
            hours = opt(row.hours) + opt(row.prep)
            course.course_shop = None if row.hours is None else times(hours, shop_hour)
            glass, annealing = opt(row.glass) * glass_price, opt(row.load) * load
            course.course_student = glass + opt(row.materials) + annealing + opt(row.packing)
            _seat(course, terms)
            _session(course, hours)
            _say(course, shop_hour, wanted)
        else:
            course.course_nameless = flag(course.course_typed_session + course.course_typed_student > 0)
    return courses


def _count_typed(course: CourseCost) -> None:
    """How much of a row is filled in, of a session with its glass and of the rest."""
    session = {"seats", "hours", "prep", "pay", "glass", "empty"}
    typed = {key for key, value in course.typed if value is not None and key != "name"}
    course.course_typed_session = len(typed & session)
    course.course_typed_student = len(typed - session)


def _seat(course: CourseCost, terms: Terms) -> None:
    """What a seat that is paid for costs, what to ask for it, and what today's price leaves of it."""
    row = course.typed
    course.course_paying = times(row.seats, 1 - opt(row.empty))
    course.course_fixed = plus(course.course_shop, opt(row.pay))
    course.course_cost = plus(over(course.course_fixed, course.course_paying), course.course_student)
    course.course_needed = terms.needed(course.course_cost, row.margin, row.fee)
    course.course_ask = terms.asked(course.course_needed)
    course.course_net = times(terms.before_tax(row.price), 1 - opt(row.fee))
    course.course_over = plus(course.course_net, -opt(course.course_student))
    course.course_margin_now = terms.margin(course.course_net, course.course_cost)


def _session(course: CourseCost, hours: float) -> None:
    """What a session leaves, and from how many seats on it does."""
    students = times(course.course_paying, course.course_over)
    course.course_leaves = plus(students, times(-1, course.course_fixed))
    course.course_hour = over(plus(students, -opt(course.typed.pay)), hours)
    course.course_even = _seats_to_break_even(course.course_fixed, course.course_over)
    if course.course_leaves is not None and course.course_fixed is not None:
        each_session = times(course.course_paying, course.course_net)
        seats_cost = times(course.course_paying, course.course_cost)
        course.course_brings = opt(each_session)
        course.course_takes = course.course_fixed if seats_cost is None else seats_cost


def _seats_to_break_even(fixed: Maybe, each_leaves: Maybe) -> int | str | None:
    if fixed is None or each_leaves is None:
        return None
    if fixed <= CLOSENESS:
        return 0
    if each_leaves <= CLOSENESS:
        return NO_NUMBER
    return math.ceil(half_up(fixed / each_leaves, 6))


def _say(course: CourseCost, shop_hour: Maybe, wanted: str) -> None:
    """The first thing that is missing; once nothing is, whether the seats are enough."""
    row, even = course.typed, course.course_even
    seats = opt(row.seats)
    if isinstance(even, int) and row.seats is not None:
        enough = f"Breaks even with {even} of {nearest(seats)}."
        course.course_breaks = enough if even <= seats else f"Needs {even} seats, has {nearest(seats)}."
    course.course_asks = _first((seats == 0, TYPE_SEATS), (row.hours is None, TYPE_HOURS))
    course.course_waits = _first((shop_hour is None, wanted), (course.course_paying == 0, NOBODY_PAYS))
    judged = course.course_breaks if isinstance(even, int) else NEVER_ENOUGH
    course.course_verdict = TYPE_PRICE if row.price is None else judged
    course.course_says = course.course_asks or course.course_waits or course.course_verdict


def _first(*cases: tuple[bool, str]) -> str | None:
    """The words of the first case that holds."""
    return next((words for holds, words in cases if holds), None)
