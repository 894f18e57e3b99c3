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

from meltbook.method.arithmetic import Maybe, flag, half_up, nearest, opt, over, times, total
from meltbook.method.constants import TINY
from meltbook.method.wear import FAILED, LedgerPart
from meltbook.studio.decisions import Decisions

SHAPE_IF_BLANK, SHAPE_LEAST, SHAPE_MOST, SHAPE_CLOSE = 2.0, 0.2, 20.0, 0.000001
FAILURES_LEAST, FAILURES_ROUGH = 3, 10
STEPS = 9
NO_FAILURE, TOO_FEW, NO_ROOT, FITTED = range(4)
AGES, AGE_REACH, POWER_MOST = 120, 2.4, 600.0
SAVING_LEAST, USES_AHEAD = 0.001, 10
GAMMA_SHIFT = 16
REST = "No planned change pays: run it; take it out at the first crack or leak."
NOTHING_TYPED = " No cost of a failure typed yet."


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
    shape_words: str = ""
    fit_none: str = ""
    fit_few: str = ""
    fit_apart: str = ""
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
    age_choice: Maybe = None
    age_run: Maybe = None
    age_drawn: Maybe = None
    age_best: int = 0


@dataclass(slots=True)
class Replacement:
    """The best age, and what the pot in service has before it."""

    ages: list[Age]
    age_whole: int | None = None
    age_parts: int | None = None
    age_step: Maybe = None
    run_cost: Maybe = None
    best_cost: Maybe = None
    best_row: int | None = None
    best_age: Maybe = None
    best_saving: Maybe = None
    replace_pays: int | None = None
    age_advised: Maybe = None
    pot_uses_now: Maybe = None
    hazard_now: Maybe = None
    hazard_later: Maybe = None
    fails_soon: Maybe = None
    best_percent: Maybe = None
    best_whole: int | None = None
    best_words: str | None = None
    age_words: str | None = None
    replace_sentence: str | None = None
    replace_not: str = REST
    soon_uses: str | None = None
    soon_percent: int | None = None
    soon_words: str | None = None
    soon_sentence: str | None = None
    replace_missing: str | None = None
    pot_lacks: str = ""
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
    _say_fit(lives, typed, named)
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
    lives.fit_far = NO_ROOT if at_the_edge or abs(last.shape_score) >= SHAPE_CLOSE else FITTED
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


def _say_fit(lives: Lives, typed: Decisions, named: bool) -> None:
    instead = lives.shape_words = "your own shape" if typed.shape_typed else f"a shape of {SHAPE_IF_BLANK:.0f}"
    failed = lives.lives_failed
    rough = failed < FAILURES_ROUGH
    lives.fit_fitted = f"Fitted to {failed} failures" + (
        ": rough, and the shape runs high." if rough else f" among {lives.lives_counted} lives."
    )
    lives.fit_none = (
        "No failure in the ledger, and no expected life to go by."
        if lives.scale_used is None
        else f"No failure in the ledger: {instead} and the expected life stand in."
    )
    lives.fit_few = (
        lives.fit_none
        if lives.fit_code == NO_FAILURE
        else f"Fewer than three failures: {instead} stands in for the ledger's."
    )
    # The steps begin at a shape of 1: where none ends them, lives more alike than that led them up, others down.
    lives.fit_apart = (
        f"The lives are too {'alike' if lives.shape_fitted > 1 else 'unlike'} to fit: {instead} stands in."
    )
    if named:
        lives.fit_sentence = {
            NO_ROOT: lives.fit_apart,
            FITTED: lives.fit_fitted,
        }.get(lives.fit_code, lives.fit_few)


# ------------------------------------------------------------------------------------------------ replacement


