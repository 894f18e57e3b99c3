"""The example books are whole, and the pictures show the pages that they are named for."""

from __future__ import annotations

import csv
import re
import zipfile
import zlib
from pathlib import Path

import pytest

from meltbook.workbook.lint import lint_book
from tests.tools import class_examples, make_examples
from tests.tools.make_examples import PICTURES, Picture, books, main, page_of, sheet_name
from tests.tools.page_picture import MARGIN, png, read_ppm, without_paper


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("examples")
    make_examples.write_books(made)
    make_examples.write_readme(made)
    return made


@pytest.mark.exhaustive
def test_every_book_is_sound(folder: Path) -> None:
    for book in books():
        assert lint_book(folder / book.file) == []


def test_there_is_a_filled_and_a_blank_book_in_both_units() -> None:
    assert {(book.studio.shop.weight_unit, book.paper, bool(book.studio.log)) for book in books()} == {
        ("lb", "Letter", True),
        ("lb", "Letter", False),
        ("kg", "A4", True),
        ("kg", "A4", False),
    }


def test_the_page_leads_to_every_file(folder: Path) -> None:
    links = re.findall(r"\]\(([^)]+)\)", (folder / "README.md").read_text(encoding="utf-8"))
    here = {link for link in links if not link.startswith("..")}
    of_the_class = [*class_examples.FILES, *(file for _, file, _ in class_examples.PAGES)]
    assert here == {
        *(book.file for book in books()),
        *(one.file for one in PICTURES),
        *(f"{class_examples.FOLDER}/{file}" for file in of_the_class),
    }


def test_a_picture_is_named_like_its_sheet() -> None:
    assert sheet_name("log") == "Furnace log"
    assert Picture("glass", "").file == "pages/cost-of-glass.png"
    assert Picture("glass", "", page=2).file == "pages/cost-of-glass-2.png"


def test_the_page_of_a_sheet_is_the_first_that_is_headed_so() -> None:
    pages = [["Start", "Prices"], [], ["Prices", "Tags"], ["Prices", "more"]]
    assert page_of(pages, "Prices") == 3
    with pytest.raises(LookupError, match="headed 'Checks'"):
        page_of(pages, "Checks")


def test_without_a_program_the_pictures_are_left_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(make_examples, "write_books", lambda folder: folder.mkdir(exist_ok=True))
    monkeypatch.setattr(class_examples, "write_class", lambda folder, work: None)
    monkeypatch.setattr(make_examples, "no_pictures", lambda: "no printer here")
    assert main([str(tmp_path)]) == 0
    assert "no pictures: no printer here" in capsys.readouterr().err
    assert main(["--require", str(tmp_path)]) == 3
    assert not (tmp_path / "pages").exists()


# ------------------------------------------------------------------------------------------------ pictures

WHITE, BLACK = b"\xff\xff\xff" * 2, b"\0\0\0" * 2


def test_a_page_loses_header_footer_and_empty_paper() -> None:
    page = [WHITE, BLACK, WHITE, WHITE, BLACK, WHITE, BLACK, BLACK, WHITE, WHITE, BLACK, WHITE]
    assert without_paper(page) == [WHITE] * MARGIN + [BLACK, WHITE, BLACK, BLACK] + [WHITE] * MARGIN
    assert without_paper([WHITE, BLACK, WHITE, BLACK]) == [WHITE, BLACK, WHITE, BLACK]


def test_a_picture_is_read_and_written() -> None:
    width, rows = read_ppm(b"P6\n2 3\n255\n" + BLACK + WHITE + BLACK)
    assert (width, rows) == (2, [BLACK, WHITE, BLACK])
    data = png(width, rows)
    size = int.from_bytes(data[33:37], "big")
    assert zlib.decompress(data[41 : 41 + size]) == b"\0" + BLACK + b"\0" + WHITE + b"\0" + BLACK
    with pytest.raises(ValueError, match="eight bits"):
        read_ppm(b"P5\n2 3\n255\n")


def test_the_books_hold_no_date_of_today(folder: Path) -> None:
    with zipfile.ZipFile(folder / books()[0].file) as package:
        assert {info.date_time for info in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_the_class_of_the_examples_is_marked_as_its_people_worked(tmp_path: Path) -> None:
    class_examples.write_class(tmp_path / "class", tmp_path)
    with (tmp_path / "class" / "results.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["student"]: row for row in csv.DictReader(file)}
    assert tuple(rows) == class_examples.NAMES
    amber, bjorn, chiara, dev, elise, finn = rows.values()
    assert (amber["own_hot_energy_state"], amber["own_hot_cost_state"]) == ("Wrong", "Right method")
    assert (bjorn["points"], bjorn["percent"]) == (bjorn["out_of"], "100")
    assert chiara["own_melt_cost_state"] == "Typed, not calculated"
    assert (dev["own_in_pieces_state"], dev["own_leaving_out_state"]) == ("Wrong", "Wrong")
    assert (elise["own_wear_state"], elise["own_glass_cost_state"]) == ("Wrong", "Blank")
    assert (finn["points"], finn["remark"]) == ("0", "Nothing to mark")
    assert {path.name for path in (tmp_path / "class").iterdir()} == set(class_examples.FILES)
