"""How long pots live, from a ledger that can be worked out in the head."""

from __future__ import annotations

import math
from typing import Any

import pytest

from meltbook.method import Results
from tests.unit.method.deciding import LONG_AGO, SOON_AFTER, furnace, gone, pots, serving
from tests.unit.method.studios import numbers, run

ROUND = math.gamma(1.5)
"""The mean of lives of a scale of 1 that spread with the shape 2: half the root of pi."""


def number(results: Results, name: str, row: int | None = None) -> float:
    value = results.value(name, row)
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


def log_likelihood(shape: float, scale: float, failed: list[float], others: list[float]) -> float:
    """How likely such lives are, by Weibull's density for the failed and his survival for the others."""
    density = math.fsum(math.log(shape / scale) + (shape - 1) * math.log(life / scale) for life in failed)
    return density - math.fsum(math.pow(life / scale, shape) for life in [*failed, *others])


# -------------------------------------------------------------------------------------------- what is a failure


@pytest.mark.parametrize(
    ("why", "failures"),
    [("Cracked", 1), ("Leaking", 1), ("Eroded", 0), ("Planned", 0), ("Other", 0), (None, 0)],
)
def test_what_cracked_or_leaked_has_failed(why: str | None, failures: int) -> None:
    results = pots(gone(60, why))
    assert (results.value("lives_counted"), results.value("lives_failed")) == (1, failures)


def test_a_pot_in_service_has_not_failed_whatever_its_row_says() -> None:
    results = pots(gone(60) | {"retired": None})
    assert (results.value("lives_counted"), results.value("lives_failed")) == (1, 0)


def test_lives_of_nothing_and_other_kinds_are_left_out() -> None:
    floor = gone(70) | {"name": "Floor"}
    results = pots(gone(0), gone(50), floor, serving())
    assert results.columns["life_counts"] == [0, 1, 0, 0, 0, 0]
    assert results.columns["life_failed"] == [0, 1, 0, 0, 0, 0]
    assert numbers(results, "life_uses") == [0, 50, 0, 0, 0, 0]
    assert results.value("life_longest") == 50


def test_the_kind_that_is_meant() -> None:
    floor = gone(70) | {"name": "Floor"}
    assert pots(gone(50), floor, pot_kind="Floor").value("life_longest") == 70
    assert pots(gone(50), floor, pot_kind="Pot").value("life_longest") == 50
    unknown = pots(gone(50), floor, pot_kind="Crown")
    assert (unknown.value("pot_row"), unknown.value("pot_name"), unknown.value("lives_counted")) == (0, None, 0)
    assert unknown.value("replace_missing") == "Choose on Idle or cold which part is the pot: no kind has that name."
    assert unknown.value("fit_sentence") is None


def test_uses_are_those_of_the_log_and_before() -> None:
    # fitted before the log's 10 charges, 40 uses elsewhere before
    results = pots(serving(40) | {"installed": "2025-01-01"})
    assert results.value("life_uses", 1) == 50
    # elements are counted in hot days: 4 + 10 + 5 + 5
    elements = {"name": "Elements", "installed": "2025-01-01", "cost": 1}
    assert pots(elements, pot_kind="Elements").value("life_uses", 1) == 24


def test_lives_against_the_longest() -> None:
    results = pots(gone(50), gone(100, "Planned"), gone(25))
    assert numbers(results, "life_ratio") == pytest.approx([0.5, 1, 0.25, 0, 0, 0])
    assert numbers(results, "life_log") == pytest.approx([-math.log(2), 0, -2 * math.log(2), 0, 0, 0])
    # over the two that failed
    assert results.value("life_log_mean") == pytest.approx(-1.5 * math.log(2))
    assert results.columns["life_no"] == [1, 2, 3, 3, 3, 3]


# ------------------------------------------------------------------------------------------------- the scale


def test_one_failure_and_the_shape_2() -> None:
    # Σ t² ÷ failures = 30² + 40² = 50²
    results = pots(gone(30), gone(40, "Planned"))
    assert results.value("shape_used") == 2
    assert number(results, "scale_used") == pytest.approx(50)
    assert number(results, "mean_life") == pytest.approx(50 * ROUND)
    assert results.value("fit_sentence") == "Fewer than three failures: a shape of 2 stands in for the ledger's."


