"""Handouts: numbers that give nothing away, and what every formula cell of the workbook must show."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from meltbook.classroom import names
from meltbook.classroom.answers import answers
from meltbook.classroom.codes import codes, is_right, mix
from meltbook.classroom.exercise import Exercise, load_exercise, parse_exercise, shipped
from meltbook.classroom.expression import Expression
from meltbook.classroom.handout import Handout, four_digits, handout_results, make_handout
from meltbook.classroom.roster import Student
from meltbook.errors import StudioError
from tests.unit.classroom.tiny import PATH, changed, handout, student, tiny

CLASS = 300
CALCULATED = ("reach", "value", "numeric", "units", "doubled", "part", "rest", "mixed", "blend", "code", "match")
"""The columns of Workings that hold formulas."""


def class_of(exercise: Exercise, count: int, weight: str = "lb") -> list[Handout]:
    return [
        make_handout(exercise, student(number), seed=1, weight_unit=weight, currency="USD")
        for number in range(1, count + 1)
    ]


# ------------------------------------------------------------------------------------------------- drawing again


@pytest.mark.parametrize(("name", "count"), [(str(PATH), CLASS), *((name, 30) for name in shipped())])
def test_no_answer_can_be_read_off(name: str, count: int) -> None:
    """No answer is a given of any sheet, another answer, a salt or a code, at four digits."""
    for one in class_of(load_exercise(name), count):
        found = [
            four_digits(value)
            for stage in names.STAGES
            for value in answers(one.exercise, one.stages[stage]).values()
            if isinstance(value, float)
        ]
        assert len(set(found)) == len(found), one.student
        shown = {four_digits(value) for numbers in one.stages.values() for value in numbers.drawn()}
        assert not shown & set(found), one.student
        secret = set(found) - {
            four_digits(value)
            for value in answers(one.exercise, one.stages["worked"]).values()
            if isinstance(value, float)
        }
        for stage in names.ASKING:
            right = answers(one.exercise, one.stages[stage])
            for step in names.checked_steps(one.exercise, stage):
                salt, value = one.salts[stage][step.name], right[step.name]
                coded = codes(value, step.nearest, salt) if isinstance(value, float) else (mix(1, salt).code,)
                assert not {four_digits(number) for number in (salt, *coded)} & secret, one.student


def test_no_slip_is_right_and_every_answer_is_within_its_bounds() -> None:
    for one in class_of(tiny(), CLASS):
        for stage in names.STAGES:
            right = answers(one.exercise, one.stages[stage])
            hours, cost = right["hours_on"], right["cost_year"]
            assert isinstance(hours, float) and isinstance(cost, float)
            assert cost >= 500 and hours >= 3
            slip = Expression.parse("MAX(log_reading)").evaluate(one.stages[stage].columns)
            assert slip is not None and not is_right(slip, hours, 1)


def test_nobody_has_the_numbers_of_another() -> None:
    made = class_of(tiny(), CLASS)
    assert len({str(one.stages["own"]) for one in made}) == CLASS
    assert len({one.tag for one in made}) == CLASS
    assert all(str(one.stages["own"]) != str(one.stages["first"]) for one in made)


def test_the_same_handout_for_ever() -> None:
    """A key makes handouts again; if this fails, no workbook that is out fits its key any more."""
    one = handout(1)
    assert one == make_handout(tiny(), student(1), seed=1, weight_unit="lb", currency="USD")
    assert one.tag == "PSYJHBUE"
    assert one.stages["own"].values == {"connected_kw": 11.0, "price": 0.19, "months": 12.0}
    assert one.stages["first"].columns["log_reading"] == [2337.0, 2510.0, None, 2723.0]
    assert one.salts["own"] == {"hours_on": 30139, "energy_used": 64545, "cost_year": 18127, "idle": 9162}


def test_a_tag_depends_on_everything_that_makes_the_numbers() -> None:
    other = parse_exercise(changed("low = 500", "low = 501"), name="tiny", place="x")
    same = parse_exercise(changed("# A tiny", "# Another tiny"), name="tiny", place="x")
    lines = {
        "same": make_handout(same, student(1), seed=1, weight_unit="lb", currency="USD").tag,
        "other": make_handout(other, student(1), seed=1, weight_unit="lb", currency="USD").tag,
        "seed": handout(1, seed=2).tag,
        "student": handout(2).tag,
        "weight": handout(1, "kg").tag,
        "currency": make_handout(tiny(), student(1), seed=1, weight_unit="lb", currency="EUR").tag,
    }
    assert lines.pop("same") == handout(1).tag, "a comment changes no numbers"
    assert len({handout(1).tag, *lines.values()}) == 6
    assert all(len(tag) == 8 and tag[0].isalpha() and tag.isalnum() and tag.isupper() for tag in lines.values())


def test_a_place_on_the_roster_changes_nothing() -> None:
    moved = make_handout(tiny(), Student(9, "Pupil A", "pupil-1"), seed=1, weight_unit="lb", currency="USD")
    assert (moved.stages, moved.salts, moved.tag) == (handout(1).stages, handout(1).salts, handout(1).tag)


@pytest.mark.parametrize(
    ("old", "new", "step", "why"),
    [
        ("low = 500", "low = 500000", "[[steps]] 4, cost_year", "below low = 500000"),
        ("low = 500", "high = 5", "[[steps]] 4, cost_year", "above high = 5"),
        (
            '"hours_on * connected_kw"',
            '"hours_on / (price - price)"',
            "[[steps]] 2, energy_used",
            "can't be worked out",
        ),
        ('"hours_on * connected_kw"', '"hours_on - hours_on"', "[[steps]] 2, energy_used", "less than 3 times nearest"),
        ('"hours_on * connected_kw"', '"hours_on * 1"', "[[steps]] 2, energy_used", "the same as that of hours_on"),
        ('"hours_on * connected_kw"', '"months + 0"', "[[steps]] 2, energy_used", "the same as months"),
        (
            'formula = "MAX(log_reading)"',
            'formula = "MAX(log_reading) - INDEX(log_reading,1) + 1"',
            "[[steps]] 1, hours_on",
            "slip 1 comes out right",
        ),
        (
            'nearest = 1\nformula = "energy',
            'nearest = 0.000001\nformula = "energy',
            "[[steps]] 4, cost_year",
            "too large to be told",
        ),
    ],
)
def test_numbers_that_never_fit_are_told_with_the_step_and_why(old: str, new: str, step: str, why: str) -> None:
    text = changed(old, new)
    exercise = parse_exercise(text, name="mine", place="mine.toml")
    with pytest.raises(StudioError, match="in 500 tries for Pupil A") as told:
        make_handout(exercise, student(1), seed=1, weight_unit="lb", currency="USD")
    (problem,) = told.value.problems
    assert (problem.sheet, problem.column) == ("mine", step)
    assert why in problem.found


def test_a_number_in_a_name_is_no_answer() -> None:
    right = answers(tiny(), handout(1).stages["own"])["energy_used"]
    named = Student(1, f"Pupil {right:g}", "pupil-1")
    other = make_handout(tiny(), named, seed=1, weight_unit="lb", currency="USD")
    assert answers(tiny(), other.stages["own"])["energy_used"] != right


# ------------------------------------------------------------------------------------------------------- results


def shown(typed: dict[str, float | str]) -> dict[str, object]:
    return dict(handout_results(handout(1), typed).scalars)


def test_a_blank_workbook() -> None:
    results = handout_results(handout(1))
    worked = answers(tiny(), handout(1).stages["worked"])
    assert results.scalars == {
        "worked_hours_on": worked["hours_on"],
        "worked_energy_used": worked["energy_used"],
        "worked_cost_year": worked["cost_year"],
        "first_hours_on_said": "Type a number",
        "first_hours_on_hint": None,
        "first_energy_used_said": "Type a number",
        "first_energy_used_hint": None,
        "first_cost_year": None,
        "own_hours_on_said": "Type a number",
        "own_hours_on_hint": None,
        "own_energy_used_said": "Type a number",
        "own_energy_used_hint": None,
        "own_cost_guess_said": "Type a guess",
        "own_cost_year_said": "Type a number",
        "own_cost_year_hint": None,
        "own_idle_said": "Choose one",
        "own_idle_hint": None,
        "first_done": 0,
        "own_done": 0,
        "done_sentence": "0 of 6 steps are right.",
    }
    assert results.columns["check_first_reach"] == [1e9, 1e9]
    assert results.columns["check_own_numeric"] == [0, 0, 0, 0]
    assert results.columns["check_own_mixed"] == list(handout(1).salts["own"].values())
    assert set(results.columns) == {
        f"check_{stage}_{column}"
        for stage in ("first", "own")
        for column in [
            "reach",
            "value",
            "numeric",
            "units",
            "doubled",
            "part",
            "rest",
            "mixed",
            "blend",
            "code",
            "match",
        ]
    }


def test_right_within_one_unit_and_not_beyond() -> None:
    right = answers(tiny(), handout(1).stages["own"])["energy_used"]
    assert isinstance(right, float)
    for away, said, done in ((0, "Right", 1), (1, "Right", 1), (-1, "Right", 1), (2, "Not yet", 0), (-2, "Not yet", 0)):
        found = shown({"own_energy_used": right + away})
        assert (found["own_energy_used_said"], found["own_done"]) == (said, done)
        assert found["done_sentence"] == f"{done} of 6 steps are right."
    assert shown({"own_energy_used": -right})["own_energy_used_said"] == "Not yet"


def test_text_is_no_number_and_a_guess_is_thanked_for() -> None:
    found = shown({"own_energy_used": "12,50", "own_cost_guess": 3.0, "own_hours_on": ""})
    assert found["own_energy_used_said"] == found["own_hours_on_said"] == "Type a number"
    assert found["own_cost_guess_said"] == "Thank you. Now work it out."
    assert shown({"own_cost_guess": "much"})["own_cost_guess_said"] == "Type a guess"


def test_choices() -> None:
    for typed, said in (
        ("less", "Right"),
        ("LESS", "Right"),
        ("more", "Not yet"),
        ("lesser", "Not yet"),
        ("", "Choose one"),
    ):
        assert shown({"own_idle": typed})["own_idle_said"] == said
    results = handout_results(handout(1), {"own_idle": "more"})
    assert results.columns["check_own_value"][3] == 2 and results.columns["check_own_numeric"][3] == 1
    assert handout_results(handout(1), {"own_idle": 1.0}).columns["check_own_numeric"][3] == 0


def test_a_hint_is_shown_once_it_is_asked_for() -> None:
    found = shown({"own_hours_on_ask": "y", "first_hours_on_ask": 0.0})
    assert found["own_hours_on_hint"] == found["first_hours_on_hint"] == "A meter only counts up."
    assert found["own_energy_used_hint"] is None
    assert found["own_done"] == 0


def test_filled_steps_follow_what_is_typed_before_them() -> None:
    numbers = handout(1).stages["first"].values
    found = shown({"first_energy_used": 1000.0})
    assert found["first_cost_year"] == pytest.approx(1000 * numbers["price"] * 12), "though it isn't right"
    assert shown({"first_hours_on": 1000.0})["first_cost_year"] is None, "the energy is still missing"
    assert shown({"first_energy_used": "1000"})["first_cost_year"] is None
    assert shown({"first_energy_used": 1e308})["first_cost_year"] is None, "it has no end"


def test_figures_without_end_are_held() -> None:
    results = handout_results(handout(1), {"own_hours_on": -1e300, "own_energy_used": 6e8})
    assert results.columns["check_own_value"][:2] == [-1e9, 6e8]
    assert results.columns["check_own_doubled"][:2] == [2_000_000_001, 1_200_000_000]
    assert results.columns["check_own_match"][:2] == [0, 0]


def test_the_two_halves_never_see_each_other() -> None:
    """The formulas are declared without the reference being loaded, and the other way round."""
    told = []
    for one in ("vocabulary", "handout"):
        program = f"import json, sys, meltbook.classroom.{one}; print(json.dumps(sorted(sys.modules)))"
        done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
        told.append({name for name in json.loads(done.stdout) if name.startswith("meltbook.classroom.")})
    assert "meltbook.classroom.handout" not in told[0]
    assert not told[1] & {"meltbook.classroom.vocabulary", "meltbook.classroom.pages"}
