"""What an exercise is, and how one is read from a TOML file.

An exercise names what is *given* (numbers drawn for each student, and tables of them) and the *steps* that lead
to an answer. The models say what each key takes; ``exercise_checks`` says what has to fit together;
``exercise_places`` puts complaints into words. Everything wrong with a file is told at once.
"""

from __future__ import annotations

import math
import re
import tomllib
from difflib import get_close_matches
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from meltbook.classroom.exercise_checks import cross_check
from meltbook.classroom.exercise_places import problems_of, syntax_problem
from meltbook.errors import MissingError, Problem, StudioError, UsageError

SUFFIX = ".toml"
LARGEST_FILE = 200_000
"""Bytes. The longest shipped exercise has less than a tenth of it."""
LONGEST_LINE = 30_000
"""Characters: the key of a class keeps each line of the file in a cell."""
RISING = ("meter-and-bill", "short-log", "ladder", "piece", "three-channels", "new-tariff")
"""The order in which the shipped exercises build on one another. Others follow by name."""

NAME_PATTERN = r"^[a-z]+(_[a-z]+)*$"
_PLAIN = r"^[^\x00-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff]*$"

Name = Annotated[str, Field(max_length=40, pattern=NAME_PATTERN)]
Words = Annotated[str, Field(max_length=300, pattern=_PLAIN)]
"""Text of one line: what may stand in a cell."""
Said = Annotated[str, Field(min_length=1, max_length=300, pattern=_PLAIN)]
"""Text of one line that can't be empty."""
Sentence = Annotated[str, Field(min_length=1, max_length=500, pattern=_PLAIN)]
Number = Annotated[float, Field(ge=-1e9, le=1e9)]
Above = Annotated[float, Field(gt=0, le=1e9)]
FormulaText = Annotated[str, Field(min_length=1, max_length=500, pattern=_PLAIN)]
By = Literal["formula", "number", "guess", "choice"]


