"""A class, made and marked: the tasks, what each is measured against, and their part of the page.

Making is compared with XlsxWriter alone writing the cells of one workbook as often as there are students; marking
with openpyxl doing no more than load the same files. Every student's workbook is filled in, on both sheets.
"""

from __future__ import annotations

import io
import pickle
import re
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

import openpyxl

from benchmarks.plain import record, replay
from benchmarks.report import Measured
from meltbook.classroom import names
from meltbook.classroom.book import handout_bytes
from meltbook.classroom.exercise import Exercise, load_exercise
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.key import read_key
from meltbook.classroom.make import make_class
from meltbook.classroom.mark import mark_class

EXERCISE = "ladder"
Job = Callable[[], object]
NAME = re.compile(r'"[^"]*"|[a-z]+(?:_[a-z]+)*')


def prepare_class(students: int, folder: Path) -> int:
    """A roster, the class made of it, what came back, and a recording; returns the cells of a workbook."""
    place = folder / f"class-{students}"
    place.mkdir()
    roster = place / "roster.csv"
    roster.write_text("\n".join(f"Student {number}" for number in range(1, students + 1)), encoding="utf-8")
    make_class(roster, EXERCISE, place / "made")
    key = read_key(place / "made" / "key.xlsx")
    (place / "back").mkdir()
    for student in key.students:
        one = make_handout(key.exercise, student, seed=key.seed, weight_unit=key.weight_unit, currency=key.currency)
        (place / "back" / f"{student.stem}.xlsx").write_bytes(_filled(place / "made" / "workbooks", one))
    recording = record(lambda: handout_bytes(one))
    (place / "recording.pickle").write_bytes(pickle.dumps(recording))
    return recording.cells


def _filled(workbooks: Path, handout: Handout) -> bytes:
    """A workbook with the right formula at every step, and a mistake at one."""
    book = openpyxl.load_workbook(workbooks / f"{handout.student.stem}.xlsx")
    wrong = handout.student.number % len(handout.exercise.steps)
    for stage in names.ASKING:
        for number, step in enumerate(names.blank_steps(handout.exercise, stage)):
            ((sheet, address),) = book.defined_names[names.cell_name(stage, step.name)].destinations
            formula = _formula(handout.exercise, stage, step.formula) if names.has_formula(step) else 1.5
            book[sheet][address.replace("$", "")].value = f"{formula}*2" if number == wrong else formula
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def _formula(exercise: Exercise, stage: names.Stage, text: str) -> str:
    known = {given.name for given in exercise.given} | {step.name for step in exercise.steps}
    known |= {f"{table.name}_{column.name}" for table in exercise.tables for column in table.columns}
    return "=" + NAME.sub(lambda word: names.cell_name(stage, word[0]) if word[0] in known else word[0], text)


def _make(students: int, folder: Path) -> Job:
    place = folder / f"class-{students}"
    load_exercise(EXERCISE)
    shutil.rmtree(place / "again", ignore_errors=True)
    return lambda: make_class(place / "roster.csv", EXERCISE, place / "again")


def _bare(students: int, folder: Path) -> Job:
    place = folder / f"class-{students}"
    recording = pickle.loads((place / "recording.pickle").read_bytes())

    def job() -> None:
        for _ in range(students):
            (place / "bare.xlsx").write_bytes(replay(recording))

    return job


def _mark(students: int, folder: Path) -> Job:
    place = folder / f"class-{students}"
    return lambda: mark_class(place / "back", place / "results.xlsx", key=place / "made" / "key.xlsx", overwrite=True)


def _load(students: int, folder: Path) -> Job:
    paths = sorted((folder / f"class-{students}" / "back").glob("*.xlsx"))

    def job() -> None:
        for path in paths:
            openpyxl.load_workbook(path)

    return job


CLASS_TASKS: Mapping[str, Callable[[int, Path], Job]] = {
    "class-make": _make,
    "class-bare": _bare,
    "class-mark": _mark,
    "class-load": _load,
}
_WORDS = {
    "class-make": "`meltbook class make`",
    "class-bare": "... the cells of as many workbooks, XlsxWriter alone",
    "class-mark": "`meltbook class mark`",
    "class-load": "... openpyxl loads the same files, and no more",
}
_AIMS = {"class-make": "300 under 60 s, at most linear", "class-mark": "300 under 60 s, at most linear"}
_BASES = {"class-make": "class-bare", "class-mark": "class-load"}


def class_report(best: Mapping[tuple[str, int], Measured], cells: Mapping[int, int]) -> str:
    """The part of the page on classes."""
    small, large = sorted(cells)
    lines = [
        "",
        "## A class",
        "",
        f"- The exercise {EXERCISE}; a student's workbook has {cells[large]:,} cells. All students hand in, every step "
        "filled in with a formula, one of them wrong.",
        "",
        f"| | {small:,} students, s | {large:,} students, s | growth | aim | {small:,} students, MB "
        f"| {large:,} students, MB |",
        "|---|--:|--:|--:|---|--:|--:|",
    ]
    for name, words in _WORDS.items():
        one, other = best[name, small], best[name, large]
        lines.append(
            f"| {words} | {one.seconds:.2f} | {other.seconds:.2f} | {other.seconds / one.seconds:.1f} "
            f"| {_AIMS.get(name, '')} | {one.megabytes:.0f} | {other.megabytes:.0f} |"
        )
    lines += ["", f"| compared with its baseline | {small:,} students | {large:,} students |", "|---|--:|--:|"]
    for name, base in _BASES.items():
        ratios = [best[name, size].seconds / best[base, size].seconds for size in (small, large)]
        words = f"{_WORDS[name]} / {_WORDS[base].removeprefix('... ')}"
        lines.append(f"| {words} | {ratios[0]:.2f} | {ratios[1]:.2f} |")
    lines += ["", f"Growth is the time with {large:,} students ÷ that with {small:,}; {large / small:.0f} is linear."]
    return "\n".join(lines) + "\n"
