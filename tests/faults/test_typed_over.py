"""No formula can be typed over so that a price moves and no check looks."""

from __future__ import annotations

import pytest

from meltbook.fields.check_pairs import PAIRS
from tests.engines.runners import Formualizer
from tests.faults.book import Typed, write_sound_book
from tests.faults.recalculate import Live
from tests.faults.typed_over import TypedOver, another, type_over

UNSEEN = {"low_good"}
"""What moves and is not seen: the least cost of a row without a name, which nothing reads."""

OF_MACHINES = ("machine", "equipment", "piece_glory", "low_", "cost_glory", "cost_anneal", "cost_other")
"""What the names of figures begin with that machines have to do with."""

WITH_MORE_TYPED: dict[str, dict[str, Typed]] = {
    "kW by the nameplate, × its volts squared": {
        "connected_kw": None,
        "nameplate_kw": 12.0,
        "nameplate_volts": 240.0,
        "supply_volts": 230.0,
        "kw_nameplate": 15.0,
    },
    "Single rows that are said to be mixed": {"stretch_mix.6": 9.0},
    "What the tags of way of selling 6 bring": {
        "channel_name.6": "Fair",
        "channel_margin.6": 0.1,
        "tag_exact_six.1": 5.0,
    },
    "Rows of stretches of one kind": {"stretch_kind.7": 9.0},
}
"""Two ways that the sound book has nothing to compare in, or that only one number trips; and what trips them."""


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory, formualizer: Formualizer) -> Live:
    return Live(write_sound_book(tmp_path_factory.mktemp("typed")))


@pytest.fixture(scope="module")
def some(live: Live) -> list[TypedOver]:
    """A few cells of each figure."""
    return list(type_over(live, every=False))


@pytest.fixture(scope="module")
def machines(tmp_path_factory: pytest.TempPathFactory, formualizer: Formualizer) -> Live:
    return Live(write_sound_book(tmp_path_factory.mktemp("machines"), machines=True))


def unseen(typed: list[TypedOver]) -> set[str]:
    return {one.name for one in typed if one.moved and not one.checks}


def test_no_price_moves_unseen(some: list[TypedOver]) -> None:
    assert len(some) > 1000
    assert unseen(some) <= UNSEEN


@pytest.mark.exhaustive
def test_no_price_moves_unseen_whichever_cell_is_typed_over(live: Live) -> None:
    assert unseen(list(type_over(live, every=True))) == UNSEEN


def test_no_price_moves_unseen_where_equipment_is_typed_in_detail(machines: Live) -> None:
    ours = [name for name in machines.book.figures() if name.startswith(OF_MACHINES)]
    typed = list(type_over(machines, every=True, names=ours))
    assert len({one.name for one in typed if one.moved}) > 25
    assert unseen(typed) <= UNSEEN


def test_the_book_with_machines_is_sound(machines: Live) -> None:
    assert {name for name, state in machines.states().items() if state != "OK"} == {"waiting"}
    assert machines.value(machines.book.cell("machines_sentence")) == "All 8 machines are counted."


def test_both_ways_to_a_figure_are_compared(some: list[TypedOver]) -> None:
    """A pair that no formula of the book can part compares a figure with itself."""
    parted = {row for one in some if not one.name.startswith("pair_") for row in one.pairs}
    never = {pair.what for row, pair in enumerate(PAIRS, start=1) if row not in parted}
    assert never <= set(WITH_MORE_TYPED)


@pytest.mark.parametrize("what", WITH_MORE_TYPED)
def test_a_pair_that_needs_more_typed(what: str, live: Live) -> None:
    row = next(row for row, pair in enumerate(PAIRS, start=1) if pair.what == what)
    cells = {live.book.cell(place): value for place, value in WITH_MORE_TYPED[what].items()}
    states, (apart,) = live.with_cells(cells, [live.book.cell(f"pair_apart.{row}")])
    assert apart == 1
    assert states[PAIRS[row - 1].check] == "LOOK"


@pytest.mark.parametrize("side", ["pair_one", "pair_other"])
def test_either_side_of_a_pair_trips_its_check(side: str, live: Live) -> None:
    for row, pair in enumerate(PAIRS, start=1):
        cell = live.book.cell(f"{side}.{row}")
        states, (apart,) = live.with_cells({cell: another(live.value(cell))}, [live.book.cell(f"pair_apart.{row}")])
        looking = {name for name, state in states.items() if state == "LOOK"}
        assert (apart, looking) == (1, {pair.check}), pair.what