class Part(BaseModel):
    """A part of an exercise: plain values. An unknown key is an error that names it."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, str_strip_whitespace=True, populate_by_name=True
    )


class Raster(Part):
    """Where a number is drawn from: ``from_``, ``from_ + step``, … up to ``to``, each as likely as the others."""

    from_: Number = Field(alias="from")
    to: Number
    step: Above

    @property
    def places(self) -> int:
        """How many numbers there are to draw from."""
        return round((self.to - self.from_) / self.step) + 1

    def at(self, place: int) -> float:
        """The number at a place, the first of which is 0, without the dust of binary fractions."""
        return float(f"{self.from_ + place * self.step:.12g}")


class Drawn(Part):
    """What givens and columns have in common: a raster, and perhaps another one for a class that weighs in kg."""

    from_: Number | None = Field(default=None, alias="from")
    to: Number | None = None
    step: Above | None = None
    kg: Raster | None = None

    def raster(self, weight_unit: str) -> Raster | None:
        """Where the numbers of a class with this unit of weight are drawn from; ``None`` where nothing is drawn."""
        if self.kg is not None and weight_unit == "kg":
            return self.kg
        if self.from_ is None or self.to is None or self.step is None:
            return None
        return Raster(from_=self.from_, to=self.to, step=self.step)


class Given(Drawn):
    """A number that the student is told: drawn from a raster, or the same ``value`` for everybody."""

    name: Name
    label: Said
    unit: Words = ""
    value: Number | None = None
    note: Words = ""


class Column(Drawn):
    """A column of a given table: fixed ``words``, or numbers drawn for each row.

    ``rising_from`` makes it a meter: each row adds its drawn number to the row above, the first to a drawn
    start. ``only`` leaves a row blank unless its word (in the first column of words) is one of these.
    """

    name: Name
    label: Said
    unit: Words = ""
    words: tuple[Said, ...] = ()
    rising_from: Raster | None = None
    only: tuple[Said, ...] = ()


class GivenTable(Part):
    """A table that the student is given. A formula knows a column as ``table_column``."""

    name: Name
    label: Said
    rows: Annotated[int, Field(ge=1, le=100)]
    columns: Annotated[tuple[Column, ...], Field(min_length=1, max_length=8)]

    @property
    def kinds(self) -> tuple[str, ...]:
        """The first column of words, which ``only`` goes by; empty if the table has none."""
        return next((column.words for column in self.columns if column.words), ())


class Slip(Part):
    """What students often work out instead, and the sentence that names it."""

    formula: FormulaText
    says: Sentence


class Step(Part):
    """One thing that is asked. ``nearest`` is the place that it is told to: one of these more or less is right too.

    ``by`` says what is asked for: a ``formula``, a ``number``, a ``guess`` (which has neither a formula nor
    points), or a ``choice`` among words.
    """

    name: Name
    label: Said
    unit: Words = ""
    nearest: Above = 1
    formula: Annotated[str, Field(max_length=500, pattern=_PLAIN)] = ""
    points: Annotated[float, Field(ge=0, le=1000)] = 1
    by: By = "formula"
    hints: Annotated[tuple[Sentence, ...], Field(max_length=2)] = ()
    low: Number | None = None
    high: Number | None = None
    choices: Annotated[tuple[Said, ...], Field(max_length=10)] = ()
    right: Words = ""
    slips: Annotated[tuple[Slip, ...], Field(max_length=20)] = ()


class Exercise(Part):
    """An exercise. ``name`` is the stem of its file; numbers are drawn by it."""

    name: Said
    title: Said
    about: Annotated[tuple[Sentence, ...], Field(max_length=8)] = ()
    caution: Annotated[str, Field(max_length=500, pattern=_PLAIN)] = ""
    typed_share: Annotated[float, Field(ge=0, le=1)] = 0.5
    first_steps: Annotated[int, Field(ge=0, le=40)] = 3
    given: Annotated[tuple[Given, ...], Field(max_length=60)] = ()
    tables: Annotated[tuple[GivenTable, ...], Field(max_length=6)] = ()
    steps: Annotated[tuple[Step, ...], Field(min_length=1, max_length=40)]

    def step(self, name: str) -> Step:
        """A step by its name."""
        return next(step for step in self.steps if step.name == name)


# ------------------------------------------------------------------------------------------------ where they are


def _folder() -> Traversable:
    return files("meltbook_templates") / "exercises"


def shipped() -> list[str]:
    """The names of the exercises that come with meltbook, in rising order."""
    folder = _folder()
    if not folder.is_dir():
        raise MissingError(
            "The exercises that come with meltbook are not where it is installed.", hint="Install meltbook again."
        )
    found = {
        entry.name.removesuffix(SUFFIX)
        for entry in folder.iterdir()
        if entry.name.endswith(SUFFIX) and not entry.name.startswith((".", "_"))
    }
    return [*(name for name in RISING if name in found), *sorted(found.difference(RISING))]


def exercise_text(name_or_path: str | Path) -> str:
    """The TOML text of a shipped exercise, or of the file at a path.

    Raises:
        UsageError: there is none, or it can't be read.
        StudioError: it is not UTF-8 text.
    """
    return _find(name_or_path)[1]


def load_exercise(name_or_path: str | Path) -> Exercise:
    """Read a shipped exercise by its name, or an exercise file by its path.

    Raises:
        UsageError: there is none, or it can't be read.
        StudioError: it can't be used; its problems say where and why.
    """
    name, text, place = _find(name_or_path)
    return parse_exercise(text, name=name, place=place)


def _find(wanted: str | Path) -> tuple[str, str, str]:
    """Name, text and place of an exercise."""
    names = shipped()
    if isinstance(wanted, str) and wanted in names:
        return wanted, (_folder() / f"{wanted}{SUFFIX}").read_text(encoding="utf-8"), wanted
    path = Path(wanted)
    if not (path.suffix == SUFFIX or re.search(r"[/\\]", str(wanted)) or path.exists()):
        near = get_close_matches(str(wanted), names, n=1)
        raise UsageError(
            f"There is no exercise called {str(wanted)!r}.",
            hint=f"Did you mean {near[0]}?" if near else f"There are: {', '.join(names)}; or give a .toml file.",
        )
    return path.stem.strip() or path.name, _read(path), str(path)


def _read(path: Path) -> str:
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder, not an exercise file.", hint="Name a file that ends in .toml.")
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise UsageError(
            f"There is no exercise file {path}.",
            hint="Give the path of a .toml file, or a name that `meltbook class exercises` lists.",
        ) from error
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or "it is not a plain file").lower()
        raise UsageError(
            f"{path} can't be read: {why}.", hint="Check who may read it, and whether another program holds it open."
        ) from error
    if raw[:4] == b"PK\x03\x04":
        raise UsageError(f"{path} is a workbook or another zip file.", hint="An exercise file is TOML text.")
    if len(raw) > LARGEST_FILE:
        raise UsageError(f"{path} is too large for an exercise file.", hint="Is it another kind of file?")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise StudioError(
            f"{path} is not UTF-8 text (byte {error.start + 1}).", hint="Save it as UTF-8 in your text editor."
        ) from error


# ------------------------------------------------------------------------------------------------------- reading


def parse_exercise(text: str, *, name: str, place: str) -> Exercise:
    """Read an exercise from TOML text; ``place`` is what messages call it.

    Raises:
        StudioError: it can't be used; its problems say where and why.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise StudioError(f"{place} can't be read as TOML.", [syntax_problem(str(error), text, place)]) from error
    except RecursionError as error:
        raise StudioError(f"{place} can't be read as TOML: it is nested too deeply.") from error
    problems: list[Problem] = []
    for number, line in enumerate(text.splitlines(), 1):
        if len(line) > LONGEST_LINE:
            found, wanted = f"{len(line):,} characters", f"{LONGEST_LINE:,} or fewer"
            problems.append(Problem(place, None, f"line {number}", found, wanted, "Break it into shorter lines."))
    if "name" in data:
        found = "the key name"
        problems.append(Problem(place, None, "name", found, "none", "An exercise is called as its file: remove it."))
        del data["name"]
    exercise: Exercise | None = None
    try:
        exercise = Exercise.model_validate({**_frozen(data), "name": name}, strict=True)
    except ValidationError as error:
        problems += problems_of(error, Exercise, place)
    else:
        problems += cross_check(exercise, place)
    if exercise is None or problems:
        count = "1 thing" if len(problems) == 1 else f"{len(problems)} things"
        raise StudioError(f"{place} has {count} to correct.", problems)
    return exercise


def _frozen(value: Any) -> Any:
    """Lists as tuples, which strict models want, and no number without end."""
    if isinstance(value, dict):
        return {key: _frozen(part) for key, part in value.items()}
    if isinstance(value, list):
        return tuple(_frozen(part) for part in value)
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value
