"""Marks one returned workbook: a state and points for each blank step, and what can be said about a mistake.

A mistake costs its own step only. What was built on it with the right method is compared with what that method
gives from the student's own earlier figures. Where the student has no earlier figure (a blank, a text, an error),
the right one stands in for it, and a formula is tried on the right figures.

A figure next to nothing agrees with whatever is next to nothing: half of 0 is a third of 0. Where the right
method gives that from the student's own figures, or no figure at all (a division by 0), a formula is tried on the
right figures too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.answers import answers, carried
from meltbook.classroom.codes import TOLERANCE, units_of
from meltbook.classroom.expression import Expression
from meltbook.classroom.vocabulary import in_units

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Exercise, Step
    from meltbook.classroom.handout import Handout
    from meltbook.classroom.names import Stage
    from meltbook.classroom.returned import AnswerCell, Returned

NEXT_TO_NOTHING = 3
"""So many times what a step is told to the nearest of; no answer is as small as that."""
_BEYOND = 1e11

TYPED_NOTE = "The figure fits, but it was typed. A formula that points at the cells shows how it came about."
CALCULATED_NOTE = "The figure fits, but the formula points at no cell: it is a number that was typed in another way."
STOOD_IN_NOTE = "With the right figure in place of one of an earlier step, this formula is right."
GUESS_NOTE = "A guess has no points."
CHOICE_NOTE = "That is none of the words to choose from."
_FACTORS = (
    (100, "A hundred times too large: cents for money, or a percent for a share?"),
    (1 / 100, "A hundred times too small: money for cents, or a share for a percent?"),
    (-1, "The size fits, but the sign is the other way round."),
)


_Values = Mapping[str, float | Sequence[float | str | None]]


class State(StrEnum):
    """How a step stands."""

    RIGHT = "Right"
    METHOD = "Right method"
    WRONG = "Wrong"
    TYPED = "Typed, not calculated"
    BLANK = "Blank"
    GUESS = "Guess"


EARNS = (State.RIGHT, State.METHOD)
"""States that earn all points of a step."""


@dataclass(frozen=True, slots=True)
class Mark:
    """How one blank step stands. ``note`` says what the slip was, or what else there is to say."""

    stage: Stage
    step: Step
    state: State
    points: float
    had: AnswerCell
    note: str = ""

    @property
    def out_of(self) -> float:
        """The points that the step has."""
        return points_of(self.step)

    @property
    def cell(self) -> str:
        """The name of the step's cell."""
        return names.cell_name(self.stage, self.step.name)


@dataclass(frozen=True, slots=True)
class Marked:
    """One marked workbook. ``changed`` are the cells of given numbers that were changed."""

    path: Path
    marks: tuple[Mark, ...]
    changed: tuple[str, ...] = ()

    @property
    def points(self) -> float:
        """All points earned."""
        return sum(mark.points for mark in self.marks)


def agree(figure: float, wanted: float, nearest: float) -> bool:
    """Whether two figures are the same, or one of the nearest apart.

    Unlike the code in a workbook this has no end: from a wrong figure anything can follow.
    """
    if not (math.isfinite(figure) and math.isfinite(wanted)):
        return False
    if max(abs(figure), abs(wanted)) >= _BEYOND * nearest:  # so large that its last digits are a matter of chance
        return math.isclose(figure, wanted, rel_tol=1 / _BEYOND)
    return abs(units_of(figure, nearest) - units_of(wanted, nearest)) <= TOLERANCE


def points_of(step: Step) -> float:
    """The points of a step; a guess has none."""
    return 0.0 if step.by == "guess" else float(step.points)


def asked_steps(exercise: Exercise) -> list[tuple[Stage, Step]]:
    """Every blank step that has points, in the order of the workbook."""
    return [(stage, step) for stage in names.ASKING for step in names.checked_steps(exercise, stage)]


def mark_file(handout: Handout, returned: Returned) -> Marked:
    """Mark a workbook against the numbers that its student was given."""
    marks = tuple(mark for stage in names.ASKING for mark in _Stage(handout, returned, stage).marks())
    return Marked(returned.path, marks, returned.givens)


