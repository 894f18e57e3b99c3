"""Which files are marked and whose they are; what is told of the others."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from meltbook.classroom.gathering import ClassMarks, Kind, gather
from meltbook.classroom.key import Key, read_key
from meltbook.classroom.make import make_class
from meltbook.errors import StudioError, UsageError
from tests.classroom.marking import files
from tests.unit.workbook import edits
from tests.unit.workbook.hostile import HOSTILE

ROSTER = "Ada Lindqvist\nBo Berg\nÉlise Thorn\nAda Lindqvist\n"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("class")
    (folder / "roster.csv").write_text(ROSTER, encoding="utf-8")
    for exercise in ("meter-and-bill", "ladder"):
        make_class(folder / "roster.csv", exercise, folder / exercise)
    make_class(folder / "roster.csv", "ladder", folder / "another-seed", seed=2)
    return folder


@pytest.fixture(scope="module")
def key(made: Path) -> Key:
    return read_key(made / "ladder" / "key.xlsx")


@pytest.fixture
def back(made: Path, tmp_path: Path) -> Path:
    """What came back: everybody's file as it was handed out."""
    return Path(shutil.copytree(made / "ladder" / "workbooks", tmp_path / "back"))


def told(marks: ClassMarks) -> list[tuple[Kind, str, str]]:
    return [(one.kind, one.file, one.student) for one in marks.told]


def test_all_is_well(back: Path, key: Key) -> None:
    marks = gather(back, key)
    assert told(marks) == []
    assert marks.files == 4 and len(marks.marked) == 4
    assert all(mark.state in ("Blank",) for one in marks.marked for mark in one.marked.marks)  # type: ignore[union-attr]


def test_the_folder_that_the_class_was_made_in(made: Path, key: Key) -> None:
    marks = gather(made / "ladder", key, [made / "ladder" / "key.xlsx"])
    assert told(marks) == [], "the key and the data sheets are no student's"
    assert len(marks.marked) == 4


def test_other_names_and_subfolders(back: Path, key: Key) -> None:
    (back / "week 2").mkdir()
    (back / "Bo Berg.xlsx").rename(back / "week 2" / "copy of homework (1).XLSX")
    (back / "Élise Thorn.xlsx").rename(back / "12345_elise thorn_late.xlsx")
    marks = gather(back, key)
    assert told(marks) == []
    assert marks.students[1].file == "week 2/copy of homework (1).XLSX"


def test_missing(back: Path, key: Key) -> None:
    (back / "Bo Berg.xlsx").unlink()
    assert told(gather(back, key)) == [(Kind.MISSING, "", "Bo Berg")]


def test_twice_marks_the_first_by_name_whichever_is_better(back: Path, key: Key) -> None:
    files.fill(back / "Bo Berg.xlsx", back / "Bo Berg again.xlsx", {"own_hot_energy": 5.0})
    marks = gather(back, key)
    assert told(marks) == [(Kind.TWICE, "Bo Berg.xlsx", "Bo Berg")]
    assert marks.students[1].file == "Bo Berg again.xlsx"
    assert "Bo Berg again.xlsx" in marks.told[0].says


def test_another_students_numbers(back: Path, key: Key) -> None:
    shutil.copy(back / "Élise Thorn.xlsx", back / "Bo Berg.xlsx")
    marks = gather(back, key)
    assert told(marks) == [(Kind.ANOTHERS, "Bo Berg.xlsx", "Bo Berg")]
    assert marks.students[1].marked is None and marks.students[2].file == "Élise Thorn.xlsx"
    assert "Élise Thorn" in marks.told[0].says


def test_two_of_one_name_are_not_taken_for_one_another(back: Path, key: Key) -> None:
    (back / "Ada Lindqvist.xlsx").rename(back / "x.xlsx")
    (back / "Ada Lindqvist-2.xlsx").rename(back / "Ada Lindqvist.xlsx")
    (back / "x.xlsx").rename(back / "Ada Lindqvist-2.xlsx")
    assert told(gather(back, key)) == []


def test_another_exercise_and_another_class(back: Path, made: Path, key: Key) -> None:
    shutil.copy(made / "meter-and-bill" / "workbooks" / "Bo Berg.xlsx", back / "Bo Berg.xlsx")
    shutil.copy(made / "another-seed" / "workbooks" / "Élise Thorn.xlsx", back / "Élise Thorn.xlsx")
    marks = gather(back, key)
    assert told(marks) == [
        (Kind.OTHER_EXERCISE, "Bo Berg.xlsx", "Bo Berg"),
        (Kind.UNKNOWN, "Élise Thorn.xlsx", "Élise Thorn"),
        (Kind.MISSING, "", "Bo Berg"),
        (Kind.MISSING, "", "Élise Thorn"),
    ]
    assert "Bo Berg.xlsx" in marks.told[2].says, "whose file it seems to be is told with what is missing"


