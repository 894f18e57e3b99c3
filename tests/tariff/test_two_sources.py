"""A letter of the second source: the same sheet, the same command, the other tariffs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from meltbook.method.tariff_change import NO_LETTER
from meltbook.studio.billing import rebilled
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.workbook.differences import reference
from meltbook.workbook.edited import EditedBook, read_book
from meltbook.workbook.new_letter import ADDED_UP, FIGURES, PIECE_FIGURES, cell_of_figure
from meltbook.workbook.typed import typed_values
from tests.engines.compare import compare
from tests.tariff.books import Cell, place, refused, tariff
from tests.tariff.letters import LETTERS
from tests.tariff.live_sheet import LiveSheet
from tests.unit.cli.run import run
from tests.unit.workbook import edits

FIRST = ("--source", "first")
SECOND = ("--source", "second")
PARTS = ("energy", "standing", "year")
RETAG_LINES = ("retag_name", "retag_old", "retag_new", "retag_why")
SEVERAL = ("a price", "a percentage", "service by the month", "within the log", "everything")


@pytest.fixture(scope="module")
def foundry(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Gas in the first furnace, electricity in the second."""
    path = tmp_path_factory.mktemp("foundry") / "foundry.xlsx"
    assert run("new", path, "--from", "foundry-two-kg", "--rows", "120").exit_code == 0
    return path


def cells(book: EditedBook) -> dict[str, Cell]:
    """Where each figure stands that a second source's letter has: its own, its one furnace's, the shop's."""
    single = {name: place(book, cell_of_figure(book, name, "Second")) for name in FIGURES}
    rows = range(1, len(book.studio.pieces) + 1)
    return single | {f"{name} {row}": place(book, name, row) for name in PIECE_FIGURES for row in rows}


def said(document: Mapping[str, Any]) -> dict[str, Any]:
    pieces = {f"{name} {piece['row']}": piece[name] for piece in document["pieces"] for name in PIECE_FIGURES}
    return {**document["figures"], **pieces}


def differences(document: Mapping[str, Any], live: LiveSheet) -> list[str]:
    where = cells(live.book)
    expected = {where[name]: value for name, value in said(document).items()}
    names = {cell: name for name, cell in where.items()}
    wrong = compare(expected, live.shown(where[name] for name in said(document)), engine="formualizer")
    return [f"{names[one.sheet, one.cell]}: {one}" for one in wrong]


def test_the_command_says_what_the_second_sheet_shows(foundry: Path) -> None:
    live = LiveSheet(foundry)
    for title in SEVERAL:
        live.type(LETTERS[title].letter, "Second")
        document = tariff(foundry, *SECOND, *LETTERS[title].words)
        assert document["source"] == "second"
        assert differences(document, live) == [], title
    assert document["figures"]["effect_year"] != pytest.approx(
        tariff(foundry, *FIRST, *LETTERS[title].words)["figures"]["effect_year"]
    )
    document["figures"]["effect_energy"] += 0.01
    assert len(differences(document, live)) == 1  # a wrong number would be seen


def test_the_cells_are_those_of_the_second_source(foundry: Path) -> None:
    book = read_book(foundry)
    assert cell_of_figure(book, "price_before", "Second") == "price_before_fuel"
    assert cell_of_figure(book, "effect_year", "Second") == "effect_year_second"
    assert cell_of_figure(book, "retag_count", "Second") == "retag_count"
    assert cell_of_figure(book, "effect_year", "First") == "effect_year"
    assert all(any(name.startswith(begin) for name in FIGURES) for begin in ADDED_UP)


def test_with_letters_of_both_the_figures_are_those_under_both(foundry: Path, tmp_path: Path) -> None:
    live = LiveSheet(foundry)
    live.type(LETTERS["a percentage"].letter, "First")
    typed = tmp_path / "both.xlsx"
    values = typed_values(Studio(letter=LETTERS["a percentage"].letter)).scalars
    fields = {place(live.book, name): value for name, value in values.items() if name.startswith("letter_")}
    edits.set_cells(foundry, typed, fields)
    live.type(LETTERS["a price"].letter, "Second")
    document = tariff(typed, *SECOND, *LETTERS["a price"].words)
    assert differences(document, live) == []
    assert any("other source is typed as well" in warning for warning in document["warnings"])
    alone = tariff(foundry, *SECOND, *LETTERS["a price"].words)
    assert not any("other source" in warning for warning in alone["warnings"])
    assert "New tariff 2" in refused(typed, *SECOND)
    assert "--source first" in refused(typed, *SECOND)


SAID = (
    *("letters_typed", "letter_besides", "retag_heading", "retag_empty", "retag_none", "retag_told", "retag_sentence"),
    *("retag_list_count", "keep_count", "letter_state", "letter_rest", "letter_state_fuel", "letter_rest_fuel"),
    *(f"letter_{per}_{name}{end}" for per in ("effect", "month") for name in PARTS for end in ("", "_fuel")),
    *(f"effect_{name}{end}" for name in ("told", "note", "energy", "standing") for end in ("", "_second")),
)
"""What the sheets say of letters of both sources."""


