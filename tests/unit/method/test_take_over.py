"""Taking a letter over: what it changes in the log, and that it changes nothing before its first day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from meltbook.errors import UsageError
from meltbook.method import Results, compute, retagged, taken_over
from meltbook.method.arithmetic import serial
from meltbook.method.letter import new_row
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.tariff import TariffRow
from tests.unit.method.studios import SMALL, day, melt, numbers

LETTER = {"letter_start": "2025-03-06", "letter_price": 0.30, "letter_reference": "No. 7", "retag_tolerance": 0.02}
SHOP = {"name": "Own shop", "margin": 0.5, "must_earn": "Yes"}
CUP = {"name": "Cup", "drawn": 1, "minutes": 0, "materials": 9.2, "loss": 0}


def studio(letter: dict[str, Any] | None = None, **more: Any) -> Studio:
    """Ten charge days of 100 kWh from 1 March, ten idle days of 60, at 0.20 a kWh, and a cup that costs 10."""
    data = melt(shop={"share_drawn": 0.8}, people=[{"rate": 30}], channels=[SHOP], **more)
    return Studio.model_validate({**data, "letter": LETTER if letter is None else letter})


# ----------------------------------------------------------------------------------------------- taken over


def test_the_letter_becomes_a_row_of_the_tariff() -> None:
    row = {"start": "2020-01-01", "price": 0.20, "surcharge": 0.01, "service": 30, "service_per": "Day", "block": "Yes"}
    taken = taken_over(studio(tariffs=[row], letter={**LETTER, "letter_tax": 0.1, "letter_service": 33.0}))
    assert taken.tariffs[1] == TariffRow(
        start=date(2025, 3, 6), price=0.30, surcharge=0.01, tax=0.1, service=33, service_per="Day", block="Yes",
        letter="No. 7",
    )  # fmt: skip
    assert taken.tariffs[0] == TariffRow.model_validate(row)
    assert taken.letter == Letter(retag_tolerance=0.02)


def test_it_goes_below_every_line_that_is_used() -> None:
    rows = [{"start": "2020-01-01", "price": 0.20}, {}, {"start": "2021-01-01", "price": 0.20}, {}, {}]
    taken = taken_over(studio(tariffs=rows))
    assert [row.price for row in taken.tariffs] == [0.20, None, 0.20, 0.30, None]


def test_rows_before_the_first_day_keep_their_cost() -> None:
    log = [
        day("Charge", 5, date="2025-03-01", charges=5, weight=250),
        day("Charge", 5, charges=5, weight=250),
        day("Idle", 10),
    ]
    before = compute(studio(log=log))
    after = compute(taken_over(studio(log=log)))
    assert before.columns["energy_cost"][:3] == pytest.approx([100, 100, 120])
    assert before.columns["late_change"][:3] == pytest.approx([0, 50, 60])
    assert after.columns["energy_cost"][:3] == pytest.approx([100, 150, 180])
    assert after.columns["energy_cost"][0] == before.columns["energy_cost"][0]
    assert after.value("letter_given") == 0


@pytest.mark.parametrize(
    ("letter", "tariffs", "words"),
    [
        ({}, None, "Type the letter"),
        ({**LETTER, "letter_start": "2019-01-01"}, None, "No tariff is in force"),
        ({**LETTER, "letter_price": 30}, None, "More than three times"),
        (LETTER, [{"start": "2020-01-01", "price": 0.2}, {"start": "2026-01-01", "price": 0.2}], "has this date or a"),
        (LETTER, [{"start": f"20{number}-01-01", "price": 0.2} for number in range(16, 24)], "is full"),
    ],
)
def test_a_letter_that_can_not_be_taken_over(letter: dict[str, Any], tariffs: Any, words: str) -> None:
    more = {} if tariffs is None else {"tariffs": tariffs}
    with pytest.raises(UsageError, match=words):
        taken_over(studio(letter, **more), SMALL)


def test_a_jump_is_taken_over_when_it_is_meant() -> None:
    jump = {**LETTER, "letter_price": 30}
    assert taken_over(studio(jump), though_it_jumps=True).tariffs[1].price == 30
    later = [{"start": "2020-01-01", "price": 0.2}, {"start": "2026-01-01", "price": 0.2}]
    with pytest.raises(UsageError, match="has this date or a later one"):
        taken_over(studio(jump, tariffs=later), though_it_jumps=True)


# ------------------------------------------------------------------------------------------------- new tags


def test_new_tags_go_where_the_verdict_asks_for_one() -> None:
    # at 0.30 the cup costs 10.40 and asks for 21; 20 would miss by 2 points, within the tolerance
    tags = {"Kept": 20, "High": 40, "Short": 18, "None": None}
    pieces = [{**CUP, "name": name, "tag": tag} for name, tag in tags.items()]
    typed = studio(pieces=[*pieces, {}])
    new = retagged(typed, compute(typed))
    assert [piece.tag for piece in new.pieces] == [20, 40, 21, None, None]
    strict = studio({**LETTER, "retag_tolerance": 0.01}, pieces=pieces)
    assert [piece.tag for piece in retagged(strict, compute(strict)).pieces] == [21, 40, 21, 21]


# ----------------------------------------------------------------------------------------------- properties

SOME = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))


def _with_row(typed: Studio, results: Results) -> Studio | None:
    """The letter laid into the tariff where its date belongs, even between two rows; ``None`` without a base."""
    position = results.value("letter_base_row")
    if not isinstance(position, int):
        return None
    at = position - 2
    base, rows = typed.tariffs[at], list(typed.tariffs)
    row = new_row(typed.letter, base)
    same_day = row.start == base.start
    rows[at : at + 1] = [row] if same_day else [base, row]
    return typed.model_copy(update={"tariffs": tuple(rows), "letter": Letter()})


CHANGES: tuple[dict[str, Any], ...] = (
    {"letter_change": 0.25},
    {"letter_change": -0.5, "letter_service": 45.0},
    {"letter_price": 0.31, "letter_tax": 0.2},
    {"letter_price": 31.0, "letter_in": "Cents", "letter_tax_in": "With tax"},
    {"letter_share_one": 0.4, "letter_share_two": 0.6, "letter_price_two": 0.4},
    {"letter_demand": 9.0, "letter_demand_kw": 12.0, "letter_surcharge": 0.02},
)


@st.composite
def letters_over_a_log(draw: Any) -> Studio:
    """A furnace read now and then, one to three tariff rows, a letter somewhere about, and cups with tags."""

    def one(*choices: Any) -> Any:
        return draw(st.sampled_from(choices))

    log, reading, days = [], 0, 0
    for at in range(draw(st.integers(2, 9))):
        row = day(one("Charge", "Charge", "Blow", "Idle", "Cold"), one(1, 2, 5, 9, 0))
        if at == 0:
            row |= {"kind": "Charge", "date": "2025-03-01"}
        if row["kind"] == "Charge":
            row |= {"weight": draw(st.integers(10, 400)), "charges": 1}
        if one(True, True, False):
            reading += draw(st.integers(0, 900))
            row["reading"] = reading
        log.append(row)
        days += row["days"]
    first = date(2025, 3, 1)
    rows: list[dict[str, Any]] = [{"start": one(date(2020, 1, 1), first, date(2025, 3, 4)), "price": 0.2, "tax": 0.1}]
    for _ in range(draw(st.integers(0, 2))):
        row = {"start": rows[-1]["start"] + timedelta(days=draw(st.integers(1, 12))), "price": one(0.15, 0.26)}
        row |= {"price_two": 0.1, "share_one": 0.5, "share_two": 0.5} if one(True, False) else {"service": 30.0}
        rows.append(row)
    data = melt(
        furnace={"meter_kind": "kWh meter", "furnace_purchase": 0},
        shop={"share_drawn": 0.8, "ordinary_weight": 3000, "sales_tax": 0.07, "tax_inside": one("Yes", "No")},
        tariffs=rows,
        log=log,
        people=[{"rate": 30}],
        channels=[SHOP, {"name": "Gallery", "commission": 0.4, "lost_share": 0.1, "margin": one(0.1, 0.3)}],
        pieces=[{**CUP, "name": str(at), "tag": one(None, 16, 18, 20, 24, 60), "drawn": one(1, 4)} for at in range(4)],
        letter={"letter_start": first + timedelta(days=draw(st.integers(-1, days + 2))), **one(*CHANGES)},
    )
    return Studio.model_validate(data)


@SOME
@given(letters_over_a_log())
def test_each_row_changes_by_what_was_said_and_none_before(typed: Studio) -> None:
    before = compute(typed, SMALL)
    changed = _with_row(typed, before)
    assume(changed is not None)
    assert changed is not None
    after = compute(changed, SMALL)
    start = serial(typed.letter.letter_start or date.min)
    for row in range(1, SMALL.log + 1):
        was, is_now = before.value("energy_cost", row), after.value("energy_cost", row)
        change, days = before.value("late_change", row), before.value("late_days", row)
        assert isinstance(was, int | float)
        assert isinstance(is_now, int | float)
        assert isinstance(change, int | float)
        assert is_now - was == pytest.approx(change, rel=1e-9, abs=1e-7)
        first, length = before.value("first_day", row), before.value("row_days", row)
        assert isinstance(first, int)
        assert isinstance(length, int)
        if first + length <= start and first < start:
            assert (is_now, days) == (was, 0)
    standing = sum(
        is_now - was
        for was, is_now, measured in zip(
            numbers(before, "row_standing"),
            numbers(after, "row_standing"),
            numbers(before, "row_measured"),
            strict=True,
        )
        if measured
    )
    assert before.value("late_standing") == pytest.approx(standing, rel=1e-9, abs=1e-7)


@SOME
@given(letters_over_a_log())
def test_a_piece_costs_before_what_it_costs_once_the_letter_is_in_force(typed: Studio) -> None:
    shop = typed.shop.model_copy(update={"pricing_date": typed.letter.letter_start})
    typed = typed.model_copy(update={"shop": shop})
    before = compute(typed, SMALL)
    changed = _with_row(typed, before)
    assume(changed is not None and before.value("rate_after") is not None)
    assert changed is not None
    after = compute(changed, SMALL)
    assert after.value("price_now") == before.value("price_after")
    assert after.value("standing_now") == before.value("standing_day_after")
    assert after.value("furnace_rate") == pytest.approx(before.value("rate_after"))
    for row in range(1, len(typed.pieces) + 1):
        assert after.value("cost_good", row) == pytest.approx(before.value("cost_after", row))
        assert after.value("tag_suggested", row) == before.value("tag_after", row)


@SOME
@given(letters_over_a_log())
def test_no_tag_is_lowered_and_a_retagged_piece_needs_no_other(typed: Studio) -> None:
    before = compute(typed, SMALL)
    new = retagged(typed, before)
    again = compute(new, SMALL)
    for row, (old, piece) in enumerate(zip(typed.pieces, new.pieces, strict=True), start=1):
        if piece != old:
            tag = before.value("tag_in_force", row)
            assert piece.tag is not None
            assert isinstance(tag, int | float)
            assert piece.tag > tag
            assert again.value("tag_verdict", row) == "Keep"
