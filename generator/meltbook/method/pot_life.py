"""How long pots live, and whether to change one before it fails.

Lives are taken from the ledger: what cracked or leaked has failed, all else has lived at least so long. Weibull's
shape is the most likely one for both together, found step by step as the sheet does it; the scale follows. A pot that
is changed at some age costs a planned change if it gets there and a failure if it doesn't, over the uses that such
pots have on average.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import Maybe, flag, half_up, in_words, nearest, opt, over, times, total
from meltbook.method.constants import TINY
from meltbook.method.wear import FAILED, LedgerPart
from meltbook.studio.decisions import Decisions

SHAPE_IF_BLANK, SHAPE_LEAST, SHAPE_MOST, SHAPE_CLOSE = 2.0, 0.2, 20.0, 0.000001
FAILURES_LEAST, FAILURES_ROUGH = 3, 10
STEPS = 9
NO_FAILURE, TOO_FEW, TOO_ALIKE, FITTED = range(4)
AGES, AGE_REACH, POWER_MOST = 120, 2.4, 600.0
SAVING_LEAST, USES_AHEAD = 0.001, 10
GAMMA_SHIFT = 16
REST = "Run it until it fails: changing it earlier saves nothing worth having."


@dataclass(slots=True)
class Life:
    """A row of the ledger as a life of the pot's kind; all 0 if it is none."""

    life_counts: int = 0
    life_failed: int = 0
    life_no: int = 0
    life_uses: float = 0.0
    life_ratio: float = 0.0
    life_log: float = 0.0
    life_now: Maybe = None


@dataclass(slots=True)
class ShapeStep:
    """One step towards the most likely shape: the sums over all lives, the score and its slope."""

    shape_try: float
    shape_sum: float
    shape_sum_log: float
    shape_sum_square: float
    shape_score: float
    shape_slope: float

    def onward(self) -> float:
        """The shape to try next: Newton's step on its logarithm, never by more than a factor e."""
        move = -self.shape_score / (self.shape_try * self.shape_slope)
        return max(SHAPE_LEAST, min(SHAPE_MOST, self.shape_try * math.exp(max(-1.0, min(1.0, move)))))


@dataclass(slots=True)
class Lives:
    """What the ledger tells of the pot's kind."""

    rows: list[Life]
    steps: list[ShapeStep] = field(default_factory=list)
    gammas: list[float] = field(default_factory=list)
    lives_counted: int = 0
    lives_failed: int = 0
    life_longest: float = 0.0
    life_log_mean: float = 0.0
    shape_fitted: float = 1.0
    fit_far: int = FITTED
    fit_code: int = NO_FAILURE
    shape_used: float = SHAPE_IF_BLANK
    gamma_far: float = 0.0
    gamma_small: float = 0.0
    gamma_square: float = 0.0
    gamma_tail: float = 0.0
    gamma_mean: float = 1.0
    pot_life_expected: Maybe = None
    scale_sum: float = 0.0
    scale_used: Maybe = None
    mean_life: Maybe = None
    fit_few: str = ""
    fit_fitted: str = ""
    fit_sentence: str | None = None


@dataclass(slots=True)
class Age:
    """A pot changed at this age; blank as long as costs and lives aren't known."""

    age_uses: Maybe = None
    age_survives: Maybe = None
    age_middle: Maybe = None
    age_lived: Maybe = None
    age_cost: Maybe = None
    age_run: Maybe = None
    age_drawn: Maybe = None
    age_best: int = 0


@dataclass(slots=True)
class Replacement:
    """The best age, and what the pot in service has before it."""

    ages: list[Age]
    age_step: Maybe = None
    run_cost: Maybe = None
    best_cost: Maybe = None
    best_row: int | None = None
    best_age: Maybe = None
    best_saving: Maybe = None
    replace_pays: int | None = None
    pot_uses_now: Maybe = None
    hazard_now: Maybe = None
    hazard_later: Maybe = None
    fails_soon: Maybe = None
    best_percent: Maybe = None
    best_words: str | None = None
    replace_sentence: str | None = None
    replace_not: str = REST
    soon_sentence: str | None = None
    replace_missing: str | None = None
    replace_lacks: str = ""


# ------------------------------------------------------------------------------------------------------ lives


