"""Changing a pot in time or running it until it fails: against SciPy's integrals and its minimiser."""

from __future__ import annotations

import math

import pytest
from scipy import integrate, optimize

from meltbook.method import compute
from meltbook.method.results import Results
from tests.decisions.pots import LEDGERS, lives, pot_studio

REST = "No planned change pays: run it; take it out at the first crack or leak."


def weighed(shape: float, **known: float) -> Results:
    """Without failures, so that the shape is the one typed and the scale follows from an expected life of 130."""
    return compute(pot_studio([], [50.0], shape_typed=shape, **known), LEDGERS)


def number(results: Results, name: str) -> float:
    value = results.scalars[name]
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


def cost_of_a_use(age: float, shape: float, scale: float, planned: float, failure: float) -> float:
    """Of a pot changed at this age, by SciPy's adaptive integral."""
    alive = math.exp(-((age / scale) ** shape))
    lived, _ = integrate.quad(lambda use: math.exp(-((use / scale) ** shape)), 0, age, epsabs=1e-12, epsrel=1e-12)
    return float((planned * alive + failure * (1 - alive)) / lived)


def least_cost(shape: float, scale: float, planned: float, failure: float) -> tuple[float, float]:
    """The age at which a use costs least, and what it costs: from wherever a coarse look finds the valley."""
    coarse = [scale * at / 40 for at in range(1, 121)]
    near = min(coarse, key=lambda age: cost_of_a_use(age, shape, scale, planned, failure))
    found = optimize.minimize_scalar(
        lambda age: cost_of_a_use(age, shape, scale, planned, failure),
        bounds=(near - scale / 40 + 1e-9, near + scale / 40),
        method="bounded",
        options={"xatol": 1e-8},
    )
    return float(found.x), float(found.fun)


@pytest.mark.parametrize("shape", [0.7, 1.0, 1.3, 2.0, 3.5, 6.0])
def test_each_age_costs_what_scipy_says(shape: float) -> None:
    results = weighed(shape)
    scale, planned, failure = (number(results, name) for name in ("scale_used", "planned_cost", "failure_cost"))
    for row in (1, 2, 10, 40, 77, 120):
        age, cost = results.value("age_uses", row), results.value("age_cost", row)
        assert isinstance(age, float) and isinstance(cost, float)
        # Below a shape of 1 the curve falls off a cliff at the very start, where Simpson's rule is coarse.
        close = 2e-4 if shape >= 1 or row > 10 else 2e-2
        assert cost == pytest.approx(cost_of_a_use(age, shape, scale, planned, failure), rel=close)
    assert number(results, "run_cost") == pytest.approx(failure / (scale * math.gamma(1 + 1 / shape)), rel=1e-12)


def test_the_best_age_is_scipys() -> None:
    found = 0
    for failed, others in lives(150, seed=3):
        results = compute(pot_studio(failed, others), LEDGERS)
        if not results.scalars["replace_pays"]:
            continue
        shape, scale, planned, failure, step = (
            number(results, name) for name in ("shape_used", "scale_used", "planned_cost", "failure_cost", "age_step")
        )
        age, cost = number(results, "best_age"), number(results, "best_cost")
        best, least = least_cost(shape, scale, planned, failure)
        assert abs(age - best) <= step, "the ages of the table are a step apart"
        assert cost == pytest.approx(cost_of_a_use(age, shape, scale, planned, failure), rel=2e-4)
        # Half a step beside the best age, a use costs a little more: up to 0.8 thousandths among these.
        assert least * (1 - 1e-6) <= cost <= least * (1 + 1e-3)
        found += 1
    assert found >= 40


@pytest.mark.parametrize("shape", [0.2, 0.7, 1.0])
def test_old_pots_that_fail_no_more_easily_are_run(shape: float) -> None:
    results = weighed(shape)
    assert (results.scalars["replace_pays"], results.scalars["replace_sentence"]) == (0, REST)


def test_a_failure_that_costs_no_more_than_a_change_is_waited_for() -> None:
    results = weighed(4.0, repair_cost=0.0, lost_days=0.0)
    assert (results.scalars["replace_pays"], results.scalars["replace_sentence"]) == (0, REST)


def test_a_dear_failure_is_forestalled() -> None:
    results = weighed(4.0, repair_cost=9000.0)
    assert results.scalars["replace_pays"] == 1
    assert str(results.scalars["replace_sentence"]).startswith("Change it at about ")
    earlier = weighed(4.0, repair_cost=20000.0)
    assert number(earlier, "best_age") < number(results, "best_age")


def test_the_chance_of_failing_soon() -> None:
    """By hand: at shape 1 a pot of any age has the same chance, 1 - e^(-10/130) = 7.4 %."""
    for uses in (5.0, 80.0):
        results = compute(pot_studio([], [50.0], serving=uses, shape_typed=1.0), LEDGERS)
        assert number(results, "fails_soon") == pytest.approx(1 - math.exp(-10 / 130), rel=1e-12)
        assert results.scalars["soon_sentence"] == (
            f"The one in service has {uses:.0f} uses; chance of failing within the next 10: 7 %."
        )
