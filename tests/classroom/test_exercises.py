"""The shipped exercises against what doesn't come from their own files.

Three things stand beside an exercise's formulas: the reference engine of the big workbook, asked the same question
as a studio; published values; and one student of each worked out by hand.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from statistics import median
from typing import Literal

import pytest

from meltbook.classroom import handout as handout_module
from meltbook.classroom.answers import answers
from meltbook.classroom.draw import Numbers, draw
from meltbook.classroom.exercise import Exercise, Step, load_exercise, shipped
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.names import STAGES, has_formula
from meltbook.classroom.roster import Student
from tests.classroom.as_studio import REFERENCE
from tests.classroom.cases import ByHand, by_hand
from tests.published.both import answer as published_answer
from tests.published.both import given as published_given

Unit = Literal["lb", "kg"]
UNITS: tuple[tuple[Unit, str], ...] = (("lb", "USD"), ("kg", "EUR"))
NAMES = tuple(REFERENCE)
CASES = by_hand()
STUDENTS, COMPARED = 300, 40


def class_of(exercise: Exercise, unit: Unit, currency: str, many: int) -> Iterator[Handout]:
    """A class, each with the numbers that the command would give them."""
    for number in range(1, many + 1):
        student = Student(number, f"Student {number}", f"student-{number}")
        yield make_handout(exercise, student, seed=1, weight_unit=unit, currency=currency)


def asked(exercise: Exercise) -> list[Step]:
    """The steps that are worked out."""
    return [step for step in exercise.steps if has_formula(step)]


def close(found: object, expected: float) -> bool:
    """Equal but for what adding in another order does."""
    return isinstance(found, float) and math.isclose(found, expected, rel_tol=1e-9, abs_tol=1e-9)


def test_there_is_a_studio_and_a_hand_for_every_shipped_exercise() -> None:
    assert shipped() == list(NAMES), "and they rise"
    assert {case.exercise for case in CASES} == set(NAMES)


# ------------------------------------------------------------------------------------------ worked by hand


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_a_student_worked_out_by_hand(case: ByHand) -> None:
    found = answers(load_exercise(case.exercise), case.numbers)
    wrong = [
        f"{one.step}: {one.how} = {one.answer}, found {found[one.step]!r}"
        for one in case.expected
        if not (close(found[one.step], one.answer) if isinstance(one.answer, float) else found[one.step] == one.answer)
    ]
    assert not wrong, "\n".join([case.title, *wrong])


@pytest.mark.parametrize("name", NAMES)
def test_every_step_that_has_an_answer_is_worked_out_by_hand(name: str) -> None:
    exercise = load_exercise(name)
    by_hand_of_it = {one.step for case in CASES if case.exercise == name for one in case.expected}
    assert by_hand_of_it == {step.name for step in exercise.steps if step.by != "guess"}


# ------------------------------------------------------------------------------------ the reference engine


@pytest.mark.parametrize(("unit", "currency"), UNITS)
@pytest.mark.parametrize("name", NAMES)
def test_a_studio_of_the_same_numbers_answers_the_same(name: str, unit: Unit, currency: str) -> None:
    exercise = load_exercise(name)
    for handout in class_of(exercise, unit, currency, COMPARED):
        for stage, numbers in handout.stages.items():
            found = answers(exercise, numbers)
            reference = REFERENCE[name](numbers.values, numbers.columns, unit)
            wrong = [
                f"{step}: the method says {value}, the exercise {found[step]!r}"
                for step, value in reference.items()
                if not close(found[step], value)
            ]
            assert not wrong, "\n".join([f"{handout.student.name}, {stage}", *wrong])


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_the_reference_engine_is_asked_about_every_step(case: ByHand) -> None:
    asked_of_it = REFERENCE[case.exercise](case.numbers.values, case.numbers.columns, "lb").keys()
    assert asked_of_it == {step.name for step in asked(load_exercise(case.exercise))}


# ---------------------------------------------------------------------------------------- published values


def test_a_published_bill() -> None:
    """River Falls Municipal Utilities, Wisconsin (2020): 675.54 kWh x 0.111 + 14 = 88.98, flat."""
    bill = published_given("river_falls_time_of_use")
    found = answers(
        load_exercise("meter-and-bill"),
        Numbers(
            {
                "connected_kw": 1.0,
                "price_cents": bill["flat"] * 100,
                "service_charge": bill["fixed"],
                "tax_share": 0.0,
            },
            {"meter_day": ["First", "Last"], "meter_reading": [0.0, bill["kwh"]]},
        ),
    )
    assert found["bill"] == pytest.approx(published_answer("river_falls_time_of_use")[0], abs=0.005)


def test_a_published_margin_and_markup() -> None:
    """Monash University marketing dictionary, keystone: cost 10, retail 20: half of retail, all of cost."""
    keystone = published_given("keystone")
    found = answers(
        load_exercise("three-channels"),
        Numbers(
            {
                "other_costs": keystone["cost"],
                "own_hours": 0.0,
                "own_wage": 0.0,
                "tag": keystone["retail"],
                "card_share": 0.0,
                "card_fixed": 0.0,
                "wholesale_share": 1.0,
                "commission": 0.0,
                "target": published_answer("keystone"),
            },
            {},
        ),
    )
    assert found["margin_wholesale"] == published_answer("keystone")
    assert found["markup_wholesale"] == 1
    assert found["tag_needed"] == keystone["retail"]
    assert found["earn_hour"] is None, "nobody works an hour in that shop"


def test_a_published_loss_and_normal_capacity() -> None:
    """OpenTuition, topic 42: 13,200 in, 10 % of the output lost: 1 of 11 started; (184,800 - 4,800) / 12,000 = 15.

    And IAS 2, paragraph 13: 24,000 at an ordinary 1,200 hours is 20 an hour, in a year of 600 hours too.
    """
    loss, capacity = published_given("loss_on_output"), published_given("normal_capacity")
    lost = loss["loss_of_output"] / (1 + loss["loss_of_output"])
    spent = loss["spent"] - loss["units_in"] * lost * loss["scrap"]
    nothing = dict.fromkeys(("finished", "left_over", "furnace_rate", "raw_price", "minutes", "wage"), 0.0)
    found = answers(
        load_exercise("piece"),
        Numbers(
            {
                **nothing,
                "overhead_year": float(capacity["overhead"]),
                "ordinary_hours": float(capacity["ordinary_hours"]),
                "slow_hours": float(capacity["worked"][1]),
                "annealing": spent / loss["units_in"],
                "lost": lost,
                "packing": 0.0,
            },
            {},
        ),
    )
    assert close(found["cost_good"], published_answer("loss_on_output"))
    assert found["overhead_hour"] == published_answer("normal_capacity")


PRACTICE = {
    "practice_kilowatts": [("meter-and-bill", "connected_kw"), ("short-log", "connected_kw")],
    "practice_hold_day": [("ladder", "idle_use")],
    "practice_charge_day": [("ladder", "charge_use")],
    "practice_pot_life": [("ladder", "pot_life")],
    "practice_losses": [("piece", "lost")],
    "practice_consignment": [("three-channels", "commission")],
}


@pytest.mark.parametrize("value", PRACTICE)
def test_drawn_numbers_lie_in_what_is_common_in_the_trade(value: str) -> None:
    low, high = published_answer(value)
    for name, given in PRACTICE[value]:
        (found,) = [each for each in load_exercise(name).given if each.name == given]
        assert found.from_ is not None and found.to is not None
        assert low <= found.from_ < found.to <= high, f"{name}: {given}"


# ------------------------------------------------------------------------------------------------- drawing


@pytest.mark.parametrize(("unit", "currency"), UNITS)
@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_drawn_with_few_tries(
    name: str, unit: Unit, currency: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    exercise = load_exercise(name)
    tries = 0

    def counting(*given: object, **named: object) -> Numbers:
        nonlocal tries
        tries += 1
        return draw(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(handout_module, "draw", counting)
    handouts = list(class_of(exercise, unit, currency, STUDENTS))
    assert tries < 1.5 * len(STAGES) * STUDENTS
    assert len({repr(handout.stages["own"]) for handout in handouts}) == STUDENTS, "two have the same numbers"


@pytest.mark.parametrize(("unit", "currency"), UNITS)
@pytest.mark.parametrize("name", NAMES)
def test_answers_have_three_or_four_digits(name: str, unit: Unit, currency: str) -> None:
    """Fewer can be guessed, more say more than a meter and a scale know; a few are a little longer."""
    exercise = load_exercise(name)
    found = [answers(exercise, handout.stages["own"]) for handout in class_of(exercise, unit, currency, COMPARED)]
    for step in asked(exercise):
        units = sorted(float(each[step.name] or 0) / step.nearest for each in found)
        assert units[0] >= 60, f"{step.name}: {units[0]:.0f} units of {step.nearest}"
        assert 100 <= median(units) <= 9_999, f"{step.name}: {median(units):.0f} units of {step.nearest}"
        assert units[-1] <= 50_000, f"{step.name}: {units[-1]:.0f} units of {step.nearest}"


# --------------------------------------------------------------------------------------------------- words


@pytest.mark.parametrize("name", NAMES)
def test_every_step_has_a_hint_and_the_usual_slips(name: str) -> None:
    exercise = load_exercise(name)
    assert 6 <= len(exercise.steps) <= 9
    assert 3 <= exercise.first_steps < len(exercise.steps)
    for step in exercise.steps:
        assert step.hints or step.by == "guess", step.name
        assert not any(character.isdigit() for hint in step.hints for character in hint)
        if has_formula(step):
            assert step.slips, f"{step.name}: nobody gets this wrong?"
            sentences = [slip.says for slip in step.slips]
            assert len(set(sentences)) == len(sentences)
            assert all(sentence.endswith(".") for sentence in sentences)


def test_the_slips_that_teachers_ask_for_are_named() -> None:
    said = {name: " ".join(slip.says for step in load_exercise(name).steps for slip in step.slips) for name in NAMES}
    for name, words in {
        "meter-and-bill": ("a reading, not what was used", "Those are cents", "percent was taken as a whole number"),
        "short-log": ("Idle days and heat-up days are hot too", "Cold days"),
        "ladder": ("Idle days and heat-ups are left out", "Blow days are missing", "divide by"),
        "piece": ("share of the pieces started", "minutes were taken for hours", "slow year"),
        "three-channels": ("That is a markup", "The gallery keeps its share"),
        "new-tariff": ("the letter changes the price alone", "Rounded down", "That is a markup"),
    }.items():
        for word in words:
            assert word in said[name], f"{name}: {word}"
