"""Twists of bench hire and classes: texts for numbers, borders, and pairs of which one side is typed over."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.fields.courses import TYPED_SESSION, TYPED_STUDENT
from tests.mutation.right import Cells, Right, Twist
from tests.mutation.two_ways import PLACES

AN_HOUR = PLACES["hire_adds_up: An open hour × hours"]
SESSIONS = PLACES["hire_adds_up: Sessions"]
NO_DAY: Cells = {"hire_day_typed": None}


def hire_side(right: Right) -> Iterator[Twist]:
    """All of them."""
    yield from _texts()
    yield from _borders()
    yield from _rounded()
    yield from _pairs(right)


def _texts() -> Iterator[Twist]:
    """A text where a number belongs counts as nothing typed."""
    yield Twist({"hire_day_typed": "50", "furnace_pool": 90, "period_hot_days.3": 6}, {"hire_day": 15})
    yield Twist({"hire_open_hours": "8 h"}, {"hire_equipment": None, "hire_annealing": None, "hire_furnace": None})
    yield Twist({"hire_sold": "half", "hire_open_hour": 7}, {"hire_hour": 7})
    yield Twist({"hire_margin": "some", "hire_hour": 7}, {"hire_needed": 7})
    yield Twist({"furnace_pool": 90, "period_hot_days.3": 0, "period_days.3": 4, **NO_DAY}, {"hire_day": None})
    yield Twist({"glass_price_known.1": 5, "glass_price.1": 3}, {"hire_glass": 5})
    session = dict.fromkeys((f"{name}.1" for name in TYPED_SESSION), None)
    yield Twist({**session, "course_glass.1": "some"}, {"course_typed_session.1": 1})
    student = dict.fromkeys((f"{name}.1" for name in TYPED_STUDENT), None)
    yield Twist({**student, "course_price.1": "75 each"}, {"course_typed_student.1": 1})
    named: Cells = {"course_name.1": "A"}
    yield Twist({**named, "course_seats.1": "six"}, {"course_asks.1": "Type the seats.", "course_paying.1": None})
    yield Twist({**named, "course_seats.1": 6, "course_hours.1": "two"}, {"course_asks.1": "Type the hours."})
    yield Twist(
        {**named, "course_price.1": "75 each"}, {"course_verdict.1": "Type what you ask.", "course_net.1": None}
    )


def _borders() -> Iterator[Twist]:
    wide: Cells = {"close_enough": 0.25, "course_name.1": "A"}
    for fixed, over, even in (
        (0.25, 5, 0),
        (0.5, 0.25, "No number can"),
        (0.5, 0.5, 1),
        (1, 0.4, 3),
        (1.20000012, 0.4, 3),
    ):
        yield Twist({**wide, "course_fixed.1": fixed, "course_over.1": over}, {"course_even.1": even})
    for net, margin in ((0.25, "At a loss"), (0.5, -1)):
        yield Twist({**wide, "course_net.1": net, "course_cost.1": 1}, {"course_margin_now.1": margin})
        yield Twist({"close_enough": 0.25, "hire_net": net, "hire_hour": 1}, {"hire_margin_now": margin})


def _rounded() -> Iterator[Twist]:
    """Up to the cent, unless it is only a computer's fraction over one; seats to the nearest whole one."""
    for needed, asked in (("hire_needed", "hire_ask"), ("course_needed.1", "course_ask.1")):
        cents: Cells = {"tag_factor": 1, "money_step": 0.01, "money_digits": 2}
        for amount, up in ((12.34, 12.34), (12.3400004, 12.34), (12.340001, 12.35), (12.345, 12.35), (-0.016, -0.01)):
            yield Twist({**cents, needed: amount}, {asked: up})
        yield Twist({**cents, "money_step": 3, needed: 3.000001}, {asked: 3})
        yield Twist({**cents, "money_digits": 0, needed: 12.34}, {asked: 12})
    breaks: Cells = {"course_even.1": 2, "course_seats.1": 4.4999997}
    yield Twist(breaks, {"course_breaks.1": "Breaks even with 2 of 5."})


def _pairs(right: Right) -> Iterator[Twist]:
    """One side is typed over, and only that one moves."""
    one, other = right.number(f"pair_one.{AN_HOUR}"), right.number(f"pair_other.{AN_HOUR}")
    hours = right.number("hire_open_hours")
    more: Cells = {"hire_open_hour": right.number("hire_open_hour") + 1}
    yield Twist(more, {f"pair_one.{AN_HOUR}": one + hours, f"pair_other.{AN_HOUR}": other})
    yield Twist({"hire_open_hour": None}, {f"pair_one.{AN_HOUR}": 0, f"pair_other.{AN_HOUR}": 0})
    for row in right.rows("course_leaves"):
        now = right.value(f"course_leaves.{row}")
        leaves = now if isinstance(now, int | float) else 0
        sessions = right.number(f"pair_one.{SESSIONS}")
        yield Twist({f"course_leaves.{row}": leaves + 3}, {f"pair_one.{SESSIONS}": sessions + 3})
