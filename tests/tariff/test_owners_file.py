"""Taking a letter over in a file in which its owner has everything there is: all of it survives.

Every part of the zip but the sheets is the same byte for byte, packed and in place. In the sheets nothing
differs but the cells of the tariff's line, the tags, and values that are stored beside formulas: those are right,
or not there. No part is rewritten for the change, not even the order of calculation or the table of texts.
"""

from __future__ import annotations

import re
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from meltbook.studio.tariff import TariffRow
from meltbook.workbook.edited import read_book
from meltbook.workbook.new_letter import values_of
from tests.engines.compare import compare, describe, same
from tests.engines.poison import poison
from tests.engines.runners import Engine, LibreOffice
from tests.engines.values import CellError, Values, read_formulas, read_values, sheet_parts
from tests.tariff.books import START, everything_in, place, tariff
from tests.tariff.owners_book import OWN, PROGRAMS, own_cells, saved_by, written
from tests.unit.workbook.edit_book import MAIN, around_the_cells, assert_same_but

WORDS = ("--from", START, "--price", "0.35", "--service", "50", "--ref", "<7> & more", "--apply", "--retag")
_VALUE = re.compile(r"<(?:\w+:)?v\b[^>]*?(?:/>|>.*?</(?:\w+:)?v>)| t=\"[^\"]*\"| vm=\"[^\"]*\"", re.DOTALL)


@dataclass(frozen=True)
class Case:
    """A file before and after, and what the command said."""

    program: str
    before: Path
    after: Path
    document: dict[str, Any]

    @property
    def typed(self) -> set[tuple[str, str]]:
        """The cells that the command says it has set."""
        return {(cell["sheet"], cell["cell"]) for cell in self.document["applied"]["cells"]}


@pytest.fixture(scope="session")
def owners(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("owners") / "owners.xlsx")


def _case(program: str, owners: Path, folder: Path) -> Case:
    before = saved_by(program, owners, folder)
    document = tariff(before, *WORDS)
    return Case(program, before, Path(document["applied"]["file"]), document)


SLOW = ("libreoffice", "gnumeric")


@pytest.fixture(
    scope="module",
    params=[pytest.param(one, marks=pytest.mark.exhaustive if one in SLOW else ()) for one in PROGRAMS],
)
def case(request: pytest.FixtureRequest, owners: Path, tmp_path_factory: pytest.TempPathFactory) -> Case:
    if request.param in SLOW:
        request.getfixturevalue(request.param)  # skips where the program is missing
    return _case(request.param, owners, tmp_path_factory.mktemp(request.param))


