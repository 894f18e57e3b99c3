"""Every cell of a student's workbook, declared once, with its formula.

A step's formula is the exercise's own text: each name in it gets the stage's name before it, and a column of a
table stands for all its rows. What the workbook needs besides, to tell right from not yet without holding an
answer, stands in rows on the sheet Workings; ``meltbook.classroom.names`` says what each of their columns is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.answers import answers
from meltbook.classroom.codes import code, codes
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Plain, Shape, Table, Typed, Vocabulary
from meltbook.workbook.widths import worded

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Column, Exercise, Given, Step
    from meltbook.classroom.handout import Handout
    from meltbook.classroom.names import Stage

A_FORMULA = "a formula that begins with = and points at cells"
PERCENT = "%"
_WORD = re.compile(r'"[^"]*"|[a-z]+(?:_[a-z]+)*')
_BY_DECIMALS = (Shape.COUNT, Shape.READING, Shape.WEIGHT)


def handout_vocabulary(handout: Handout) -> Vocabulary:
    """All fields of one student's workbook, with the student's numbers in them."""
    scalars: list[Item] = [*_start(handout), *_constants(), *_hints(handout)]
    tables: list[Table] = list(_choices(handout))
    for stage in names.STAGES:
        scalars += _givens(handout, stage)
        scalars += _blanks(handout, stage)
        scalars += _filled(handout, stage)
        tables += _given_tables(handout, stage)
    tables += [_checks(handout, stage) for stage in names.ASKING if names.checked_steps(handout.exercise, stage)]
    return Vocabulary.of(scalars, tables)


# ------------------------------------------------------------------------------------------ how things are told


def in_units(handout: Handout, text: str | None) -> str:
    """A text of the exercise with the class's own unit of weight and currency in it."""
    return worded(text or "", {"{weight}": handout.weight_unit, "{currency}": handout.currency})


def decimals(*rasters: float) -> int:
    """The most digits behind the point that numbers need."""
    return max((max(0, -int(Decimal(repr(raster)).normalize().as_tuple().exponent)) for raster in rasters), default=0)


def shape_of(unit: str | None, *rasters: float) -> Shape:
    """The shape of numbers in a unit that are told to the nearest so much."""
    if unit == PERCENT:
        return Shape.SHARE
    digits = decimals(*rasters)
    return _BY_DECIMALS[digits] if digits < len(_BY_DECIMALS) else Shape.RATE


def nearest_text(step: Step) -> str:
    """``to the nearest 0.1``; of a percentage the nearest is told in percent."""
    nearest = Decimal(repr(step.nearest)) * (100 if step.unit == PERCENT else 1)
    return f"to the nearest {nearest.normalize():f}"


def words_of(formula: str) -> Iterator[tuple[str, bool]]:
    """A formula in pieces, each with whether it is a name of the exercise."""
    place = 0
    for match in _WORD.finditer(formula):
        yield formula[place : match.start()], False
        yield match[0], not match[0].startswith('"')
        place = match.end()
    yield formula[place:], False


# -------------------------------------------------------------------------------------------- start and workings


def _start(handout: Handout) -> Iterator[Item]:
    exercise = handout.exercise
    yield Fixed("student_name", "Student", Shape.TEXT, values=(handout.student.name,))
    yield Fixed("exercise_title", "Exercise", Shape.TEXT, values=(in_units(handout, exercise.title),))
    yield Fixed("exercise_name", "Exercise, by its short name", Shape.TEXT, values=(exercise.name,))
    yield Fixed("file_tag", "This file", Shape.TEXT, note="Whose numbers these are.", values=(handout.tag,))
    yield Fixed("class_version", "Kind of workbook", Shape.COUNT, values=(names.CLASS_VERSION,))
    for stage in names.ASKING:
        checked = names.checked_steps(exercise, stage)
        total = f"SUM({names.check_name(stage, 'match')}.all)" if checked else "0"
        yield Figure(f"{stage}_done", "Right", Shape.COUNT, formula=total)
        yield Fixed(f"{stage}_steps_asked", "Asked", Shape.COUNT, values=(len(checked),))
    yield Figure(
        "done_sentence",
        "How far you are",
        Shape.TEXT,
        formula='(first_done+own_done)&" of "&(first_steps_asked+own_steps_asked)&" steps are right."',
    )


