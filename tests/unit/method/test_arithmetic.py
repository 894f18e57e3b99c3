from __future__ import annotations

from datetime import date

import pytest

from meltbook.method.arithmetic import (
    calendar,
    dflt,
    half_up,
    in_words,
    opt,
    over,
    plus,
    serial,
    times,
    to_the_cent,
    total,
    up_to_step,
)


def test_a_blank_spreads_through_sums_products_and_quotients() -> None:
    assert plus(1, None) is None
    assert times(2, None) is None
    assert over(None, 2) is None
    assert over(2, None) is None
    assert over(2, 0) is None
    assert plus(1, 2) == 3
    assert times(2, 3) == 6
    assert over(12, 2, 3) == 2


def test_a_blank_counts_as_nothing_only_where_asked() -> None:
    assert opt(None) == 0
    assert dflt(None, 4) == 4
    assert dflt(0, 4) == 0
    assert total([1, None, 2]) == 3


@pytest.mark.parametrize(
    ("value", "digits", "rounded"),
    [(0.125, 2, 0.13), (1.005, 2, 1.01), (-0.125, 2, -0.13), (2.5, 0, 3), (3.5, 0, 4), (12.344999, 2, 12.34)],
)
def test_rounding_goes_half_away_from_zero(value: float, digits: int, rounded: float) -> None:
    assert half_up(value, digits) == rounded


def test_money_is_rounded_half_up_in_the_currencys_digits() -> None:
    assert to_the_cent(0.285, 2) == 0.29
    assert to_the_cent(1234.5, 0) == 1235


@pytest.mark.parametrize(
    ("value", "step", "ending", "tag"),
    [
        (58.89, 1, 0.95, 58.95),  # (58.89 - 0.95) / 1 = 57.94, up to 58
        (58.95, 1, 0.95, 58.95),  # already there
        (58.96, 1, 0.95, 59.95),
        (0.30, 1, 0.95, 0.95),  # never below the ending
        (0.15, 0.05, 0, 0.15),  # 0.15 / 0.05 is 2.9999999999999996 in binary
        (0.151, 0.05, 0, 0.20),
        (41.0, 5, 0, 45),
    ],
)
def test_a_tag_is_the_next_step_with_its_ending(value: float, step: float, ending: float, tag: float) -> None:
    assert up_to_step(value, step, ending, 2) == tag


def test_amounts_in_text_have_two_digits() -> None:
    assert [in_words(value) for value in (3.0, 0.5, -12.3, 58.95)] == ["3.00", "0.50", "-12.30", "58.95"]


def test_days_are_counted_as_spreadsheets_do() -> None:
    assert serial(date(2026, 1, 1)) == 46023
    assert serial(date(1900, 3, 1)) == 61
    assert calendar(46023) == date(2026, 1, 1)
