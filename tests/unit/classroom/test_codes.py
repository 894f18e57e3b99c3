"""Codes: the tolerance is one unit to the dot, and a wrong figure is called right next to never."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from meltbook.classroom.answers import answers
from meltbook.classroom.codes import code, codes, countable, is_right, mix, units_of
from meltbook.classroom.exercise import Exercise, Step, load_exercise, shipped
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.names import has_formula
from tests.unit.classroom.tiny import student

WRONG, CALLED_RIGHT = 10_000, 10


def test_the_sum_by_hand() -> None:
    """512.4 h to the nearest hour, salt 4711: n 512, d 1024, e 0, f 1024; g = 1024 x 7919 + 4711 = 8,113,767.

    8,113,767 = 81 x 99,991 + 14,496; h = 14,496 x 14,496 + 1024 = 210,135,040; less 2,101 x 99,991: 53,949.
    """
    mixing = mix(512, 4711)
    assert (mixing.doubled, mixing.part, mixing.rest, mixing.mixed) == (1024, 0, 1024, 14_496)
    assert (mixing.blend, mixing.code) == (210_135_040, 53_949)
    assert code(512.4, 1, 4711) == code(512, 1, 4711) == code(511.5, 1, 4711) == 53_949
    assert code(-512.4, 1, 4711) != 53_949
    assert mix(-512, 4711).doubled == 1025


def test_a_large_figure_has_a_part_of_its_own() -> None:
    """1,234,567 hundredths: d 2,469,134 = 24 x 99,991 + 69,350."""
    mixing = mix(1_234_567, 1)
    assert (mixing.part, mixing.rest) == (24, 69_350)
    assert mixing.mixed == (69_350 * 7919 + 1) % 99_991
    assert mixing.blend == mixing.mixed**2 + 24 * 7919 + 69_350


@pytest.mark.parametrize(
    ("x", "nearest", "units"),
    [
        (0.0, 1, 0),
        (0.4, 1, 0),
        (-0.4, 1, 0),
        (-0.4999, 1, -1),
        (0.5, 1, 1),
        (-0.5, 1, -1),
        (2.5, 1, 3),
        (-2.5, 1, -3),
        (0.285, 0.01, 29),
        (1.005, 0.01, 101),
        (0.1 + 0.2, 0.1, 3),
        (14.99, 10, 1),
        (15, 10, 2),
        (1234.5678, 0.0001, 12_345_678),
        (-7.25, 0.5, -15),
        (2.5, 2.5, 1),
    ],
)
def test_units(x: float, nearest: float, units: int) -> None:
    assert units_of(x, nearest) == units


@pytest.mark.parametrize("nearest", [0.0001, 0.001, 0.01, 0.05, 0.1, 0.5, 1, 2, 5, 10, 100])
def test_one_unit_more_or_less_is_right_and_two_are_not(nearest: float) -> None:
    for place in (3, 4, 99, 100, 12_345):
        for sign in (1, -1):
            answer = sign * place * nearest
            for away in range(-4, 5):
                figure = answer + away * nearest
                assert is_right(figure, answer, nearest) == (abs(away) <= 1), (answer, away)
                assert (code(figure, nearest, 4711) in codes(answer, nearest, 4711)) == (abs(away) <= 1)


def test_the_edges_of_the_tolerance() -> None:
    """An answer of 40.0 stands for 39.5 to below 40.5, and what is right for 38.5 to below 41.5."""
    assert [is_right(x, 40.0, 1) for x in (38.4, 38.5, 39.5, 41.4, 41.49, 41.5)] == [
        False,
        True,
        True,
        True,
        True,
        False,
    ]
    assert [is_right(x, 39.5, 1) for x in (38.5, 41.4)] == [True, True], "a half goes up: 39.5 is 40"


def test_what_has_no_code() -> None:
    assert not is_right(float("inf"), 5, 1) and not is_right(float("nan"), 5, 1) and not is_right(5, float("nan"), 1)
    assert countable(499_999_999, 1) and not countable(500_000_001, 1)
    assert not is_right(6e8, 6e8, 1)
    with pytest.raises(ValueError, match="has no end"):
        units_of(float("nan"), 1)


# ------------------------------------------------------------------------------------------ ten thousand wrong ones


def wrong_figures(answer: float, step: Step, chance: random.Random) -> Iterator[float]:
    """What students come to: a little off, a lot off, by a factor, by a sign, and anything at all."""
    yield answer + chance.choice((-1, 1)) * chance.randint(2, 60) * step.nearest
    yield answer * chance.choice((0.01, 0.1, 0.5, 2, 10, 12, 60, 100, 365))
    yield -answer
    yield answer * chance.uniform(0.5, 1.5)
    yield chance.uniform(0, 3) * answer + chance.randint(-1000, 1000) * step.nearest


def handouts(exercise: Exercise) -> Iterator[Handout]:
    for number in range(1, 100_000):
        yield make_handout(exercise, student(number), seed=3, weight_unit="lb", currency="USD")


def test_of_ten_thousand_wrong_figures_next_to_none_is_called_right(capsys: pytest.CaptureFixture[str]) -> None:
    chance, tried, called = random.Random(20), 0, 0
    classes = [handouts(load_exercise(name)) for name in shipped()]
    while tried < WRONG:
        for each in classes:
            handout = next(each)
            right = answers(handout.exercise, handout.stages["own"])
            for step in filter(has_formula, handout.exercise.steps):
                answer, salt = right[step.name], handout.salts["own"][step.name]
                assert isinstance(answer, float)
                stored = codes(answer, step.nearest, salt)
                for figure in wrong_figures(answer, step, chance):
                    if not is_right(figure, answer, step.nearest):
                        tried += 1
                        called += code(figure, step.nearest, salt) in stored
    with capsys.disabled():
        print(f"\n{called} of {tried:,} wrong figures are called right")
    assert called <= CALLED_RIGHT
