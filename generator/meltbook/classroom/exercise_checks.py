"""What has to fit together in an exercise, beyond what each key takes: numbers, tables, names, steps, formulas."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from meltbook.classroom.exercise_places import Loc, near_word, problem
from meltbook.classroom.expression import Expression
from meltbook.classroom.formula_text import ExpressionError
from meltbook.errors import Problem

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Column, Drawn, Exercise, GivenTable, Raster, Step

ENDINGS = ("_said", "_ask", "_hint")
"""Endings of the cells beside an answer."""
RESERVED = ("said", "ask", "hint", "done", "steps_asked")
"""Names whose cells the workbook needs itself."""
MOST_PLACES = 100_000
_WILD = re.compile(r"[*?~<>=]")

Complaint = tuple[Loc, str, str, str]
"""A place, what was found, what was expected, and what to do."""


def cross_check(exercise: Exercise, place: str) -> list[Problem]:
    """Everything that doesn't fit, in the order of the file."""
    found: list[Complaint] = []
    for number, given in enumerate(exercise.given):
        loc: Loc = ("given", number)
        found += _numbers(loc, given, otherwise="value" if given.value is not None else "")
    for number, table in enumerate(exercise.tables):
        found += _table(("tables", number), table)
    known = _Known()
    found += known.declare(exercise)
    for number, step in enumerate(exercise.steps):
        found += _step(("steps", number), step)
        found += _formulas(("steps", number), step, exercise, known)
    found += _whole(exercise)
    return [problem(place, *complaint) for complaint in found]


# ------------------------------------------------------------------------------------------------------- numbers


def _numbers(loc: Loc, drawn: Drawn, *, otherwise: str) -> Iterator[Complaint]:
    """Either a raster or, ``otherwise``, what stands in its place; never both, never a part of one."""
    keys = {"from": drawn.from_, "to": drawn.to, "step": drawn.step}
    there = [key for key, value in keys.items() if value is not None]
    missing = [key for key in keys if key not in there]
    also = [*there, *(["kg"] if drawn.kg else [])]
    if otherwise and also:
        yield loc, f"{otherwise} and {' and '.join(also)}", f"{otherwise}, or from, to and step", "Remove one of them."
        return
    if otherwise:
        return
    if missing:
        instead = "words" if loc[0] == "tables" else "value"
        said = f"only {' and '.join(there)}" if there else "no number"
        yield loc, said, f"from, to and step, or {instead}", f"Add {' and '.join(missing)}."
        return
    raster = drawn.raster("")
    if raster is not None:
        yield from _raster(loc, raster)
    if drawn.kg is not None:
        yield from _raster((*loc, "kg"), drawn.kg)


def _raster(loc: Loc, raster: Raster) -> Iterator[Complaint]:
    span = f"{raster.from_:g} to {raster.to:g}"
    steps = (raster.to - raster.from_) / raster.step
    if raster.to <= raster.from_:
        yield (*loc, "to"), span, "a number above from", "Students get numbers between the two."
    elif abs(steps - round(steps)) > 1e-6:
        fits = raster.from_ + int(steps) * raster.step
        found = f"{span} in steps of {raster.step:g}"
        yield (*loc, "step"), found, "steps that end at to", f"Let it go to {fits:.10g}, or choose another step."
    elif steps > MOST_PLACES:
        yield (*loc, "step"), f"{steps:,.0f} numbers", f"at most {MOST_PLACES:,}", "Make the step larger."


# -------------------------------------------------------------------------------------------------------- tables


def _table(loc: Loc, table: GivenTable) -> Iterator[Complaint]:
    names = [column.name for column in table.columns]
    for number, column in enumerate(table.columns):
        at: Loc = (*loc, "columns", number)
        if column.name in names[:number]:
            yield (*at, "name"), f"{column.name} once more", "a name of its own", "Give it another name."
        yield from _numbers(at, column, otherwise="words" if column.words else "")
        if column.words:
            yield from _words(at, table, column)
        if column.rising_from is not None and not column.words:
            yield from _raster((*at, "rising_from"), column.rising_from)
            if column.from_ is not None and column.from_ < 0:
                yield (*at, "from"), f"{column.from_:g}", "0 or more", "A meter never runs backwards."
        yield from _only(at, table, column)


