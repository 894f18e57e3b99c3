"""The command and the sheet New tariff give the same numbers, figure by figure and piece by piece.

The command works with the reference method; what the sheet shows is worked out from the book's own formulas by
another program, with the letter typed in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from meltbook.method.results import Value
from meltbook.studio.letter import Letter
from meltbook.workbook.edited import EditedBook, read_book
from meltbook.workbook.new_letter import FIGURES, PIECE_FIGURES
from tests.engines.compare import Mismatch, compare
from tests.engines.poison import poison
from tests.engines.runners import Engine
from tests.tariff.books import Cell, letter_typed, place, tariff
from tests.tariff.letters import LETTERS
from tests.tariff.live_sheet import LiveSheet

Shown = Mapping[tuple[str, str], Any]


def show(sheet: LiveSheet, letter: Letter) -> dict[Cell, Any]:
    """What the cells of the sheet show with this letter typed in."""
    sheet.type(letter)
    return sheet.shown(cells_of(sheet.book).values())


def cells_of(book: EditedBook) -> dict[tuple[str, int | None], Cell]:
    """Where each figure of a preview stands; ``None`` for one that isn't a piece's."""
    cells: dict[tuple[str, int | None], Cell] = {(name, None): place(book, name) for name in FIGURES}
    rows = range(1, book.capacity.pieces + 1)
    return cells | {(name, row): place(book, name, row) for name in PIECE_FIGURES for row in rows}


def said(document: Mapping[str, Any], book: EditedBook) -> dict[Cell, Value]:
    """What the command says, by the cell in which the sheet says it. Rows without a piece are blank."""
    cells = cells_of(book)
    found: dict[Cell, Value] = {cells[name, None]: document["figures"][name] for name in FIGURES}
    pieces = {piece["row"]: piece for piece in document["pieces"]}
    for name in PIECE_FIGURES:
        for row in range(1, book.capacity.pieces + 1):
            found[cells[name, row]] = pieces[row][name] if row in pieces else None
    return found


def differences(document: Mapping[str, Any], book: EditedBook, shown: Shown, engine: str) -> list[str]:
    names = {cell: f"{name} {row or ''}" for (name, row), cell in cells_of(book).items()}
    wrong: list[Mismatch] = compare(said(document, book), dict(shown), engine=engine)
    return [f"{names[one.sheet, one.cell]}: {one}" for one in wrong]


@pytest.fixture(scope="module", params=["lakeside", "harbour"])
def studio_book(request: pytest.FixtureRequest) -> Iterator[Path]:
    path: Path = request.getfixturevalue(request.param)
    yield path


@cache
def live(path: Path) -> LiveSheet:
    return LiveSheet(path)


@pytest.mark.parametrize("title", LETTERS)
def test_the_command_says_what_the_sheet_shows(title: str, studio_book: Path) -> None:
    words, letter = LETTERS[title]
    sheet = live(studio_book)
    document = tariff(studio_book, *words)
    assert differences(document, sheet.book, show(sheet, letter), "formualizer") == []
    assert document["figures"]["effect_year"] is not None
    assert len(document["pieces"]) == sum(piece.name is not None for piece in sheet.book.studio.pieces)


def test_a_wrong_number_would_be_seen(harbour: Path) -> None:
    words, letter = LETTERS["a price"]
    sheet = live(harbour)
    shown = show(sheet, letter)
    assert differences(tariff(harbour, *words[:-1], "0.3501"), sheet.book, shown, "formualizer") != []
    document = tariff(harbour, *words)
    document["pieces"][2]["tag_after"] += 0.01
    assert len(differences(document, sheet.book, shown, "formualizer")) == 1


def test_a_letter_on_the_sheet_is_the_same_as_one_in_words(studio_book: Path, tmp_path: Path) -> None:
    for n, (words, letter) in enumerate(LETTERS.values()):
        if n % 5 == 0:
            typed = tariff(letter_typed(studio_book, tmp_path / f"{n}.xlsx", letter))
            in_words = tariff(studio_book, *words)
            assert {**typed, "file": ""} == {**in_words, "file": ""}


def test_what_is_said_in_words_goes_before_what_is_on_the_sheet(harbour: Path, tmp_path: Path) -> None:
    typed = letter_typed(harbour, tmp_path / "typed.xlsx", LETTERS["everything"].letter)
    words = LETTERS["a price"].words
    assert {**tariff(typed, *words), "file": ""} == {**tariff(harbour, *words), "file": ""}


@pytest.mark.exhaustive
def test_office_programs_show_the_same(studio_book: Path, tmp_path: Path, office_engine: Engine) -> None:
    book = read_book(studio_book)
    paths: dict[str, Path] = {}
    for n, (title, (_, letter)) in enumerate(LETTERS.items()):
        if n % 2 == 0:
            typed = letter_typed(studio_book, tmp_path / f"typed-{n}.xlsx", letter)
            paths[title] = tmp_path / f"spoilt-{n}.xlsx"
            assert poison(typed, paths[title]) > 0
    shown = office_engine.recalculate(list(paths.values()), tmp_path)
    for title, path in paths.items():
        document = tariff(studio_book, *LETTERS[title].words)
        assert differences(document, book, shown[path], office_engine.name) == [], title
