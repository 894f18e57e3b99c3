"""The whole of ``class make``: what it writes, what it refuses, and that it leaves nothing by halves."""

from __future__ import annotations

import hashlib
import tracemalloc
from pathlib import Path

import openpyxl
import pytest

from meltbook.classroom import make, names
from meltbook.classroom.answers import answers
from meltbook.classroom.exercise import shipped
from meltbook.classroom.handout import make_handout
from meltbook.classroom.key import read_key
from meltbook.classroom.make import ClassMade, make_class
from meltbook.errors import BookFileError, MeltbookError, StudioError, UsageError
from meltbook.workbook.lint import lint_book
from tests.classroom.handouts import EVERYTHING

ROSTER = """Name
Ada Lindqvist
Bo "the kiln" Berg
=HYPERLINK("x")
Ada Lindqvist
../Čapek/Ž
"""


@pytest.fixture
def roster(tmp_path: Path) -> Path:
    path = tmp_path / "roster.csv"
    path.write_text(ROSTER, encoding="utf-8")
    return path


@pytest.fixture
def made(roster: Path, tmp_path: Path) -> ClassMade:
    return make_class(roster, EVERYTHING, tmp_path / "monday", seed=3)


def contents(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_what_is_written(made: ClassMade) -> None:
    assert made.students == 5
    assert len(made.workbooks) == len(set(made.workbooks)) == 5
    assert sorted(contents(made.folder)) == sorted(
        ["data-sheets.xlsx", "key.xlsx", *(f"workbooks/{path.name}" for path in made.workbooks)]
    )
    assert all(lint_book(path) == [] for path in made.workbooks)
    assert not made.others


def test_the_same_command_writes_the_same_bytes(made: ClassMade, roster: Path, tmp_path: Path) -> None:
    again = make_class(roster, EVERYTHING, tmp_path / "tuesday", seed=3)
    other = make_class(roster, EVERYTHING, tmp_path / "wednesday", seed=4)
    assert contents(again.folder) == contents(made.folder)
    assert not set(contents(other.folder).values()) & set(contents(made.folder).values())


def test_every_student_has_numbers_of_their_own(made: ClassMade) -> None:
    assert len(set(contents(made.folder).values())) == 7


# ------------------------------------------------------------------------------------------------------- the key


def test_the_key_makes_the_same_handouts_again(made: ClassMade) -> None:
    key = read_key(made.key)
    assert (key.seed, key.weight_unit, key.currency, key.version) == (3, "lb", "USD", 1)
    assert key.text == Path(EVERYTHING).read_text(encoding="utf-8")
    assert [student.name for student in key.students][:3] == ["Ada Lindqvist", 'Bo "the kiln" Berg', '=HYPERLINK("x")']
    assert [f"{student.stem}.xlsx" for student in key.students] == [path.name for path in made.workbooks]
    for student in key.students:
        one = make_handout(key.exercise, student, seed=key.seed, weight_unit=key.weight_unit, currency=key.currency)
        assert one.tag == key.tags[student.number]


def test_the_key_shows_every_answer_and_no_name_is_a_formula(made: ClassMade) -> None:
    key, book = read_key(made.key), openpyxl.load_workbook(made.key)
    assert book.sheetnames == ["On your own", "First steps", "Files", "Settings", "Exercise"]
    for stage, tab in (("own", "On your own"), ("first", "First steps")):
        rows = list(book[tab].iter_rows(min_row=5, values_only=True))
        assert [row[0] for row in rows] == [student.name for student in key.students]
        for student, row in zip(key.students, rows, strict=True):
            one = make_handout(key.exercise, student, seed=3, weight_unit="lb", currency="USD")
            right = answers(key.exercise, one.stages[stage])
            asked = names.checked_steps(key.exercise, stage)  # type: ignore[arg-type]
            for step, shown in zip(asked, row[1:], strict=True):
                expected = right[step.name]
                assert shown == (expected if isinstance(expected, str) else pytest.approx(expected))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert not [cell for cell in cells if cell.data_type == "f"]


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value"),
    [("Settings", 6, 2, "a few"), ("Settings", 4, 2, None), ("Exercise", 9, 1, None), ("Files", 6, 2, None)],
)
def test_a_key_that_was_changed_is_told(made: ClassMade, sheet: str, row: int, column: int, value: object) -> None:
    book = openpyxl.load_workbook(made.key)
    book[sheet].cell(row, column).value = value
    book.save(made.key)
    with pytest.raises(BookFileError) as told:
        read_key(made.key)
    assert sheet in told.value.message


def test_a_key_that_another_program_saved_is_read(made: ClassMade) -> None:
    before = read_key(made.key)
    openpyxl.load_workbook(made.key).save(made.key)
    assert read_key(made.key) == before


def test_no_key(made: ClassMade) -> None:
    with pytest.raises(BookFileError, match="no key of a class"):
        read_key(made.workbooks[0])


# -------------------------------------------------------------------------------------------------- the data sheets


