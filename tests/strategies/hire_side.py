"""Benches that are let and classes that are taught in a generated studio; many shops do neither."""

from __future__ import annotations

from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.hire import Course, Hire
from meltbook.studio.model import Studio
from tests.strategies.chance import Chance, without_blanks

Row = dict[str, Any]


def with_hire(chance: Chance, studio: Studio, capacity: Capacity) -> Studio:
    """The studio, now and then with its bench to let, and with classes."""
    if not chance.likely(70):
        return studio
    rows = [_course(chance, number) for number in range(1, chance.whole(0, capacity.courses) + 1)]
    return studio.model_copy(
        update={
            "hire": Hire.model_validate(_hire(chance)),
            "courses": tuple(Course.model_validate(row) for row in rows),
        }
    )


def _hire(chance: Chance) -> Row:
    return without_blanks(
        {
            "hire_day_typed": chance.of(None, None, 55.5, 0.0),
            "hire_open_hours": chance.odd(chance.of(8.0, 6.5, 0.3), None, 0.0),
            "hire_sold": chance.odd(chance.of(None, 0.6, 1.0), 0.0),
            "hire_attendant": chance.of(None, 18.0, 0.0),
            "hire_loads": chance.of(None, 1.0, 0.5, 0.0),
            "hire_margin": chance.odd(chance.of(None, 0.2, 0.1), 1.0),
            "hire_price": chance.odd(chance.of(60.0, 28.5, None), 0.0),
        }
    )


def _course(chance: Chance, number: int) -> Row:
    if chance.strange():
        return chance.of({}, {"seats": 6.0}, {"empty": 0.0}, {"name": "Class"}, {"name": "Class", "seats": 4.0})
    row: Row = {
        "name": chance.odd(f"Class {number}", None),
        "seats": chance.odd(chance.of(6.0, 8.0, 1.0, 2.5), None, 0.0),
        "hours": chance.odd(chance.of(3.0, 2.5, 0.0), None),
        "prep": chance.of(None, 1.0, 0.5),
        "pay": chance.of(None, 150.0, 0.0, 0.1),
        "glass": chance.of(None, 1.5, 0.1),
        "materials": chance.of(None, 4.2, 0.2),
        "load": chance.of(None, 0.05, 0.1),
        "packing": chance.of(None, 2.0),
        "empty": 1.0 if chance.likely(4) else chance.of(None, 0.1, 0.25),
        "fee": chance.odd(chance.of(None, 0.03), 1.0),
        "margin": chance.odd(chance.of(None, 0.2, 0.3), 1.0),
        "price": chance.odd(chance.of(95.0, 160.0, 48.5, 2.5, None), 0.0),
    }
    return without_blanks(row)