@pytest.mark.parametrize("sources", [(), ("First",), ("Second",), ("First", "Second")])
def test_the_sheets_say_of_which_letters_they_are(sources: tuple[str, ...], foundry: Path) -> None:
    live = LiveSheet(foundry)
    dates: dict[str, date] = {"First": date(2026, 12, 1), "Second": date(2027, 2, 3)}
    letters = {source: Letter(letter_start=dates[source], letter_change=0.4) for source in sources}
    studio = live.book.studio
    for source, letter in letters.items():
        live.type(letter, source)
        studio = rebilled(studio, "First" if source == "First" else "Second", letter=letter)
    results = reference(replace(live.book, studio=studio))
    where = {name: place(live.book, name) for name in SAID}
    rows = range(1, live.book.capacity.pieces + 1)
    lines = {f"{name} {row}": place(live.book, name, row) for name in RETAG_LINES for row in rows}
    shown = live.shown([*where.values(), *lines.values()])
    expected: dict[Cell, Any] = {where[name]: results.scalars[name] for name in SAID}
    expected |= {lines[f"{name} {row}"]: results.value(name, row) for name in RETAG_LINES for row in rows}
    assert compare(expected, shown, engine="formualizer") == []

    heading, empty, besides = (shown[where[name]] for name in ("retag_heading", "retag_empty", "letter_besides"))
    told = " and ".join(str(dates[source]) for source in sources)
    tariffs = "tariffs" if len(sources) == 2 else "tariff"
    assert (heading or "") == (f"New tags for the {tariffs} of {told}" if sources else "")
    listed = shown[where["retag_list_count"]]
    assert bool(listed) == ("Second" in sources)  # the pieces of the gas furnace have room in their margins
    assert (empty or "") == ("" if listed else "No tag changes." if sources else NO_LETTER)
    of_second = "The letter of 2027-02-03 on New tariff 2 is counted in the pieces and tags below."
    assert (besides or "") == (of_second if "Second" in sources else "")
    for source, end in (("First", ""), ("Second", "_fuel")):
        for per, months in (("effect", 1), ("month", 12)):
            assert isinstance(shown[where[f"letter_{per}_year{end}"]], float) == (source in sources)
            if source in sources:
                assert shown[where[f"letter_{per}_year{end}"]] == pytest.approx(
                    tariff(foundry, "--source", source.lower(), "--from", dates[source], "--change", "40%")["figures"][
                        "effect_year"
                    ]
                    / months
                )


def test_taking_it_over_changes_the_second_source_only(foundry: Path, tmp_path: Path) -> None:
    book = tmp_path / "foundry.xlsx"
    book.write_bytes(foundry.read_bytes())
    old = read_book(book).studio
    shown = tariff(book, *SECOND, *LETTERS["a price"].words)
    document = tariff(book, *SECOND, *LETTERS["a price"].words, "--apply")
    new = read_book(Path(document["applied"]["file"])).studio
    assert old.second_source is not None
    assert new.second_source is not None
    assert new.model_copy(update={"second_source": old.second_source}) == old
    line = shown["tariff_line"]
    assert new.second_source.tariffs[: line - 1] == old.second_source.tariffs[: line - 1]
    row = new.second_source.tariffs[line - 1].model_dump(mode="json", exclude_none=True)
    assert row == pytest.approx(shown["tariff_row"])
    assert shown["figures"]["letter_state"] == f"To take it over, type it into line {line} of Tariffs 2."
    assert {cell["sheet"] for cell in document["applied"]["cells"]} == {"Tariffs 2"}
    assert run("figures", document["applied"]["file"]).exit_code == 0  # every stored value is right
    text = run("tariff", book, *SECOND, *LETTERS["a price"].words).stdout
    assert f"Line {line} of Tariffs 2" in text
    assert "EUR/kWh then" in text
    page = tmp_path / "before-after.csv"
    assert run("tariff", book, *SECOND, *LETTERS["a price"].words, "--report", page).exit_code == 0
    assert "Energy, EUR/kWh, all in" in page.read_text(encoding="utf-8-sig")


def test_whose_letter_it_is_has_to_be_said(foundry: Path, tmp_path: Path) -> None:
    for words in (LETTERS["a price"].words, (*LETTERS["a price"].words, "--apply"), ()):
        said = refused(foundry, *words)
        assert "two sources of energy: say whose letter it is" in said
        assert "--source first: m³, Clear tank, Glory hole;" in said
        assert "--source second: kWh, Colour pot, New annealer, Old annealer, Compressor." in said
    assert [path.name for path in foundry.parent.iterdir()] == [foundry.name]
    typed = tmp_path / "typed.xlsx"
    values = typed_values(Studio(letter=LETTERS["a price"].letter)).scalars
    book = read_book(foundry)
    fields = {place(book, f"{name}_fuel"): value for name, value in values.items() if name.startswith("letter_")}
    edits.set_cells(foundry, typed, fields)
    assert tariff(typed)["source"] == "second"  # the only letter that is typed
    assert "say whose letter" in refused(typed, *LETTERS["a price"].words)


def test_a_book_with_one_source_has_no_second(harbour: Path) -> None:
    assert "one source of energy" in refused(harbour, *SECOND, *LETTERS["a price"].words)
    assert tariff(harbour, *FIRST, *LETTERS["a price"].words) == tariff(harbour, *LETTERS["a price"].words)
