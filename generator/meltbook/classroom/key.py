"""The key: every student's answers for the teacher, and all that marking needs to make the same numbers again.

The last two sheets are for the program. ``Settings`` holds the seed, the units and the exercise's short name;
``Exercise`` holds the exercise's text, a line in a row. The roster is read from ``Files``. The answers are there
to be read by people: marking draws the numbers again and takes nothing from them.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.answers import answers
from meltbook.classroom.exercise import Exercise, parse_exercise
from meltbook.classroom.pages import SHEET_NAMES
from meltbook.classroom.roster import Student
from meltbook.classroom.vocabulary import in_units, nearest_text, shape_of
from meltbook.errors import BookFileError
from meltbook.fields.kernel import Shape
from meltbook.workbook.cells import Cell
from meltbook.workbook.listing import Entry, Row, Tab, heads
from meltbook.workbook.read import BookFile, read_file
from meltbook.workbook.save import save
from meltbook.workbook.write import listing_bytes

if TYPE_CHECKING:
    from meltbook.classroom.handout import Handout
    from meltbook.classroom.names import Stage
    from meltbook.workbook.paper import Paper

KEY_NAME = "key.xlsx"
KEY_VERSION = 1
FILES, SETTINGS, EXERCISE = "Files", "Settings", "Exercise"
_TITLE = "Key for the teacher"
_NAME_WIDTH, _STEP_WIDTH = 24.0, 12.0
_UPRIGHT = 5
"""More steps than this are printed lying."""
_FILE_COLUMNS = ("Number", "Student", "File", "Tag")
_SETTING_ROWS = ("Key version", "Exercise", "Seed", "Weight unit", "Currency", "Paper", "Students", "Lines of text")


@dataclass(frozen=True, slots=True)
class Key:
    """What a key says. ``text`` is the exercise as it was written, and ``students`` the roster in its order."""

    exercise: Exercise
    text: str
    seed: int
    weight_unit: str
    currency: str
    paper: str
    version: int
    students: tuple[Student, ...]
    tags: Mapping[int, str]


def write_key(
    path: Path, exercise: Exercise, text: str, handouts: Sequence[Handout], *, paper: Paper = "Letter"
) -> None:
    """Write the key of a class to a new file; ``text`` is the exercise's TOML."""
    save(path, key_bytes(exercise, text, handouts, paper=paper))


def key_bytes(exercise: Exercise, text: str, handouts: Sequence[Handout], *, paper: Paper = "Letter") -> bytes:
    """The bytes of a key. All handouts have the same exercise, seed and units."""
    tabs = [_answers(exercise, handouts, stage) for stage in ("own", "first") if _asked(exercise, stage)]
    tabs += [_files(handouts), _settings(exercise, text, handouts, paper), _exercise(text)]
    return listing_bytes(tabs, title=f"{_TITLE}: {in_units(handouts[0], exercise.title)}", paper=paper)


def _asked(exercise: Exercise, stage: Stage) -> bool:
    return bool(names.checked_steps(exercise, stage))


# ------------------------------------------------------------------------------------------------------ writing


def _answers(exercise: Exercise, handouts: Sequence[Handout], stage: Stage) -> Tab:
    """A row for each student, a column for each step that is right or not."""
    some, steps = handouts[0], names.checked_steps(exercise, stage)
    titles = ["Student"]
    for step in steps:
        unit = in_units(some, step.unit)
        near = "" if step.by == "choice" else nearest_text(step)
        about = ", ".join(filter(None, (unit, near)))
        titles.append("\n".join(filter(None, (in_units(some, step.label), about, _points(step.points)))))
    rows: list[Row] = [heads(titles)]
    for handout in handouts:
        found = answers(exercise, handout.stages[stage])
        line = [Entry(handout.student.name, manner="label", wraps=True)]
        for step in steps:
            value = found[step.name]
            if isinstance(value, str):
                line.append(Entry(in_units(handout, value), wraps=True, right=True))
            else:
                line.append(Entry(value, shape_of(step.unit, step.nearest)))
        rows.append(tuple(line))
    return Tab(
        SHEET_NAMES[stage],
        f"{_TITLE}: {in_units(some, exercise.title)}",
        f"The answers on {SHEET_NAMES[stage]}. One of the nearest more or less is right too. Not for students.",
        (_NAME_WIDTH, *(_STEP_WIDTH for _ in steps)),
        rows,
        landscape=len(steps) > _UPRIGHT,
        frozen=(1, 1),
        repeated=0,
    )


def _points(points: float) -> str:
    return f"{points:g} point" if points == 1 else f"{points:g} points"


def _files(handouts: Sequence[Handout]) -> Tab:
    rows: list[Row] = [heads(_FILE_COLUMNS, left=range(1, len(_FILE_COLUMNS)))]
    for handout in handouts:
        student = handout.student
        rows.append(
            (
                Entry(student.number, Shape.COUNT),
                Entry(student.name, manner="label", wraps=True),
                Entry(student.stem, manner="label"),
                Entry(handout.tag, manner="label"),
            )
        )
    purpose = "Which file is whose. Marking reads this list: leave it as it is."
    return Tab(FILES, "Students and their files", purpose, (10.0, 34.0, 40.0, 12.0), rows, frozen=(1, 0), repeated=0)