def _words(at: Loc, table: GivenTable, column: Column) -> Iterator[Complaint]:
    if len(column.words) != table.rows:
        found, wanted = f"{len(column.words)} words", f"{table.rows}, one for each of the rows"
        yield (*at, "words"), found, wanted, "Add or remove some, or change rows."
    if column.rising_from is not None:
        yield (*at, "rising_from"), "words and rising_from", "one of them", "Remove one of them."
    for number, word in enumerate(column.words):
        if _WILD.search(word) or not word[0].isalpha():
            wanted = "a word that begins with a letter, without * ? ~ < > ="
            yield (*at, "words", number), f"'{word}'", wanted, "Spreadsheets look for other words in its place."


def _only(at: Loc, table: GivenTable, column: Column) -> Iterator[Complaint]:
    if not column.only:
        return
    if column.words:
        yield (*at, "only"), "words and only", "one of them", "A column of words has a word in every row."
    elif not table.kinds:
        yield (*at, "only"), "no column of words", "words in another column", "Say there which rows are which."
    for number, word in enumerate(column.only):
        if table.kinds and word not in table.kinds:
            wanted = f"one of {', '.join(dict.fromkeys(table.kinds))}"
            yield (*at, "only", number), f"'{word}'", wanted, near_word(word, table.kinds, "Choose one of these words.")


# --------------------------------------------------------------------------------------------------------- names


@dataclass(slots=True)
class _Known:
    """What formulas may name: figures, columns of numbers, columns of words; ``steps`` by their place.

    ``givens`` have the ends of what each given may be, and its step: enough to see whether it counts rows.
    """

    givens: dict[str, set[float]] = field(default_factory=dict)
    figures: set[str] = field(default_factory=set)
    columns: dict[str, int] = field(default_factory=dict)
    kinds: dict[str, Sequence[str]] = field(default_factory=dict)
    steps: dict[str, int] = field(default_factory=dict)

    def declare(self, exercise: Exercise) -> Iterator[Complaint]:
        """Take in all names; those that are there twice, or that the workbook needs, are complaints."""
        taken: dict[str, str] = {}
        for loc, name, what in _declared(exercise):
            if name in taken:
                yield (*loc, "name"), name, "a name of its own", f"It is the name of {taken[name]}: choose another."
            elif name.endswith(ENDINGS) or name in RESERVED:
                wanted = f"a name that doesn't end in {', '.join(ENDINGS)}, and is not done or steps_asked"
                yield (*loc, "name"), name, wanted, "The workbook has a cell of its own with that name."
            taken.setdefault(name, what)
        for given in exercise.given:
            self.figures.add(given.name)
            # A step that is no whole number from 1 makes some number between the ends none.
            ends = {given.value} if given.value is not None else {given.from_, given.to, given.step}
            self.givens[given.name] = {end for end in ends if end is not None}
        for table in exercise.tables:
            for column in table.columns:
                name = f"{table.name}_{column.name}"
                if column.words:
                    self.kinds[name] = column.words
                else:
                    self.columns[name] = table.rows
        self.steps |= {step.name: number for number, step in enumerate(exercise.steps)}


def _declared(exercise: Exercise) -> Iterator[tuple[Loc, str, str]]:
    for number, given in enumerate(exercise.given):
        yield ("given", number), given.name, f"[[given]] {number + 1}"
    for number, table in enumerate(exercise.tables):
        yield ("tables", number), table.name, f"[[tables]] {number + 1}"
        names = dict.fromkeys(column.name for column in table.columns)
        for place, column in enumerate(names):
            yield ("tables", number, "columns", place), f"{table.name}_{column}", f"a column of {table.name}"
    for number, step in enumerate(exercise.steps):
        yield ("steps", number), step.name, f"[[steps]] {number + 1}"


