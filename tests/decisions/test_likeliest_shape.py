"""Nine steps of Newton's method end on the likeliest shape wherever there is one, and say so where there is none."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise

import pytest
from scipy import optimize, stats

from meltbook.method.pot_life import FITTED, NO_ROOT, SHAPE_LEAST, SHAPE_MOST, TOO_FEW, Lives, read_lives
from meltbook.method.wear import LedgerPart
from meltbook.studio.decisions import Decisions
from meltbook.studio.wear import LedgerRow

Split = tuple[list[float], list[float]]
"""Lives that ended by failing, and lives that ended otherwise or go on."""


def read(failed: list[float], others: list[float]) -> Lives:
    """The lives as the reference engine reads them from a ledger."""
    parts = []
    for order, life in enumerate([*failed, *others], start=1):
        row = LedgerRow(why="Cracked" if order <= len(failed) else "Planned")
        part = LedgerPart(row, None, order, 1)
        part.part_used = part.part_is_retired = 1
        part.part_uses = life
        parts.append(part)
    return read_lives(parts, 1, True, None, Decisions())


def split_all(_: random.Random, drawn: list[float]) -> Split:
    return drawn, []


def split_at_a_limit(source: random.Random, drawn: list[float]) -> Split:
    """Whatever reached so many uses was changed."""
    limit = sorted(drawn)[source.randrange(len(drawn))]
    failed = [life for life in drawn if life <= limit]
    return failed, [limit] * (len(drawn) - len(failed))


def split_by_chance(source: random.Random, drawn: list[float]) -> Split:
    share = source.random()
    fate = [source.random() < share for _ in drawn]
    return [life for life, ends in zip(drawn, fate, strict=True) if ends], [
        life for life, ends in zip(drawn, fate, strict=True) if not ends
    ]


def split_few(source: random.Random, drawn: list[float]) -> Split:
    """Three failures, and others of very different lives."""
    return drawn[:3], [max(1.0, round(life * source.choice((0.1, 0.5, 1, 3, 10)))) for life in drawn[3:]]


SPLITS: tuple[Callable[[random.Random, list[float]], Split], ...] = (
    split_all,
    split_at_a_limit,
    split_by_chance,
    split_few,
)


def ledgers(count: int, seed: int) -> Iterator[Split]:
    """Ledgers of 3 to 200 lives, from scattered far and wide to nearly equal."""
    source = random.Random(seed)
    made = 0
    while made < count:
        shape = source.choice((0.15, 0.3, 0.7, 1.0, 1.5, 2.5, 4.0, 8.0, 15.0, 25.0, 60.0))
        scale = source.choice((3.0, 20.0, 90.0, 600.0, 5000.0))
        size = source.choice((3, 4, 5, 8, 12, 25, 60, 200))
        drawn = [max(0.5, source.weibullvariate(scale, shape)) for _ in range(size)]
        if source.random() < 0.8:
            drawn = [float(max(1, round(life))) for life in drawn]
        failed, others = source.choice(SPLITS)(source, drawn)
        if failed:
            made += 1
            yield failed, others


def score_of(failed: list[float], others: list[float]) -> Callable[[float], float]:
    """The likelihood equation: it rises with the shape and is 0 at the likeliest."""
    longest = max(*failed, *others, 0.0)
    logs = [math.log(life / longest) for life in [*failed, *others]]
    of_the_failed = math.fsum(logs[: len(failed)]) / len(failed)

    def score(shape: float) -> float:
        powers = [math.exp(shape * log) for log in logs]
        weighted = math.fsum(power * log for power, log in zip(powers, logs, strict=True))
        return weighted / math.fsum(powers) - 1 / shape - of_the_failed

    return score


def test_the_root_is_found_or_missed_with_reason() -> None:
    seen: Counter[str] = Counter()
    for failed, others in ledgers(1500, seed=5):
        lives, score = read(failed, others), score_of(failed, others)
        tries = [step.shape_try for step in lives.steps]
        assert all(abs(math.log(after / before)) <= 1 + 1e-12 for before, after in pairwise(tries))
        if score(SHAPE_LEAST) >= 0 or score(SHAPE_MOST) < 0:
            end = SHAPE_LEAST if score(SHAPE_LEAST) >= 0 else SHAPE_MOST
            assert lives.shape_fitted == end
            assert lives.fit_code == (TOO_FEW if len(failed) < 3 else NO_ROOT)
            seen[f"none: {end}"] += 1
            continue
        root = optimize.brentq(score, SHAPE_LEAST, SHAPE_MOST, xtol=1e-14, rtol=1e-14)
        assert lives.shape_fitted == pytest.approx(root, rel=1e-9)
        assert lives.fit_code == (TOO_FEW if len(failed) < 3 else FITTED)
        seen["root"] += 1
    assert seen["root"] > 800 and seen["none: 20.0"] > 50 and seen["none: 0.2"] > 5, seen


def test_scipys_own_fit_polished() -> None:
    """SciPy's optimiser stops a little beside the root, so its answer is carried on to it by its root finder."""
    compared = 0
    for failed, others in ledgers(220, seed=6):
        lives = read(failed, others)
        # Near the bounds SciPy's optimiser, which knows none, may end anywhere.
        if lives.fit_code != FITTED or not 0.4 < lives.shape_fitted < 12:
            continue
        # With 1 as the longest life, the optimiser has no large numbers to get lost in.
        longest = max(*failed, *others, 0.0)
        data = stats.CensoredData(
            uncensored=[life / longest for life in failed], right=[life / longest for life in others]
        )
        near, _, scale = stats.weibull_min.fit(data, floc=0)
        assert lives.shape_fitted == pytest.approx(near, rel=1e-2)
        shape = optimize.brentq(score_of(failed, others), near * 0.98, near * 1.02, xtol=1e-14, rtol=1e-14)
        assert lives.shape_used == pytest.approx(shape, rel=1e-9)
        power_sum = math.fsum(math.pow(life / longest, shape) for life in [*failed, *others])
        assert lives.scale_used == pytest.approx(longest * (power_sum / len(failed)) ** (1 / shape), rel=1e-9)
        assert lives.scale_used == pytest.approx(longest * scale, rel=1e-2)
        compared += 1
    assert compared >= 100


@pytest.mark.parametrize("size", [1, 2, 3, 200])
def test_equal_lives(size: int) -> None:
    lives = read([90.0] * size, [])
    assert lives.shape_fitted == SHAPE_MOST
    assert lives.fit_code == (TOO_FEW if size < 3 else NO_ROOT)
    assert lives.scale_used == pytest.approx(90.0)