def _settings(exercise: Exercise, text: str, handouts: Sequence[Handout], paper: Paper) -> Tab:
    some = handouts[0]
    values: tuple[str | int, ...] = (
        KEY_VERSION,
        exercise.name,
        str(some.seed),
        some.weight_unit,
        some.currency,
        paper,
        len(handouts),
        len(_lines(text)),
    )
    rows: list[Row] = [
        (
            Entry(label, manner="label"),
            Entry(value, Shape.COUNT if isinstance(value, int) else Shape.TEXT, right=isinstance(value, str)),
        )
        for label, value in zip(_SETTING_ROWS, values, strict=True)
    ]
    purpose = "What the class was made with. Marking reads this list: leave it as it is."
    return Tab(SETTINGS, "How the class was made", purpose, (24.0, 40.0), rows)


def _exercise(text: str) -> Tab:
    rows: list[Row] = [
        (Entry(number, Shape.COUNT, manner="unit", ruled=False), Entry(line, ruled=False))
        for number, line in enumerate(_lines(text), 1)
    ]
    purpose = "The exercise as it was when the class was made. Marking reads it: leave it as it is."
    return Tab(EXERCISE, "The exercise", purpose, (7.0, 110.0), rows)


def _lines(text: str) -> list[str]:
    return text.replace("\r\n", "\n").split("\n")


# ------------------------------------------------------------------------------------------------------ reading


def read_key(path: Path) -> Key:
    """Read a key, wherever it was saved in the meantime.

    Raises:
        BookFileError: the file is no key, or rows that marking needs were changed.
        StudioError: the exercise in it can't be read any more.
    """
    file = read_file(path)
    for name in (FILES, SETTINGS, EXERCISE):
        if name not in file.sheet_names:
            raise BookFileError(
                f"{path} is no key of a class: it has no sheet {name}.",
                hint=f"`meltbook class make` writes one beside the workbooks, called {KEY_NAME}.",
            )
    settings = {_text(one): _text(other) for one, other in _pairs(file, SETTINGS)}
    lines = _numbered(file)
    count = _whole(path, settings, "Lines of text")
    if sorted(lines) != list(range(1, count + 1)):
        raise BookFileError(f"{path}: the sheet {EXERCISE} has not all of its {count} lines.", hint=_AGAIN)
    text = "\n".join(lines[number] for number in range(1, count + 1))
    students, tags = _roster(path, file)
    if len(students) != _whole(path, settings, "Students"):
        raise BookFileError(f"{path}: students are missing from the sheet {FILES}, or too many.", hint=_AGAIN)
    name = _setting(path, settings, "Exercise")
    return Key(
        exercise=parse_exercise(text, name=name, place=f"{path}, {EXERCISE}"),
        text=text,
        seed=_whole(path, settings, "Seed"),
        weight_unit=_setting(path, settings, "Weight unit"),
        currency=_setting(path, settings, "Currency"),
        paper=_setting(path, settings, "Paper"),
        version=_whole(path, settings, "Key version"),
        students=tuple(students),
        tags=tags,
    )


_AGAIN = "Use a copy as it was written; the same command writes the same key again."


def _pairs(file: BookFile, sheet: str) -> Iterator[tuple[Cell, Cell]]:
    for row in _row_numbers(file, sheet):
        yield file.cell(sheet, row, 0), file.cell(sheet, row, 1)


def _row_numbers(file: BookFile, sheet: str) -> list[int]:
    return sorted({row for row, _ in file.sheet(sheet).cells})


def _text(cell: Cell) -> str:
    """A value as text. Whole numbers lose the point that a program may have given them."""
    if isinstance(cell.value, float):
        return f"{cell.value:.0f}" if cell.value.is_integer() else repr(cell.value)
    return "" if cell.value is None else str(cell.value)


def _numbered(file: BookFile) -> dict[int, str]:
    """The lines of the exercise by their numbers."""
    return {int(one.value): _text(other) for one, other in _pairs(file, EXERCISE) if isinstance(one.value, float)}


def _setting(path: Path, settings: dict[str, str], label: str) -> str:
    if not settings.get(label):
        raise BookFileError(f"{path}: the sheet {SETTINGS} doesn't say {label!r} any more.", hint=_AGAIN)
    return settings[label]


def _whole(path: Path, settings: dict[str, str], label: str) -> int:
    with contextlib.suppress(ValueError):
        return int(_setting(path, settings, label))
    raise BookFileError(f"{path}: {label!r} on the sheet {SETTINGS} is no whole number.", hint=_AGAIN)


def _roster(path: Path, file: BookFile) -> tuple[list[Student], dict[int, str]]:
    students: list[Student] = []
    tags: dict[int, str] = {}
    for row in _row_numbers(file, FILES):
        number, name, stem, tag = (file.cell(FILES, row, col) for col in range(len(_FILE_COLUMNS)))
        if isinstance(number.value, float):
            student = Student(int(number.value), _text(name), _text(stem))
            if not student.name or not student.stem or student.number in tags:
                raise BookFileError(f"{path}: row {row + 1} of the sheet {FILES} was changed.", hint=_AGAIN)
            students.append(student)
            tags[student.number] = _text(tag)
    return students, tags
