"""Bills against the log: which days count for a bill, and what it is told."""

from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from meltbook.studio.capacity import Capacity

from .studios import day, on, run

ROOM = Capacity(log=20, tariffs=2, part_kinds=2, ledger=2, glasses=2, overheads=2, pieces=2, campaigns=2, bills=6)
LOG = [
    day("Charge", 10, date="2025-03-01", weight=100, reading=500),  # 50 a day, 1 to 10 March
    day("Idle", 0, reading=500),
    day("Idle", 5, reading=600),  # 20 a day, 11 to 15 March
    day("Blow", 4),  # waits for a reading, 16 to 19 March
]

COLD = [day("Cold", 31, date="2025-03-01", reading=0)]
"""A furnace that used nothing in March."""


def billed(*bills: dict[str, Any], log: list[dict[str, Any]] = LOG, **shop: Any) -> Results:
    """Bills in March 2025, their days given as days of that month."""
    typed = [
        {**bill, **{key: f"2025-03-{bill[key]:02d}" for key in ("start", "end") if isinstance(bill.get(key), int)}}
        for bill in bills
    ]
    return run(
        capacity=ROOM,
        shop=shop,
        furnace={"meter_kind": "Gas meter"},
        tariffs=[{"start": "2025-01-01", "price": 0.7}],
        log=log,
        bills=typed,
    )


def bill(start: int, end: int, use: float = 100.0, **more: Any) -> dict[str, Any]:
    return {"start": start, "end": end, "use": use, **more}


@pytest.mark.parametrize(
    ("start", "end", "furnace"),
    [
        (1, 10, 500),
        (1, 15, 600),
        (1, 1, 50),
        (10, 11, 70),
        (4, 13, 7 * 50 + 3 * 20),
        (12, 14, 60),
        (15, 31, 20),
        (16, 19, 0),
    ],
)
def test_the_furnace_counts_by_days(start: int, end: int, furnace: float) -> None:
    results = billed(bill(start, end))
    assert results.value("bill_furnace", 1) == pytest.approx(furnace)
    assert results.value("bill_close", 1) == on(f"2025-03-{end:02d}") + 1


def test_what_had_been_used_before_a_day() -> None:
    results = billed(bill(4, 13))
    cells = ("bill_before_rows", "bill_before_days", "bill_until_rows", "bill_until_days")
    assert [results.value(name, 1) for name in cells] == pytest.approx([0, 150, 500, 60])
    results = billed(bill(11, 15))
    assert [results.value(name, 1) for name in cells] == pytest.approx([500, 0, 600, 0])


@pytest.mark.parametrize(
    "typed",
    [
        {},
        {"ref": "March"},
        {"start": 1, "use": 100.0},
        {"end": 10, "use": 100.0},
        {"start": 1, "end": 10},
        {"start": 11, "end": 10, "use": 100.0},
    ],
)
def test_a_bill_that_is_not_whole_stays_blank(typed: dict[str, Any]) -> None:
    results = billed({**typed, "metered": 5.0})
    assert results.value("bill_given", 1) == 0
    for name in ("bill_close", "bill_furnace", "bill_known", "bill_share", "bill_waiting", "bill_side", "bill_word"):
        assert results.value(name, 1) is None, name
    assert results.scalars["bills_given"] == 0
    assert [results.scalars[f"bills_{name}"] for name in ("use", "furnace", "known", "share", "sentence")] == [None] * 5


def test_meters_and_estimates_are_known_too() -> None:
    results = billed(bill(1, 10, 640, metered=30, estimated=70))
    assert results.value("bill_known", 1) == pytest.approx(600)
    assert results.value("bill_unexplained", 1) == pytest.approx(40)
    assert results.value("bill_share", 1) == pytest.approx(1 / 16)


@pytest.mark.parametrize(
    ("use", "limit", "word"),
    [
        (500, None, "Explained"),
        (550, None, "Explained"),
        (560, None, "More billed than you know of"),
        (440, None, "You count more than was billed"),
        (500 / 0.9, None, "Explained"),
        (500 / 0.8, 0.2, "Explained"),
        (505, 0.0, "More billed than you know of"),
        (500, 0.0, "Explained"),
        (0, None, None),
    ],
)
def test_the_word_goes_by_what_may_stay_unexplained(use: float, limit: float | None, word: str | None) -> None:
    assert billed(bill(1, 10, use), unexplained_limit=limit).value("bill_word", 1) == word