def _constants() -> Iterator[Item]:
    yield Fixed("check_modulus", "Codes are below", Shape.COUNT, values=(names.MODULUS,))
    yield Fixed("check_factor", "Factor that mixes", Shape.COUNT, values=(names.FACTOR,))
    yield Fixed("check_digits", "Digits kept before a figure is rounded", Shape.COUNT, values=(names.DIGITS,))
    yield Fixed("check_limit", "Largest number that is looked at", Shape.COUNT, values=(names.LIMIT,))


def _hints(handout: Handout) -> Iterator[Item]:
    """The words of the hints, on Workings: a text of this length has no room in a formula."""
    for step in handout.exercise.steps:
        for name, hint in zip(hint_sources(step), step.hints, strict=True):
            yield Fixed(name, in_units(handout, step.label), Shape.TEXT, values=(in_units(handout, hint),))


def hint_sources(step: Step) -> tuple[str, ...]:
    """The cells that hold a step's hints."""
    return tuple(f"hint_{step.name}" + "_more" * number for number in range(len(step.hints)))


def choices_name(step: Step) -> str:
    """The column that lists the words of a choice."""
    return f"list_{step.name}"


def _choices(handout: Handout) -> Iterator[Table]:
    for step in handout.exercise.steps:
        if step.by == "choice":
            words = tuple(in_units(handout, word) for word in step.choices)
            name = choices_name(step)
            column = Fixed(name, "To choose from", Shape.TEXT, values=words)
            yield Table(name, in_units(handout, step.label), (column,), len(words))


# --------------------------------------------------------------------------------------------- a stage's figures


def _givens(handout: Handout, stage: Stage) -> Iterator[Item]:
    for given in handout.exercise.given:
        value = handout.stages[stage].values[given.name]
        yield Fixed(
            names.cell_name(stage, given.name),
            in_units(handout, given.label),
            given_shape(handout, given, value),
            in_units(handout, given.unit),
            in_units(handout, given.note),
            values=(value,),
        )


def given_shape(handout: Handout, given: Given, *values: float) -> Shape:
    """The shape of a given number, which decides how many digits it shows."""
    return _as_money(given.unit, shape_of(given.unit, *_rasters(handout, given), *values))


def column_shape(handout: Handout, column: Column) -> Shape:
    """The shape of a column of a given table."""
    return Shape.TEXT if column.words else _as_money(column.unit, shape_of(column.unit, *_rasters(handout, column)))


def _as_money(unit: str | None, shape: Shape) -> Shape:
    """Money that is not whole shows two digits, also where one would do."""
    return Shape.WEIGHT if shape is Shape.READING and (unit or "").startswith("{currency}") else shape


def _rasters(handout: Handout, drawn: object) -> tuple[float, ...]:
    """Where a drawn number begins and the steps in which it goes on, in the class's unit of weight."""
    of_kg = getattr(drawn, "kg", None)
    source = of_kg if of_kg is not None and handout.weight_unit == "kg" else drawn
    found = (getattr(source, "from_", None), getattr(source, "step", None))
    return tuple(number for number in found if number is not None)


def _given_tables(handout: Handout, stage: Stage) -> Iterator[Table]:
    for table in handout.exercise.tables:
        columns: list[Item] = []
        for column in table.columns:
            values = handout.stages[stage].columns[f"{table.name}_{column.name}"]
            shown: tuple[Plain, ...] = tuple("" if value is None else value for value in values)
            shape = column_shape(handout, column)
            name = names.column_name(stage, table.name, column.name)
            label, unit = in_units(handout, column.label), in_units(handout, column.unit)
            columns.append(Fixed(name, label, shape, unit, values=shown))
        yield Table(f"{stage}_{table.name}", in_units(handout, table.label), tuple(columns), table.rows)


