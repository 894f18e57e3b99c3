"""What stands on which sheet of a student's workbook, and the words that tell a student what to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.vocabulary import PERCENT, choices_name, hint_sources, in_units, nearest_text, words_of
from meltbook.sheets.kernel import (
    Block,
    Fields,
    Grid,
    Key,
    Links,
    Rows,
    Sheet,
    Step,
    Steps,
    Words,
    is_name,
)

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Exercise
    from meltbook.classroom.exercise import Step as Asked
    from meltbook.classroom.handout import Handout
    from meltbook.classroom.names import Stage

SHEET_NAMES: dict[Stage, str] = {"worked": "Worked example", "first": "First steps", "own": "On your own"}
START, WORKINGS = "Start", "Workings"

_READ = "Read this first: every step is worked out here, with other numbers than yours."
_READ_AGAIN = "Read this too: every step is worked out once more, with other numbers."
_FIRST = "Fill in the tinted cells: the first steps are yours, the later ones then work themselves out."
_EVERY = "Fill in the tinted cells: every step is yours."
_DOES: dict[Stage, str] = {"worked": "Read", "first": "Type the first steps", "own": "Type every step"}
_HEADS = ("Step", "Your answer", "Unit, how near", "Feedback", "Hint? Type y", "Hint")
_WORKED_HEADS = ("Step", "Figure", "Unit", "How it is worked out", "", "")

_KEY = (
    ("type", "input", "Yours to type: tinted, with a border."),
    ("works itself out", "plain", "A given number or a formula: leave it as it is."),
    (names.RIGHT, "sample_good", "As near as the step asks for."),
    (names.NOT_YET, "sample_look", "Look again; a hint may help."),
    ("Thank you", "sample_note", "A guess is neither right nor wrong."),
)

_WORKINGS = (
    "These rows let the workbook tell Right from Not yet without holding an answer: each answer was turned into a "
    "code when the workbook was made, what you type is turned into a code in the same way, and the two are compared.",
    "It stops peeking, not cheating: somebody who tries one number after another will find the one that fits, and has "
    "learnt nothing by it.",
)
_MATHS_SIGNS = {"*": " × ", "/": " ÷ ", "-": " − ", "+": " + ", "<": " < ", ">": " > ", ",": ", "}


def handout_sheets(handout: Handout) -> tuple[Sheet, ...]:
    """The five sheets of a student's workbook, in their order."""
    return (
        _start(handout),
        *(_stage(handout, stage) for stage in names.STAGES),
        _workings(handout),
    )


# -------------------------------------------------------------------------------------------------------- start


def _start(handout: Handout) -> Sheet:
    exercise = handout.exercise
    blocks: list[Block] = [
        Fields("This workbook is for", ("student_name", "exercise_title")),
        Words("What it is about", _said(handout, [*exercise.about, *_caution(exercise)])),
        Words("How far you are", ("done_sentence",)),
        Grid(
            "",
            ("Right", "Asked"),
            tuple((SHEET_NAMES[stage], f"{stage}_done", f"{stage}_steps_asked") for stage in names.ASKING),
        ),
        Words("What to do", tuple(_what_to_do(exercise))),
        Words("How to write an answer", tuple(_how_to_answer(exercise))),
        Links(),
        Key("What the tints mean", _KEY),
        Fields("About this file", ("exercise_name", "file_tag", "class_version")),
    ]
    purpose = "Everything to be typed is on the sheets First steps and On your own."
    return Sheet(
        "start",
        START,
        in_units(handout, exercise.title),
        purpose,
        tuple(blocks),
        role="read",
        does="Begin here",
        one_page=True,
    )


def _said(handout: Handout, lines: list[str]) -> tuple[str, ...]:
    """Lines of the exercise. One that looks like the name of a cell is made a sentence."""
    worded = (in_units(handout, line).replace("\n", " ") for line in lines)
    return tuple(f"{line}." if is_name(line) else line for line in worded)


def _caution(exercise: Exercise) -> list[str]:
    return [f"Caution: {exercise.caution}"] if exercise.caution else []


def _what_to_do(exercise: Exercise) -> Iterator[str]:
    yield "1. Read the sheet Worked example: the same steps, worked out with other numbers than yours."
    if not names.blank_steps(exercise, "first"):
        yield "2. Read the sheet First steps: the same once more."
    elif names.filled_steps(exercise, "first"):
        yield "2. On the sheet First steps, fill in the steps that are blank. The later ones then work themselves out."
    else:
        yield "2. On the sheet First steps, fill in the steps."
    yield "3. On the sheet On your own, fill in every step. The numbers are new ones, and they are yours alone."
    yield "Save the workbook and hand it in the way your teacher asks. You may give the file another name."


def _how_to_answer(exercise: Exercise) -> Iterator[str]:
    kinds = {step.by for step in exercise.steps}
    yield "Type only into the tinted cells under Your answer."
    if "formula" in kinds:
        yield (
            "Type a formula: begin with = and point at the cells with the numbers, such as =C8*C9. A number worked out "
            "elsewhere and typed in earns only a part of the points."
        )
    if "choice" in kinds:
        yield "Where there is a list to choose from, choose one of its words."
    yield "The unit, and how near the answer has to be, stand beside the cell. Don't round on the way."
    if any(step.unit == PERCENT for step in exercise.steps):
        yield "A percentage may be typed with its sign, as in 25%. A formula that gives 0.25 shows as 25%."
    yield "For a hint, type y into the cell under Hint? and look beside it. Hints cost nothing."


# ------------------------------------------------------------------------------------------------------- stages


