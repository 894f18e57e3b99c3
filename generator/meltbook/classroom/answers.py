"""The answers to an exercise's steps, and what follows from a student's own figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from meltbook.classroom.expression import Cells, Expression
from meltbook.classroom.names import has_formula

if TYPE_CHECKING:
    from meltbook.classroom.draw import Numbers
    from meltbook.classroom.exercise import Exercise


def answers(exercise: Exercise, numbers: Numbers) -> dict[str, float | str | None]:
    """The answer of each step by its name, not rounded: a number, or the right word of a choice.

    A guess has none and is left out. ``None`` is an answer that can't be worked out from these numbers.
    """
    known = known_values(numbers)
    found: dict[str, float | str | None] = {}
    for step in exercise.steps:
        if step.by == "choice":
            found[step.name] = step.right
        elif has_formula(step):
            value = found[step.name] = Expression.parse(step.formula).evaluate(known)
            if value is not None:
                known[step.name] = value
    return found


def carried(exercise: Exercise, numbers: Numbers, own: Mapping[str, float]) -> dict[str, float | None]:
    """Each step worked out with the student's own figures for the earlier steps, the right answers for the others.

    ``own`` holds the figures that the student has, by the names of steps. What a step comes to is never taken
    over into a later one, where ``own`` has no figure for it: a blank stands for its right answer.
    """
    right = answers(exercise, numbers)
    known = known_values(numbers)
    found: dict[str, float | None] = {}
    for step in exercise.steps:
        if not has_formula(step):
            continue
        found[step.name] = Expression.parse(step.formula).evaluate(known)
        value = own.get(step.name, right[step.name])
        if isinstance(value, int | float):
            known[step.name] = float(value)
    return found


def known_values(numbers: Numbers) -> dict[str, float | Cells]:
    """Everything that formulas may name before the first step."""
    return {**numbers.values, **numbers.columns}
