"""What can't be used is said clearly, with its exit code, and nothing is written; what an owner may do, works."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from meltbook.workbook.edited import read_book
from tests.tariff.books import START, demo_book, demo_studio, everything_in, place, refused, tariff, typed_into
from tests.unit.cli.run import run
from tests.unit.workbook import edits
from tests.unit.workbook.hostile import HOSTILE

GOOD = ("--from", START, "--price", "0.35")
ALL = ("--apply", "--retag", "--report", "report.csv")


def test_exit_codes_and_one_sentence_on_stderr(book: Path) -> None:
    said = run("tariff", book, "--from", START, "--price", "0,35")
    assert said.exit_code == 2
    assert said.stdout == ""
    assert "type 0.35" in said.stderr
    assert "Traceback" not in said.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--from", START, "--price", "0,151"), "0.151 or as 151"),
        (("--from", START, "--price", "1,234"), "1.234 or as 1234"),
        (("--from", START, "--price", "-0.151"), "below 0"),
        (("--from", START, "--price=-0.151"), "below 0"),
        (("--from", START, "--price", "cheap"), "no number"),
        (("--from", START, "--service", "-3"), "below 0"),
        (("--from", START, "--change", "0.08"), "0.08 % or as 8 %"),
        (("--from", START, "--change", "-100%"), "not from -99"),
        (("--from", START, "--tax", "120%"), "not from 0 to 100"),
        (("--from", START, "--price", "0.3", "--change", "8%"), "say two things"),
        (("--from", START), "changes nothing"),
        (("--from", START, "--ref", "letter 7"), "changes nothing"),
        (("--price", "0.35"), "no date"),
        (("--cents",), "no date"),
        ((), "none is typed on the sheet New tariff"),
        (("--from", "2027-02-30", "--price", "0.35"), "no day 2027-02-30"),
        (("--from", "03/04/2027", "--price", "0.35"), "2027-03-04 or 2027-04-03"),
        (("--from", "soon", "--price", "0.35"), "no date"),
        (("--from", "2001-01-01", "--price", "0.35"), "No tariff is in force on that day"),
        (("--from", START, "--cents", "--service", "40"), "for unit prices"),
        (("--from", START, "--price", "0.3", "--per", "day"), "goes with the service charge"),
        (("--from", START, "--service", "3", "--per", "week"), "'week' is not one of"),
        (("--from", START, "--price", "0.3", "--ref", "x" * 301), "longer than 300"),
        (("--from", START, "--price", "0.3", "--price-two", "0.2", "--share-one", "30%"), "not 100 %"),
        (("--from", START, "--share-one", "60%", "--share-two", "50%"), "make 110 % together"),
        ((*GOOD, "--retag"), "only with --apply"),
        ((*GOOD, "--in-place"), "only with --apply"),
        ((*GOOD, "--although-large"), "only with --apply"),
        ((*GOOD, "--apply", "--in-place", "--out", "x.xlsx"), "say two things"),
        ((*GOOD, "--frm", "x"), "No such option"),
    ],
)
def test_a_letter_that_can_not_be_used(words: tuple[str, ...], said: str, book: Path) -> None:
    before = everything_in(book.parent)
    found = refused(book, *words)
    assert said in found
    if "--retag" not in words and "--in-place" not in words and "--although-large" not in words:
        refused(book, *words, "--apply")
    assert everything_in(book.parent) == before


def test_a_date_that_is_not_after_the_newest_tariff(book: Path) -> None:
    newest = max(row.start for row in read_book(book).studio.tariffs if row.start is not None)
    before = everything_in(book.parent)
    for day in (newest, newest - timedelta(days=1)):
        said = refused(book, "--from", day, "--price", "0.35", "--apply")
        assert "has this date or a later one" in said
        assert f"the newest from {newest}" in said
    assert everything_in(book.parent) == before


def test_an_absurd_price_is_shown_but_taken_over_only_when_meant(book: Path) -> None:
    large = ("--from", START, "--price", "27.5")
    assert "More than three times the price in force: was it typed in cents?" in tariff(book, *large)["warnings"]
    before = everything_in(book.parent)
    assert "--although-large; for cents --cents" in refused(book, *large, "--apply")
    assert everything_in(book.parent) == before
    assert tariff(book, *large, "--cents")["warnings"] == []
    row = tariff(book, *large, "--apply", "--although-large")["tariff_row"]
    assert row["price"] == 27.5


def test_an_absurdly_low_price_is_warned_of(book: Path) -> None:
    (warning,) = tariff(book, "--from", START, "--price", "0.35", "--cents", "--surcharge", "0.02")["warnings"]
    assert warning.startswith("Less than a third")
    assert "Careful: Less than a third" in run("tariff", book, "--from", START, "--change", "-90%").stderr


def test_a_price_above_what_the_shop_expects_must_be_meant_too(book: Path) -> None:
    limited = typed_into(book, book.with_name("limited.xlsx"), {("price_limit", None): 0.3})
    assert "above the highest that is expected, 0.3" in refused(limited, *GOOD, "--apply")
    tariff(limited, *GOOD, "--apply", "--although-large")


def test_a_full_tariff_table(tmp_path: Path) -> None:
    studio = demo_studio("harbour-kg")
    rows = studio.tariffs
    last = rows[-1].start
    assert last is not None
    more = [rows[-1].model_copy(update={"start": last.replace(month=1 + n, day=2)}) for n in range(1, 9 - len(rows))]
    book = demo_book("harbour-kg", tmp_path / "full.xlsx", tariffs=(*rows, *more))
    assert "The table of tariffs is full." in tariff(book, *GOOD)["warnings"]
    before = everything_in(tmp_path)
    assert "Insert rows" in refused(book, *GOOD, "--apply")
    assert everything_in(tmp_path) == before
    assert "Line 9" not in run("tariff", book, *GOOD).stdout


# ------------------------------------------------------------------------------------------------------ the file


@pytest.mark.parametrize("mark", [".~lock.glass.xlsx#", "~$glass.xlsx"])
def test_a_workbook_that_is_open(mark: str, book: Path) -> None:
    book.with_name(mark).write_text("somebody")
    before = everything_in(book.parent)
    assert "open in another program" in refused(book, *GOOD, "--apply", "--in-place")
    assert everything_in(book.parent) == before
    said = run("tariff", book, *GOOD, "--apply")  # a new file may be written beside it
    assert said.exit_code == 0
    assert "this is its last saved state" in said.stderr


def test_a_write_protected_workbook(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book.chmod(0o444)
    monkeypatch.setattr("os.access", lambda path, mode: mode != os.W_OK)  # root may write anywhere, so it is said here
    before = everything_in(book.parent)
    assert "write-protected" in refused(book, *GOOD, "--apply", "--in-place")
    assert everything_in(book.parent) == before
    assert tariff(book, *GOOD, "--apply")["applied"]["file"].endswith(".with-new-tariff.xlsx")


def test_a_full_disk(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    before = everything_in(book.parent)
    monkeypatch.setattr("meltbook.workbook.files.os.fsync", full)
    for words in ((), ("--in-place",)):
        assert "no space left" in refused(book, *GOOD, "--apply", *words)
        assert everything_in(book.parent) == before


def test_a_target_that_is_there_is_left_alone(book: Path) -> None:
    there = book.with_name("glass.with-new-tariff.xlsx")
    there.write_bytes(b"precious")
    assert "is there already" in refused(book, *GOOD, "--apply")
    assert there.read_bytes() == b"precious"
    assert "is the workbook itself" in refused(book, *GOOD, "--apply", "--out", book, "--force")
    tariff(book, *GOOD, "--apply", "--force")
    assert read_book(there).usable


def test_a_folder_that_is_not_there(book: Path) -> None:
    assert "There is no folder" in refused(book, *GOOD, "--apply", "--out", book.parent / "none" / "x.xlsx")
    assert "There is no file" in refused(book.with_name("none.xlsx"), *GOOD)
    assert "is a folder" in refused(book.parent, *GOOD)


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_file_that_is_no_workbook_of_ours(kind: str, tmp_path: Path) -> None:
    make, said = HOSTILE[kind]
    file = make(tmp_path / "some.xlsx")
    before = everything_in(tmp_path)
    for words in ((), ("--apply",), ("--apply", "--in-place")):
        assert re.search(said, refused(file, *GOOD, *words, code=1))
    assert everything_in(tmp_path) == before


@pytest.mark.parametrize("version", [99.0, 0.0, "one"])
def test_a_version_that_is_not_known(version: float | str, book: Path) -> None:
    other = typed_into(book, book.with_name("other.xlsx"), {("book_version", None): version})
    assert "arrange" in refused(other, *GOOD, "--apply", code=1)


def test_cells_that_can_not_be_read_are_all_told(book: Path) -> None:
    wrong = typed_into(
        book,
        book.with_name("wrong.xlsx"),
        {("log_weight", 3): "12,5", ("tariff_price", 1): "cheap", ("piece_tag", 2): -5.0},
    )
    before = everything_in(book.parent)
    found = refused(wrong, *GOOD, "--apply", code=1)
    assert "3 things in wrong.xlsx can't be used" in found
    assert "12,5" in found
    assert everything_in(book.parent) == before


# ------------------------------------------------------------------------------------------- what owners may do


def _renamed(book: Path, to: Path) -> Path:
    one = edits.rename_sheet(book, to.with_name("one.xlsx"), "Tariffs", "Strom '27")
    return edits.rename_sheet(one, to, "Pieces", "Was wir machen")


def _columns_moved(book: Path, to: Path) -> Path:
    found = read_book(book)
    column = re.sub(r"\d", "", place(found, "log_weight", 1)[1])
    one = edits.insert_column(book, to.with_name("one.xlsx"), found.placement.columns["log_weight"].sheet, column)
    return edits.insert_column(one, to, "Tariffs", "C")


def _rows_inserted(book: Path, to: Path) -> Path:
    one = edits.insert_rows(book, to.with_name("one.xlsx"), "Tariffs", 3, 2)
    return edits.insert_rows(one, to, "Pieces", 5)


@pytest.mark.parametrize("change", [_renamed, _columns_moved, _rows_inserted])
def test_sheets_columns_and_rows_may_move(change: Callable[[Path, Path], Path], book: Path, tmp_path: Path) -> None:
    moved = change(book, tmp_path / "moved.xlsx")
    plain, found = tariff(book, *GOOD, "--apply", "--retag"), tariff(moved, *GOOD, "--apply", "--retag")
    assert {key: found[key] for key in ("figures", "pieces", "tariff_row")} == {
        key: plain[key] for key in ("figures", "pieces", "tariff_row")
    }
    assert found["applied"]["formulas"] == found["applied"]["formulas_with_stored_value"]
    assert found["applied"]["formulas_changed"] is False
    after = read_book(Path(found["applied"]["file"]))
    assert after.studio == read_book(Path(plain["applied"]["file"])).studio


def test_changed_formulas_are_said(book: Path) -> None:
    odd = typed_into(book, book.with_name("odd.xlsx"), {("cost_good", 1): "=1+1"})
    assert tariff(odd, *GOOD, "--apply")["applied"]["formulas_changed"] is True
    assert "Formulas in it are not as they were made" in run("tariff", odd, *GOOD, "--apply", "--force").stderr


def test_a_workbook_without_pieces_or_without_a_tariff(tmp_path: Path) -> None:
    assert run("new", tmp_path / "blank.xlsx", "--rows", "30").exit_code == 0
    assert "Tariffs has no row with a date and a price" in refused(tmp_path / "blank.xlsx", *GOOD)
    bare = demo_book("harbour-kg", tmp_path / "bare.xlsx", pieces=())
    document = tariff(bare, *GOOD)
    assert document["pieces"] == []
    assert "no pieces yet" in document["warnings"][0]
    assert run("tariff", bare, *GOOD).exit_code == 0
