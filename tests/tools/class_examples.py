"""The class of the examples: six invented students, what one of them was given, and what came back of five.

The commands make and mark it; in between, this module types into the workbooks what students type: formulas that point
at cells, numbers from a calculator, and a question for a hint.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.workbook import Workbook

from meltbook.classroom.answers import answers
from meltbook.classroom.exercise import Exercise, Step, load_exercise
from meltbook.classroom.handout import make_handout
from meltbook.classroom.names import ASKING, Stage, ask_name, blank_steps, cell_name, has_formula
from meltbook.classroom.roster import Student, read_roster
from meltbook.cli import main

EXERCISE = "ladder"
SEED = 1
FOLDER = "class"
NAMES = ("Amber Quill", "Björn Holt", "Chiara Vale", "Dev Marsh", "Élise Thorn", "Finn O'Dell")
SHOWN = "Amber Quill.xlsx"
"""The workbook that is among the examples, as it was handed out."""
GUESS = 1.5
FILES: Mapping[str, str] = {
    "roster.csv": "the roster: six invented names",
    "amber-quill.xlsx": "one student's workbook, as it was handed out",
    "data-sheets.xlsx": "each student's numbers on a page, to write on",
    "key.xlsx": "the key, for the teacher alone",
    "results.xlsx": "the marks, how the class did at each step, and feedback for each student",
    "results.csv": "the marks as text",
}
PAGES = (
    ("Start", "pages/start.png", "the first sheet of a student's workbook, half done"),
    ("First steps", "pages/first-steps.png", "the first steps are the student's, the later ones work themselves out"),
    ("On your own", "pages/on-your-own.png", "every step is the student's"),
    ("Marks", "pages/marks.png", "the marks of the class"),
    ("Feedback", "pages/feedback.png", "what one student did, step by step"),
)
"""The sheets that are drawn, by name. The first three are those of a workbook that is half done."""
RESULT_PAGES = ("Marks", "Feedback")
HALFWAY = "*Thorn*.xlsx"
WORD = re.compile(r'"[^"]*"|[a-z]+(?:_[a-z]+)*')


@dataclass(frozen=True, slots=True)
class Way:
    """How a student works: what is typed in place of the right formula, by step, on the sheet On your own.

    ``None`` is left blank. A student who ``types`` works with a calculator, and types what it shows. A step that
    somebody is stuck at is ``asks``.
    """

    instead: Mapping[str, str | float | None] = field(default_factory=dict)
    types: tuple[str, ...] = ()
    asks: str = ""


WAYS: Mapping[str, Way] = {
    "Amber Quill": Way({"hot_energy": "melt_energy + idle_days * idle_use"}),  # forgets the heat-up days
    "Björn Holt": Way(),
    "Chiara Vale": Way(types=("melt_energy", "melt_cost", "hot_cost")),
    "Dev Marsh": Way({"in_pieces": "glass_cost * share_pieces * share_good", "leaving_out": "dearer"}),
    "Élise Thorn": Way(
        {
            "wear": "(pot_cost + elements_cost) / glass",
            "glass_cost": None,
            "in_pieces": None,
            "leaving_out": None,
        },
        asks="wear",
    ),
}
"""Finn handed in nothing."""


def write_class(folder: Path, work: Path) -> None:
    """Make, fill in and mark the class in ``work``, and keep what is worth showing in ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    roster = folder / "roster.csv"
    roster.write_text("\n".join(["name", *NAMES]) + "\n", encoding="utf-8")
    made, returned = work / "made", work / "returned"
    _run("class", "make", roster, "--exercise", EXERCISE, "--seed", SEED, "--out", made)
    returned.mkdir()
    for student in read_roster(roster):
        if student.name in WAYS:
            file = f"{student.stem}.xlsx"
            fill(made / "workbooks" / file, returned / file, student, WAYS[student.name])
    _run("class", "mark", returned, "--key", made / "key.xlsx", "--out", made / "results.xlsx")
    shutil.copy(made / "workbooks" / SHOWN, made / "amber-quill.xlsx")
    for file in FILES.keys() - {roster.name}:
        shutil.copy(made / file, folder)


def pictured(folder: Path, work: Path) -> Mapping[Path, Mapping[str, Path]]:
    """Which sheets of which workbooks are drawn, and where to."""
    named = {name: folder / file for name, file, _ in PAGES}
    halfway = next((work / "returned").glob(HALFWAY))
    results = {name: path for name, path in named.items() if name in RESULT_PAGES}
    return {
        halfway: {name: path for name, path in named.items() if name not in results},
        folder / "results.xlsx": results,
    }


def fill(given: Path, returned: Path, student: Student, way: Way) -> None:
    """Type into a workbook what this student types, on both sheets, and save it with another program."""
    exercise = load_exercise(EXERCISE)
    handout = make_handout(exercise, student, seed=SEED, weight_unit="lb", currency="USD")
    book = load_workbook(given)
    for stage in ASKING:
        right = answers(exercise, handout.stages[stage])
        for step in blank_steps(exercise, stage):
            typed = _typed(step, stage, way, right.get(step.name))
            if isinstance(typed, str) and has_formula(step):
                typed = _formula(book, exercise, stage, typed)
            if typed is not None:
                _cell(book, cell_name(stage, step.name)).value = typed
            if stage == "own" and step.name == way.asks:
                _cell(book, ask_name(stage, step.name)).value = "y"
    book.save(returned)


def _typed(step: Step, stage: Stage, way: Way, right: float | str | None) -> float | str | None:
    """What stands in the cell of a step in the end, a formula in the words of the exercise.

    Mistakes are made on the last sheet.
    """
    if step.by == "guess":
        return GUESS
    if stage == "own" and step.name in way.instead:
        return way.instead[step.name]
    if stage == "own" and step.name in way.types and isinstance(right, float):
        return round(right / step.nearest) * step.nearest
    return step.formula or right


def _formula(book: Workbook, exercise: Exercise, stage: Stage, text: str) -> str:
    """A formula of the exercise that points at the workbook's cells."""
    named = {given.name for given in exercise.given} | {step.name for step in exercise.steps}

    def pointed(word: re.Match[str]) -> str:
        return _cell(book, cell_name(stage, word[0])).coordinate if word[0] in named else word[0]

    return "=" + WORD.sub(pointed, text)


def _cell(book: Workbook, name: str) -> Cell:
    """The cell that has a name."""
    ((sheet, address),) = book.defined_names[name].destinations
    cell = book[sheet][address.replace("$", "")]
    assert isinstance(cell, Cell)
    return cell


def _run(*words: object) -> None:
    result = CliRunner().invoke(main, [str(word) for word in words])
    if result.exit_code not in (0, 1):  # 1: somebody handed in nothing, and that is told
        raise RuntimeError(f"meltbook {' '.join(map(str, words))}\n{result.output}")
