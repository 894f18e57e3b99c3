"""What must not change a bill check, over generated studios: how bills cut time, and how rows of the log do."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from meltbook.method import Results, compute
from meltbook.method.arithmetic import calendar
from meltbook.studio.bills import BillRow
from meltbook.studio.model import Studio
from tests.engines.books import formula_cells, poisoned_all
from tests.engines.runners import Formualizer
from tests.properties.changes import ROOM, cut, may_be_cut, with_rows
from tests.strategies.studios import SMALL, corpus, studios

QUICK = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
LONG = settings(QUICK, max_examples=400)

CUTS = st.lists(st.integers(1, 160), min_size=1, max_size=8)
"""How many days each bill covers, one after the other."""


def bills_over(studio: Studio, lengths: list[int], before: int) -> tuple[Studio, Studio]:
    """The studio with bills that follow on one another, and with one bill for all of their days."""
    start = day = first_day(studio) - before
    bills = []
    for length in lengths:
        bills.append(BillRow(start=calendar(day), end=calendar(day + length - 1), use=100.0, metered=1.5))
        day += length
    whole = BillRow(start=calendar(start), end=calendar(day - 1), use=100.0 * len(bills), metered=1.5 * len(bills))
    return with_rows(studio, "bills", bills), with_rows(studio, "bills", [whole])


def first_day(studio: Studio) -> int:
    """The first day of the log, or some day where nothing is dated."""
    days = [day for day in compute(studio, ROOM).columns["first_day"] if isinstance(day, int) and day > 0]
    return min(days, default=45_700)


def near(one: object, other: object) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-7)
    return one == other


# ------------------------------------------------------------------------------------- bills one after the other


def check_bills_add_up(studio: Studio, lengths: list[int], before: int) -> None:
    apart, whole = (compute(each, ROOM) for each in bills_over(studio, lengths, before))
    if whole.scalars["bills_left"] == 0:  # bills that reach past the log are left out of what they come to
        for name in ("bills_furnace", "bills_use", "bills_known", "bills_share"):
            assert near(apart.scalars[name], whole.scalars[name]), name
    furnace = sum(value for value in apart.columns["bill_furnace"] if isinstance(value, float))
    assert near(furnace, whole.value("bill_furnace", 1))


@QUICK
@given(studios(SMALL), CUTS, st.integers(-20, 20))
def test_bills_that_follow_on_one_another_come_to_one_bill(studio: Studio, lengths: list[int], before: int) -> None:
    check_bills_add_up(studio, lengths, before)


@pytest.mark.exhaustive
@LONG
@given(studios(SMALL), CUTS, st.integers(-20, 20))
def test_bills_come_to_one_bill_in_many_studios(studio: Studio, lengths: list[int], before: int) -> None:
    check_bills_add_up(studio, lengths, before)


def test_a_bill_over_the_whole_log_is_all_that_was_measured() -> None:
    """Each bill has the furnace's use of its days and no other; nothing is left between them."""
    some = 0
    for studio in corpus(60):
        results = compute(studio, ROOM)
        if not results.scalars["log_last_day"]:
            continue
        bill = BillRow(start=calendar(1000), end=calendar(80_000), use=1.0)
        found = compute(with_rows(studio, "bills", [bill]), ROOM).value("bill_furnace", 1)
        measured = sum(
            used
            for used, counts in zip(results.columns["energy_used"], results.columns["row_measured"], strict=True)
            if isinstance(used, float) and counts
        )
        assert near(found, measured)
        some += measured > 0
    assert some > 20


# ------------------------------------------------------------------------------------------ rows of the log, cut


def cuts(studio: Studio, results: Results) -> Iterator[Studio]:
    """The studio with one row of the log written as two, for each row for which that says the same."""
    for at, row in enumerate(studio.log):
        days = max(1, (row.days or 1) // 3)
        if results.columns["row_priced"][at] and may_be_cut(studio, results, at, days):
            yield cut(studio, at, days)


def check_cuts(studio: Studio) -> int:
    results, done = compute(studio, ROOM), 0
    for other in cuts(studio, results):
        again = compute(other, ROOM)
        for name in ("bill_furnace", "bill_known", "bill_unexplained", "bill_share", "bill_side", "bill_word"):
            for one, two in zip(results.columns[name], again.columns[name], strict=True):
                assert near(one, two), name
        assert results.scalars["bills_sentence"] == again.scalars["bills_sentence"]
        done += 1
    return done


@QUICK
@given(studios(SMALL))
def test_a_row_cut_in_two_with_its_days_moves_no_bill(studio: Studio) -> None:
    check_cuts(studio)


@pytest.mark.exhaustive
@LONG
@given(studios(SMALL))
def test_a_row_cut_in_two_moves_no_bill_in_many_studios(studio: Studio) -> None:
    check_cuts(studio)


def test_many_rows_with_bills_are_cut() -> None:
    """The property says something: there are bills with energy of the furnace in them."""
    told = [one for one in corpus(120) if compute(one, ROOM).scalars["bills_furnace"]]
    assert len(told) > 20
    assert sum(check_cuts(studio) for studio in told) > 100


# ---------------------------------------------------------------------------------------- in the workbook itself


def test_the_workbook_too_adds_bills_up(formualizer: Formualizer, tmp_path: Path) -> None:
    told = [bills_over(one, [9, 1, 30, 17], 3) for one in corpus(60)]
    told = [
        pair for pair in told if (found := compute(pair[1], ROOM).scalars)["bills_furnace"] and not found["bills_left"]
    ]
    assert len(told) >= 3, "bills that lie within the log"
    for number, (apart, whole) in enumerate(told[:3]):
        changed = {"apart": apart, "whole": whole}
        changed["cut"] = next(cuts(apart, compute(apart, ROOM)), apart)
        books = poisoned_all(changed, ROOM, tmp_path / str(number))
        shown = formualizer.recalculate([book.path for book in books], tmp_path)
        shows = []
        for book in books:
            cells = {one.name: (one.sheet, one.cell) for one in formula_cells(book.parts) if one.row is None}
            shows.append([shown[book.path].get(cells[name]) for name in ("bills_furnace", "bills_share")])
        assert shows[0][0] is not None
        assert all(near(one, two) for other in shows[1:] for one, two in zip(shows[0], other, strict=True))
