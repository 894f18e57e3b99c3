"""The workbook of results and the CSV file: right sums, live and stored; no text ever a formula; pages that print."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest

from meltbook.classroom.exercise import load_exercise
from meltbook.classroom.handout import make_handout
from meltbook.classroom.key import read_key
from meltbook.classroom.make import make_class
from meltbook.classroom.mark import ClassMarked, mark_class
from meltbook.classroom.results import guarded, results_bytes
from meltbook.errors import BookFileError, UsageError
from meltbook.workbook.lint import lint_book
from meltbook.workbook.read import read_file
from meltbook.workbook.recalculate import Recalculation
from tests.classroom import students
from tests.classroom.marking import files
from tests.unit.cli.run import run

NAMES = ("Ada Lindqvist", '=HYPERLINK("http://x")', '"Bo, the kiln"', "نور الدين", "Ž" * 300, "@SUM(1)", "Finn O'Dell")
EXERCISE = "ladder"
PLANS: tuple[dict[str, str] | str | None, ...] = (
    "right",
    {"own_in_pieces": "slip", "own_hot_cost": "typed right"},
    {"own_in_pieces": "slip", "first_melt_cost": "unreadable"},
    {"own_in_pieces": "blank", "own_wear": "typed wrong"},
    "typed right",
    "blank",
    None,
)
"""What each does; the last hands in nothing. Most fail the step in_pieces."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("results")
    with (folder / "roster.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["Name"], *([name] for name in NAMES)])
    made = make_class(folder / "roster.csv", EXERCISE, folder / "made")
    key = read_key(made.key)
    exercise = load_exercise(EXERCISE)
    (folder / "back").mkdir()
    for student, path, plan in zip(key.students, made.workbooks, PLANS, strict=True):
        if plan is None:
            continue
        one = make_handout(exercise, student, seed=1, weight_unit="lb", currency="USD")
        typed = students.contents(list(students.at_work(one, plan, student.number)))
        files.fill(path, folder / "back" / path.name, typed)
    (folder / "back" / "=cmd.xlsx").write_text("no workbook")
    return folder


@pytest.fixture(scope="module")
def done(folder: Path) -> ClassMarked:
    return mark_class(folder / "back", folder / "results.xlsx", key=folder / "made" / "key.xlsx")


@pytest.fixture(scope="module")
def wanted(folder: Path) -> list[dict[str, tuple[str, float]]]:
    """State and points of each student's cells, worked out apart."""
    key = read_key(folder / "made" / "key.xlsx")
    found: list[dict[str, tuple[str, float]]] = []
    for student, plan in zip(key.students, PLANS, strict=True):
        one = make_handout(key.exercise, student, seed=1, weight_unit="lb", currency="USD")
        works = [] if plan is None else list(students.at_work(one, plan, student.number))
        found.append(students.expected(works))
    return found


def rows(path: Path, sheet: str) -> Iterator[tuple[object, ...]]:
    yield from openpyxl.load_workbook(path, data_only=True)[sheet].iter_rows(values_only=True)


def test_sums_are_live_and_what_is_stored_beside_them_is_right(done: ClassMarked) -> None:
    file = read_file(done.results)
    formulas = {
        (name, *place): cell
        for name in file.sheet_names
        for place, cell in file.sheet(name).cells.items()
        if cell.formula
    }
    sums = [cell for cell in formulas.values() if str(cell.formula).startswith("SUM(")]
    assert len(sums) == len(NAMES) + 1, "a total of each student, and of what there is"
    worked = Recalculation(file).values(formulas)
    for spot, cell in formulas.items():
        assert worked[spot].value == pytest.approx(cell.value), spot


def test_marks_are_those_that_they_ought_to_be(done: ClassMarked, wanted: list[dict[str, tuple[str, float]]]) -> None:
    table = list(rows(done.results, "Marks"))[6:]
    asked = sum(state != "Guess" for state, _ in wanted[0].values())
    best = sum(points for _, points in wanted[0].values())
    for row, marks in zip(table, wanted, strict=True):
        points = [points for state, points in marks.values() if state != "Guess"]
        assert list(row[1 : asked + 1]) == (points or [None] * asked)
        assert row[asked + 1] == pytest.approx(sum(points)) and row[asked + 2] == pytest.approx(sum(points) / best)
    assert table[-1][-1] == "Nothing to mark"


def test_the_step_that_most_failed_is_said(done: ClassMarked) -> None:
    said = [str(row[0]) for row in rows(done.results, "Steps") if row[0]]
    assert "6 of 7 students are marked." in said
    assert any(
        text.startswith("Most of the class failed ‘In pieces that sell’ on On your own: 4 of 6") for text in said
    )
    spread = next(row for row in list(rows(done.results, "Steps"))[12:] if row[0] == "In pieces that sell")
    assert [count or 0 for count in spread[2:7]] == [1, 0, 1, 2, 2]
    assert " ×: " in str(spread[8]), "the slip that was made most"


def test_files_are_named(done: ClassMarked) -> None:
    table = [row[:3] for row in rows(done.results, "Files")][4:]
    assert table == [("Can't be read", "=cmd.xlsx", "–"), ("Missing", "–", "Finn O'Dell")]


def test_feedback_has_a_page_for_each_and_tells_no_answer(done: ClassMarked, folder: Path) -> None:
    sheet = openpyxl.load_workbook(done.results)["Feedback"]
    values = [cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert len(sheet.row_breaks.brk) == 5, "six students, five page breaks"
    assert sheet.page_setup.scale >= 62 and not sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sum("ladder: " in str(value) and "points" in str(value) for value in values) == 6
    assert any("hundred times" in str(value) or "cheaper" in str(value) for value in values), "the slip is named"
    blank = list(rows(done.results, "Feedback"))
    key = read_key(folder / "made" / "key.xlsx")
    one = make_handout(key.exercise, key.students[5], seed=1, weight_unit="lb", currency="USD")
    work = next(iter(students.at_work(one, "blank", 6)))
    start = next(n for n, row in enumerate(blank) if row[0] == NAMES[5])
    page = " ".join(str(value) for row in blank[start:] for value in row if value is not None)
    assert not [answer for answer in work.right.values() if f"{answer:.4g}" in page]


def test_the_workbook_is_sound(done: ClassMarked) -> None:
    # A sheet that is fitted to a page's width loses the page breaks between students in some programs; this one has a
    # size at which it fits instead.
    assert lint_book(done.results) == ["Feedback: is not set to print one page wide"]


def test_no_text_is_a_formula(done: ClassMarked) -> None:
    book = openpyxl.load_workbook(done.results)
    formulas = {str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"}
    assert all(formula.startswith(("=SUM(", "=IF(")) for formula in formulas)
    names = [str(row[0]) for row in rows(done.results, "Marks")]
    assert NAMES[1] in names and NAMES[3] in names and NAMES[5] in names


def test_the_csv_file(done: ClassMarked, wanted: list[dict[str, tuple[str, float]]]) -> None:
    raw = done.csv.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf") and b"\r\n" in raw
    table = list(csv.DictReader(io.StringIO(raw.decode("utf-8-sig"), newline="")))
    assert [row["student"] for row in table] == [guarded(name) for name in NAMES]
    assert table[1]["student"].startswith("'=") and table[5]["student"].startswith("'@")
    for row, marks in zip(table, wanted, strict=True):
        assert float(row["points"]) == pytest.approx(sum(points for _, points in marks.values()))
        for cell, (state, points) in marks.items():
            if state != "Guess":
                assert row[f"{cell}_state"] == state and float(row[cell]) == pytest.approx(points)


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@x", "\t=1", "  =1", "\r=1", "\n=1"])
def test_guarded(text: str) -> None:
    assert guarded(text) == f"'{text}"


@pytest.mark.parametrize("text", ["Ada", "a=1", "O'Dell, Finn", ""])
def test_not_guarded(text: str) -> None:
    assert guarded(text) == text


def test_the_same_files_give_the_same_bytes(done: ClassMarked, folder: Path) -> None:
    assert results_bytes(done.marks, paper="Letter") == done.results.read_bytes()


# ------------------------------------------------------------------------------------------------- the command


def test_the_command_says_what_it_did(folder: Path, tmp_path: Path) -> None:
    words = ("class", "mark", folder / "back", "--key", folder / "made" / "key.xlsx", "--out", tmp_path / "r.xlsx")
    result = run(*words)
    assert result.exit_code == 1 and result.stderr == ""
    assert "=cmd.xlsx: Can't be read." in result.stdout and "Finn O'Dell: Missing. Nothing came back." in result.stdout
    assert "Marked 6 workbooks of 7 students" in result.stdout
    assert (tmp_path / "r.xlsx").is_file() and (tmp_path / "r.csv").is_file()
    again = run(*words)
    assert again.exit_code == 2 and "is there already" in again.stderr
    said = json.loads(run(*words, "--force", "--json").stdout)
    assert not said["ok"] and len(said["students"]) == 7 and len(said["told"]) == 2
    assert said["students"][6]["points"] is None and said["students"][0]["steps"][1]["state"] == "Right"


def test_the_key_is_found_beside_the_files(folder: Path, tmp_path: Path) -> None:
    made = folder / "made"
    for where in (made, made / "workbooks"):
        result = run("class", "mark", where, "--out", tmp_path / "r.xlsx", "--force")
        assert result.exit_code == 0, result.output
        assert "Marked 7 workbooks of 7 students" in result.stdout


def test_results_among_the_files_are_no_students(folder: Path, tmp_path: Path) -> None:
    made = folder / "made"
    out = made / "workbooks" / "results.xlsx"
    try:
        assert run("class", "mark", made, "--out", out).exit_code == 0
        assert run("class", "mark", made, "--out", out, "--force").exit_code == 0
        assert run("class", "mark", made, "--out", tmp_path / "r.xlsx").exit_code == 1, "an unknown CSV file is told"
    finally:
        out.unlink()
        out.with_suffix(".csv").unlink()


def test_what_is_refused(folder: Path, tmp_path: Path) -> None:
    back, key = folder / "back", folder / "made" / "key.xlsx"
    with pytest.raises(UsageError, match="no folder"):
        mark_class(tmp_path / "nowhere", tmp_path / "r.xlsx", key=key)
    with pytest.raises(UsageError, match="no folder"):
        mark_class(back, tmp_path / "nowhere" / "r.xlsx", key=key)
    with pytest.raises(UsageError, match=r"no \.xlsx file"):
        mark_class(back, tmp_path / "r.csv", key=key)
    with pytest.raises(UsageError, match=r"no key\.xlsx"):
        mark_class(back, tmp_path / "r.xlsx")
    with pytest.raises(UsageError, match="is the key"):
        mark_class(back, key, key=key, overwrite=True)
    with pytest.raises(BookFileError, match="no key of a class"):
        mark_class(back, tmp_path / "r.xlsx", key=next(folder.glob("made/workbooks/*.xlsx")))
    assert not list(tmp_path.iterdir())
