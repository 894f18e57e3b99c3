"""Change the pot in time, or run it until it fails: worked by hand."""

from __future__ import annotations

import math

import pytest

from meltbook.method import Results
from tests.unit.method.deciding import gone, pots, serving
from tests.unit.method.studios import numbers, run

REST = "No planned change pays: run it; take it out at the first crack or leak."
UNTYPED = " No cost of a failure typed yet."


def number(results: Results, name: str, row: int | None = None) -> float:
    value = results.value(name, row)
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


# --------------------------------------------------------------------------------------------------- the two costs


def test_a_failure_costs_the_change_and_more() -> None:
    # 800 + 200 + 150 + 6 x 90
    results = pots(serving(5), life=100, glass_worth=200, repair_cost=150, lost_days=6, day_value=90)
    assert results.value("planned_cost") == 800
    assert results.value("failure_cost") == pytest.approx(1690)
    # 1690 for 100 uses on average
    assert results.value("run_cost") == pytest.approx(16.9)


def test_what_is_typed_goes_before_the_cost_now() -> None:
    results = pots(serving(5), life=100, planned_typed=1000, lost_days=6)
    assert (results.value("pot_cost"), results.value("planned_cost")) == (800, 1000)
    assert results.value("failure_cost") == 1000, "a day without a value loses nothing"


def test_a_change_for_nothing() -> None:
    results = pots(serving(5), life=100, planned_typed=0)
    assert results.value("failure_cost") == 0
    assert results.value("replace_pays") is None
    assert results.value("replace_missing") == "Type what a pot costs now."
    assert results.value("replace_sentence") is None


# ------------------------------------------------------------------------------------------------------- the table


@pytest.mark.parametrize(
    ("life", "step"),
    [(25.1, 1), (40, 1), (50, 1), (50.1, 2), (100, 2), (130, 3), (1000, 20), (1000.00001, 20), (1000.1, 21)],
)
def test_a_step_is_whole_and_120_reach_far_enough(life: float, step: int) -> None:
    """At shape 1 the scale is the expected life, and 2.4 of it are 120 steps of a fiftieth."""
    results = pots(serving(5), life=life, shape_typed=1)
    assert (results.value("age_whole"), results.value("age_parts"), results.value("age_step")) == (step, 1, step)
    assert numbers(results, "age_uses") == [step * row for row in range(1, 121)]


@pytest.mark.parametrize(("life", "parts"), [(25, 2), (10, 5), (7, 7), (2, 25), (1, 50), (0.5, 100), (0.1, 120)])
def test_of_short_lives_a_use_is_cut_into_parts(life: float, parts: int) -> None:
    """Fifty steps for a scale of life as elsewhere, but never so fine that 120 of them miss the first whole use."""
    results = pots(serving(5), life=life, shape_typed=1, repair_cost=400)
    assert (results.value("age_whole"), results.value("age_parts")) == (1, parts)
    assert number(results, "age_step") == pytest.approx(1 / parts)
    assert numbers(results, "age_uses") == [row / parts for row in range(1, 121)]
    costs, choices = results.columns["age_cost"], results.columns["age_choice"]
    for row in range(1, 121):
        assert choices[row - 1] == (None if row % parts else costs[row - 1]), "a pot is changed after whole uses"
    assert number(results, "best_age") % 1 == 0


def test_at_shape_1_by_hand() -> None:
    """R = e^(-t/100), its integral 100 (1 - R): a use costs 800 R ÷ (100 (1 - R)) + failure ÷ 100."""
    results = pots(serving(5), life=100, shape_typed=1, repair_cost=400)
    for row in range(1, 121):
        alive = math.exp(-2 * row / 100)
        assert number(results, "age_survives", row) == pytest.approx(alive, rel=1e-12)
        assert number(results, "age_middle", row) == pytest.approx(math.exp(-(2 * row - 1) / 100), rel=1e-12)
        assert number(results, "age_lived", row) == pytest.approx(100 * (1 - alive), rel=1e-8)
        assert number(results, "age_cost", row) == pytest.approx(800 * alive / (100 * (1 - alive)) + 12, rel=1e-8)
    assert results.value("best_row") == 120, "the curve only falls"
    assert (results.value("replace_pays"), results.value("replace_sentence")) == (0, REST)