def sheets(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as package:
        return {name: package.read(part) for name, part in sheet_parts(package).items()}


def sheet_part_names(path: Path) -> dict[str, str]:
    with zipfile.ZipFile(path) as package:
        return sheet_parts(package)


def cells_as_written(xml: bytes) -> dict[str, str]:
    """Each cell of a sheet as XML, by its name."""
    return {
        cell.attrib["r"]: ElementTree.tostring(cell, encoding="unicode")
        for cell in ElementTree.fromstring(xml).iter(f"{MAIN}c")
    }


# --------------------------------------------------------------------------------------- nothing else changes


def test_every_part_but_the_sheets_is_the_same_byte_for_byte(case: Case) -> None:
    assert_same_but(case.before, case.after, sheet_part_names(case.before).values())


def test_the_owners_things_are_in_the_file(case: Case) -> None:
    """So that the comparison means something."""
    with zipfile.ZipFile(case.before) as package:
        names = " ".join(package.namelist())
        all_xml = b"".join(package.read(name) for name in package.namelist() if name.endswith(".xml"))
    assert "charts/" in names
    assert "drawing" in names
    assert "comments" in names
    assert b"https://example.org/" in all_xml or "sheet" in names
    assert b"dataValidation" in all_xml
    assert b"conditionalFormatting" in all_xml
    assert b"my_rate" in all_xml
    if case.program == "xlsxwriter":
        assert "media/image" in names
        assert "tables/" in names
        assert b"sparkline" in all_xml
        assert b"mind the pot" in all_xml


def test_sheets_differ_in_the_cells_named_and_in_stored_values_only(case: Case) -> None:
    old, new = sheets(case.before), sheets(case.after)
    formulas = read_formulas(case.before)
    assert read_formulas(case.after) == formulas
    for name in old:
        if old[name] == new[name]:
            continue
        assert around_the_cells(old[name]) == around_the_cells(new[name]), name
        before, after = cells_as_written(old[name]), cells_as_written(new[name])
        for cell in before.keys() | after.keys():
            was, is_now = before.get(cell, ""), after.get(cell, "")
            if was == is_now or (name, cell) in case.typed:
                continue
            assert _VALUE.sub("", was) == _VALUE.sub("", is_now), (name, cell)
            assert (name, cell) in formulas or "<f" in was or _filled_by_another(name, cell), (name, cell)


def _filled_by_another(sheet: str, cell: str) -> bool:
    return (sheet, cell) in {(OWN, "D3"), (OWN, "D4")}


def test_only_the_line_and_the_tags_are_typed(case: Case) -> None:
    book = read_book(case.before)
    line = case.document["tariff_line"]
    row = {place(book, f"tariff_{key}", line) for key in TariffRow.model_fields}
    tags = {place(book, "piece_tag", number) for number in range(1, book.capacity.pieces + 1)}
    assert case.typed <= row | tags
    assert case.typed & row
    assert len(case.typed & tags) == case.document["applied"]["tags"] > 0
    old, new = read_values(case.before), read_values(case.after)
    formulas = read_formulas(case.before)
    changed = {
        key
        for key in old.keys() | new.keys()
        if old.get(key) != new.get(key) and key not in formulas and not _filled_by_another(*key)
    }
    assert changed <= case.typed


def test_a_sheet_without_any_new_result_is_the_same_byte_for_byte(case: Case) -> None:
    old, new = sheets(case.before)["My diary"], sheets(case.after)["My diary"]
    assert old == new or case.program == "openpyxl"  # which stores no values, so that they all come anew


def test_the_text_of_the_letter_is_kept_as_it_was_typed(case: Case) -> None:
    book = read_book(case.after)
    assert book.studio.tariffs[case.document["tariff_line"] - 1].letter == "<7> & more"
    assert book.usable


# ----------------------------------------------------------------------------------- stored values: right, or absent


def stored(path: Path) -> Values:
    """What is stored beside formulas, as far as something is."""
    formulas = read_formulas(path)
    return {key: value for key, value in read_values(path).items() if key in formulas and value is not None}


def test_the_books_own_values_are_those_of_the_reference(case: Case) -> None:
    book = read_book(case.after)
    expected = values_of(book)
    wrong = compare(expected, read_values(case.after))
    assert not wrong, describe(wrong)
    assert case.document["applied"]["formulas_changed"] is False
    assert len(expected) > 10_000


def test_the_owners_values_are_right_too(case: Case) -> None:
    found, tags = stored(case.after), [piece.tag for piece in read_book(case.after).studio.pieces if piece.tag]
    right = {
        "B2": sum(tags),
        "B4": 46388 - 30,
        "B5": "new prices & <more>",
        "B7": sum(tag for tag in tags if tag > 100) / len(tags),
        "B8": 0.35,
        "B9": True,
        "B10": CellError("#DIV/0!"),
    }
    for cell, value in right.items():
        assert same(value, found[OWN, cell]), cell
    assert 123456 not in found.values()  # what stood there at first


@pytest.mark.exhaustive
def test_every_stored_value_is_what_an_office_program_works_out(
    case: Case, tmp_path: Path, office_engine: Engine
) -> None:
    spoilt = tmp_path / "spoilt.xlsx"
    poison(case.after, spoilt)
    shown = office_engine.recalculate([spoilt], tmp_path)[spoilt]
    expected = values_of(read_book(case.after))
    wrong = compare(expected, shown, engine=office_engine.name)
    assert not wrong, describe(wrong)
    own = {key: value for key, value in stored(case.after).items() if key in own_cells()}
    shown = {key: bool(value) if own.get(key) is True else value for key, value in shown.items()}  # LibreOffice: 1
    wrong = compare(own, shown, engine=office_engine.name)
    assert not wrong, describe(wrong)
    assert len(own) == len(own_cells())


@pytest.mark.exhaustive
def test_a_program_that_believes_the_file_shows_right_values(
    case: Case, tmp_path: Path, libreoffice: LibreOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    trusting = LibreOffice()
    monkeypatch.setattr(trusting, "_write_profile", lambda folder: None)  # it recalculates nothing unasked
    shown = trusting.recalculate([case.after], tmp_path)[case.after]
    wrong = compare(values_of(read_book(case.after)), shown, engine="LibreOffice")
    assert not wrong, describe(wrong)
    assert same(46388 - 30, shown[OWN, "B4"])


# ------------------------------------------------------------------------------------------------------ in place


def test_in_place_is_the_same_file_and_the_backup_is_the_old_one(case: Case, tmp_path: Path) -> None:
    book = tmp_path / "glass.xlsx"
    book.write_bytes(case.before.read_bytes())
    document = tariff(book, *WORDS, "--in-place")
    assert book.read_bytes() == case.after.read_bytes()
    assert Path(document["applied"]["backup"]).read_bytes() == case.before.read_bytes()
    assert len(everything_in(tmp_path)) == 2
