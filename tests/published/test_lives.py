"""Lives of things that fail, from a handbook of statistics, posed to the ledger as pots."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from meltbook.studio.model import Studio
from tests.decisions.pots import pot_studio
from tests.published.both import CAPACITY, all_both, answer, given

POTS = replace(CAPACITY, ledger=24)


def test_lives_with_some_still_running(tmp_path: Path) -> None:
    """Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3.

    Ten of twenty units failed at the hours given, ten still ran at 500. By hand, with r each life ÷ 500: the score
    Σ r^β ln r ÷ Σ r^β - 1 ÷ β - (mean of ln r over the ten) rises with β and must change its sign between the two
    shapes that round to the one printed; the scale there is 500 (Σ r^β ÷ 10)^(1 ÷ β). Out of ten at 500, r = 1 and
    ln r = 0: each adds 1 to Σ r^β and nothing to the rest.
    """
    posed, (shape, scale) = given("weibull_censored"), answer("weibull_censored")
    failed, running, end = posed["failed"], posed["running"], posed["end"]
    ratios = [life / end for life in failed]

    def power_sum(at: float) -> float:
        return math.fsum([*(math.pow(ratio, at) for ratio in ratios), running])

    def score(at: float) -> float:
        logs = math.fsum(math.pow(ratio, at) * math.log(ratio) for ratio in ratios)
        return logs / power_sum(at) - 1 / at - math.fsum(map(math.log, ratios)) / len(ratios)

    assert score(shape - 0.00005) < 0 < score(shape + 0.00005)
    assert end * (power_sum(shape) / len(failed)) ** (1 / shape) == pytest.approx(scale, abs=1e-3)

    studio: Studio = pot_studio(failed, [end] * running)
    (book,) = all_both(tmp_path, [studio], capacity=POTS)
    assert book.number("shape_used") == pytest.approx(shape, abs=1e-4)
    assert book.number("scale_used") == pytest.approx(scale, abs=1e-3)
    # nine steps end on the root itself, to more digits than are printed
    assert book.number("shape_used") == pytest.approx(1.7207973, abs=1e-7)
    assert book.number("scale_used") == pytest.approx(606.52756, abs=1e-5)
    assert (book.number("lives_failed"), book.number("lives_counted")) == (10, 20)
    assert book.value("fit_sentence") == "Fitted to 10 failures among 20 lives."


def test_the_age_at_which_to_change(tmp_path: Path) -> None:
    """Source: Barlow and Hunter, Optimum preventive maintenance policies (1960), from memory.

    With a shape of 2 the failure rate is h(t) = 2 t ÷ scale², and the mean uses up to t are scale × √π ÷ 2 ×
    erf(t ÷ scale). The left side of the condition rises with t, so it must cross planned ÷ (failure − planned) between
    the two ages that round to the one given. No table of ages is looked through for that: it is another way.
    """
    posed, (best, cost) = given("age_replacement"), answer("age_replacement")
    scale, planned, failure = posed["scale"], posed["planned"], posed["failure"]

    def rate(age: float) -> float:
        return float(2 * age / scale**2)

    def condition(age: float) -> float:
        lived = scale * math.sqrt(math.pi) / 2 * math.erf(age / scale)
        return rate(age) * lived - 1 + math.exp(-((age / scale) ** 2)) - planned / (failure - planned)

    assert condition(best - 0.00005) < 0 < condition(best + 0.00005)
    assert (failure - planned) * rate(best) == pytest.approx(cost, abs=1e-4)

    typed = {"planned_typed": planned, "repair_cost": failure - planned, "lost_days": 0.0}
    mean = scale * math.gamma(1.5)
    studio = pot_studio([], [1.0], life=mean, shape_typed=float(posed["shape"]), **typed)
    (book,) = all_both(tmp_path, [studio], capacity=POTS)
    assert book.number("scale_used") == pytest.approx(scale)
    assert abs(book.number("best_age") - best) <= book.number("age_step") == 2
    assert cost < book.number("best_cost") == pytest.approx(cost, rel=1e-3)
    assert book.number("run_cost") == pytest.approx(failure / mean)
    assert book.value("replace_pays") == 1