def test_a_page_for_each_student(made: ClassMade) -> None:
    key, book = read_key(made.key), openpyxl.load_workbook(made.data_sheets)
    assert len(book.sheetnames) == 5
    for student, sheet in zip(key.students, book, strict=True):
        one = make_handout(key.exercise, student, seed=3, weight_unit="lb", currency="USD")
        values = [cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None]
        assert student.name in values
        for stage in ("first", "own"):
            assert set(one.stages[stage].values.values()) <= set(values)
        right = answers(key.exercise, one.stages["own"]).values()
        assert not {value for value in right if isinstance(value, float)} & set(values)
        assert sheet.page_setup.fitToHeight in (None, 1) and sheet.sheet_properties.pageSetUpPr.fitToPage


# ------------------------------------------------------------------------------------------------- what is refused


def test_nothing_is_overwritten_unasked(made: ClassMade, roster: Path) -> None:
    before = contents(made.folder)
    with pytest.raises(UsageError, match="is there already, and 6 more"):
        make_class(roster, EVERYTHING, made.folder, seed=4)
    assert contents(made.folder) == before
    make_class(roster, EVERYTHING, made.folder, seed=4, overwrite=True)
    assert contents(made.folder).keys() == before.keys()
    assert not set(contents(made.folder).values()) & set(before.values())


def test_what_is_not_of_this_class_stays(made: ClassMade, roster: Path) -> None:
    note = made.folder / "workbooks" / "note.txt"
    note.write_text("mine")
    roster.write_text("Carla\n", encoding="utf-8")
    again = make_class(roster, EVERYTHING, made.folder, overwrite=True)
    assert note.read_text() == "mine"
    assert set(again.others) == set(made.workbooks), "the teacher is told of workbooks of an earlier run"


@pytest.mark.parametrize("text", ["", "Name\n\n"])
def test_a_roster_with_nobody_on_it(text: str, roster: Path, tmp_path: Path) -> None:
    roster.write_text(text, encoding="utf-8")
    with pytest.raises(MeltbookError):
        make_class(roster, EVERYTHING, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_wrong_exercise(roster: Path, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.toml"
    wrong.write_text('title = "Wrong"\n[[steps]]\nname = "x"\n', encoding="utf-8")
    for name in ("no-such-exercise", str(wrong)):
        with pytest.raises(MeltbookError):
            make_class(roster, name, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_folder_that_is_none(roster: Path, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="is a file"):
        make_class(roster, EVERYTHING, roster)
    with pytest.raises(UsageError, match="no folder"):
        make_class(roster, EVERYTHING, tmp_path / "a" / "b")
    with pytest.raises(UsageError):
        make_class(roster, EVERYTHING, tmp_path / "out", currency="ABC")


# --------------------------------------------------------------------------------------------------- all or nothing


def test_a_failure_halfway_leaves_nothing(roster: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done = make.handout_bytes

    def failing(handout: object, **options: object) -> bytes:
        if handout.student.number == 4:  # type: ignore[attr-defined]
            raise KeyboardInterrupt
        return done(handout, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(make, "handout_bytes", failing)
    with pytest.raises(KeyboardInterrupt):
        make_class(roster, EVERYTHING, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_failure_while_moving_puts_back_what_was_there(
    made: ClassMade, roster: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = contents(made.folder)
    rename = Path.rename

    def failing(self: Path, target: Path) -> Path:
        if self.name == "key.xlsx" and ".part" in str(self) and "old" not in str(self):
            raise OSError(28, "No space left on device")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(OSError, match="No space"):
        make_class(roster, EVERYTHING, made.folder, seed=9, overwrite=True)
    monkeypatch.undo()
    assert contents(made.folder) == before
    assert sorted(path.name for path in made.folder.iterdir()) == ["data-sheets.xlsx", "key.xlsx", "workbooks"]


def test_an_answer_in_clear_stops_the_work(roster: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make, "in_clear", lambda data, handout: ["own_used in xl/sharedStrings.xml"])
    with pytest.raises(StudioError, match="own_used"):
        make_class(roster, EVERYTHING, tmp_path / "out")
    assert not (tmp_path / "out").exists()


# -------------------------------------------------------------------------------------------------------- in large


@pytest.mark.exhaustive
@pytest.mark.parametrize("exercise", shipped())
def test_a_class_of_forty(exercise: str, tmp_path: Path) -> None:
    """No workbook of a large class shows an answer, in either unit; the work refuses to write one that does."""
    roster = tmp_path / "roster.csv"
    roster.write_text("\n".join(f"Student {number}" for number in range(1, 41)), encoding="utf-8")
    for weight, currency in (("lb", "USD"), ("kg", "EUR")):
        made = make_class(roster, exercise, tmp_path / weight, weight_unit=weight, currency=currency, paper="A4")
        assert made.students == 40


@pytest.mark.exhaustive
def test_memory_stays_flat_over_three_hundred_students(tmp_path: Path) -> None:
    peaks = []
    for count in (30, 300):
        roster = tmp_path / f"{count}.csv"
        roster.write_text("\n".join(f"Student {number}" for number in range(1, count + 1)), encoding="utf-8")
        seen: list[int] = []
        tracemalloc.start()
        make_class(
            roster, EVERYTHING, tmp_path / f"out{count}", progress=lambda done, total, seen=seen: seen.append(done)
        )
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        assert seen == list(range(1, count + 1))
    # What grows is the data sheets, a page for each student.
    assert peaks[1] < peaks[0] + 270 * 400_000
