"""How pots live: the fit inside the workbook against SciPy. A published example stands in tests/published."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy import optimize, special, stats

from meltbook.method import compute
from meltbook.method.results import Results
from tests.decisions.pots import LEDGERS, LONG_LEDGER, lives, pot_studio
from tests.engines.books import assert_all_agree, poisoned_all
from tests.engines.runners import Formualizer


def fitted(failed: list[float], others: list[float]) -> Results:
    return compute(pot_studio(failed, others), LEDGERS)


def number(results: Results, name: str) -> float:
    value = results.scalars[name]
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


def likeliest(failed: list[float], others: list[float]) -> tuple[float, float]:
    """Shape and scale by SciPy: its fit to censored data, then its root finder on the likelihood equation.

    The fit's optimiser stops at some 1e-5, so its answer only says where the root is looked for.
    """
    data = stats.CensoredData(uncensored=failed, right=others)
    guess, _, _ = stats.weibull_min.fit(data, floc=0)
    every = failed + others
    longest = max(every)

    def score(shape: float) -> float:
        powers = [math.pow(life / longest, shape) for life in every]
        logs = [math.log(life / longest) for life in every]
        first = math.fsum(power * log for power, log in zip(powers, logs, strict=True))
        of_the_failed = math.fsum(math.log(life / longest) for life in failed)
        return first / math.fsum(powers) - 1 / shape - of_the_failed / len(failed)

    shape = optimize.brentq(score, guess * 0.9, guess * 1.1, xtol=1e-14, rtol=1e-14)
    total = sum((life / longest) ** shape for life in every)
    return float(shape), float(longest * (total / len(failed)) ** (1 / shape))


def test_the_likeliest_shape_is_scipys() -> None:
    compared = 0
    for failed, others in lives(160):
        results = fitted(failed, others)
        if results.scalars["fit_code"] != 3:
            continue
        shape, scale = likeliest(failed, others)
        assert number(results, "shape_used") == pytest.approx(shape, rel=1e-9)
        assert number(results, "scale_used") == pytest.approx(scale, rel=1e-9)
        compared += 1
    assert compared >= 100


def test_the_mean_life_is_scipys() -> None:
    for shape in (0.2, 0.5, 1.0, 1.7, 3.0, 20.0):
        results = compute(pot_studio([], [50.0], shape_typed=shape), LEDGERS)
        assert number(results, "gamma_mean") == pytest.approx(special.gamma(1 + 1 / shape), rel=1e-12)
        assert number(results, "mean_life") == pytest.approx(130.0, rel=1e-12), "no failure: the expected life"


@pytest.mark.parametrize(
    ("failed", "others", "code", "says"),
    [
        ([], [], 0, "No failure in the ledger: your own shape and the expected life stand in."),
        ([], [80.0, 90.0, 100.0], 0, "No failure in the ledger: your own shape and the expected life stand in."),
        ([75.0], [80.0], 1, "Fewer than three failures: your own shape stands in for the ledger's."),
        ([90.0] * 5, [], 2, "The lives are too alike to fit: your own shape stands in."),
        ([1.0, 1.0, 2.0, 900_000.0], [], 2, "The lives are too unlike to fit: your own shape stands in."),
        ([60.0, 90.0, 130.0], [], 3, "Fitted to 3 failures: rough, and the shape runs high."),
    ],
)
def test_what_the_ledger_can_and_can_not_tell(
    failed: list[float], others: list[float], code: int, says: str, tmp_path: Path
) -> None:
    studio = pot_studio(failed, others, shape_typed=2.5)
    results = compute(studio, LEDGERS)
    assert (results.scalars["fit_code"], results.scalars["fit_sentence"]) == (code, says)
    if code != 3:
        assert results.scalars["shape_used"] == 2.5
    assert_all_agree(Formualizer(), poisoned_all({"ledger": studio}, LEDGERS, tmp_path), tmp_path)


def test_two_hundred_pots(tmp_path: Path) -> None:
    failed, others = next(
        (failed * 9, others * 9) for failed, others in lives(40, seed=7) if len(failed) > 18 and len(others) > 2
    )
    failed, others = failed[:170], others[:30]
    studio = pot_studio(failed, others, serving=41.0)
    assert len(studio.ledger) >= 190
    results = compute(studio, LONG_LEDGER)
    shape, scale = likeliest(failed, [*others, 41.0])
    assert number(results, "shape_used") == pytest.approx(shape, rel=1e-9)
    assert number(results, "scale_used") == pytest.approx(scale, rel=1e-9)
    assert_all_agree(Formualizer(), poisoned_all({"many": studio}, LONG_LEDGER, tmp_path), tmp_path)
