"""Which cells a student's workbook has, by name. No formula, no arithmetic: what both halves have in common.

The workbook has three stages. Each has its own numbers and a sheet of its own, and the cells of a stage begin
with its name:

* ``worked``: every step that has a formula is filled in. Guesses and choices are left out here: a guess about a
  worked example is none, and a choice would give its own answer away.
* ``first``: the first ``exercise.first_steps`` steps are blank, whatever they ask for. Of the later ones those
  with a formula are filled in; guesses and choices are left out.
* ``own``: every step is blank.

On the sheet Workings each *checked* step (blank, and no guess) has a row. Its columns, for ``own``:

=========================  ==========================================================================
``check_own_step``         fixed: the step's label
``check_own_scale``        fixed: 1/nearest; 1 for a choice
``check_own_salt``         fixed: the step's number that goes into the code
``check_own_reach``        ``check_limit`` / scale: no number further from 0 is looked at
``check_own_value``        the number typed, brought to within -reach and reach; 0 where none is typed.
                           For a choice the position of the chosen word in its list, from 1; 0 for none
``check_own_numeric``      1 where a number is typed (or a word of the list chosen), else 0
``check_own_units``        n: whole number of ``nearest`` in the value, without its sign
``check_own_doubled``      d: 2*n, and 1 more for a value below 0 (value*scale <= -0.5, rounded as for n,
                           since programs differ in the last digit of a product)
``check_own_part``         e: whole times that ``check_modulus`` goes into d
``check_own_rest``         f: what is left of d
``check_own_mixed``        g: (f*``check_factor`` + salt) mod ``check_modulus``
``check_own_blend``        h: g*g + e*``check_factor`` + f
``check_own_code``         h mod ``check_modulus``
``check_own_below``        fixed: the code of the answer less one ``nearest``
``check_own_right``        fixed: the code of the answer (a choice has it three times)
``check_own_above``        fixed: the code of the answer and one ``nearest`` more
``check_own_match``        1 where numeric is 1, d is at most ``check_limit``, and the code is one of the three
=========================  ==========================================================================

Fixed cells that they use: ``check_modulus`` 99991, ``check_factor`` 7919, ``check_digits`` 3 (the digits that
the value in units is rounded to before it is rounded to a whole number), ``check_limit`` 1,000,000,000.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Exercise, Step

Stage = Literal["worked", "first", "own"]
STAGES: tuple[Stage, ...] = ("worked", "first", "own")
ASKING: tuple[Stage, ...] = ("first", "own")
"""The stages on which something is blank."""

MODULUS, FACTOR, DIGITS, LIMIT = 99991, 7919, 3, 1_000_000_000
CLASS_VERSION = 1

TYPE_A_NUMBER, RIGHT, NOT_YET = "Type a number", "Right", "Not yet"
TYPE_A_GUESS, GUESSED = "Type a guess", "Thank you. Now work it out."
CHOOSE_ONE = "Choose one"


def has_formula(step: Step) -> bool:
    """Whether a step is worked out: neither a guess nor a choice."""
    return step.by in ("formula", "number")


def blank_steps(exercise: Exercise, stage: Stage) -> list[Step]:
    """The steps that the student fills in on a stage."""
    if stage == "worked":
        return []
    return list(exercise.steps[: exercise.first_steps] if stage == "first" else exercise.steps)


def filled_steps(exercise: Exercise, stage: Stage) -> list[Step]:
    """The steps that work themselves out on a stage."""
    if stage == "own":
        return []
    later = exercise.steps if stage == "worked" else exercise.steps[exercise.first_steps :]
    return [step for step in later if has_formula(step)]


def checked_steps(exercise: Exercise, stage: Stage) -> list[Step]:
    """The blank steps that are told right or not yet, in the order of the rows on Workings."""
    return [step for step in blank_steps(exercise, stage) if step.by != "guess"]


def cell_name(stage: Stage, name: str) -> str:
    """The cell of a given or a step."""
    return f"{stage}_{name}"


def column_name(stage: Stage, table: str, column: str) -> str:
    """The cells of a column of a given table."""
    return f"{stage}_{table}_{column}"


def said_name(stage: Stage, step: str) -> str:
    """The cell that tells how a blank step stands."""
    return f"{stage}_{step}_said"


def ask_name(stage: Stage, step: str) -> str:
    """The cell in which anything that is typed asks for the hint. A step without hints has none."""
    return f"{stage}_{step}_ask"


def hint_name(stage: Stage, step: str) -> str:
    """The cell that shows the hint once it is asked for."""
    return f"{stage}_{step}_hint"


def hint_text(step: Step) -> str:
    """What the hint cell shows: all hints of the step, one after the other."""
    return " ".join(step.hints)


def check_name(stage: Stage, column: str) -> str:
    """A column of the rows on Workings."""
    return f"check_{stage}_{column}"
