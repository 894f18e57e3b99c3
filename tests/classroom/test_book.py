"""A student's workbook as a file: nothing readable that should not be, looked over, the same bytes twice."""

from __future__ import annotations

import dataclasses
import io
import re
import zipfile
from pathlib import Path

import openpyxl
import pytest

from meltbook.classroom import names
from meltbook.classroom.answers import answers
from meltbook.classroom.book import handout_bytes, handout_parts
from meltbook.classroom.exercise import load_exercise
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.in_clear import everywhere, in_clear, significant
from meltbook.classroom.roster import Student
from meltbook.fields.kernel import Input, Shape
from meltbook.workbook.formula_rules import LONGEST_BODY, bodies, body_length, formula_faults
from meltbook.workbook.lint import lint_book
from meltbook.workbook.page import smallest_print
from tests.classroom.handouts import ADA, EVERYTHING, EXERCISES, handout

TITLES = [Path(name).stem for name in EXERCISES]
NUMBER = re.compile(r"(?<![\w.$])\d[\d,]*(?:\.\d+)?(?:[eE][+-]?\d+)?(?![\w.])")


@pytest.fixture(params=EXERCISES, ids=TITLES, scope="module")
def one(request: pytest.FixtureRequest) -> Handout:
    return handout(request.param)


def answers_of(one: Handout) -> dict[str, float]:
    """The answers of all steps that are asked."""
    found: dict[str, float] = {}
    for stage in names.ASKING:
        right = answers(one.exercise, one.stages[stage])
        for step in names.checked_steps(one.exercise, stage):
            value = right[step.name]
            if isinstance(value, int | float):
                found[names.cell_name(stage, step.name)] = value
    return found


def readable_numbers(data: bytes) -> dict[str, str]:
    """Every number in any text or attribute value of any part, at four digits, and the part; geometry left out.

    Rows, styles and sizes are attributes of their own, so that only prompts and texts are taken of attributes.
    """
    found: dict[str, str] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for part in package.namelist():
            text = package.read(part).decode()
            texts = [piece for piece in re.split(r"<[^>]*>", re.sub(r'<c [^>]*t="s"[^>]*>.*?</c>', "", text)) if piece]
            texts += re.findall(r'(?:prompt|promptTitle|error|errorTitle|descr|tooltip|name|text)="([^"]*)"', text)
            for piece in texts:
                for number in NUMBER.findall(piece):
                    found.setdefault(significant(float(number.replace(",", ""))), part)
    return found


def test_no_answer_can_be_read(one: Handout) -> None:
    """At four digits, in values, formulas, stored values, names, notes, properties and texts of every part."""
    readable = readable_numbers(handout_bytes(one))
    told = everywhere(one.exercise)
    seen = {
        cell: readable[key]
        for cell, value in answers_of(one).items()
        if (key := significant(value)) in readable and key not in told
    }
    assert seen == {}


def test_an_answer_that_can_be_read_is_seen(one: Handout) -> None:
    cell, value = next(
        (cell, value) for cell, value in answers_of(one).items() if significant(value) not in everywhere(one.exercise)
    )
    assert in_clear(handout_bytes(one), one) == []
    telling = dataclasses.replace(one, student=Student(1, f"Ada {value!r}", "ada"))
    assert any(cell in line for line in in_clear(handout_bytes(telling), telling))
    assert significant(value) in readable_numbers(handout_bytes(telling))


