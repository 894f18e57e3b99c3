"""From a blank book to a cost of glass in ten cells, to a tag in fourteen, to the price list in twenty-one.

After each cell the workbook is recalculated from scratch by LibreOffice and by formualizer. Nothing in it may
be an error at any time, and nothing that people read may be a 0 that only says that nothing is known.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.fields.kernel import Figure
from meltbook.sheets.kernel import Fields, Grid, Rows, Sheet
from meltbook.studio.capacity import Capacity
from meltbook.studio.starts import load_start
from meltbook.workbook.address import cell_address
from meltbook.workbook.book import BookParts, book_parts, make_book
from meltbook.workbook.edit import edit_cells
from meltbook.workbook.formulas import iter_formulas
from tests.engines.runners import ENGINES, CellError, Engine, Value, Values
from tests.first_cells.steps import ALL, COST_OF_GLASS, FIRST_TAG, MISSING, says

ROOM = Capacity(log=24, tariffs=4, ledger=6, pieces=6, campaigns=3)
TEN, FOURTEEN = len(COST_OF_GLASS), len(COST_OF_GLASS) + len(FIRST_TAG)

REAL_ZEROS = {
    "happened_standing": "a bill without service and demand charges has none",
    "price_standing": "the same",
    "recent_standing": "the same",
    "gap_hot": "what happened is what to price with",
    "gap_melt": "the same",
    "gap_standing": "the same",
    "gap_wear": "the same",
    "gap_glass": "the same",
    "gap_own": "the same",
    "happened_wear": "wear was set to None",
    "price_wear": "the same",
    "recent_wear": "the same",
    "happened_own": "the purchase was set to 0",
    "price_own": "the same",
    "recent_own": "the same",
    "waiting_rows": "no row of the log waits",
    "use_not_placed": "all use has its days",
    "start_pieces_final": "there are pieces, and none is complete yet",
    "overhead_hour": "the overheads were set to 0",
    "cost_overhead": "the same",
    "cost_anneal": "the annealer was set to 0",
    "cost_loss": "the loss was set to 0",
    "tag_gap": "the tag in force is the one suggested",
    "cost_colour": "no colour is typed for the piece",
    "cost_first": "no assistant is typed for it",
    "cost_second": "no assistant is typed for it",
    "cost_off": "no work off the bench is typed for it",
    "cost_materials": "no materials are typed for it",
    "cost_packing": "no packing is typed for it",
    "made_count": "none is typed as made",
    "made_gathers": "the same",
    "made_glass": "the same",
    "made_value": "the same",
    "made_furnace": "the same",
    "ladder_bar_amount": "bars of the steps above",
    "ladder_bar_start": "the first bar and the whole stand on the ground",
    "slice_bar_amount": "bars of the lines above",
    "slice_bar_start": "the first bars stand on the ground",
    "kind_bar_amount": "no energy went into days of this kind",
}
"""Figures that may say 0 once something is typed, and what the 0 means."""

ALWAYS_KNOWN = {"log_rows_free", "heat_to_melt"}
"""Numbers of a blank book: how many rows it has, and the physics of glass."""


class Book:
    """The blank book, and where its figures are."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.studio = load_start("blank").studio
        self.blank = folder / "blank.xlsx"
        make_book(self.studio, self.blank, capacity=ROOM)
        self.parts: BookParts = book_parts(self.studio, ROOM)
        self.stages = [self._after(count) for count in range(len(ALL) + 1)]

    def cell(self, place: str) -> tuple[str, str]:
        """The sheet and the cell of a field: ``connected_kw``, ``log_weight.1``."""
        name, _, row = place.partition(".")
        if not row:
            spot = self.parts.placement.scalars[name]
            return spot.sheet, cell_address(spot.row, spot.col)
        column = self.parts.placement.columns[name]
        return column.sheet, cell_address(column.first + int(row) - 1, column.col)

    def _after(self, cells: int) -> Path:
        """The book with the first so many cells typed."""
        if cells == 0:
            return self.blank
        target = self.folder / f"{cells:02d}.xlsx"
        edit_cells(self.blank, target, {self.cell(step.place): step.value for step in ALL[:cells]})
        return target

    def shown(self) -> dict[tuple[str, str], str]:
        """The figures that people read, by cell: on sheets to read and to print, but for the workings."""
        names = {name for sheet in self.parts.sheets for name in _read_on(sheet)}
        formulas = iter_formulas(self.parts.vocabulary, self.parts.placement)
        return {(one.sheet, one.cell): one.name for one in formulas if one.name in names}


def _read_on(sheet: Sheet) -> set[str]:
    if sheet.role not in ("read", "print") or sheet.key == "workings":
        return set()
    found: set[str] = set()
    for block in sheet.blocks:
        if isinstance(block, Fields) and block.heading != "Workings":
            found |= set(block.names)
        elif isinstance(block, Grid):
            found |= {name for row in block.rows for name in row[1 : 1 + len(block.columns)] if name}
        elif isinstance(block, Rows) and block.heading != "Workings":
            found |= set(block.columns)
    return found


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return Book(tmp_path_factory.mktemp("first"))