@pytest.mark.parametrize(("start", "end", "rows"), [(1, 15, 0), (1, 16, 1), (19, 31, 1), (20, 31, 0), (1, 31, 1)])
def test_rows_that_wait_in_the_days_of_a_bill(start: int, end: int, rows: int) -> None:
    results = billed(bill(start, end))
    assert results.value("bill_waiting", 1) == rows
    if rows:
        assert results.value("bill_word", 1) == "Rows of the log wait for a reading"


def test_what_rounding_leaves_over_is_no_side() -> None:
    """0.3 less 0.1 and 0.2 is not 0 for a computer, once below and, with 0.8, 0.1 and 0.7, once above."""
    results = billed(
        bill(20, 20, 0.3, metered=0.1, estimated=0.2),
        bill(20, 20, 0.8, metered=0.1, estimated=0.7),
        log=COLD,
        unexplained_limit=0.0,
    )
    left = [results.value("bill_unexplained", row) for row in (1, 2)]
    assert all(isinstance(value, float) and value != 0 for value in left)
    assert results.columns["bill_side"][:2] == ["You count more than was billed"] * 2
    assert results.columns["bill_word"][:2] == ["Explained"] * 2


def test_all_bills_together() -> None:
    results = billed(bill(1, 10, 800, estimated=50), {"start": 3}, bill(11, 15, 200))
    names = ("given", "use", "furnace", "known", "share")
    assert [results.scalars[f"bills_{name}"] for name in names] == pytest.approx([2, 1000, 600, 650, 0.35])
    assert results.scalars["bills_sentence"] == "Of all that was billed you know of 65 %."


def test_more_counted_than_billed() -> None:
    """Nobody knows of 130 % of a bill; they count more than was billed. Furnace 500, in ten days."""
    over = billed(bill(1, 10, 500, metered=150))
    known = over.scalars["bills_known"]
    assert isinstance(known, float) and known > 500
    assert over.scalars["bills_sentence"] == f"You count {known / 5:.0f} % of all that was billed."
    even = billed(bill(1, 10, known))
    assert even.scalars["bills_sentence"] == f"Of all that was billed you know of {100 * (known - 150) / known:.0f} %."


@pytest.mark.parametrize(("start", "end", "days"), [(1, 19, 0), (1, 20, 1), (15, 31, 12), (25, 31, 7)])
def test_days_of_a_bill_past_the_log(start: int, end: int, days: int) -> None:
    assert billed(bill(start, end)).value("bill_unlogged", 1) == days


def test_a_bill_past_the_log_is_not_called_explained_nor_counted() -> None:
    """What stands for other equipment may well come to the whole bill; nothing is known of the furnace's days."""
    past = bill(20, 31, 700, estimated=700)
    results = billed(past)
    assert results.value("bill_verdict", 1) == "Explained"
    assert results.value("bill_word", 1) == "Log ends before this bill does"
    assert results.scalars["bills_given"] == results.scalars["bills_left"] == 1
    assert results.scalars["bills_use"] is None
    assert results.scalars["bills_sentence"] == "1 bill is left out: the log ends before."
    both = billed(past, bill(1, 10, 800, estimated=50), past)
    assert both.scalars["bills_sentence"] == (
        "Of all that was billed you know of 69 %. 2 bills are left out: the log ends before."
    )


def test_a_sentence_of_which_one_half_is_missing_has_no_space_for_it() -> None:
    """A bill of nothing has no share that is known; the other one reaches past the log."""
    results = billed(bill(1, 10, 0), bill(20, 31, 700))
    assert (results.scalars["bills_in"], results.scalars["bills_main"]) == (1, None)
    assert results.scalars["bills_sentence"] == "1 bill is left out: the log ends before."


def test_half_a_percent_of_the_bills_goes_up() -> None:
    results = billed(bill(20, 20, 200, metered=125), log=COLD)
    assert results.scalars["bills_sentence"] == "Of all that was billed you know of 63 %."


def test_the_limit_is_a_tenth_unless_typed() -> None:
    assert billed().scalars["unexplained_used"] == 0.1
    assert billed(unexplained_limit=0.0).scalars["unexplained_used"] == 0
    assert billed(unexplained_limit=0.25).scalars["unexplained_used"] == 0.25


def test_a_row_of_ten_years() -> None:
    """It is worked out for the days of the bill alone. No row may be longer."""
    results = billed(bill(1, 10), log=[day("Charge", 3660, date="2025-03-01", weight=1, reading=3660)])
    assert results.value("bill_furnace", 1) == pytest.approx(10)
