from __future__ import annotations

from typing import Any

import pytest

from meltbook.method.check_titles import SHOULD_BE_SO
from meltbook.method.checks import CHECKS
from tests.unit.method.studios import day, melt, run


def test_the_first_ten_minutes_lead_from_step_to_step() -> None:
    studio: dict[str, Any] = {}
    reached = []

    def look() -> None:
        reached.append(run(**studio).value("next_step"))

    look()
    studio["furnace"] = {"connected_kw": 12}
    look()
    studio["tariffs"] = [{"start": "2025-01-01", "price": 0.15}]
    look()
    studio["log"] = [day("Charge", 2, date="2025-01-05", charges=2, weight=200)]
    look()
    studio["log"] = [*studio["log"], day("Idle", 3, reading=50)]
    look()
    studio["pieces"] = [{"name": "Cup", "drawn": 1, "minutes": 10}]
    look()
    studio["people"] = [{"rate": 30}]
    look()
    studio["furnace"] = {"connected_kw": 12, "opening_reading": 0}
    look()
    assert reached == [
        "Type the connected kW on Shop, under The furnace and its meter",
        "Type the unit price on Tariffs",
        "Log a Charge day with its weight on Furnace log",
        "Log an Idle day, or any later row, with the meter's reading on Furnace log",
        "Type a piece, its glass and its bench minutes on Pieces",
        "Type the gaffer's hourly rate on Shop, under People",
        "Type the opening reading on Shop, under The furnace and its meter (new: 0)",
        "Type, or set to 0, what is not counted yet; see What each costs",
    ]
    assert results_of_steps(studio) == reached
    # 50 h x 12 kW x 0.15 / 200 = 0.45; the cup: 0.45 + 5
    results = run(**studio)
    assert results.value("start_cost_hot") == pytest.approx(0.45)
    assert results.value("cost_good", 1) == pytest.approx(5.45)
    missing = "Not counted yet: rent, losses, annealing, wear, raw glass, ownership"
    assert results.value("piece_missing", 1) == missing
    assert results.columns["step_done"] == [1, 1, 1, 1, 1, 1, 1, 0]


def results_of_steps(studio: dict[str, Any]) -> list[Any]:
    return run(**studio).columns["step_text"]


@pytest.mark.parametrize(
    ("furnace", "kinds", "says", "done"),
    [
        ({"meter_kind": "kWh meter"}, (), "Nothing to type for a kWh meter: no kW is needed", 1),
        ({"meter_kind": "Gas meter"}, (), "Type the billing factor (1 if there is none) on Shop", 0),
        ({"meter_kind": "Gas meter", "billing_factor": 1}, (), "Type the billing factor", 1),
        (
            {"meter_kind": "No meter"},
            (),
            "Type the use of a day of each kind on Shop, under How days share a reading",
            0,
        ),
        ({"meter_kind": "No meter"}, [{"use": 90}], "Type the use of a day of each kind on Shop", 1),
    ],
)
def test_the_first_step_fits_the_meter(furnace: dict[str, Any], kinds: Any, says: str, done: int) -> None:
    results = run(furnace=furnace, day_kinds=kinds)
    assert str(results.value("meter_step")).startswith(says)
    assert results.value("meter_done") == done


def test_without_a_meter_nothing_asks_for_readings() -> None:
    results = run(furnace={"meter_kind": "No meter"})
    assert results.value("reading_step") == "Log the days after it on Furnace log, too"
    assert (results.value("opening_step"), results.value("opening_done")) == (
        "No opening reading is needed without a meter",
        1,
    )


def test_what_checks_found_goes_first() -> None:
    furnace = {"connected_kw": 12, "opening_reading": 0}
    results = run(log=[day("Charge", 2, charges=2, weight=200)], furnace=furnace)
    assert results.value("checks_failing") != 0
    assert results.value("next_step") == 'Look at Checks, the line "Dates in the log run on"'
    assert results.value("step_waiting") == "Type the unit price on Tariffs"


