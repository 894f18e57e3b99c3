"""Rows of the log before a letter's first day never change their cost, and a tariff dated ahead waits for its day."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from meltbook.errors import UsageError
from meltbook.method import Results, compute, taken_over
from meltbook.method.arithmetic import calendar, serial
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.workbook.edited import EditedBook, read_book
from tests.engines.poison import poison
from tests.engines.runners import Engine
from tests.engines.values import Values
from tests.strategies.studios import SMALL, studios
from tests.tariff.books import demo_studio, place, tariff

COSTS = ("energy_cost", "row_standing")
PROPERTY = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
LETTERS = st.fixed_dictionaries(
    {
        "letter_price": st.sampled_from((None, 0.05, 0.3, 2.0)),
        "letter_service": st.sampled_from((None, 10.0, 99.0)),
        "letter_tax": st.sampled_from((None, 0.0, 0.25)),
        "letter_demand": st.sampled_from((None, 12.0)),
        "letter_demand_kw": st.sampled_from((None, 15.0)),
        "letter_surcharge": st.sampled_from((None, -0.01, 0.04)),
    }
)


def ends_before(results: Results, row: int, start: int) -> bool:
    """Whether all days of a row lie before the letter's first. A row without days lies on its one day."""
    first, days = results.value("first_day", row), results.value("row_days", row)
    assert isinstance(first, int)
    assert isinstance(days, int)
    return first + max(days, 1) <= start


def check(studio: Studio, capacity: Any) -> None:
    start = serial(studio.letter.letter_start or date.min)
    try:
        after = compute(taken_over(studio, capacity, though_it_jumps=True), capacity)
    except UsageError:
        assume(False)  # no letter, none to lay it over, no room: there is nothing to compare
    before = compute(studio, capacity)
    rows = [row for row in range(1, len(before.columns["first_day"]) + 1) if ends_before(before, row, start)]
    assume(rows)
    for name in COSTS:
        assert [before.value(name, row) for row in rows] == [after.value(name, row) for row in rows]


@settings(PROPERTY, max_examples=20)
@given(studios(SMALL), LETTERS, st.integers(-40, 40))
def test_in_any_studio(studio: Studio, letter: dict[str, Any], away: int) -> None:
    check_any(studio, letter, away)


@pytest.mark.exhaustive
@settings(PROPERTY, max_examples=300)
@given(studios(SMALL), LETTERS, st.integers(-40, 40))
def test_in_any_studio_at_length(studio: Studio, letter: dict[str, Any], away: int) -> None:
    check_any(studio, letter, away)


def check_any(studio: Studio, letter: dict[str, Any], away: int) -> None:
    days = [row.date for row in studio.log if row.date is not None]
    assume(days)
    check(studio.model_copy(update={"letter": _from(days[len(days) // 2] + timedelta(days=away), letter)}), SMALL)


@PROPERTY
@given(st.sampled_from(("lakeside-lb", "harbour-kg")), LETTERS, st.integers(1, 200))
def test_in_studios_that_melt_and_sell(name: str, letter: dict[str, Any], away: int) -> None:
    from tests.tariff.books import ROOM

    studio = demo_studio(name)
    newest = max(row.start for row in studio.tariffs if row.start is not None)
    check(studio.model_copy(update={"letter": _from(newest + timedelta(days=away), letter)}), ROOM)


def _from(start: date, letter: dict[str, Any]) -> Letter:
    return Letter(letter_start=start, **letter)


# ---------------------------------------------------------------------------------------------- in the workbook

WORDS = ("--from", "2026-05-04", "--price", "0.6", "--surcharge", "0.1", "--service", "90", "--apply", "--retag")


def costs(book: EditedBook, shown: Values) -> dict[tuple[str, date], list[Any]]:
    """What the log's rows show, by the figure and the row's first day."""
    found: dict[tuple[str, date], list[Any]] = {}
    for row in range(1, book.capacity.log + 1):
        first = shown[place(book, "first_day", row)]
        kind = shown[place(book, "row_kind", row)]
        if isinstance(first, float) and isinstance(kind, float) and kind > 0:
            for name in COSTS:
                found.setdefault((name, calendar(int(first))), []).append(shown[place(book, name, row)])
    return found


@pytest.mark.exhaustive
def test_in_a_workbook_that_is_recalculated(book: Path, tmp_path: Path, office_engine: Engine) -> None:
    after = Path(tariff(book, *WORDS)["applied"]["file"])
    spoilt = [tmp_path / "before.xlsx", tmp_path / "after.xlsx"]
    for source, target in zip((book, after), spoilt, strict=True):
        poison(source, target)
    shown = office_engine.recalculate(spoilt, tmp_path)
    was, is_now = (costs(read_book(book), shown[path]) for path in spoilt)
    start = date(2026, 5, 4)
    early, late = ({key for key in was if (key[1] < start) is side} for side in (True, False))
    assert {key: was[key] for key in early} == {key: is_now[key] for key in early}
    assert len(early) > 100
    assert any(was[key] != is_now[key] for key in late)


def test_in_the_values_that_are_stored(book: Path) -> None:
    from tests.engines.values import read_values

    after = Path(tariff(book, *WORDS)["applied"]["file"])
    was, is_now = (costs(read_book(path), read_values(path)) for path in (book, after))
    early = {key for key in was if key[1] < date(2026, 5, 4)}
    for key in early:
        assert was[key] == pytest.approx(is_now[key], rel=1e-12, abs=1e-12), key
    assert len(early) > 100
    assert any(was[key] != is_now[key] for key in was.keys() - early)


# --------------------------------------------------------------------------------------------------- dated ahead


@pytest.mark.parametrize("name", ["lakeside-lb", "harbour-kg"])
def test_a_tariff_dated_ahead_is_used_from_its_day_only(name: str) -> None:
    from tests.tariff.books import ROOM

    studio = demo_studio(name, letter=Letter(letter_start=date(2027, 1, 1), letter_price=0.4, letter_service=80.0))
    ahead = taken_over(studio, ROOM)

    def priced(one: Studio, day: date) -> tuple[Any, ...]:
        shop = one.shop.model_copy(update={"pricing_date": day})
        results = compute(one.model_copy(update={"shop": shop, "letter": Letter()}), ROOM)
        return (*(results.scalars[key] for key in ("price_now", "standing_now", "furnace_rate")),
                results.columns["energy_cost"], results.columns["cost_good"])  # fmt: skip

    assert priced(ahead, date(2026, 12, 31)) == priced(studio, date(2026, 12, 31))
    assert priced(ahead, date(2027, 1, 1))[0] != priced(studio, date(2027, 1, 1))[0]