def _filled(handout: Handout, stage: Stage) -> Iterator[Item]:
    """Steps that work themselves out; on the sheet with blank steps, only once those they need are there."""
    for step in names.filled_steps(handout.exercise, stage):
        body, needed = cells_formula(handout.exercise, stage, step.formula or "")
        waits = stage == "first"
        yield Figure(
            names.cell_name(stage, step.name),
            in_units(handout, step.label),
            shape_of(step.unit, step.nearest),
            in_units(handout, step.unit),
            formula=f'IFERROR({body},"")' if waits else body,
            needs=needed if waits else (),
        )


def cells_formula(exercise: Exercise, stage: Stage, formula: str) -> tuple[str, tuple[str, ...]]:
    """A formula of the exercise in cells of a stage, and the cells of earlier steps that it needs."""
    columns = {f"{table.name}_{column.name}" for table in exercise.tables for column in table.columns}
    steps = {step.name for step in exercise.steps}
    parts: list[str] = []
    needed: dict[str, None] = {}
    for text, is_name in words_of(formula):
        if not is_name:
            parts.append(text)
            continue
        cell = names.cell_name(stage, text)
        parts.append(f"{cell}.all" if text in columns else cell)
        if text in steps:
            needed[cell] = None
    return "".join(parts), tuple(needed)


def _blanks(handout: Handout, stage: Stage) -> Iterator[Item]:
    rows = {step.name: row for row, step in enumerate(names.checked_steps(handout.exercise, stage), 1)}
    for step in names.blank_steps(handout.exercise, stage):
        yield _answer(handout, stage, step)
        said = _said(names.cell_name(stage, step.name), step, names.check_name(stage, f"match.{rows.get(step.name)}"))
        yield Figure(names.said_name(stage, step.name), "Feedback", Shape.TEXT, formula=said)
        if step.hints:
            ask = names.ask_name(stage, step.name)
            yield Input(ask, "Hint", Shape.TEXT, typed=Typed(asks="y, or anything else, to see the hint beside it"))
            hints = '&" "&'.join(hint_sources(step))
            shown = f'IF({ask}="","",{hints})'
            yield Figure(names.hint_name(stage, step.name), "Hint", Shape.TEXT, formula=shown)


def _answer(handout: Handout, stage: Stage, step: Step) -> Item:
    name, label, unit = names.cell_name(stage, step.name), in_units(handout, step.label), in_units(handout, step.unit)
    if step.by == "choice":
        return Input(name, label, Shape.TEXT, typed=Typed(choices_from=choices_name(step)))
    asks = A_FORMULA if step.by == "formula" else "a number"
    note = f"In {unit}" if unit and unit != PERCENT else ""
    return Input(name, label, shape_of(step.unit, step.nearest), note=note, typed=Typed(asks=asks, warns=True))


def _said(answer: str, step: Step, match: str) -> str:
    if step.by == "guess":
        return f'IF(ISNUMBER({answer}),"{names.GUESSED}","{names.TYPE_A_GUESS}")'
    told = f'IF({match}=1,"{names.RIGHT}","{names.NOT_YET}")'
    if step.by == "choice":
        return f'IF({answer}="","{names.CHOOSE_ONE}",{told})'
    return f'IF(ISNUMBER({answer}),{told},"{names.TYPE_A_NUMBER}")'


# ------------------------------------------------------------------------------------------------ the self-checks