def weigh_ages(
    lives: Lives, planned: Maybe, failure: Maybe, no_pot: str, named: bool, *, failure_typed: bool = True
) -> Replacement:
    """The cost of a use by the age at which a pot is changed, and the lowest of them.

    ``no_pot`` says why no kind of part is the pot, where it has no name; ``failure_typed`` whether anything is typed
    of what a failure costs besides the pot.
    """
    found = Replacement([Age() for _ in range(AGES)], pot_lacks=no_pot)
    if not failure_typed:
        found.replace_not += NOTHING_TYPED
    found.run_cost = over(failure, lives.mean_life)
    if lives.scale_used is not None:
        found.age_whole, found.age_parts = whole, parts = step_of_ages(lives.scale_used)
        found.age_step = whole / parts
        _age(found, whole, parts, lives, planned, failure)
    costs = [age.age_choice for age in found.ages if age.age_choice is not None]
    if costs:
        found.best_cost = min(costs)
        for age in found.ages:
            age.age_best = flag(age.age_choice is not None and age.age_choice <= found.best_cost * (1 + TINY))
        found.best_row = next(row for row, age in enumerate(found.ages, start=1) if age.age_best)
        found.best_age = found.ages[found.best_row - 1].age_uses
        found.age_words = "1 use" if found.best_age == 1 else f"{found.best_age:.0f} uses"
    share = over(found.best_cost, found.run_cost)
    if share is not None and found.best_row is not None:
        # A sum of many steps is a little off: what it seems to cost more than doing nothing is nothing.
        found.best_saving = max(0.0, 1 - share)
        found.best_percent = found.best_saving * 100
        found.best_whole = nearest(found.best_percent)
        found.best_words = f"{found.best_whole} %" if found.best_whole else "under 1 %"
        worth = found.best_saving >= SAVING_LEAST
        found.replace_pays = flag(lives.shape_used > 1 and found.best_row < AGES and worth)
        found.replace_sentence = found.replace_not
        if found.replace_pays:
            found.age_advised = found.best_age
            found.replace_sentence = (
                f"Change it at about {found.age_words}: that saves {found.best_words} "
                "against running it until it fails."
            )
    _in_service(found, lives)
    no_cost = "Type what a pot costs now."
    found.replace_lacks = "Type an expected life, or log failures, first." if opt(planned) else no_cost
    if found.replace_pays is None:
        found.replace_missing = found.replace_lacks if named else no_pot
    return found


def survives(uses: float, lives: Lives) -> float:
    """The part of all pots that reach so many uses."""
    assert lives.scale_used is not None
    return math.exp(-min(POWER_MOST, (uses / lives.scale_used) ** lives.shape_used))


def step_of_ages(scale: float) -> tuple[int, int]:
    """How far one age is from the next: so many whole uses, cut into so many parts. One of the two is 1.

    Steps of a whole use are too coarse to add up lives of a few uses by: what such a sum is wrong by would look like
    a saving. There a use is cut into as many equal parts as still let all ages together reach far enough, and never
    into more than there are ages, so that one of them is a whole use.
    """
    far = AGE_REACH * scale
    whole = math.ceil(half_up(far / AGES, 6))
    return (whole, 1) if whole > 1 else (1, int(min(AGES, half_up(AGES / far, 6))))


def _age(found: Replacement, whole: int, parts: int, lives: Lives, planned: Maybe, failure: Maybe) -> None:
    ends = [survives(number * whole / parts, lives) for number in range(AGES + 1)]
    middles = [survives((2 * number + 1) * whole / (2 * parts), lives) for number in range(AGES)]
    of_whole_uses = range(parts, AGES + 1, parts)
    for number, age in enumerate(found.ages, start=1):
        age.age_uses, age.age_survives, age.age_middle = number * whole / parts, ends[number], middles[number - 1]
        # Simpson's rule over all steps at once: an end between two steps belongs to both.
        inner, halves = math.fsum(ends[1:number]), math.fsum(middles[:number])
        lived = age.age_lived = whole / parts * (1 + 2 * inner + 4 * halves + ends[number]) / 6
        if planned is not None and failure is not None:
            age.age_cost = over(planned * ends[number] + failure * (1 - ends[number]), lived)
            age.age_choice = age.age_cost if number in of_whole_uses else None
        if age.age_cost is not None and found.run_cost is not None:
            age.age_run = found.run_cost
            age.age_drawn = min(age.age_cost, 2 * found.run_cost)


def _in_service(found: Replacement, lives: Lives) -> None:
    now = [life.life_now for life in lives.rows if life.life_now is not None]
    found.pot_uses_now = max(now, default=None)
    if found.pot_uses_now is not None:
        uses = nearest(found.pot_uses_now)
        found.soon_uses = "1 use" if uses == 1 else f"{uses} uses"
    if found.pot_uses_now is None or lives.scale_used is None:
        return
    found.hazard_now = (found.pot_uses_now / lives.scale_used) ** lives.shape_used
    found.hazard_later = ((found.pot_uses_now + USES_AHEAD) / lives.scale_used) ** lives.shape_used
    found.fails_soon = -math.expm1(-min(POWER_MOST, found.hazard_later - found.hazard_now))
    percent = found.soon_percent = nearest(found.fails_soon * 100)
    # A chance is never none and never certain, so neither 0 nor 100 is said.
    found.soon_words = {0: "less than 1 %", 100: "more than 99 %"}.get(percent, f"{percent} %")
    found.soon_sentence = (
        f"The one in service has {found.soon_uses}; chance of failing within the next {USES_AHEAD}: {found.soon_words}."
    )