# --------------------------------------------------------------------------------------------------------- steps


def _step(loc: Loc, step: Step) -> Iterator[Complaint]:
    there = step.model_fields_set
    allowed = {
        "formula": ("nearest", "formula", "low", "high", "slips", "points"),
        "number": ("nearest", "formula", "low", "high", "slips", "points"),
        "guess": ("nearest",),
        "choice": ("choices", "right", "points"),
    }[step.by]
    kind = f'a step with by = "{step.by}"'
    for key in ("nearest", "formula", "low", "high", "slips", "points", "choices", "right"):
        if key in there and key not in allowed:
            yield (*loc, key), key, f"none: {kind} has no {key}", "Remove it, or change by."
    for key in ("nearest", "formula", "choices", "right"):
        if key in allowed and (key not in there or not getattr(step, key)):
            yield (*loc, key), "nothing", f"{key}: {kind} needs it", "Add the line."
    yield from _hints(loc, step)
    if step.by == "choice":
        yield from _choice(loc, step)
    if "nearest" in allowed and "nearest" in there and not _plain_place(step.nearest):
        wanted = "1, 2, 2.5 or 5 with as many noughts or decimals as you like: 0.01, 0.5, 10"
        yield (*loc, "nearest"), f"{step.nearest:g}", wanted, "Choose the one that is nearest to what you mean."
    if step.low is not None and step.high is not None and step.low >= step.high:
        yield (*loc, "high"), f"low {step.low:g}, high {step.high:g}", "a high above low", "Change one of them."


def _plain_place(nearest: float) -> bool:
    digits = f"{nearest:.6e}".partition("e")[0]
    return float(digits) in (1.0, 2.0, 2.5, 5.0) and 1e-6 <= nearest <= 1e6


def _hints(loc: Loc, step: Step) -> Iterator[Complaint]:
    for number, hint in enumerate(step.hints):
        digit = next((character for character in hint if character.isdigit()), "")
        if digit:
            wanted = "words alone"
            yield (*loc, "hints", number), f"the digit {digit}", wanted, "A hint names the idea, never a number."


def _choice(loc: Loc, step: Step) -> Iterator[Complaint]:
    folded = [word.casefold() for word in step.choices]
    if len(folded) == 1:
        yield (*loc, "choices"), "1 word", "two or more", "Add what else might be chosen."
    for number, word in enumerate(step.choices):
        if folded[number] in folded[:number]:
            yield (*loc, "choices", number), f"'{word}' once more", "another word", "Change or remove it."
        if re.search(r"[*~]", word):
            yield (*loc, "choices", number), f"'{word}'", "words without * and ~", "They stand for other words."
    if step.right and step.choices and step.right not in step.choices:
        do = near_word(step.right, step.choices, "Choose one of these words.")
        yield (*loc, "right"), f"'{step.right}'", f"one of {', '.join(step.choices)}", do


# ------------------------------------------------------------------------------------------------------ formulas


def _formulas(loc: Loc, step: Step, exercise: Exercise, known: _Known) -> Iterator[Complaint]:
    place = known.steps.get(step.name, 0)
    if step.formula:
        yield from _formula((*loc, "formula"), step.formula, place, exercise, known)
    for number, slip in enumerate(step.slips):
        yield from _formula((*loc, "slips", number, "formula"), slip.formula, place, exercise, known)