def test_two_failures_and_the_shape_1() -> None:
    # (50 + 100 + 30) / 2
    results = pots(gone(50), gone(100), gone(30, "Planned"), shape_typed=1)
    assert number(results, "scale_used") == pytest.approx(90)
    assert number(results, "mean_life") == pytest.approx(90)
    assert results.value("fit_code") == 1
    assert results.value("fit_sentence") == "Fewer than three failures: your own shape stands in for the ledger's."


def test_no_failure() -> None:
    # the expected life is a mean: 90 / Γ(1.5)
    results = pots(gone(50, "Planned"), serving(20), life=90)
    assert results.value("fit_code") == 0
    assert number(results, "scale_used") == pytest.approx(90 / ROUND)
    assert number(results, "mean_life") == pytest.approx(90)
    assert results.value("fit_sentence") == "No failure in the ledger: a shape of 2 and the expected life stand in."
    own = pots(gone(50, "Planned"), serving(20), life=90, shape_typed=3)
    assert own.value("fit_sentence") == "No failure in the ledger: your own shape and the expected life stand in."


def test_no_failure_among_three_that_came_out() -> None:
    # their own mean then goes before the owner's: (50 + 70 + 90 + 30) / 3 that came out
    results = pots(gone(50, "Planned"), gone(70, "Other"), gone(90, "Eroded"), serving(30), life=200)
    assert results.value("pot_life_expected") == pytest.approx(80)
    assert number(results, "mean_life") == pytest.approx(80)


def test_neither_failure_nor_expected_life() -> None:
    for life in (None, 0):
        results = pots(serving(20), life=life)
        assert results.value("scale_used") is None
        assert results.value("mean_life") is None
        assert results.value("fit_sentence") == "No failure in the ledger, and no expected life to go by."
        assert results.value("replace_missing") == "Type an expected life, or log failures, first."
        assert results.value("replace_sentence") is None
        assert set(results.columns["age_cost"]) == {None}


@pytest.mark.parametrize("shape", [0.2, 0.5, 1, 1.7, 2, 5, 20])
def test_the_mean_of_a_scale_of_one(shape: float) -> None:
    results = pots(gone(50), shape_typed=shape)
    assert number(results, "gamma_mean") == pytest.approx(math.gamma(1 + 1 / shape), rel=1e-13)
    # what the sheet shows of its own way: Stirling's series 16 further up, less what lies between
    far = number(results, "gamma_far")
    assert far == pytest.approx(17 + 1 / shape)
    series = (far - 0.5) * math.log(far) - far + math.log(2 * math.pi) / 2 + number(results, "gamma_tail")
    assert math.exp(series - sum(numbers(results, "gamma_log"))) == pytest.approx(math.gamma(1 + 1 / shape), rel=1e-13)


# -------------------------------------------------------------------------------------------------- the shape


def test_the_first_step_by_hand() -> None:
    """Lives of 1/4, 1/2 and 1 of the longest, all failed, tried with the shape 1.

    With l = ln 2: Σ r = 7/4; Σ r ln r = -(2/4 + 1/2) l = -l; Σ r (ln r)² = (4/4 + 1/2) l² = 1.5 l²; the mean of ln r
    is -l. So the score is -4/7 l - 1 + l = 3/7 l - 1 and its slope 6/7 l² - 16/49 l² + 1 = 26/49 l² + 1.
    """
    results = pots(gone(25), gone(50), gone(100))
    log = math.log(2)
    first = {name: results.value(f"shape_{name}", 1) for name in ("try", "sum", "sum_log", "sum_square")}
    assert first == pytest.approx({"try": 1, "sum": 1.75, "sum_log": -log, "sum_square": 1.5 * log**2})
    score, slope = 3 / 7 * log - 1, 26 / 49 * log**2 + 1
    assert results.value("shape_score", 1) == pytest.approx(score)
    assert results.value("shape_slope", 1) == pytest.approx(slope)
    assert results.value("shape_try", 2) == pytest.approx(math.exp(-score / slope))


def test_no_step_goes_further_than_a_factor_of_e() -> None:
    # equal lives: the score is -1 / shape and its slope 1 / shape², so each step wants a factor of e
    results = pots(*[gone(90)] * 3)
    tries = numbers(results, "shape_try")
    assert tries[1] == pytest.approx(math.e)
    assert tries[2] == pytest.approx(math.e**2)
    assert tries[3:] == [20] * 6, "and none out of the bounds"