def _stage(handout: Handout, stage: Stage) -> Sheet:
    exercise = handout.exercise
    blocks: list[Block] = []
    if exercise.given:
        blocks.append(Fields("Given", tuple(names.cell_name(stage, given.name) for given in exercise.given)))
    for table in exercise.tables:
        columns = tuple(names.column_name(stage, table.name, column.name) for column in table.columns)
        blocks.append(Rows(in_units(handout, table.label), f"{stage}_{table.name}", columns))
    blocks += _step_blocks(handout, stage)
    return Sheet(
        stage,
        SHEET_NAMES[stage],
        f"{in_units(handout, exercise.title)} – {SHEET_NAMES[stage].lower()}",
        _purpose(exercise, stage),
        tuple(blocks),
        role="type" if names.blank_steps(exercise, stage) else "read",
        does=_DOES[stage] if names.blank_steps(exercise, stage) else "Read",
    )


def _purpose(exercise: Exercise, stage: Stage) -> str:
    if stage == "worked":
        return _READ
    if not names.blank_steps(exercise, stage):
        return _READ_AGAIN
    return _FIRST if names.filled_steps(exercise, stage) else _EVERY


def _step_blocks(handout: Handout, stage: Stage) -> Iterator[Block]:
    exercise = handout.exercise
    blank, filled = names.blank_steps(exercise, stage), names.filled_steps(exercise, stage)
    if not blank:
        rows = tuple(_worked(handout, stage, step) for step in filled)
        yield Steps("Steps", rows, _WORKED_HEADS)
        return
    yield Steps("Your steps" if filled else "Steps", tuple(_asked(handout, stage, step) for step in blank), _HEADS)
    if filled:
        waits = "Each works itself out once the steps that it needs are there."
        later = tuple(_worked(handout, stage, step) for step in filled)
        yield Steps("The steps after them", later, _WORKED_HEADS, intro=waits)


def _worked(handout: Handout, stage: Stage, step: Asked) -> Step:
    cell, unit = names.cell_name(stage, step.name), in_units(handout, step.unit)
    return Step(in_units(handout, step.label), cell, unit, how=method_words(handout, step.formula))


def _asked(handout: Handout, stage: Stage, step: Asked) -> Step:
    return Step(
        in_units(handout, step.label),
        names.cell_name(stage, step.name),
        _measure(handout, step),
        said=names.said_name(stage, step.name),
        ask=names.ask_name(stage, step.name) if step.hints else "",
        hint=names.hint_name(stage, step.name) if step.hints else "",
        hint_text=in_units(handout, names.hint_text(step)) if step.hints else "",
    )


def _measure(handout: Handout, step: Asked) -> str:
    """The unit and how near the answer has to be, as it stands beside the cell."""
    unit = in_units(handout, step.unit)
    if step.by == "choice":
        return "choose from the list"
    if step.by == "guess":
        return f"{unit}, a guess" if unit else "a guess"
    return f"{unit}, {nearest_text(step)}" if unit else nearest_text(step)


def method_words(handout: Handout, formula: str) -> str:
    """A step's formula in the labels of what it is made of."""
    exercise = handout.exercise
    labels = {given.name: given.label for given in exercise.given} | {step.name: step.label for step in exercise.steps}
    labels |= {f"{table.name}_{column.name}": column.label for table in exercise.tables for column in table.columns}
    parts: list[str] = []
    for text, named in words_of(formula):
        if named:
            parts.append(f"‘{in_units(handout, labels.get(text, text))}’")
        elif text.startswith('"'):
            parts.append(text)
        else:
            parts.append("".join(_MATHS_SIGNS.get(character, character) for character in text.replace(" ", "")))
    return "".join(parts).strip()


# ----------------------------------------------------------------------------------------------------- workings


def _workings(handout: Handout) -> Sheet:
    exercise = handout.exercise
    blocks: list[Block] = [
        Words("What this sheet is for", _WORKINGS),
        Fields(
            "Numbers that all codes are made with", ("check_modulus", "check_factor", "check_digits", "check_limit")
        ),
    ]
    for stage in names.ASKING:
        if names.checked_steps(exercise, stage):
            keys = tuple(names.check_name(stage, key) for key in _CHECK_COLUMNS)
            widths = {names.check_name(stage, key): width for key, width in _CHECK_WIDTHS.items()}
            told, behind = keys[:_CHECK_PRINTED], keys[_CHECK_PRINTED:]
            blocks.append(Rows(SHEET_NAMES[stage], f"check_{stage}", told, workings=behind, widths=widths))
    for step in exercise.steps:
        if step.by == "choice":
            name = choices_name(step)
            blocks.append(Rows(in_units(handout, step.label), name, (name,)))
    hinted = tuple(name for step in exercise.steps for name in hint_sources(step))
    if hinted:
        blocks.append(Fields("Hints", hinted))
    return Sheet(
        "workings",
        WORKINGS,
        "Workings",
        "How the workbook tells Right from Not yet. There is nothing to type here.",
        tuple(blocks),
        landscape=True,
        role="check",
        does="Nothing",
    )


_CHECK_COLUMNS = (
    "step",
    "scale",
    "salt",
    "reach",
    "value",
    "numeric",
    "units",
    "doubled",
    "part",
    "rest",
    "mixed",
    "blend",
    "code",
    "below",
    "right",
    "above",
    "match",
)
_CHECK_PRINTED = 13
"""So many of them fit on a page at a size that can be read: up to the code."""
_CHECK_WIDTHS = {"step": 22.0, "reach": 14.0, "value": 15.0, "blend": 13.0}