@pytest.fixture(scope="module", params=["libreoffice", "formualizer"])
def stages(request: pytest.FixtureRequest, book: Book) -> list[Values]:
    """The whole recalculated book after 0, 1, 2, … typed cells."""
    engine: Engine = ENGINES[request.param]()
    reason = engine.available()
    if reason is not None:
        (pytest.fail if request.config.getoption("require_engines") else pytest.skip)(reason)
    found = engine.recalculate(book.stages, book.folder / request.param)
    return [found[path] for path in book.stages]


pytestmark = pytest.mark.engines


def shows(book: Book, values: Values, place: str) -> Value:
    return values.get(book.cell(place))


def test_ten_cells_then_four_then_what_is_missing() -> None:
    assert (TEN, FOURTEEN) == (10, 14)
    assert len({step.place for step in ALL}) == len(ALL)


def test_start_says_what_to_type_next(book: Book, stages: list[Values]) -> None:
    told = [shows(book, values, "next_step") for values in stages]
    assert told == [says(1), *(says(step.next_step) for step in ALL)]


def test_no_cell_is_ever_an_error(stages: list[Values]) -> None:
    for count, values in enumerate(stages):
        errors = {key: str(value) for key, value in values.items() if isinstance(value, CellError)}
        assert not errors, f"after {count} cells"


def test_no_check_looks_where_only_something_is_missing(book: Book, stages: list[Values]) -> None:
    """What a fresh book lacks is the next step, not a fault, once the first figures are there."""
    assert shows(book, stages[0], "checks_state") == "Nothing to check yet"
    for count in (TEN, FOURTEEN, len(ALL)):
        assert shows(book, stages[count], "checks_state") == "All checks pass", f"after {count} cells"


def test_the_first_cost_of_glass(book: Book, stages: list[Values]) -> None:
    places = ("start_cost_hot", "price_hot", "happened_hot", "price_line_own")
    for values in stages[:TEN]:
        assert [shows(book, values, place) for place in places] == [None] * len(places)
    for place in places:
        assert shows(book, stages[TEN], place) == pytest.approx(0.81)


def test_the_first_tag(book: Book, stages: list[Values]) -> None:
    for values in stages[:FOURTEEN]:
        assert shows(book, values, "tag_suggested.1") is None
    values = stages[FOURTEEN]
    assert shows(book, values, "cost_good.1") == pytest.approx(11.215)
    assert shows(book, values, "tag_suggested.1") == 23
    assert shows(book, values, "start_tag") == "Cup: 23.00, for a margin of 50 % in Own shop"
    assert all(shows(book, earlier, "start_tag") is None for earlier in stages[:FOURTEEN])
    assert shows(book, values, "piece_missing.1") == f"Not counted yet: {', '.join(MISSING)}"
    assert shows(book, values, "start_pieces_final") == 0


def test_the_price_list_waits_until_the_piece_is_complete(book: Book, stages: list[Values]) -> None:
    for values in stages[:-1]:
        assert shows(book, values, "list_name.1") is None
        assert shows(book, values, "list_tag.1") is None
    waiting = "1 piece waits for figures and is not printed; see What each costs."
    assert {shows(book, values, "list_sentence") for values in stages[TEN + 1 : -1]} == {waiting}


def test_the_complete_piece_is_on_the_list(book: Book, stages: list[Values]) -> None:
    # A piece lacks nothing of the opening reading, which is typed first.
    for gone, values in enumerate(stages[FOURTEEN + 1 :]):
        left = ", ".join(MISSING[gone:])
        assert shows(book, values, "piece_missing.1") == (f"Not counted yet: {left}" if left else None)
    values = stages[-1]
    assert shows(book, values, "cost_good.1") == pytest.approx(12.415)
    assert shows(book, values, "tag_suggested.1") == 25
    assert (shows(book, values, "list_name.1"), shows(book, values, "list_tag.1")) == ("Cup", 25)
    assert shows(book, values, "start_pieces_final") == 1


def test_a_blank_book_shows_no_number_as_a_result(book: Book, stages: list[Values]) -> None:
    shown = book.shown()
    assert len(shown) > 200
    numbers = {name for key, name in shown.items() if isinstance(stages[0].get(key), float)}
    assert numbers == ALWAYS_KNOWN


def test_a_zero_is_shown_only_where_it_is_one(book: Book, stages: list[Values]) -> None:
    shown = book.shown()
    seen: set[str] = set()
    for count, values in enumerate(stages):
        zeros = {name for key, name in shown.items() if values.get(key) == 0}
        assert zeros <= set(REAL_ZEROS), f"after {count} cells"
        seen |= zeros
    assert seen == set(REAL_ZEROS)


def test_what_may_be_zero_is_a_figure(book: Book) -> None:
    vocabulary = book.parts.vocabulary
    items = {**vocabulary.scalars, **{name: item for name, (_, item) in vocabulary.columns.items()}}
    assert all(isinstance(items[name], Figure) for name in (*REAL_ZEROS, *ALWAYS_KNOWN))