class _Stage:
    """The steps of one sheet: the right answers, the student's own figures, and what follows from them."""

    def __init__(self, handout: Handout, returned: Returned, stage: Stage) -> None:
        self.handout, self.returned, self.stage = handout, returned, stage
        self.exercise = handout.exercise
        self.numbers = handout.stages[stage]
        self.steps = names.blank_steps(self.exercise, stage)
        self.right = answers(self.exercise, self.numbers)
        self.figures = [step for step in self.steps if names.has_formula(step)]
        self.own = {step.name: number for step in self.figures if (number := self.cell(step).number) is not None}
        self.following = carried(self.exercise, self.numbers, self.own)

    def cell(self, step: Step) -> AnswerCell:
        return self.returned.cells[names.cell_name(self.stage, step.name)]

    def marks(self) -> Iterator[Mark]:
        for step in self.steps:
            state, note = self._state(step)
            share = 1.0 if state in EARNS else self.exercise.typed_share if state is State.TYPED else 0.0
            yield Mark(self.stage, step, state, points_of(step) * share, self.cell(step), note)

    def _state(self, step: Step) -> tuple[State, str]:
        cell = self.cell(step)
        if cell.is_blank:
            return State.BLANK, cell.note
        if step.by == "guess":
            return State.GUESS, cell.note or GUESS_NOTE
        if step.by == "choice":
            return self._choice(step, cell)
        state, note = self._figure(step, cell)
        if state is State.METHOD and (slip := self._slip_in_disguise(step, cell)):
            return State.WRONG, slip
        if state in EARNS and step.by == "formula" and not cell.refers:
            return State.TYPED, TYPED_NOTE if cell.formula is None else CALCULATED_NOTE
        return state, note

    def _choice(self, step: Step, cell: AnswerCell) -> tuple[State, str]:
        said = str(cell.value or cell.text).strip().casefold()
        if said == in_units(self.handout, step.right).strip().casefold():
            return State.RIGHT, ""
        words = [in_units(self.handout, word).strip().casefold() for word in step.choices or ()]
        return State.WRONG, cell.note if said in words or cell.note else CHOICE_NOTE

    def _figure(self, step: Step, cell: AnswerCell) -> tuple[State, str]:
        """How a figure stands, whether or not it was calculated."""
        value, answer, follows = cell.number, self.right[step.name], self.following[step.name]
        assert isinstance(answer, int | float)
        if value is not None and agree(value, answer, step.nearest):
            return State.RIGHT, ""
        tells = follows is not None and abs(follows) >= NEXT_TO_NOTHING * step.nearest
        agrees = value is not None and follows is not None and agree(value, follows, step.nearest)
        if agrees and tells:
            # Rounded on the way, and no more than that: the figure is right.
            return (State.RIGHT if self._needs_only_right(step) else State.METHOD), ""
        in_doubt = agrees or follows is None or self._misses_earlier(step)
        if in_doubt and self._method_is_right(step, cell):
            return State.METHOD, STOOD_IN_NOTE
        return State.WRONG, cell.note or self._slip(step, value)

    # ------------------------------------------------------------------------------- the student's own figures

    def _earlier(self, step: Step) -> list[Step]:
        return self.figures[: self.figures.index(step)]

    def _misses_earlier(self, step: Step) -> bool:
        return any(one.name not in self.own for one in self._earlier(step))

    def _needs_only_right(self, step: Step) -> bool:
        """Whether the student's own figures that go into a step are right themselves."""
        needed = Expression.parse(step.formula or "").names
        for one in self._earlier(step):
            answer = self.right[one.name]
            if one.name in needed and one.name in self.own and isinstance(answer, int | float):
                if not agree(self.own[one.name], answer, one.nearest):
                    return False
            elif one.name in needed and one.name not in self.own and not self._needs_only_right(one):
                return False
        return True

    def _method_is_right(self, step: Step, cell: AnswerCell) -> bool:
        """Whether a formula gives the answer once the right figures stand in for all earlier ones."""
        answer, value = self.right[step.name], self._on_right_figures(step) if cell.refers else None
        return value is not None and isinstance(answer, int | float) and agree(value, answer, step.nearest)

    def _on_right_figures(self, step: Step) -> float | None:
        """What the formula in a step's cell comes to when all earlier steps are right."""
        figures = {
            names.cell_name(self.stage, one.name): float(answer)
            for one in self._earlier(step)
            if isinstance(answer := self.right[one.name], int | float)
        }
        return self.returned.with_figures(names.cell_name(self.stage, step.name), figures)

    # ------------------------------------------------------------------------------------------------- slips

    def _slip(self, step: Step, value: float | None) -> str:
        """What the mistake seems to be; nothing if it is none of the usual ones."""
        if value is None:
            return ""
        for values in (self._values(self.own), self._values({})):
            if says := self._usual_slip(step, value, values):
                return says
        for wanted in (self.following[step.name], self.right[step.name]):
            for factor, says in _FACTORS:
                if isinstance(wanted, int | float) and wanted and agree(value / factor, wanted, step.nearest):
                    return says
        return ""

    def _slip_in_disguise(self, step: Step, cell: AnswerCell) -> str:
        """A slip that the student's own figures hide: with a tax of 0, a bill without the tax is right.

        On the right figures a formula shows what it is.
        """
        value = self._on_right_figures(step) if cell.refers and step.slips else None
        if value is None or self._method_is_right(step, cell):
            return ""
        return self._usual_slip(step, value, self._values({}))

    def _usual_slip(self, step: Step, value: float, values: _Values) -> str:
        for slip in step.slips:
            found = Expression.parse(slip.formula).evaluate(values)
            if found is None or abs(found) < NEXT_TO_NOTHING * step.nearest:
                continue
            if agree(value, found, step.nearest):
                return in_units(self.handout, slip.says)
        return ""

    def _values(self, own: Mapping[str, float]) -> _Values:
        """The values that a slip's formula is worked out from: what is given, and figures of earlier steps."""
        figures = {name: value for name, value in self.right.items() if isinstance(value, int | float)}
        return {**self.numbers.values, **self.numbers.columns, **figures, **own}
