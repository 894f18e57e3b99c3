"""What the sheet says of changing a pot in time, against SciPy's integrals, for lives of half a use to hundreds.

The policy is that of R. E. Barlow and L. C. Hunter, Optimum preventive maintenance policies, Operations Research 8
(1960): a use costs (planned × R(t) + failure × F(t)) ÷ ∫₀ᵗ R, R being the part of all pots that reach the age t. Here
the integral is SciPy's adaptive quadrature (QUADPACK), use by use, and for the wide grid the incomplete Gamma
function (NIST Digital Library of Mathematical Functions, 8.2): ∫₀ᵗ R = Γ(1 + 1/β) × scale × P(1/β, (t ÷ scale)^β).
Neither has steps, so what the sheet's steps are wrong by is seen.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache

import pytest
from scipy import integrate, special

from meltbook.method import compute
from tests.decisions.pots import LEDGERS, pot_studio

SAVING_LEAST = 0.001
"""A planned change is advised if it saves a thousandth; see docs/method.md."""
CLOSE = 0.00003
"""So far may the saving that is said be from the true one, by the steps of the sum."""
MISSED_MOST = 0.005
"""Half a percent: so much less than the best of all whole uses may the answer save, since ages are a step apart."""

SCALES = (0.5, 0.8, 1.0, 1.3, 2.0, 2.5, 3.3, 5.0, 8.0, 16.6, 25.1, 50.1, 101.0, 333.0, 500.0)
SHAPES = (0.3, 0.7, 1.0, 1.05, 1.35, 2.0, 3.5, 8.0, 20.0)
RATIOS = (1.0, 1.002, 1.1, 1.5, 3.0, 20.0, 100.0)
"""What a failure costs, as a multiple of a planned change."""

Lived = Callable[[int, float, float], float]


@dataclass(frozen=True, slots=True)
class Answer:
    """What the sheet says, and what its best age truly saves beside the best of all whole uses."""

    case: str
    pays: bool
    said: float
    saves: float
    best: float


@cache
def by_quadrature(age: int, shape: float, scale: float) -> float:
    """The mean uses of a pot that is changed at this age, by SciPy's adaptive integral of each use."""
    if age == 0:
        return 0.0
    use, _ = integrate.quad(lambda at: math.exp(-((at / scale) ** shape)), age - 1, age, epsabs=1e-13, epsrel=1e-12)
    return by_quadrature(age - 1, shape, scale) + float(use)


def by_gamma(age: int, shape: float, scale: float) -> float:
    """The same by the incomplete Gamma function."""
    return float(scale * special.gamma(1 + 1 / shape) * special.gammainc(1 / shape, (age / scale) ** shape))


def answered(shape: float, scale: float, ratio: float, lived: Lived) -> Answer:
    """Ask about a kind of pot that has never failed, so that its scale is as wanted, and look for the best age."""
    mean = scale * float(special.gamma(1 + 1 / shape))
    typed = {"shape_typed": shape, "repair_cost": 1000 * (ratio - 1), "lost_days": 0.0}
    results = compute(pot_studio([], [1.0], life=mean, **typed), LEDGERS)
    values = [results.scalars[name] for name in ("scale_used", "planned_cost", "failure_cost", "best_saving")]
    assert all(isinstance(value, int | float) for value in values)
    assert values[:3] == pytest.approx([scale, 1000, 1000 * ratio], rel=1e-12)

    def saving(age: int) -> float:
        alive = math.exp(-min(700.0, (age / scale) ** shape))
        return 1 - (alive + ratio * (1 - alive)) / lived(age, shape, scale) / (ratio / mean)

    said = str(results.scalars["replace_sentence"])
    advised, age = results.scalars["age_advised"], results.scalars["best_age"]
    assert said.startswith(f"Change it at about {advised:.0f} use" if advised else "No planned change pays: run it")
    assert isinstance(age, int | float) and age == int(age) > 0, "a pot is changed after whole uses"
    best = max(saving(at) for at in whole_uses(scale))
    saved = saving(int(age)) if advised else 0.0
    case = f"scale {scale:g}, shape {shape:g}, a failure costs {ratio:g} planned changes"
    return Answer(case, bool(advised), float(values[3] or 0), saved, max(0.0, best))


def whole_uses(scale: float) -> Iterable[int]:
    """Every age up to twice as old as the sheet looks, or so many of them that hardly anything lies between two."""
    oldest = max(3, math.ceil(5 * scale))
    return range(1, oldest + 1, max(1, oldest // 2000))


def hold(answers: Iterable[Answer]) -> None:
    """No change that doesn't pay is advised, none that would pay is missed by much, and what is said of it is so."""
    seen = {True: 0, False: 0}
    for answer in answers:
        seen[answer.pays] += 1
        if answer.pays:
            assert answer.saves > SAVING_LEAST - CLOSE, f"{answer.case}: a saving that isn't there"
            assert answer.said == pytest.approx(answer.saves, abs=CLOSE), answer.case
        assert answer.best - answer.saves < MISSED_MOST, f"{answer.case}: a saving was missed"
    assert min(seen.values()) >= 8, "both answers are asked for, each often"


@pytest.mark.parametrize("scale", SCALES)
def test_the_answer_is_that_of_the_integral(scale: float) -> None:
    hold(answered(shape, scale, ratio, by_quadrature) for shape in SHAPES for ratio in RATIOS)


def test_the_two_integrals_are_one() -> None:
    for shape in SHAPES:
        for scale in SCALES:
            assert by_gamma(3, shape, scale) == pytest.approx(by_quadrature(3, shape, scale), rel=1e-9)


@pytest.mark.exhaustive
@pytest.mark.parametrize("seed", range(8))
def test_answers_all_over(seed: int) -> None:
    """Three thousand kinds of pot for each seed, anywhere between the ends of the grid."""
    source = random.Random(seed)

    def anywhere(values: tuple[float, ...]) -> float:
        return math.exp(source.uniform(math.log(values[0]), math.log(values[-1])))

    hold(answered(anywhere(SHAPES), anywhere(SCALES), anywhere(RATIOS), by_gamma) for _ in range(3000))