def _formula(loc: Loc, text: str, place: int, exercise: Exercise, known: _Known) -> Iterator[Complaint]:
    try:
        uses = Expression.parse(text).uses
    except ExpressionError as error:
        yield loc, error.found, error.expected, error.do
        return
    steps = {step.name: step for step in exercise.steps[:place] if step.formula}
    figures = known.figures | steps.keys()
    for name in sorted(uses.figures | uses.either | uses.columns | uses.kinds):
        if name in known.steps and name not in figures:
            yield _unready(loc, name, place, exercise, known)
        elif name not in figures and name not in known.columns and name not in known.kinds:
            everything = [*figures, *known.columns, *known.kinds]
            ending = next((one for one in everything if one.endswith(f"_{name}")), "")
            do = f"Did you mean {ending}?" if ending else near_word(name, everything, "Add it as a given.")
            yield loc, f"the name {name}", "a given, a column as table_column, or an earlier step", do
        elif name in uses.figures and name not in figures:
            do = "Take one cell of it with INDEX, or all with SUM."
            yield loc, f"the column {name}", "one number", do
        elif name in uses.columns and name not in known.columns:
            yield loc, name, "a column of numbers", "Name a column as table_column."
        elif name in uses.either and name in known.kinds:
            yield loc, f"the words of {name}", "a column of numbers", "Count words with COUNTIF."
        elif name in uses.kinds and name not in known.kinds:
            yield loc, name, "a column of words", "SUMIF and COUNTIF look for a word in it."
    yield from _cells(loc, uses.words, uses.rows, known)
    yield from _together(loc, uses.together, known)


def _unready(loc: Loc, name: str, place: int, exercise: Exercise, known: _Known) -> Complaint:
    other = known.steps[name]
    if other == place:
        return loc, f"its own name {name}", "earlier steps", "A step can't be made of itself."
    if other > place:
        found, do = f"{name}, which is a later step ([[steps]] {other + 1})", "Put that step before this one."
        return loc, found, "earlier steps", do
    kind = exercise.steps[other].by
    return loc, f"{name}, which is a {kind}", "a step with a formula", "Nobody knows its value beforehand."


def _cells(
    loc: Loc, words: Sequence[tuple[str, str]], rows: Sequence[tuple[str, int | str]], known: _Known
) -> Iterator[Complaint]:
    """Words that are looked for, and rows that are taken, have to be there."""
    for column, word in words:
        there = known.kinds.get(column, ())
        if there and word.casefold() not in [one.casefold() for one in there]:
            wanted = f"one of {', '.join(dict.fromkeys(there))}"
            yield loc, f'"{word}"', wanted, near_word(word, there, "Look at the words of that column.")
    for column, row in rows:
        most = known.columns.get(column)
        if most is None:
            continue
        if isinstance(row, int):
            if row > most:
                yield loc, f"row {row} of {column}", f"at most {most}", "Count the rows of the table."
        elif row in known.steps:
            yield loc, f"row {row} of {column}", "1, 2, or a given", "Make a given of it, with a value."
        elif row in known.givens and not known.givens[row] <= set(range(1, most + 1)):
            wanted = f"a given that is whole, from 1 to {most}"
            yield loc, f"row {row} of {column}", wanted, "Count the rows of the table."


def _together(loc: Loc, groups: Sequence[frozenset[str]], known: _Known) -> Iterator[Complaint]:
    """Columns that are taken row by row must be equally long."""
    for group in groups:
        lengths = {known.columns.get(name) or len(known.kinds.get(name, ())) for name in group}
        if len(lengths - {0}) > 1:
            yield loc, " and ".join(sorted(group)), "columns of one table", "They have not equally many rows."


def _whole(exercise: Exercise) -> Iterator[Complaint]:
    if "first_steps" in exercise.model_fields_set and exercise.first_steps > len(exercise.steps):
        found, wanted = f"{exercise.first_steps}", f"at most {len(exercise.steps)}, the number of steps"
        yield ("first_steps",), found, wanted, "So many steps are blank on First steps."
    if all(step.by == "guess" for step in exercise.steps):
        yield ("steps",), "guesses alone", "a step with a formula or a choice", "Add one: a guess has no points."
