"""A student's workbook in other programs: every formula cell shows what the reference says, whatever is typed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from meltbook.classroom.book import handout_parts
from meltbook.classroom.exercise import load_exercise
from meltbook.classroom.handout import Handout, make_handout
from meltbook.workbook.lint import lint_book
from tests.classroom.handouts import ADA, EVERYTHING, EXERCISES, handout, poisoned_all
from tests.classroom.typed import ways
from tests.engines.books import assert_all_agree, assert_stored_right, expected_cells, formula_cells, homeless
from tests.engines.runners import Engine, Formulas, LibreOffice

FEW = ("blank", "right", "one more", "hints and choices")
TITLES = [Path(name).stem for name in EXERCISES]


def filled(exercise: str, weight: str, *wanted: str) -> dict[str, tuple[Handout, Mapping[str, float | str]]]:
    """An exercise's workbook in some ways of filling it in, or in all."""
    one = handout(exercise, weight)
    return {
        f"{Path(exercise).stem}, {weight}, {way}": (one, typed)
        for way, typed in ways(one).items()
        if not wanted or way in wanted
    }


# ---------------------------------------------------------------------------------- a value for every formula cell


@pytest.mark.parametrize("exercise", EXERCISES, ids=TITLES)
def test_each_formula_cell_has_a_reference_value_and_each_reference_value_a_cell(exercise: str) -> None:
    for typed in ways(handout(exercise)).values():
        parts = handout_parts(handout(exercise), typed)
        assert len(expected_cells(parts)) == len(formula_cells(parts)), "two figures stand in one cell"
        assert homeless(parts) == []


# ---------------------------------------------------------------------------------------------- in other programs


def test_everything_in_every_way(quick_engine: Engine, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, poisoned_all(filled(EVERYTHING, "lb"), tmp_path / "books"), tmp_path)


def test_shipped_exercises(quick_engine: Engine, tmp_path: Path) -> None:
    wanted = {title: one for name in EXERCISES for title, one in filled(name, "lb", *FEW).items()}
    assert_all_agree(quick_engine, poisoned_all(wanted, tmp_path / "books"), tmp_path)


@pytest.mark.parametrize("first_steps", [0, 1, 40])
def test_other_numbers_of_first_steps(first_steps: int, quick_engine: Engine, tmp_path: Path) -> None:
    """None is blank on First steps, or a guess alone, or all are."""
    changed = load_exercise(EVERYTHING).model_copy(update={"first_steps": first_steps})
    one = make_handout(changed, ADA, seed=5, weight_unit="lb", currency="USD")
    wanted = {way: (one, typed) for way, typed in ways(one).items() if way in FEW}
    books = poisoned_all(wanted, tmp_path / "books")
    assert_all_agree(quick_engine, books, tmp_path)
    assert all(homeless(book.parts) == [] and lint_book(book.path) == [] for book in books)


@pytest.mark.exhaustive
@pytest.mark.parametrize("weight", ["lb", "kg"])
@pytest.mark.parametrize("exercise", EXERCISES, ids=TITLES)
def test_every_exercise_in_every_way(exercise: str, weight: str, quick_engine: Engine, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, poisoned_all(filled(exercise, weight), tmp_path / "books"), tmp_path)


@pytest.mark.exhaustive
@pytest.mark.parametrize("exercise", EXERCISES, ids=TITLES)
def test_a_slow_engine(exercise: str, formulas_engine: Formulas, tmp_path: Path) -> None:
    wanted = filled(exercise, "kg", "half of it right", "hints and choices", "negative")
    assert_all_agree(formulas_engine, poisoned_all(wanted, tmp_path / "books"), tmp_path)


@pytest.mark.exhaustive
def test_another_locale_shows_the_same(libreoffice: LibreOffice, tmp_path: Path) -> None:
    wanted = {title: one for name in EXERCISES for title, one in filled(name, "kg", *FEW).items()}
    assert_all_agree(LibreOffice(locale="de-DE"), poisoned_all(wanted, tmp_path / "books"), tmp_path)


# -------------------------------------------------------------------------------------------------- stored values


@pytest.mark.parametrize("exercise", EXERCISES, ids=TITLES)
def test_stored_values_are_right_as_written(exercise: str, tmp_path: Path) -> None:
    assert_stored_right(poisoned_all(filled(exercise, "lb", *FEW), tmp_path))


@pytest.mark.parametrize("exercise", EXERCISES, ids=TITLES)
def test_a_right_answer_is_told_so_and_two_off_is_not(exercise: str) -> None:
    one = handout(exercise)
    tried = ways(one)
    for way, told in (("right", 1), ("one more", 1), ("one less", 1), ("two less", 0), ("wrong", 0), ("beyond", 0)):
        columns = handout_parts(one, tried[way]).results.columns
        kinds = [step.by for step in one.exercise.steps if step.by != "guess"]
        for kind, match in zip(kinds, columns["check_own_match"], strict=True):
            assert match == (1 if kind == "choice" else told), (way, kind)
