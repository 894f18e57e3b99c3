"""What must not change money, over generated studios: order within a day, blank rows, cuts, units, who shares."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from meltbook.method import compute
from meltbook.studio.energy import LogRow
from meltbook.studio.model import Studio
from meltbook.workbook.book import vocabulary_for
from tests.engines.books import formula_cells, poisoned_all
from tests.engines.runners import Formualizer
from tests.properties.changes import (
    ROOM,
    Key,
    blank_row,
    cut,
    in_kilograms,
    in_pounds,
    keys,
    may_be_cut,
    money,
    moved,
    scale_to_kilograms,
    with_rows,
)
from tests.strategies.studios import SMALL, corpus, studios

QUICK = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
LONG = settings(QUICK, max_examples=300)


def what_moved(one: Studio, other: Studio, scale: dict[str, float] | None = None) -> list[str]:
    before, after = (money(compute(each, ROOM), vocabulary_for(each, ROOM)) for each in (one, other))
    return moved(before, after, scale)


# ------------------------------------------------------------------------------------------------- blank rows


def check_blank_row(studio: Studio, table: str, at: int) -> None:
    rows = getattr(studio, table)
    assume(rows or table == "log")
    assert what_moved(studio, blank_row(studio, table, min(at, len(rows)))) == []


@QUICK
@given(studios(SMALL), st.sampled_from(("log", "tariffs", "ledger")), st.integers(0, 28))
def test_a_blank_row_changes_nothing(studio: Studio, table: str, at: int) -> None:
    check_blank_row(studio, table, at)


@pytest.mark.exhaustive
@LONG
@given(studios(SMALL), st.sampled_from(("log", "tariffs", "ledger")), st.integers(0, 28))
def test_a_blank_row_changes_nothing_in_many_studios(studio: Studio, table: str, at: int) -> None:
    check_blank_row(studio, table, at)


# --------------------------------------------------------------------------------------------- order in a day


@st.composite
def twins(draw: Callable[[st.SearchStrategy[Any]], Any]) -> tuple[str, int, dict[str, Any], dict[str, Any]]:
    """Two rows of one kind and as many days, without a reading, and what each of them holds besides."""

    def row() -> dict[str, Any]:
        return {
            "weight": draw(st.sampled_from((None, 0.1, 0.2, 150.0))),
            "charges": draw(st.sampled_from((None, 0, 1, 3))),
            "glass": draw(st.sampled_from((None, "Clear", "Cullet", "Unknown glass"))),
            "gathers": draw(st.sampled_from((None, 7.0, 30.0))),
            "note": draw(st.sampled_from((None, "a note"))),
        }

    kind = draw(st.sampled_from(("Charge", "Blow", "Idle", "Heat-up", "Cold")))
    return kind, draw(st.sampled_from((0, 1, 1, 4))), row(), row()


def check_order(studio: Studio, at: int, two: tuple[str, int, dict[str, Any], dict[str, Any]]) -> None:
    dated = [row.date for row in studio.log[: at + 1] if row.date]
    assume(dated)
    kind, days, *holds = two
    one, other = (LogRow(date=dated[-1], kind=kind, days=days, **held) for held in holds)  # type: ignore[arg-type]
    before, after = list(studio.log[:at]), list(studio.log[at:])
    first = with_rows(studio, "log", [*before, one, other, *after])
    second = with_rows(studio, "log", [*before, other, one, *after])
    assert what_moved(first, second) == []


@QUICK
@given(studios(SMALL), st.integers(0, 28), twins())
def test_rows_of_one_day_and_kind_may_change_places(studio: Studio, at: int, two: Any) -> None:
    check_order(studio, at, two)


@pytest.mark.exhaustive
@LONG
@given(studios(SMALL), st.integers(0, 28), twins())
def test_rows_of_one_day_and_kind_may_change_places_in_many_studios(studio: Studio, at: int, two: Any) -> None:
    check_order(studio, at, two)


# ------------------------------------------------------------------------------------------------------- cuts


def check_cuts(studio: Studio) -> None:
    """Every row that may be cut, one at a time."""
    results = compute(studio, ROOM)
    for at, row in enumerate(studio.log):
        days = max(1, (row.days or 1) // 3)
        if may_be_cut(studio, results, at, days):
            assert what_moved(studio, cut(studio, at, days)) == [], at


@QUICK
@given(studios(SMALL))
def test_a_stretch_cut_in_two_changes_nothing(studio: Studio) -> None:
    check_cuts(studio)


@pytest.mark.exhaustive
@LONG
@given(studios(SMALL))
def test_a_stretch_cut_in_two_changes_nothing_in_many_studios(studio: Studio) -> None:
    check_cuts(studio)


def test_many_stretches_are_cut() -> None:
    """The property says something: in the corpus hundreds of rows are such that they can be cut."""
    found = [(studio, compute(studio, ROOM)) for studio in corpus(60)]
    assert sum(may_be_cut(studio, results, at, 1) for studio, results in found for at in range(len(studio.log))) > 200


# ------------------------------------------------------------------------------------------------------ units


def check_units(studio: Studio) -> None:
    """Every weight and every price for a weight is converted: money stays, and rates for a weight scale."""
    pounds = in_pounds(studio)
    assert what_moved(pounds, in_kilograms(pounds), scale_to_kilograms(pounds)) == []


@QUICK
@given(studios(SMALL))
def test_pounds_and_kilograms_come_to_the_same_money(studio: Studio) -> None:
    check_units(studio)


@pytest.mark.exhaustive
@LONG
@given(studios(SMALL))
def test_pounds_and_kilograms_come_to_the_same_money_in_many_studios(studio: Studio) -> None:
    check_units(studio)


# ---------------------------------------------------------------------------------------- sharing the furnace


@st.composite
def made(draw: Callable[[st.SearchStrategy[Any]], Any]) -> list[dict[str, Any]]:
    """Pieces, and how many of each were made."""
    return [
        {
            "name": f"Piece {number}",
            "drawn": draw(st.integers(10, 900)) / 100,
            "gathers": float(draw(st.integers(1, 5))),
            "minutes": float(draw(st.integers(1, 90))),
            "made": float(draw(st.integers(1, 40))),
        }
        for number in range(draw(st.integers(1, 5)))
    ]


@QUICK
@given(made(), st.sampled_from((1.0, 0.8, 0.3)), st.sampled_from((None, 4000.0)))
def test_each_way_of_sharing_the_furnace_recovers_all_of_it(
    pieces: list[dict[str, Any]], share_drawn: float, ordinary: float | None
) -> None:
    """The log has just the glass, the gathers and the minutes of what was made, so the pieces pay for everything."""

    def summed(key: str) -> float:
        return sum(piece["made"] * piece[key] for piece in pieces)

    row = {"date": "2025-03-01", "kind": "Charge", "days": 10, "charges": 4, "reading": 2000.0}
    for how in ("Weight", "Gathers", "Bench minutes"):
        studio = {
            "shop": {
                "furnace_by": how,
                "share_drawn": share_drawn,
                "window_hours": summed("minutes") / 60,
                "ordinary_weight": ordinary,
            },
            "furnace": {"meter_kind": "kWh meter", "furnace_purchase": 5000.0, "furnace_life": 10.0},
            "tariffs": [{"start": "2025-01-01", "price": 0.2, "service": 30.0}],
            "log": [row | {"weight": summed("drawn") / share_drawn, "gathers": summed("gathers")}],
            "people": [{"rate": 30.0}],
            "part_kinds": [{"name": "Pot", "basis": "Charges", "life": 40.0}],
            "ledger": [{"name": "Pot", "installed": "2025-02-01", "cost": 900.0}],
            "pieces": pieces,
        }
        scalars = compute(Studio.model_validate(studio), SMALL).scalars
        # 2,000 kWh x 0.2, and 4 of a pot's 40 charges; 10 days of an ordinary year, or of the year's weight.
        weight = summed("drawn") / share_drawn
        standing = (30 * 12 + 500) * (weight / ordinary if ordinary else 10 / 365)
        assert scalars["furnace_pool"] == pytest.approx(400 + 900 / 40 * 4 + standing)
        assert scalars["made_furnace_total"] == pytest.approx(scalars["furnace_pool"])
        assert scalars["made_recovered"] == pytest.approx(1)


# --------------------------------------------------------------------------------------- in the workbook itself


def _changed(studio: Studio) -> dict[str, Studio]:
    """A studio in pounds, and the same after each change."""
    pounds = in_pounds(studio)
    results = compute(pounds, ROOM)
    found = {"plain": pounds, "a blank row": blank_row(pounds, "log", 3), "kilograms": in_kilograms(pounds)}
    may = [at for at in range(len(pounds.log)) if may_be_cut(pounds, results, at, 1)]
    if may:
        found["cut"] = cut(pounds, may[0], 1)
    return found


def test_the_workbook_too_shows_the_same_money(formualizer: Formualizer, tmp_path: Path) -> None:
    """The same as calculated by the formulas, in four studios that have something to sell."""
    priced = [one for one in corpus(30) if compute(one, ROOM).value("list_count")]
    cuts = 0
    for number, studio in enumerate(priced[:4]):
        changed = _changed(studio)
        cuts += "cut" in changed
        books = poisoned_all(changed, ROOM, tmp_path / str(number))
        shown = formualizer.recalculate([book.path for book in books], tmp_path)
        found: dict[str, dict[Key, Any]] = {}
        for book in books:
            values, wanted = shown[book.path], set(keys(book.parts.results, book.parts.vocabulary))
            cells = {(one.name, one.row): (one.sheet, one.cell) for one in formula_cells(book.parts)}
            found[book.title] = {key: values.get(cells[key]) for key in sorted(wanted, key=str)}
        for title, figures in found.items():
            scale = scale_to_kilograms(changed["plain"]) if title == "kilograms" else None
            assert moved(found["plain"], figures, scale) == [], f"studio {number}: {title}"
    assert cuts >= 2