def test_at_shape_2_by_hand() -> None:
    """The integral of e^-(t/η)² is η √π ÷ 2 × erf(t/η)."""
    results = pots(serving(5), life=100, repair_cost=4000)
    scale = 100 / math.gamma(1.5)
    assert number(results, "scale_used") == pytest.approx(scale)
    step = number(results, "age_step")
    assert step == 3  # 2.4 x 112.8 / 120 = 2.26
    costs = []
    for row in range(1, 121):
        age = step * row
        alive, lived = math.exp(-((age / scale) ** 2)), scale * math.gamma(1.5) * math.erf(age / scale)
        costs.append((800 * alive + 4800 * (1 - alive)) / lived)
        assert number(results, "age_lived", row) == pytest.approx(lived, rel=1e-7)
        assert number(results, "age_cost", row) == pytest.approx(costs[-1], rel=1e-7)
    best = min(costs)
    assert number(results, "best_row") == costs.index(best) + 1
    assert number(results, "best_age") == step * (costs.index(best) + 1)
    assert number(results, "best_cost") == pytest.approx(best, rel=1e-7)
    # 4800 for 100 uses if it is run
    saving = 1 - best / 48
    assert number(results, "best_saving") == pytest.approx(saving, abs=1e-7)
    assert results.value("replace_pays") == 1
    assert results.value("replace_sentence") == (
        f"Change it at about {step * (costs.index(best) + 1):.0f} uses: that saves {100 * saving:.0f} % against "
        "running it until it fails."
    )


def test_a_use_costs_what_the_mean_cycle_costs() -> None:
    """Counting use by use: of a thousand pots those that reach an age are changed, the others failed before."""
    results = pots(serving(5), life=100, shape_typed=3, repair_cost=900)
    scale, age = number(results, "scale_used"), 60
    # 60 uses, in steps of a hundredth of a use
    lived = sum(math.exp(-(((at + 0.5) / 100 / scale) ** 3)) / 100 for at in range(100 * age))
    alive = math.exp(-((age / scale) ** 3))
    row = numbers(results, "age_uses").index(age) + 1
    assert number(results, "age_cost", row) == pytest.approx((800 * alive + 1700 * (1 - alive)) / lived, rel=1e-6)


def test_far_beyond_every_life_nothing_survives_and_nothing_breaks() -> None:
    results = pots(*[gone(2)] * 2, shape_typed=20)
    # two failures at 2: the scale is 2, the last age 2.4 times that, to the power of 20
    assert number(results, "age_uses", 120) == pytest.approx(4.8)
    assert number(results, "age_survives", 120) == pytest.approx(math.exp(-600), rel=1e-9)
    assert number(results, "age_lived", 120) == pytest.approx(2 * math.gamma(1.05), rel=1e-5)


def test_what_the_chart_draws() -> None:
    results = pots(serving(5), life=100, repair_cost=400)
    run = number(results, "run_cost")
    assert set(numbers(results, "age_run")) == {run}
    assert numbers(results, "age_drawn") == [min(cost, 2 * run) for cost in numbers(results, "age_cost")]


# ----------------------------------------------------------------------------------------------------- the answer


@pytest.mark.parametrize("shape", [0.2, 0.5, 0.99, 1.0])
def test_a_pot_that_does_not_age_is_run(shape: float) -> None:
    results = pots(serving(5), life=100, shape_typed=shape, repair_cost=50_000)
    assert (results.value("replace_pays"), results.value("replace_sentence")) == (0, REST)


def test_a_pot_that_ages_is_changed_the_earlier_the_more_it_ages() -> None:
    saved = []
    for shape in (1.2, 1.5, 2, 4, 8):
        results = pots(serving(5), life=100, shape_typed=shape, repair_cost=50_000)
        assert results.value("replace_pays") == 1
        saved.append(number(results, "best_saving"))
    assert saved == sorted(saved)


def test_a_failure_that_costs_no_more_is_waited_for() -> None:
    results = pots(serving(5), life=100, shape_typed=4)
    assert results.value("planned_cost") == results.value("failure_cost")
    assert number(results, "best_saving") < 0.001
    assert (results.value("replace_pays"), results.value("replace_sentence")) == (0, REST + UNTYPED)
    assert results.value("best_age") is not None
    assert results.value("age_advised") is None, "no age is advised where waiting costs as little"


@pytest.mark.parametrize("life", [0.01, 0.3, 0.5, 1, 1.5, 2, 3, 5, 8, 20, 300])
@pytest.mark.parametrize("shape", [1.05, 3, 8, 20])
def test_nor_do_whole_uses_feign_a_saving(shape: float, life: float) -> None:
    """Ages go in whole uses. However short the life, the integral is close enough for an honest answer."""
    assert pots(serving(1), life=life, shape_typed=shape).value("replace_sentence") == REST + UNTYPED


