"""Letting the bench and teaching at it, by hand: an open hour, a sold hour, a seat, the seats that break even."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from meltbook.method import Results, compute
from meltbook.method.arithmetic import up_to_the_cent
from meltbook.method.checks import CHECKS, NOTES
from meltbook.method.constants import AT_A_LOSS, NO_TAG
from meltbook.method.courses import NO_NUMBER, CourseCost, Terms, cost_courses
from meltbook.studio.hire import Course
from tests.strategies.furnaces import furnace_studio, rooms
from tests.strategies.studios import SMALL, corpus_studio
from tests.unit.method.studios import melt, run

Row = dict[str, Any]
NO_TAX = Terms(1.0, 2)
SEEDS = range(60)

EQUIPMENT = [{"cost": 24, "per": "Day"}, {"cost": 9, "per": "Load"}, {"cost": 6, "per": "Hour"}]
RENT = [{"amount": 900, "per": "Year"}]


def let(*, equipment: list[Row] = EQUIPMENT, rent: list[Row] = RENT, courses: Any = (), **typed: Any) -> Results:
    """A hot day at 16, 8 open hours; the glory hole burns 24 a day, the torch 6 an hour; 3 an hour of rent."""
    shop = {"ordinary_hours": 300, "minutes_a_day": 240, **typed.pop("shop", {})}
    hire = {"hire_open_hours": 8, "hire_attendant": 20, "hire_loads": 2, **typed}
    return run(**melt(shop=shop, hire=hire, equipment=equipment, overheads=rent, courses=courses))


def seat(shop_hour: float | None = 14, *, terms: Terms = NO_TAX, **typed: Any) -> Any:
    """A class by itself, at 14 an open hour, 1.50 a weight of glass and 9 an annealer load."""
    return cost_courses([Course(**{"name": "Class", **typed})], 1, shop_hour, 1.5, 9, terms)[0]


def found(results: Results) -> dict[str, object]:
    return {name: number for name, number in zip(CHECKS, results.columns["check_found"], strict=True) if number}


# ---------------------------------------------------------------------------------------------- an open hour


def test_an_open_hour() -> None:
    """16 / 8 = 2 of the furnace; 24 / 8 + 6 = 9 of equipment; 3 of rent; 2 x 9 / 8 = 2.25 of annealing; 20."""
    results = let()
    assert results.value("hire_day") == pytest.approx(16)
    assert results.value("hire_furnace") == pytest.approx(2)
    assert results.columns["equipment_open_hour"] == pytest.approx([3, 0, 6])
    assert results.value("hire_equipment") == pytest.approx(9)
    assert results.value("hire_annealing") == pytest.approx(2.25)
    assert results.value("hire_overhead") == pytest.approx(3)
    assert results.value("hire_shop_hour") == pytest.approx(14)
    assert results.value("hire_open_hour") == pytest.approx(36.25)
    assert results.value("hire_missing") is None


def test_a_typed_day_stands_for_the_logs() -> None:
    assert let(hire_day_typed=40).value("hire_furnace") == pytest.approx(5)
    assert let(hire_day_typed=0).value("hire_furnace") == 0
    no_log = run(hire={"hire_day_typed": 40, "hire_open_hours": 8})
    assert no_log.value("hire_open_hour") == pytest.approx(5)
    assert run(hire={"hire_open_hours": 8}).value("hire_day") is None


@pytest.mark.parametrize("hours", [None, 0])
def test_without_open_hours_there_is_no_hour(hours: float | None) -> None:
    results = let(hire_open_hours=hours, hire_price=60)
    assert results.columns["equipment_open_hour"] == [None] * 3
    for name in ("furnace", "equipment", "annealing", "shop_hour", "open_hour", "missing", "hour", "needed", "ask"):
        assert results.value(f"hire_{name}") is None, name
    for name in ("sentence", "left", "margin_now"):
        assert results.value(f"hire_{name}") is None, name
    assert results.value("hire_net") == 60
    assert results.columns["pair_one"][-2] == 0


def test_machines_that_burn_all_day_are_spread_and_the_others_burn_while_somebody_works() -> None:
    """Pilots: 40 x 0.20 = 8 a day; the burner 5 x 0.20 = 1 an hour. Over 8 open hours 1 + 1 = 2."""
    pilots = {"name": "Pilots", "feeds": "Glory hole", "use": 40, "per": "Day"}
    burner = {"name": "Burner", "feeds": "Glory hole", "use": 5, "per": "Hour"}
    hire = {"hire_open_hours": 8}
    results = run(**melt(shop={"minutes_a_day": 240}, hire=hire, machines=[pilots, burner]))
    assert results.columns["equipment_day_minute"] == pytest.approx([8 / 240, 0, 0])
    assert results.columns["equipment_open_hour"] == pytest.approx([2, 0, 0])
    # A typed cost goes before machines, here too.
    typed = run(
        **melt(shop={"minutes_a_day": 240}, hire=hire, machines=[pilots], equipment=[{"cost": 6, "per": "Hour"}])
    )
    assert typed.columns["equipment_day_minute"] == [0, 0, 0]
    assert typed.columns["equipment_open_hour"] == pytest.approx([6, 0, 0])


def test_a_day_of_equipment_without_minutes_a_day_is_not_known() -> None:
    results = let(shop={"minutes_a_day": None})
    assert results.columns["equipment_open_hour"] == pytest.approx([0, 0, 6])
    assert results.value("hire_missing") == "Not in it yet: glory hole."


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"equipment": []}, "glory hole, annealing"),
        ({"equipment": [], "hire_loads": 0}, "glory hole"),
        ({"equipment": [{"cost": 0}], "hire_loads": 0}, ""),
        ({"equipment": EQUIPMENT[:1]}, "annealing"),
        ({"hire_loads": None}, "annealing"),
        ({"rent": []}, "rent and other overheads"),
        ({"hire_attendant": None}, "attendant"),
        ({"hire_attendant": 0, "hire_loads": 0}, ""),
        (
            {"equipment": [], "rent": [], "hire_loads": None, "hire_attendant": None},
            "glory hole, annealing, rent and other overheads, attendant",
        ),
    ],
)
def test_what_is_not_in_it_is_named(change: Row, missing: str) -> None:
    assert let(**change).value("hire_missing") == (f"Not in it yet: {missing}." if missing else None)


# ---------------------------------------------------------------------------------------------- a sold hour


def test_a_sold_hour() -> None:
    """36.25 / 0.5 = 72.50, / 0.8 = 90.625, x 1.1 = 99.6875. At 110, 100 come in: 27.50 are left of each."""
    shop = {"sales_tax": 0.1, "tax_inside": "Yes"}
    results = let(hire_sold=0.5, hire_margin=0.2, hire_price=110, shop=shop)
    assert results.value("hire_hour") == pytest.approx(72.5)
    assert results.value("hire_needed") == pytest.approx(90.625)
    assert results.value("hire_ask") == 99.69
    assert results.value("hire_net") == pytest.approx(100)
    assert results.value("hire_margin_now") == pytest.approx(0.275)
    assert results.value("hire_left") == pytest.approx(27.5)
    sentence = "An open hour costs 36.25; an hour that is sold has to bring 90.63 before tax."
    assert results.value("hire_sentence") == sentence


def test_a_blank_part_sold_is_all_and_none_sold_carries_nothing() -> None:
    assert let().value("hire_hour") == pytest.approx(36.25)
    none = let(hire_sold=0, hire_price=60)
    assert none.value("hire_open_hour") == pytest.approx(36.25)
    for name in ("hour", "needed", "ask", "left", "margin_now", "sentence"):
        assert none.value(f"hire_{name}") is None, name


def test_all_of_it_as_margin_can_not_be_asked() -> None:
    results = let(hire_margin=1)
    assert results.value("hire_needed") == results.value("hire_ask") == NO_TAG
    assert results.value("hire_sentence") is None
    assert run(hire={"hire_margin": 1}).value("hire_needed") is None  # without an hour there is nothing to say


def test_an_hour_for_nothing_is_at_a_loss() -> None:
    free = let(hire_price=0)
    assert (free.value("hire_margin_now"), free.value("hire_left")) == (AT_A_LOSS, pytest.approx(-36.25))


@pytest.mark.parametrize(
    ("value", "digits", "asked"),
    [
        (9.35, 2, 9.35),
        (8.5 * 1.1, 2, 9.35),  # a little over, for a computer
        (9.3500004, 2, 9.35),
        (9.3500006, 2, 9.36),
        (99.6875, 2, 99.69),
        (99.6875, 0, 100),
        (99.6875, 3, 99.688),
        (0.0, 2, 0),
        (1e12, 2, 1e12),
        (1e20, 2, 1e20),
    ],
)
def test_prices_are_rounded_up_to_the_next_coin(value: float, digits: int, asked: float) -> None:
    assert up_to_the_cent(value, digits) == asked


def test_the_price_list_of_yen_has_no_digits() -> None:
    assert let(shop={"currency": "JPY"}).value("hire_ask") == 37


# ---------------------------------------------------------------------------------------------- a class

PAPERWEIGHTS = {
    "seats": 8,
    "hours": 3,
    "prep": 1,
    "pay": 64,
    "glass": 2,
    "materials": 4,
    "load": 0.1,
    "packing": 2.1,
    "empty": 0.25,
    "fee": 0.04,
    "margin": 0.25,
    "price": 55,
}


def test_a_seat() -> None:
    """Fixed 4 x 14 + 64 = 120 over 6 seats; a student 3 + 4 + 0.90 + 2.10 = 10; so 30, / 0.75 / 0.96, x 1.1."""
    course = seat(terms=Terms(1.1, 2), **PAPERWEIGHTS)
    assert course.course_paying == 6
    assert course.course_shop == 56
    assert course.course_fixed == 120
    assert course.course_student == pytest.approx(10)
    assert course.course_cost == pytest.approx(30)
    assert course.course_needed == pytest.approx(30 / 0.75 / 0.96)
    assert course.course_ask == 45.84
    assert course.course_net == pytest.approx(48)
    assert course.course_over == pytest.approx(38)
    assert course.course_leaves == pytest.approx(108)
    assert course.course_margin_now == pytest.approx(0.375)
    assert course.course_even == 4
    assert course.course_hour == pytest.approx(41)
    assert course.course_says == "Breaks even with 4 of 8."


def test_only_seats_hours_and_the_open_hour_are_needed() -> None:
    course = seat(seats=4, hours=2)
    assert (course.course_fixed, course.course_student, course.course_cost) == (28, 0, 7)
    assert course.course_needed == course.course_ask == 7
    assert (course.course_net, course.course_over, course.course_even, course.course_hour) == (None,) * 4


@pytest.mark.parametrize("part", ["margin", "fee"])
def test_all_of_the_price_taken_leaves_no_price(part: str) -> None:
    course = seat(seats=4, hours=2, **{part: 1})
    assert course.course_needed == course.course_ask == NO_TAG


@pytest.mark.parametrize(
    ("typed", "shop_hour", "says"),
    [
        ({}, 14, "Type the seats."),
        ({"seats": 0, "hours": 1}, None, "Type the seats."),
        ({"seats": 4}, None, "Type the hours."),
        ({"seats": 4, "hours": 0}, None, "Type hours open on a hot day."),
        ({"seats": 4, "hours": 1, "empty": 1}, 14, "Nobody pays."),
        ({"seats": 4, "hours": 1}, 14, "Type what you ask."),
        ({"seats": 4, "hours": 1, "materials": 5, "price": 5}, 14, "At this price no number of seats is enough."),
        ({"seats": 4, "hours": 1, "price": 3}, 14, "Needs 5 seats, has 4."),
        ({"seats": 4, "hours": 1, "price": 3.5}, 14, "Breaks even with 4 of 4."),
        ({"seats": 4.5, "hours": 1, "price": 3}, 14, "Needs 5 seats, has 5."),  # a class of 4 or 5
        ({"seats": 4, "hours": 1, "price": 0}, 0, "Breaks even with 0 of 4."),
    ],
)
def test_what_a_class_says(typed: Row, shop_hour: float | None, says: str) -> None:
    assert seat(shop_hour, **typed).course_says == says


def test_a_seat_for_nothing_is_at_a_loss() -> None:
    course = seat(seats=4, hours=1, price=0)
    assert (course.course_margin_now, course.course_even, course.course_leaves) == (AT_A_LOSS, NO_NUMBER, -14)


def test_a_class_without_hours_has_no_bench_hour() -> None:
    assert seat(seats=4, hours=0, price=10, pay=8).course_hour is None
    assert seat(seats=4, hours=0, prep=2, price=10, pay=8).course_hour == 16


def test_a_row_without_a_name_counts_nothing_and_is_a_fault() -> None:
    courses = [{"name": "Class", "seats": 4, "hours": 1}, {"seats": 0}, {}]
    results = let(courses=courses)
    assert results.columns["course_named"] == [1, 0, 0, 0, 0, 0]
    assert results.columns["course_nameless"] == [0, 1, 0, 0, 0, 0]
    assert results.columns["course_cost"][1:] == [None] * 5
    assert results.columns["name_course_asked"] == ["Class", None, None, None, None, None]
    assert found(results) == {"course_rows": 1}
    assert results.value("check_state", CHECKS.index("course_rows") + 1) == "LOOK"


def test_the_checks_stand_before_the_tags() -> None:
    place = CHECKS.index("stray_prices")
    assert CHECKS[place - 2 : place] == ("course_rows", "hire_adds_up")
    assert not NOTES & {"course_rows", "hire_adds_up"}


# ------------------------------------------------------------------------------------------- whatever is typed

CENTS = st.integers(0, 20_000).map(lambda number: number / 100)
TENTHS = st.integers(0, 9).map(lambda number: number / 10)


@given(shop_hour=CENTS, hours=st.integers(0, 8), pay=CENTS, materials=CENTS, price=CENTS, fee=TENTHS)
def test_seats_that_break_even_are_the_first_that_do(
    shop_hour: float, hours: int, pay: float, materials: float, price: float, fee: float
) -> None:
    """Against trying every number of seats from 0 on."""
    course = seat(shop_hour, seats=8, hours=hours, pay=pay, materials=materials, price=price, fee=fee)

    def leaves(seats: int) -> float:
        return seats * (price * (1 - fee) - materials) - (hours * shop_hour + pay)

    enough = next((seats for seats in range(201) if leaves(seats) > -1e-5), None)
    if enough is not None:
        assert course.course_even == enough
    else:
        assert course.course_even == NO_NUMBER or course.course_even > 200


@given(shop_hour=CENTS, seats=st.integers(1, 12), pay=CENTS, materials=CENTS, margin=TENTHS, fee=TENTHS)
def test_the_asked_price_brings_at_least_the_margin_wanted(
    shop_hour: float, seats: int, pay: float, materials: float, margin: float, fee: float
) -> None:
    terms = Terms(1.21, 2)
    typed = {"seats": seats, "hours": 2, "pay": pay, "materials": materials, "margin": margin, "fee": fee}
    asked = seat(shop_hour, terms=terms, **typed)
    if asked.course_needed > 1:
        exact: CourseCost = seat(shop_hour, terms=terms, **typed, price=asked.course_needed * 1.21)
        assert exact.course_margin_now == pytest.approx(margin)
        up = seat(shop_hour, terms=terms, **typed, price=asked.course_ask)
        assert up.course_margin_now >= margin - 1e-5
        assert up.course_leaves == pytest.approx(up.course_paying * (up.course_net - up.course_cost), abs=1e-6)
        a_cent_less = seat(shop_hour, terms=terms, **typed, price=asked.course_ask - 0.01)
        assert a_cent_less.course_margin_now < margin + 1e-5


@given(sold=st.integers(1, 10), margin=TENTHS, loads=st.integers(0, 3))
def test_the_asked_hour_brings_at_least_the_margin_wanted(sold: int, margin: float, loads: int) -> None:
    typed = {"hire_sold": sold / 10, "hire_margin": margin, "hire_loads": loads}
    asked = let(**typed)
    margins = [
        let(**typed, hire_price=asked.value(name)).value("hire_margin_now") for name in ("hire_needed", "hire_ask")
    ]
    assert margins[0] == pytest.approx(margin)
    assert isinstance(margins[1], float)
    assert margins[1] >= margin - 1e-6


def _sum(results: Results, *names: str) -> float:
    """Columns multiplied with one another, over the rows in which the class has a cost and leaves something."""
    rows = zip(*(results.columns[name] for name in (*names, "course_cost", "course_leaves")), strict=True)
    whole = 0.0
    for *values, cost, leaves in rows:
        if cost is not None and leaves is not None:
            product = 1.0
            for value in values:
                assert isinstance(value, int | float)
                product *= value
            whole += product
    return whole


@pytest.mark.parametrize("seed", SEEDS)
def test_hire_and_classes_add_up_by_another_route(seed: int) -> None:
    studio = corpus_studio(seed)
    results = compute(studio, SMALL)
    hours, (day, sessions) = studio.hire.hire_open_hours, results.columns["pair_one"][-2:]
    open_hour = results.value("hire_open_hour")
    assert day == pytest.approx(0 if open_hour is None or hours is None else float(open_hour) * hours)
    nobody = [
        fixed
        for fixed, paying, leaves in zip(
            *(results.columns[f"course_{name}"] for name in ("fixed", "paying", "leaves")), strict=True
        )
        if paying == 0 and leaves is not None
    ]
    brought = _sum(results, "course_paying", "course_net") - _sum(results, "course_paying", "course_cost")
    assert sessions == pytest.approx(brought - sum(float(str(fixed)) for fixed in nobody), abs=1e-6)
    assert results.columns["pair_one"][-2:] == results.columns["pair_other"][-2:]
    assert "hire_adds_up" not in found(results)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_let_and_taught_moves_nothing_else(seed: int) -> None:
    studio = corpus_studio(seed)
    with_it, without = (
        compute(one, SMALL) for one in (studio, studio.model_copy(update={"hire": type(studio.hire)(), "courses": ()}))
    )
    ours = ("hire_", "course_", "name_course", "equipment_open", "check", "pair_", "next_step")
    for mine, theirs in ((with_it.scalars, without.scalars), (with_it.columns, without.columns)):
        assert {name for name in mine if mine[name] != theirs[name] and not name.startswith(ours)} == set()


@pytest.mark.parametrize("seed", range(12))
def test_several_furnaces_have_it_once_by_the_first_ones_log(seed: int) -> None:
    studio = furnace_studio(seed, 3)
    results = compute(studio, rooms(3))
    hot_days, pool = results.columns["period_hot_days"][2], results.value("furnace_pool")
    day = studio.hire.hire_day_typed
    if day is None and isinstance(hot_days, float | int) and hot_days and isinstance(pool, float):
        day = pool / hot_days
    assert results.value("hire_day") == pytest.approx(day)
    assert len(results.columns["course_cost"]) == rooms(3).courses
    assert "hire_adds_up" not in found(results)