def _checks(handout: Handout, stage: Stage) -> Table:
    """A row for each blank step that is right or not: the code of what is typed, and the three that fit."""
    steps = names.checked_steps(handout.exercise, stage)
    column = {key: names.check_name(stage, key) for key in _CHECK_LABELS}
    fixed: dict[str, tuple[Plain, ...]] = {
        "step": tuple(in_units(handout, step.label) for step in steps),
        "scale": tuple(scale_of(step) for step in steps),
        "salt": tuple(handout.salts[stage][step.name] for step in steps),
    }
    right = [_fitting(handout, stage, step) for step in steps]
    fixed |= {key: tuple(three[at] for three in right) for at, key in enumerate(("below", "right", "above"))}
    unlike = {
        "value": tuple(_value(names.cell_name(stage, step.name), step, column["reach"]) for step in steps),
        "numeric": tuple(_numeric(names.cell_name(stage, step.name), step, column["value"]) for step in steps),
    }
    items: list[Item] = []
    for key, label in _CHECK_LABELS.items():
        name, shape = column[key], _CHECK_SHAPES.get(key, Shape.COUNT)
        if key in fixed:
            items.append(Fixed(name, label, shape, values=fixed[key]))
        elif key in unlike:
            items.append(Figure(name, label, shape, formulas=unlike[key]))
        else:
            items.append(Figure(name, label, shape, formula=_CHECK_FORMULAS[key].format(**column)))
    return Table(f"check_{stage}", "Self-checks", tuple(items), len(steps))


_CHECK_LABELS = {
    "step": "Step",
    "scale": "Scale",
    "salt": "Salt",
    "reach": "Reach",
    "value": "Typed",
    "numeric": "Is it there?",
    "units": "In units",
    "doubled": "With sign",
    "part": "Part",
    "rest": "Rest",
    "mixed": "Mixed",
    "blend": "Blended",
    "code": "Code",
    "below": "Fits (1)",
    "right": "Fits (2)",
    "above": "Fits (3)",
    "match": "Right?",
}
_CHECK_SHAPES = {"step": Shape.TEXT, "scale": Shape.FACTOR, "value": Shape.FACTOR}
_CHECK_FORMULAS = {
    "reach": "check_limit/{scale}",
    "units": "INT(ROUND(ABS({value})*{scale},check_digits)+0.5)",
    "doubled": "2*{units}+IF(ROUND({value}*{scale},check_digits)<=0-0.5,1,0)",
    "part": "INT({doubled}/check_modulus)",
    "rest": "{doubled}-{part}*check_modulus",
    "mixed": "{rest}*check_factor+{salt}-INT(({rest}*check_factor+{salt})/check_modulus)*check_modulus",
    "blend": "{mixed}*{mixed}+{part}*check_factor+{rest}",
    "code": "{blend}-INT({blend}/check_modulus)*check_modulus",
    "match": "IF(COUNTIF({below}:{above},{code})=0,0,IF({doubled}>check_limit,0,{numeric}))",
}


def scale_of(step: Step) -> float:
    """How many of its ``nearest`` make one; whole numbers exactly so."""
    if step.by == "choice":
        return 1
    scale = float(1 / Decimal(repr(step.nearest)))
    return int(scale) if scale.is_integer() else scale


def _value(answer: str, step: Step, reach: str) -> str:
    if step.by == "choice":
        return f"IFERROR(MATCH({answer},{choices_name(step)}.all,0),0)"
    return f"IF(ISNUMBER({answer}),MAX(MIN({answer},{reach}),0-{reach}),0)"


def _numeric(answer: str, step: Step, value: str) -> str:
    return f"IF({value}>0,1,0)" if step.by == "choice" else f"IF(ISNUMBER({answer}),1,0)"


def _fitting(handout: Handout, stage: Stage, step: Step) -> tuple[int, int, int]:
    """The codes of the answer less one ``nearest``, of the answer, and of one more."""
    salt = handout.salts[stage][step.name]
    if step.by == "choice":
        place = code(list(step.choices).index(step.right or "") + 1, 1, salt)
        return place, place, place
    answer = answers(handout.exercise, handout.stages[stage])[step.name]
    assert isinstance(answer, int | float), step.name
    below, right, above = codes(answer, step.nearest, salt)
    return below, right, above