def test_an_age_of_one_use() -> None:
    results = pots(serving(1), life=1.6, shape_typed=6, repair_cost=90_000)
    assert (results.value("best_age"), results.value("age_advised")) == (1, 1)
    assert str(results.value("replace_sentence")).startswith("Change it at about 1 use: that saves ")


def test_a_saving_under_a_thousandth_is_none() -> None:
    """Between the costs of failing at which a change begins to save, and to save a thousandth."""
    found = {0: 0.0, 1: 0.0}
    for repair in range(0, 1200, 10):
        results = pots(serving(5), life=100, shape_typed=3, repair_cost=repair)
        saving, pays = number(results, "best_saving"), results.value("replace_pays")
        assert pays == (1 if saving >= 0.001 and number(results, "best_row") < 120 else 0)
        found[1 if pays else 0] = max(found[1 if pays else 0], saving)
    assert found[0] < 0.001 < found[1]


# -------------------------------------------------------------------------------------------------- the one in service


def test_the_chance_of_failing_soon() -> None:
    # Two failures at 50 and 100 and one planned at 30: a scale of 90 at shape 1, so at any age 1 - e^(-10/90) = 10.5 %.
    ledger = (gone(50), gone(100), gone(30, "Planned"))
    for uses in (1, 45):
        results = pots(*ledger, serving(uses), shape_typed=1)
        scale = (180 + uses) / 2
        assert number(results, "fails_soon") == pytest.approx(1 - math.exp(-10 / scale))
    # 45 uses: 10 / 112.5 are 8.5 %
    assert results.value("soon_sentence") == (
        "The one in service has 45 uses; chance of failing within the next 10: 9 %."
    )


def test_an_old_pot_is_in_more_danger() -> None:
    # shape 2: (t + 10)² - t² over η²
    for uses in (10, 80):
        results = pots(gone(60), serving(uses))
        square = 60**2 + uses**2
        assert number(results, "hazard_now") == pytest.approx(uses**2 / square)
        assert number(results, "hazard_later") == pytest.approx((uses + 10) ** 2 / square)
        assert number(results, "fails_soon") == pytest.approx(1 - math.exp(-(20 * uses + 100) / square))


def test_a_new_one() -> None:
    # a life of 0 is no life yet, but it stands in the furnace: 1 - e^-(10/60)² = 2.7 %
    results = pots(gone(60), serving())
    assert results.value("pot_uses_now") == 0
    assert results.value("soon_sentence") == "The one in service has 0 uses; chance of failing within the next 10: 3 %."


def test_of_several_in_service_the_most_used() -> None:
    results = pots(gone(60), serving(12), serving(31), serving(7))
    assert results.value("pot_uses_now") == 31


def test_none_in_service() -> None:
    # one is to be fitted after the pricing date
    results = pots(gone(60), serving(12) | {"installed": "2027-01-01"})
    for name in ("pot_uses_now", "hazard_now", "fails_soon", "soon_sentence"):
        assert results.value(name) is None


def test_certain_to_fail() -> None:
    results = pots(*[gone(2)] * 2, serving(1), shape_typed=20)
    assert number(results, "fails_soon") == 1
    # no pot is certain to fail: 100 % is never said, nor is 0 %
    assert results.value("soon_sentence") == (
        "The one in service has 1 use; chance of failing within the next 10: more than 99 %."
    )


@pytest.mark.parametrize(("shape", "said"), [(3, "less than 1 %"), (2, "1 %"), (1, "10 %")])
def test_a_small_chance_is_never_said_to_be_none(shape: float, said: str) -> None:
    # a scale of 100, none used: 1 - e^-(0.1^shape), so 0.1 %, 1.0 % and 9.5 %
    results = pots(gone(100), serving(), shape_typed=shape)
    assert results.value("soon_words") == said
    assert str(results.value("soon_sentence")).endswith(f"within the next 10: {said}.")


def test_a_pot_without_a_cost_is_no_pot_for_nothing() -> None:
    """A kind is named, and nothing of it is typed: neither the pot nor a failure costs 0."""
    results = run(part_kinds=[{"name": "Pot", "basis": "Charges"}])
    assert [results.value(name) for name in ("pot_cost", "planned_cost", "failure_cost")] == [None] * 3
    assert results.value("replace_missing") == "Type what a pot costs now."
    planned = run(part_kinds=[{"name": "Pot", "basis": "Charges"}], decisions={"planned_typed": 0, "repair_cost": 90})
    assert [planned.value(name) for name in ("pot_cost", "planned_cost", "failure_cost")] == [None, 0, 90]
