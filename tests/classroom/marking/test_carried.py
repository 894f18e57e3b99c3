"""An error carried forward never costs a step, and never gives one: whatever wrong figures come before it."""

from __future__ import annotations

import random
from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from meltbook.classroom import names
from meltbook.classroom.answers import carried
from meltbook.classroom.exercise import shipped
from meltbook.classroom.marking import mark_file
from meltbook.classroom.returned import AnswerCell, Returned
from tests.classroom import students
from tests.classroom.marking.arithmetic import near, work_out
from tests.classroom.marking.classes import handout

FIGURES = st.one_of(
    st.floats(-1e6, 1e6, allow_nan=False),
    st.sampled_from([0.0, 1.0, -1.0, 0.01, 0.1, 2.0, 100.0]),
)
NUMBERS = (3, 4)
MUCH = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


class InMemory(Returned):
    """A returned workbook without a file: formulas are worked out by the test's own arithmetic."""

    def __init__(self, works: list[students.AtWork]) -> None:
        cells: dict[str, AnswerCell] = {}
        self.formulas: dict[str, tuple[students.AtWork, str]] = {}
        for work in works:
            for deed in work.deeds:
                cell = names.cell_name(work.stage, deed.step.name)
                cells[cell] = _cell(deed)
                if cells[cell].refers:
                    self.formulas[cell] = (work, str(deed.content)[1:])
        super().__init__(None, "", "", cells)  # type: ignore[arg-type]

    def with_figures(self, cell: str, figures: Mapping[str, float]) -> float | None:
        if cell not in self.formulas:
            return None
        work, formula = self.formulas[cell]
        short = {name.removeprefix(f"{work.stage}_"): value for name, value in figures.items()}
        return work_out(formula, work.cells({**work.on_sheet, **short}))


def _cell(deed: students.Deed) -> AnswerCell:
    if deed.content is None:
        return AnswerCell()
    if isinstance(deed.content, str) and deed.content.startswith("="):
        return AnswerCell(deed.figure, deed.content[1:], refers=deed.kind != "constant")
    if names.has_formula(deed.step) or deed.step.by == "guess":
        figure = deed.content if isinstance(deed.content, float) else deed.figure
        text = deed.content if isinstance(deed.content, str) else ""
        return AnswerCell(figure, None, False, text, "" if figure is not None else "That is no number.")
    return AnswerCell(str(deed.content).strip())


@pytest.mark.parametrize("exercise", shipped())
@given(data=st.data())
@MUCH
def test_any_wrong_figures_then_the_right_method(exercise: str, data: st.DataObject) -> None:
    one = handout(exercise, data.draw(st.sampled_from(NUMBERS)))
    works = [students.AtWork(one, stage) for stage in names.ASKING]
    typed: dict[str, float | None] = {}
    for work in works:
        for step in names.blank_steps(one.exercise, work.stage):
            if names.has_formula(step) and data.draw(st.integers(0, 2)) == 0:
                figure = data.draw(st.one_of(st.none(), FIGURES))
                typed[names.cell_name(work.stage, step.name)] = figure
                _type(work, step, figure)
            else:
                work.do(step, "right", random.Random(0))
    marks = {mark.cell: mark for mark in mark_file(one, InMemory(works)).marks}
    for work in works:
        for deed in work.deeds:
            mark = marks[names.cell_name(work.stage, deed.step.name)]
            if mark.cell not in typed:
                if deed.step.by != "guess":
                    assert mark.points == deed.step.points, f"{mark.cell}: an earlier error costs a right method"
            else:
                assert mark.state == deed.state and mark.points == deed.points, mark.cell


def _type(work: students.AtWork, step: object, figure: float | None) -> None:
    """Type a figure; what it ought to get is told from what is right and what follows."""
    assert hasattr(step, "name")
    share, points = work.handout.exercise.typed_share, step.points  # type: ignore[attr-defined]
    if figure is None:
        work.deeds.append(students.Deed(step, "blank", None, None, "Blank", 0.0))  # type: ignore[arg-type]
        work.own[step.name] = None
        return
    answer, follows, nearest = work.right[step.name], work.follows(step), step.nearest  # type: ignore[arg-type, attr-defined]
    tells = follows is not None and abs(follows) >= 3 * nearest
    fits = near(figure, answer, nearest) or (tells and near(figure, follows, nearest))
    state = "Typed, not calculated" if fits else "Wrong"
    if fits and step.by != "formula":  # type: ignore[attr-defined]
        state = work._fits(step, figure)  # type: ignore[arg-type]
        share = 1.0
    work.deeds.append(students.Deed(step, "typed", figure, figure, state, share * points if fits else 0.0))  # type: ignore[arg-type]
    work.own[step.name] = figure


@pytest.mark.parametrize("exercise", shipped())
@given(data=st.data())
@MUCH
def test_what_follows_is_worked_out_alike(exercise: str, data: st.DataObject) -> None:
    """The generator's and the test's arithmetic of what follows from own figures."""
    one = handout(exercise, data.draw(st.sampled_from(NUMBERS)))
    work = students.AtWork(one, "own")
    steps = [step for step in one.exercise.steps if names.has_formula(step)]
    own = {step.name: data.draw(FIGURES) for step in steps if data.draw(st.booleans())}
    work.own.update(own)
    found = carried(one.exercise, one.stages["own"], own)
    for step in steps:
        wanted = work.follows(step)
        assert found[step.name] == (wanted if wanted is None else pytest.approx(wanted, rel=1e-9, abs=1e-9)), step.name


@pytest.mark.parametrize("exercise", shipped())
@given(seed=st.integers(0, 10**6))
@MUCH
def test_everything_at_once(exercise: str, seed: int) -> None:
    """Mistakes of every kind mixed, as in the files, on many more students."""
    one = handout(exercise, NUMBERS[seed % len(NUMBERS)])
    works = list(students.at_work(one, students.by_chance(one, seed), seed))
    marks = {mark.cell: mark for mark in mark_file(one, InMemory(works)).marks}
    for cell, (state, points) in students.expected(works).items():
        assert (marks[cell].state, marks[cell].points) == (state, pytest.approx(points)), cell