def test_of_what_is_wrong_the_first_is_named_and_not_what_a_step_asks_for() -> None:
    """The gaffer's rate is missing and asked for by a step; the names of two pieces are one check further down."""
    pieces = [{"name": "Cup", "drawn": 1, "minutes": 10}] * 2
    results = run(**melt(pieces=pieces, channels=[{"name": "Door", "must_earn": "Yes"}]))
    assert results.value("step_waiting") == "Type the gaffer's hourly rate on Shop, under People"
    assert results.value("next_step") == 'Look at Checks, the line "Each piece has a name of its own"'


def test_what_is_missing_is_named_where_no_step_asks_for_it() -> None:
    """Every step is done, but no way of selling has to earn its margin: a line that only asks for what is missing."""
    results = run(
        **melt(
            people=[{"rate": 30}],
            overheads=[{"amount": 0}],
            equipment=[{}, {"cost": 0}],
            glasses=[{"name": "Clear", "price": 0}],
            channels=[{"name": "Door", "margin": 0.5}],
            pieces=[{"name": "Cup", "drawn": 1, "minutes": 10, "loss": 0}],
        )
    )
    assert results.value("next_step") == 'Look at Checks, the line "Nothing needed is empty"'


def test_each_check_says_what_should_be_so() -> None:
    assert tuple(SHOULD_BE_SO) == CHECKS


def test_what_a_step_asks_for_is_no_reason_to_look_at_checks() -> None:
    piece = {"name": "Cup", "drawn": 1, "minutes": 10}
    results = run(**melt(pieces=[piece], channels=[{"name": "Door", "must_earn": "Yes"}]))
    assert results.value("checks_failing") == 1
    assert sum(results.columns["check_wrong"]) == 0
    assert results.value("first_look") is None
    assert results.value("next_step") == "Type the gaffer's hourly rate on Shop, under People"


def test_a_blank_book_has_nothing_to_check_yet() -> None:
    assert run().value("checks_state") == "Nothing to check yet"
    assert run(tariffs=[{"start": "2000-01-01"}]).value("checks_state") == "Nothing to check yet"
    for typed in (
        {"tariffs": [{"start": "2025-01-01", "price": 0.15}]},
        {"pieces": [{"name": "Cup"}], "people": [{"rate": 1}], "channels": [{"name": "Door", "must_earn": "Yes"}]},
    ):
        results = run(**typed)
        assert results.value("checks_begun") == 1
        assert results.value("checks_state") != "Nothing to check yet"


def test_when_all_is_typed_nothing_is_missing() -> None:
    results = run(
        **melt(
            people=[{"rate": 30}],
            overheads=[{"amount": 0}],
            equipment=[{}, {"cost": 0}],
            glasses=[{"name": "Clear", "price": 0}],
            channels=[{"name": "Door", "margin": 0.5, "must_earn": "Yes"}],
            pieces=[{"name": "Cup", "drawn": 1, "minutes": 10, "loss": 0}],
        )
    )
    assert results.value("next_step") == "Keep the log going; nothing is missing"
    assert results.value("start_pieces_final") == 1
    assert results.value("start_tag") == "Cup: 12.00, for a margin of 50 % in Door"
    # 0.64 + 5 = 5.64, / 0.5 = 11.28, up to 12: 12 - 5.64 = 6.36
    assert results.value("piece_sentence") == "Cup: of a tag of 12.00, 6.36 is left after all costs counted so far."


def test_sentences() -> None:
    results = run(**melt(shop={"weight_unit": "kg"}))
    sentence = "Every hot day costs 0.64 per kg; with everything counted so far 0.64."
    assert results.value("ladder_sentence") == sentence
    # 600 of 1600 kWh are 37.5 %
    assert results.value("kinds_sentence") == "Idle days took 38 % of the energy and heat-ups 0 %."
    assert run().value("ladder_sentence") is None