@pytest.mark.parametrize(
    ("failed", "others"),
    [
        ([25, 50, 100], []),
        ([60, 90, 130], [140.0]),
        ([80, 85, 90, 95], [95.0]),
        ([3, 40, 400], []),
        ([20, 90], [100.0, 100.0, 100.0]),
    ],
)
def test_no_shape_and_scale_nearby_are_likelier(failed: list[float], others: list[float]) -> None:
    rows = [gone(life) for life in failed] + [gone(life, "Planned") for life in others]
    results = pots(*rows)
    shape, scale = number(results, "shape_used"), number(results, "scale_used")
    here = log_likelihood(shape, scale, failed, others)
    for other_scale in (0.99, 0.9999, 1.0001, 1.01):
        assert log_likelihood(shape, scale * other_scale, failed, others) < here
    if len(failed) < 3:
        assert shape == 2, "the owner's: only the scale was sought"
        return
    for other_shape in (0.5, 0.9, 0.99, 1.01, 1.1, 2):
        assert log_likelihood(shape * other_shape, scale, failed, others) < here
        for other_scale in (0.9, 0.99, 1.01, 1.1):
            assert log_likelihood(shape * other_shape, scale * other_scale, failed, others) < here


def test_the_unit_of_a_life_does_not_matter() -> None:
    ones = pots(*(gone(life) for life in (20, 45, 80)), serving(30))
    thousands = pots(*(gone(life) for life in (20_000, 45_000, 80_000)), serving(30_000))
    assert number(thousands, "shape_used") == pytest.approx(number(ones, "shape_used"), rel=1e-12)
    assert number(thousands, "scale_used") == pytest.approx(1000 * number(ones, "scale_used"), rel=1e-12)


def test_equal_lives_are_too_alike() -> None:
    results = pots(*[gone(90)] * 4, gone(70, "Planned"), shape_typed=3)
    assert results.value("shape_fitted") == 20
    assert (results.value("fit_code"), results.value("shape_used")) == (2, 3)
    # failures at 90 and no more: (4 x 90³ + 70³) / 4
    assert number(results, "scale_used") == pytest.approx(((4 * 90**3 + 70**3) / 4) ** (1 / 3))
    assert results.value("fit_sentence") == "The lives are too alike to fit: your own shape stands in."
    usual = pots(*[gone(90)] * 4)
    assert usual.value("shape_used") == 2
    assert usual.value("fit_sentence") == "The lives are too alike to fit: a shape of 2 stands in."


def test_lives_of_all_lengths_are_too_unlike() -> None:
    """Two that broke at once and two that seemed to last forever: the likeliest shape is under the least one."""
    lives = [gone(1), gone(1), gone(2), gone(900_000)]
    results = pots(*lives)
    assert results.value("shape_fitted") == 0.2
    assert (results.value("fit_code"), results.value("shape_used")) == (2, 2)
    assert results.value("fit_sentence") == "The lives are too unlike to fit: a shape of 2 stands in."
    own = pots(*lives, shape_typed=0.5)
    assert own.value("fit_sentence") == "The lives are too unlike to fit: your own shape stands in."


def test_three_failures_are_rough_and_ten_are_not() -> None:
    lives = [31.0, 48, 60, 66, 71, 79, 85, 96, 104, 118]
    rows = [
        {"name": "Pot", "installed": LONG_AGO, "retired": SOON_AFTER, "cost": 1, "uses_before": life, "why": "Cracked"}
        for life in lives
    ]
    rough = pots(*rows[:3])
    assert rough.value("fit_sentence") == "Fitted to 3 failures: rough, and the shape runs high."
    nine = pots(*rows[:9], shape_typed=5)
    assert nine.value("fit_sentence") == "Fitted to 9 failures: rough, and the shape runs high."
    assert nine.value("shape_used") == nine.value("shape_fitted"), "the ledger's goes before the owner's"
    assert pots(*rows, serving(12)).value("fit_sentence") == "Fitted to 10 failures among 11 lives."


# --------------------------------------------------------------------------------------------- no kind, no ledger


def test_an_empty_book() -> None:
    results = run()
    assert (results.value("pot_row"), results.value("pot_name"), results.value("lives_counted")) == (1, None, 0)
    assert results.value("replace_missing") == "Name a kind of part on Pots and elements first."
    assert results.value("shape_fitted") == 1, "no lives: each step stays where it is"
    assert set(results.columns["shape_try"]) == {1}


def test_no_parts() -> None:
    kinds: list[dict[str, Any]] = [{"name": "Pot"}]
    results = run(**furnace() | {"part_kinds": kinds, "ledger": []})
    assert results.value("replace_missing") == "Type what a pot costs now."
    assert results.value("fit_sentence") == "No failure in the ledger, and no expected life to go by."