def read_lives(parts: Sequence[LedgerPart], pot_row: int, named: bool, expected: Maybe, typed: Decisions) -> Lives:
    """Take up the lives of the pot's kind and find how they spread. ``named``: whether there is such a kind."""
    rows = [_life(part, pot_row) for part in parts]
    ended = [life for life in rows if life.life_failed]
    counted = [life for life in rows if life.life_counts]
    lives = Lives(rows, lives_counted=len(counted), lives_failed=len(ended), pot_life_expected=expected)
    lives.life_longest = max((life.life_uses for life in counted), default=0.0)
    so_far = 0
    for life in rows:
        so_far += life.life_counts
        life.life_no = so_far
        if life.life_counts:
            life.life_ratio = life.life_uses / lives.life_longest
            life.life_log = math.log(life.life_ratio)
    if ended:
        lives.life_log_mean = total(life.life_log for life in ended) / len(ended)
    _fit(lives, counted, typed)
    _scale(lives, counted)
    _say_fit(lives, named)
    return lives


def _life(part: LedgerPart, pot_row: int) -> Life:
    if not part.part_used or part.part_kind_row != pot_row:
        return Life()
    life = Life(life_now=part.part_uses if part.part_serving else None)
    if opt(part.part_uses) > 0:
        life.life_counts, life.life_uses = 1, opt(part.part_uses)
        life.life_failed = flag(bool(part.part_is_retired) and part.typed.why in FAILED)
    return life


def powers(counted: Sequence[Life], shape: float) -> list[float]:
    """Each life against the longest, to the power of a shape."""
    return [life.life_ratio**shape for life in counted]


def _step(lives: Lives, counted: Sequence[Life], shape: float) -> ShapeStep:
    weights = powers(counted, shape)
    all_of = math.fsum(weights)
    first = math.fsum(weight * life.life_log for weight, life in zip(weights, counted, strict=True))
    second = math.fsum(weight * life.life_log**2 for weight, life in zip(weights, counted, strict=True))
    if not counted:
        return ShapeStep(shape, all_of, first, second, 0.0, 1.0)
    mean = first / all_of
    score = mean - 1 / shape - lives.life_log_mean
    return ShapeStep(shape, all_of, first, second, score, second / all_of - mean**2 + 1 / shape**2)


def _fit(lives: Lives, counted: Sequence[Life], typed: Decisions) -> None:
    shape = 1.0
    for _ in range(STEPS):
        lives.steps.append(_step(lives, counted, shape))
        shape = lives.steps[-1].onward()
    last = lives.steps[-1]
    lives.shape_fitted = last.shape_try
    at_the_edge = last.shape_try > SHAPE_MOST - SHAPE_CLOSE
    lives.fit_far = TOO_ALIKE if at_the_edge or abs(last.shape_score) >= SHAPE_CLOSE else FITTED
    if lives.lives_failed == 0:
        lives.fit_code = NO_FAILURE
    elif lives.lives_failed < FAILURES_LEAST:
        lives.fit_code = TOO_FEW
    else:
        lives.fit_code = lives.fit_far
    lives.shape_used = lives.shape_fitted if lives.fit_code == FITTED else (typed.shape_typed or SHAPE_IF_BLANK)


def _scale(lives: Lives, counted: Sequence[Life]) -> None:
    whole = 1 + 1 / lives.shape_used
    lives.gammas = [math.log(whole + step) for step in range(GAMMA_SHIFT)]
    lives.gamma_far = whole + GAMMA_SHIFT
    lives.gamma_small = 1 / lives.gamma_far
    lives.gamma_square = lives.gamma_small**2
    small, square = lives.gamma_small, lives.gamma_square
    lives.gamma_tail = small / 12 - small * square / 360 + small * square**2 / 1260 - small * square**3 / 1680
    lives.gamma_mean = math.gamma(whole)
    lives.scale_sum = math.fsum(powers(counted, lives.shape_used))
    if lives.lives_failed:
        lives.scale_used = lives.life_longest * (lives.scale_sum / lives.lives_failed) ** (1 / lives.shape_used)
    elif lives.pot_life_expected:
        lives.scale_used = lives.pot_life_expected / lives.gamma_mean
    lives.mean_life = times(lives.scale_used, lives.gamma_mean)


