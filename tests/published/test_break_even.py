"""The seats from which on a class leaves something, by the common formula of cost, volume and profit."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.published.both import answer, both, given


def test_seats_to_break_even(tmp_path: Path) -> None:
    """Common practice, no source: fixed costs ÷ (price − what one more costs), up to the next whole seat.

    120 / (48 - 10) = 3.16, so 4; 1,140 / 38 = 30. An open hour costs nothing here, so that a session costs its teacher.
    """
    posed = given("break_even")
    courses = [
        {"name": f"Class {row}", "seats": 40, "hours": 1, "pay": fixed, "materials": posed["student"]}
        | {"price": posed["price"]}
        for row, fixed in enumerate(posed["fixed"], start=1)
    ]
    book = both(tmp_path, hire={"hire_day_typed": 0, "hire_open_hours": 1}, courses=courses)
    assert [book.number("course_even", row) for row in (1, 2)] == answer("break_even")
    assert book.number("course_over", 1) == posed["price"] - posed["student"]
    # At the second class's number nothing is lost and nothing left.
    full = [course | {"seats": number} for course, number in zip(courses, answer("break_even"), strict=True)]
    left = both(tmp_path, hire={"hire_day_typed": 0, "hire_open_hours": 1}, courses=full)
    assert left.number("course_leaves", 1) == pytest.approx(4 * 38 - 120)
    assert left.number("course_leaves", 2) == pytest.approx(0)