@pytest.mark.parametrize("what", HOSTILE)
def test_a_file_that_is_no_workbook_is_told_and_the_rest_goes_on(what: str, back: Path, key: Key) -> None:
    maker, _ = HOSTILE[what]
    maker(back / "Bo Berg.xlsx")
    marks = gather(back, key)
    kinds = [(Kind.UNREADABLE, "Bo Berg.xlsx", "Bo Berg"), (Kind.UNKNOWN, "Bo Berg.xlsx", "Bo Berg")]
    assert told(marks)[0] in kinds and told(marks)[1:] == [(Kind.MISSING, "", "Bo Berg")]
    assert "where it should not" not in marks.told[0].says
    assert len(marks.marked) == 3


def test_an_answer_sheet_that_is_damaged(back: Path, key: Key) -> None:
    """The first look, at another sheet, is fine."""
    path = back / "Bo Berg.xlsx"
    parts = edits.unzip(path)
    part = edits.part_of(path, "On your own")
    parts[part] = parts[part][: len(parts[part]) // 2]
    edits.rezip(parts, path)
    marks = gather(back, key)
    assert told(marks) == [(Kind.UNREADABLE, "Bo Berg.xlsx", "Bo Berg"), (Kind.MISSING, "", "Bo Berg")]


def test_a_workbook_that_is_far_too_large(back: Path, key: Key) -> None:
    path = back / "Bo Berg.xlsx"
    noise = random.Random(1).randbytes(400_000)
    edits.rezip({**edits.unzip(path), "xl/media/film.bin": noise * 160}, path)
    marks = gather(back, key)
    assert told(marks) == [(Kind.UNREADABLE, "Bo Berg.xlsx", "Bo Berg"), (Kind.MISSING, "", "Bo Berg")]
    assert "64 MB" in marks.told[0].says


def test_marks_that_programs_leave_are_passed_over(back: Path, key: Key) -> None:
    for name in ("~$Bo Berg.xlsx", ".~lock.Bo Berg.xlsx#", "._Bo Berg.xlsx", ".DS_Store", "Thumbs.db"):
        (back / name).write_bytes(b"x")
    (back / "__MACOSX").mkdir()
    (back / "__MACOSX" / "Bo Berg.xlsx").write_bytes(b"x")
    assert told(gather(back, key)) == []


def test_a_link_is_not_followed(back: Path, key: Key, tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("secret")
    (back / "link.xlsx").symlink_to(tmp_path / "secret.txt")
    marks = gather(back, key)
    assert told(marks) == [(Kind.UNREADABLE, "link.xlsx", "")]
    assert "secret" not in marks.told[0].says


def test_given_numbers_that_were_changed_do_not_count(back: Path, key: Key) -> None:
    path = back / "Bo Berg.xlsx"
    formula = "=own_charge_days*own_charge_use+own_blow_days*own_blow_use"
    files.fill(path, path, {"own_charge_days": 1.0, "own_melt_energy": formula})
    marks = gather(back, key)
    assert told(marks) == [(Kind.CHANGED, "Bo Berg.xlsx", "Bo Berg")]
    assert "own_charge_days" in marks.told[0].says
    states = {mark.cell: mark.state for mark in marks.students[1].marked.marks}  # type: ignore[union-attr]
    assert states["own_melt_energy"] == "Right"


def test_a_cell_that_is_gone(back: Path, key: Key) -> None:
    path = back / "Bo Berg.xlsx"
    edits.change_names(path, path, lambda name, text: "#REF!" if name == "own_hot_cost" else text)
    assert told(gather(back, key)) == [(Kind.GONE, "Bo Berg.xlsx", "Bo Berg")]


def test_a_tag_is_found_without_its_name(back: Path, key: Key) -> None:
    path = back / "Bo Berg.xlsx"
    edits.change_names(path, path, lambda name, text: None if name in ("file_tag", "exercise_name") else text)
    assert told(gather(back, key)) == []


def test_a_formula_that_cannot_be_worked_out_is_told(back: Path, key: Key) -> None:
    path = back / "Bo Berg.xlsx"
    files.fill(path, path, {"own_hot_cost": "=INDIRECT(own_price)"})
    marks = gather(back, key)
    assert told(marks) == [(Kind.UNWORKED, "Bo Berg.xlsx", "Bo Berg")]
    assert "INDIRECT" in marks.told[0].says


def test_no_folder_and_a_key_of_another_version(back: Path, key: Key) -> None:
    with pytest.raises(UsageError, match="no folder"):
        gather(back / "nowhere", key)
    with pytest.raises(StudioError, match="made again"):
        gather(back, replace(key, tags={**key.tags, 1: "ANOTHER2"}))


@pytest.mark.parametrize("fate", files.FATES, ids=lambda fate: fate.__name__)
def test_what_programs_make_of_a_file_changes_nothing(fate: Callable[[Path], None], back: Path, key: Key) -> None:
    path = back / "Bo Berg.xlsx"
    files.fill(path, path, {"own_melt_energy": "=own_charge_days*own_charge_use+own_blow_days*own_blow_use"})
    fate(path)
    marks = gather(back, key)
    assert told(marks) == []
    states = {mark.cell: mark.state for mark in marks.students[1].marked.marks}  # type: ignore[union-attr]
    assert states.pop("own_melt_energy") == "Right"
    assert set(states.values()) == {"Blank"}