def _say_fit(lives: Lives, named: bool) -> None:
    failed = lives.lives_failed
    rough = failed < FAILURES_ROUGH
    lives.fit_fitted = f"Fitted to {failed} failures" + (
        ": rough, and the shape runs high." if rough else f" among {lives.lives_counted} lives."
    )
    lives.fit_few = (
        "No failure in the ledger: the shape typed, or 2, and the expected life stand in."
        if lives.fit_code == NO_FAILURE
        else "Fewer than three failures: the shape typed, or 2, stands in."
    )
    if named:
        lives.fit_sentence = {
            TOO_ALIKE: "The lives are too alike, or too unlike, to fit: the shape typed, or 2, stands in.",
            FITTED: lives.fit_fitted,
        }.get(lives.fit_code, lives.fit_few)


# ------------------------------------------------------------------------------------------------ replacement


def weigh_ages(lives: Lives, planned: Maybe, failure: Maybe, named: bool) -> Replacement:
    """The cost of a use by the age at which a pot is changed, and the lowest of them."""
    found = Replacement([Age() for _ in range(AGES)])
    found.run_cost = over(failure, lives.mean_life)
    if lives.scale_used is not None:
        found.age_step = max(1.0, float(math.ceil(half_up(AGE_REACH * lives.scale_used / AGES, 6))))
        _age(found, lives, planned, failure)
    costs = [age.age_cost for age in found.ages if age.age_cost is not None]
    if costs:
        found.best_cost = min(costs)
        for age in found.ages:
            age.age_best = flag(age.age_cost is not None and age.age_cost <= found.best_cost * (1 + TINY))
        found.best_row = next(row for row, age in enumerate(found.ages, start=1) if age.age_best)
        found.best_age = found.ages[found.best_row - 1].age_uses
    share = over(found.best_cost, found.run_cost)
    if share is not None and found.best_row is not None:
        found.best_saving = 1 - share
        found.best_percent = found.best_saving * 100
        found.best_words = in_words(found.best_percent)
        oldest = opt(found.ages[-1].age_cost) * (1 - SAVING_LEAST)
        worth = found.best_saving >= SAVING_LEAST and opt(found.best_cost) <= oldest
        found.replace_pays = flag(lives.shape_used > 1 and found.best_row < AGES and worth)
        found.replace_sentence = REST
        if found.replace_pays:
            age_words = f"{found.best_age:.0f}"
            found.replace_sentence = (
                f"Change it at about {age_words} uses: that costs {found.best_words} % less than running it until it "
                "fails."
            )
    _in_service(found, lives)
    no_cost = "Type what a pot costs now."
    found.replace_lacks = "Type an expected life, or log failures, first." if opt(planned) else no_cost
    if found.replace_pays is None:
        found.replace_missing = found.replace_lacks if named else "Name a kind of part on Pots and elements first."
    return found


def survives(uses: float, lives: Lives) -> float:
    """The part of all pots that reach so many uses."""
    assert lives.scale_used is not None
    return math.exp(-min(POWER_MOST, (uses / lives.scale_used) ** lives.shape_used))


def _age(found: Replacement, lives: Lives, planned: Maybe, failure: Maybe) -> None:
    step = opt(found.age_step)
    lived, above = 0.0, 1.0
    for number, age in enumerate(found.ages, start=1):
        age.age_uses = number * step
        age.age_survives, age.age_middle = survives(age.age_uses, lives), survives(age.age_uses - step / 2, lives)
        lived += step * (above + 4 * age.age_middle + age.age_survives) / 6
        age.age_lived, above = lived, age.age_survives
        if planned is not None and failure is not None:
            age.age_cost = over(planned * above + failure * (1 - above), lived)
        if age.age_cost is not None and found.run_cost is not None:
            age.age_run = found.run_cost
            age.age_drawn = min(age.age_cost, 2 * found.run_cost)


def _in_service(found: Replacement, lives: Lives) -> None:
    now = [life.life_now for life in lives.rows if life.life_now is not None]
    found.pot_uses_now = max(now, default=None)
    if found.pot_uses_now is None or lives.scale_used is None:
        return
    found.hazard_now = (found.pot_uses_now / lives.scale_used) ** lives.shape_used
    found.hazard_later = ((found.pot_uses_now + USES_AHEAD) / lives.scale_used) ** lives.shape_used
    found.fails_soon = -math.expm1(-min(POWER_MOST, found.hazard_later - found.hazard_now))
    found.soon_sentence = (
        f"Uses of the one in service: {nearest(found.pot_uses_now)}. Chance of failing within the next {USES_AHEAD}: "
        f"{nearest(found.fails_soon * 100)} %."
    )