@pytest.mark.exhaustive
@pytest.mark.parametrize("exercise", EXERCISES, ids=TITLES)
def test_no_answer_can_be_read_in_a_large_class(exercise: str) -> None:
    for number in range(1, 41):
        student = Student(number, f"Student {'abcdefghij'[number % 10]}{'klmno'[number // 10]}", f"s{number}")
        made = make_handout(load_exercise(exercise), student, seed=7, weight_unit="kg", currency="EUR")
        assert in_clear(handout_bytes(made), made) == []


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_file_is_sound(one: Handout, paper: str, tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(handout_bytes(one, paper=paper))  # type: ignore[arg-type]
    assert lint_book(path) == []


def test_the_same_bytes_twice(one: Handout) -> None:
    again = make_handout(one.exercise, ADA, seed=1, weight_unit=one.weight_unit, currency=one.currency)
    assert handout_bytes(again) == handout_bytes(one)
    other = make_handout(one.exercise, ADA, seed=2, weight_unit=one.weight_unit, currency=one.currency)
    assert handout_bytes(other) != handout_bytes(one)


def test_formulas_keep_the_rules(one: Handout) -> None:
    """A step's formula is as long as its author wrote it: the stage's name before each name is not counted."""
    vocabulary = handout_parts(one).vocabulary
    steps = {names.cell_name(stage, step.name) for stage in names.STAGES for step in one.exercise.steps}
    faults = [fault for fault in formula_faults(vocabulary) if "characters" not in fault]
    for item in vocabulary.scalars.values():
        for where, body in bodies(item):
            text = re.sub(r"\b(?:worked|first|own)_", "", body) if item.name in steps else body
            if body_length(body) > LONGEST_BODY and len(text.replace(" ", "")) > LONGEST_BODY:
                faults.append(f"{where}: {len(text)} characters")
    assert faults == []


def test_pages_print_legibly_on_both_papers(one: Handout) -> None:
    for layout in handout_parts(one).layout.sheets:
        for paper in ("Letter", "A4"):
            assert smallest_print(layout, paper) >= 8, layout.sheet.name


def test_a_student_opens_a_plain_file(one: Handout) -> None:
    """Nothing is protected or hidden; every cell to type in is tinted, ruled and says what to type."""
    book = openpyxl.load_workbook(io.BytesIO(handout_bytes(one)))
    parts = handout_parts(one)
    assert book.sheetnames == ["Start", "Worked example", "First steps", "On your own", "Workings"]
    for sheet in book:
        assert not sheet.protection.sheet and sheet.sheet_state == "visible"
    for name, item in parts.vocabulary.scalars.items():
        if not isinstance(item, Input):
            continue
        spot = parts.placement.scalars[name]
        sheet = book[spot.sheet]
        cell = sheet.cell(spot.row + 1, spot.col + 1)
        assert cell.value is None and cell.fill.fgColor.rgb == "FFF7F7DD"
        assert sheet.cell(spot.row + 1, 1).value == "type"
        (rule,) = [rule for rule in sheet.data_validations.dataValidation if cell.coordinate in rule.sqref]
        assert rule.prompt
        if item.shape is not Shape.TEXT:
            assert rule.type == "decimal" and rule.errorStyle == "warning", "a formula is asked, and a number taken"
        elif item.typed.choices_from:
            assert rule.type == "list" and rule.formula1.startswith("Workings!")


def test_names_and_texts_from_outside_are_never_formulas() -> None:
    bold = Student(1, "=1+2", "a")
    made = make_handout(load_exercise(EVERYTHING), bold, seed=1, weight_unit="lb", currency="USD")
    book = openpyxl.load_workbook(io.BytesIO(handout_bytes(made)))
    spot = handout_parts(made).placement.scalars["student_name"]
    cell = book[spot.sheet].cell(spot.row + 1, spot.col + 1)
    assert cell.value == "=1+2" and cell.data_type == "s"
    assert b"<f>1+2</f>" not in zipfile.ZipFile(io.BytesIO(handout_bytes(made))).read("xl/worksheets/sheet1.xml")


def test_said_words_are_tinted_beyond_colour() -> None:
    made = handout(EVERYTHING)
    book = openpyxl.load_workbook(io.BytesIO(handout_bytes(made)))
    parts = handout_parts(made)
    spot = parts.placement.scalars["own_used_said"]
    sheet = book[spot.sheet]
    cell = sheet.cell(spot.row + 1, spot.col + 1)
    words = [
        rule.text
        for area, rules in sheet.conditional_formatting._cf_rules.items()
        if cell.coordinate in area.sqref
        for rule in rules
    ]
    assert words == ["Right", "Not yet", "Thank you"]
