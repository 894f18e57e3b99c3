"""What students type: every sort of thing into every cell that can be typed into."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.classroom import names
from meltbook.classroom.answers import answers
from meltbook.classroom.exercise import Step
from meltbook.classroom.handout import Handout
from meltbook.classroom.vocabulary import in_units

Typed = dict[str, float | str]


def ways(handout: Handout) -> dict[str, Typed]:
    """A blank workbook and ten that were filled in, by what was typed."""
    nearest = {step.name: step.nearest for step in handout.exercise.steps}
    return {
        "blank": {},
        "right": _every(handout, lambda step, right: right),
        "half of it right": dict(list(_every(handout, lambda step, right: right).items())[::2]),
        "wrong": _every(handout, lambda step, right: right * 1.37 + 5 * nearest[step.name]),
        "one more": _every(handout, lambda step, right: right + nearest[step.name]),
        "one less": _every(handout, lambda step, right: right - nearest[step.name]),
        "two less": _every(handout, lambda step, right: right - 2 * nearest[step.name]),
        "not quite one more": _every(handout, lambda step, right: right + 1.2 * nearest[step.name]),
        "text": dict.fromkeys(_every(handout, lambda step, right: right), "12,50"),
        "negative": _every(handout, lambda step, right: -right),
        "nothing at all": _every(handout, lambda step, right: 0),
        "huge": _every(handout, lambda step, right: 987654321987.5),
        "beyond": _every(handout, lambda step, right: -1e60),
        "tiny": _every(handout, lambda step, right: -0.5 * nearest[step.name]),
        "hints and choices": dict(_hints_and_choices(handout)),
    }


def _every(handout: Handout, what: object) -> Typed:
    typed: Typed = {}
    for stage in names.ASKING:
        right = answers(handout.exercise, handout.stages[stage])
        for step in names.blank_steps(handout.exercise, stage):
            cell = names.cell_name(stage, step.name)
            if step.by == "choice":
                typed[cell] = in_units(handout, step.right)
            else:
                value = right.get(step.name, 7.0)
                assert isinstance(value, int | float)
                typed[cell] = float(what(step, value))  # type: ignore[operator]
    return typed


def _hints_and_choices(handout: Handout) -> Iterator[tuple[str, float | str]]:
    """Every hint asked for, each in another way; every choice wrong, or no word of the list; some guesses."""
    for stage in names.ASKING:
        for number, step in enumerate(names.blank_steps(handout.exercise, stage)):
            if step.hints:
                yield names.ask_name(stage, step.name), ("y", 1.0, "?")[number % 3]
            if step.by == "choice":
                yield names.cell_name(stage, step.name), _wrong_choice(handout, stage, step)
            if step.by == "guess":
                yield names.cell_name(stage, step.name), "about two" if stage == "first" else 2.5


def _wrong_choice(handout: Handout, stage: str, step: Step) -> str:
    if stage == "first":
        return "none of these"
    return next(in_units(handout, word) for word in step.choices if word != step.right)
