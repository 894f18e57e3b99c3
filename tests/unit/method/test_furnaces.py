"""Several furnaces: each as if it stood alone, and what all of them make together, worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from meltbook.method import Results, compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import FURNACE_WORDS
from meltbook.studio.model import Studio
from tests.strategies.furnaces import furnace_studio, rooms
from tests.strategies.studios import SMALL

ROOM = Capacity(log=8, tariffs=3, ledger=3, part_kinds=2, glasses=2, overheads=2, pieces=6, campaigns=3, bills=4)
FIRST = date(2026, 3, 2)

# A furnace of 12 kW that ran 10 h a day: 120 kWh a day, 0.20 a kWh, 24 a day; 40 lb of glass on each of 5 days.
LOG: list[dict[str, Any]] = [
    {"date": FIRST, "kind": "Charge", "days": 5, "charges": 5, "weight": 200.0, "gathers": 400.0},
    {"kind": "Idle", "days": 5, "reading": 100.0},
]
# The second one, of 5 kW: 50 kWh a day, 10 a day; 10 lb on each of 2 days, 3 idle days.
SMALL_LOG: list[dict[str, Any]] = [
    {"date": FIRST, "kind": "Charge", "days": 2, "charges": 2, "weight": 20.0, "gathers": 80.0},
    {"kind": "Idle", "days": 3, "reading": 50.0},
]


def shop(**changes: Any) -> dict[str, Any]:
    data: dict[str, Any] = {
        "shop": {"share_drawn": 1.0, "pricing_date": date(2026, 3, 11), "ordinary_weight": 1000.0},
        "furnace": {"connected_kw": 12.0},
        "wear": {"wear_counted": "None"},
        "tariffs": [{"start": date(2026, 1, 1), "price": 0.2, "service": 73.0, "service_per": "Month"}],
        "glasses": [{"name": "Clear", "price": 1.0}],
        "people": [{"rate": 0.0}],
        "log": LOG,
        "pieces": [
            {"name": "Vase", "drawn": 2.0, "minutes": 30.0, "made": 50.0},
            {"name": "Bead", "drawn": 1.0, "minutes": 10.0, "furnace": "small", "made": 5.0},
            {"name": "Cup", "drawn": 1.0, "minutes": 10.0, "furnace": "Furnace 1"},
            {"name": "Lost", "drawn": 1.0, "minutes": 10.0, "furnace": "Nowhere"},
        ],
        "more_furnaces": [
            {
                "place": {"furnace_name": "Small"},
                "melt": {"share_drawn": 0.5, "ordinary_weight": 1000.0},
                "furnace": {"connected_kw": 5.0},
                "wear": {"wear_counted": "None"},
                "log": SMALL_LOG,
            }
        ],
    }
    for key, value in changes.items():
        data[key] = {**data[key], **value} if isinstance(value, dict) and key in data else value
    return data


def run(**changes: Any) -> Results:
    return compute(Studio.model_validate(shop(**changes)), ROOM)


def number(results: Results, name: str, row: int | None = None) -> float:
    value = results.value(name, row)
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


def test_each_furnace_by_hand() -> None:
    results = run()
    assert number(results, "price_hot") == pytest.approx(10 * 24 / 200)
    assert number(results, "price_hot_second") == pytest.approx(5 * 10 / 20)
    # 73 a month is 2.4 a day, half of it each; over an ordinary year's 1,000 lb.
    assert number(results, "price_standing") == pytest.approx(1.2 * 365 / 1000)
    assert number(results, "price_standing_second") == pytest.approx(1.2 * 365 / 1000)
    assert number(results, "standing_now") == pytest.approx(2.4)
    assert results.columns["furnace_called"] == ["Furnace 1", "Small"]


def test_a_furnace_carries_the_part_that_is_typed() -> None:
    results = run(place={"standing_part": 0.75})
    assert number(results, "price_standing") == pytest.approx(0.75 * 2.4 * 365 / 1000)
    assert number(results, "price_standing_second") == pytest.approx(1.2 * 365 / 1000)
    assert results.columns["each_standing_part"] == [0.75, 0.5]
    assert number(results, "parts_carried_first") == 1.25


def test_all_furnaces_are_weighed_by_their_glass() -> None:
    results = run()
    assert number(results, "all_price_hot") == pytest.approx((240 + 50) / 220)
    assert number(results, "all_charged") == 220
    assert number(results, "all_energy_cost") == pytest.approx(290)
    each = 1.2 + 0.438 + 1, 2.5 + 0.438 + 1
    everything = (each[0] * 200 + each[1] * 20) / 220
    assert number(results, "all_price_line_own") == pytest.approx(everything)
    assert results.value("furnaces_sentence") == "Over all furnaces a lb costs 2.76 to price with."


def test_a_piece_pays_for_its_own_furnace() -> None:
    results = run()
    first, small = 1.2 + 0.438, (2.5 + 0.438) / 0.5  # of what is charged, half is gathered from the small one
    assert results.columns["piece_furnace_row"][:4] == [1, 2, 1, 0]
    assert number(results, "cost_furnace", 1) == pytest.approx(2 * first)
    assert number(results, "cost_furnace", 2) == pytest.approx(small)
    assert number(results, "cost_furnace", 3) == pytest.approx(first)
    assert results.value("cost_furnace", 4) is None
    assert number(results, "checks_failing") >= 1


def test_by_gathers_each_pays_by_those_of_its_furnace() -> None:
    pieces = [{"name": "Vase", "gathers": 2.0, "minutes": 1.0}, {"name": "Bead", "gathers": 1.0, "furnace": "Small"}]
    results = run(shop={"furnace_by": "Gathers"}, pieces=pieces)
    assert number(results, "cost_furnace", 1) == pytest.approx(2 * (1.2 + 0.438) * 200 / 400)
    assert number(results, "cost_furnace", 2) == pytest.approx((2.5 + 0.438) * 20 / 80)


def test_a_bench_minute_pays_for_all_furnaces() -> None:
    results = run(shop={"furnace_by": "Bench minutes", "window_hours": 10.0})
    pool = (1.2 + 0.438) * 200 + (2.5 + 0.438) * 20
    assert number(results, "minutes_rate") == pytest.approx(pool / 600)
    assert results.columns["each_furnace_rate"] == pytest.approx([pool / 600] * 2)
    assert number(results, "cost_furnace", 2) == pytest.approx(10 * pool / 600)


def test_what_was_made_is_held_against_all_furnaces() -> None:
    results = run()
    assert number(results, "all_made_weight") == 220
    assert number(results, "made_weight") == 200
    assert number(results, "made_glass_share") == pytest.approx((50 * 2 + 5) / 220)
    paid = 50 * 2 * 1.638 + 5 * 2 * 2.938
    assert number(results, "made_recovered") == pytest.approx(paid / (1.638 * 200 + 2.938 * 20))


def test_bills_of_two_sources() -> None:
    more = [{**shop()["more_furnaces"][0], "source": "Second"}]
    bills = [
        {"start": FIRST, "end": date(2026, 3, 11), "use": 1300.0},
        {"start": FIRST, "end": date(2026, 3, 6), "use": 300.0, "source": "Second"},
    ]
    second = {"tariffs": [{"start": date(2026, 1, 1), "price": 0.3}], "energy_unit": "kWh"}
    results = run(more_furnaces=more, second_source=second, bills=bills)
    assert results.columns["all_bill_furnace"][:2] == pytest.approx([1200, 250])
    # What the second source bills is of its own unit, and in no sum with the first one's.
    totals = [number(results, f"bills_{name}") for name in ("given", "use", "furnace", "known")]
    assert totals == pytest.approx([1, 1300, 1200, 1200])
    assert number(results, "price_hot_second") == pytest.approx(5 * 50 * 0.3 / 20)
    assert number(results, "price_now_fuel") == pytest.approx(0.3)
    # Each is now alone on its source.
    assert number(results, "price_standing") == pytest.approx(2.4 * 365 / 1000)
    assert number(results, "price_standing_second") == 0


MACHINES: list[dict[str, Any]] = [
    {"name": "Hole", "feeds": "Glory hole", "use": 6.0, "per": "Hour", "runs": 730.0, "source": "Second"},
    {
        "name": "Box",
        "feeds": "Annealer",
        "use": 20.0,
        "per": "Load",
        "runs": 73.0,
        "metered": 40.0,
        "metered_runs": 2.0,
    },
    {"name": "Pump", "use": 2.0, "per": "Day", "runs": 365.0, "source": "First"},
]
"""6 of the second source in each of 730 hours; of the first 20 in each of 73 loads, metered, and 2 a day."""

SECOND = {"tariffs": [{"start": date(2026, 1, 1), "price": 0.3}], "energy_unit": "kWh"}


def on_two_sources(**changes: Any) -> Results:
    more = [{**shop()["more_furnaces"][0], "source": "Second"}]
    return run(more_furnaces=more, **{"second_source": SECOND, "machines": MACHINES, **changes})


def test_machines_are_the_shops_and_cost_what_their_source_costs() -> None:
    results = on_two_sources()
    # 6 x 0.3 an hour from the second, 20 x 0.2 a load and 2 x 0.2 a day from the first
    assert results.columns["machine_cost"][:3] == pytest.approx([1.8, 4.0, 0.4])
    assert number(results, "equipment_minute", 1) == pytest.approx(0.03)
    assert results.columns["cost_glory"][:3] == pytest.approx([0.9, 0.3, 0.3])  # of either furnace's pieces
    assert results.columns["machine_second"][:4] == [1, 0, 0, 0]
    assert results.columns["source_price_now"][:4] == pytest.approx([0.3, 0.2, 0.2, 0.2])
    assert number(results, "machines_named") == 3


def test_the_year_of_machines_counts_on_the_bill_of_their_source() -> None:
    days = {"start": FIRST, "end": date(2026, 3, 11), "use": 2000.0}
    bills = [
        days,
        {**days, "source": "Second"},
        {**days, "metered": 40.0},
        {**days, "source": "First", "estimated": 5.0},
    ]
    results = on_two_sources(bills=bills)
    assert (number(results, "machines_year_use"), number(results, "machines_year_use_fuel")) == (2190, 4380)
    assert number(results, "machines_year_unmetered") == 730  # the box has its own meter
    assert number(results, "machines_year_unmetered_fuel") == 4380
    # ten days each: 1460 + 730 of the first, 4380 of the second; the pump's alone where meters are typed
    assert results.columns["bill_estimate_used"] == pytest.approx([60, 120, 20, 5])
    assert results.columns["bill_year_use"] == pytest.approx([2190, 4380, 2190, 2190])
    assert results.columns["bill_year_unmetered"] == pytest.approx([730, 4380, 730, 730])
    assert number(results, "bill_known", 2) == pytest.approx(250 + 120)


def test_furnaces_on_one_source_count_machines_once() -> None:
    results = run(machines=MACHINES)
    assert results.columns["machine_cost"][:3] == pytest.approx([1.2, 4.0, 0.4])
    assert number(results, "machines_year_use") == 2190 + 4380
    assert "machine_second" not in results.columns
    assert number(results, "machines_named") == 3
    assert results.value("machines_sentence") == "All 3 machines are counted."


def test_a_letter_for_the_second_source_moves_its_machines_alone() -> None:
    letter = {"letter_start": date(2026, 4, 1), "letter_price": 0.4}
    results = on_two_sources(second_source={**SECOND, "letter": letter})
    assert results.columns["machine_more"][:3] == pytest.approx([0.6, 0, 0])
    assert results.columns["source_new_all_in"][:3] == [pytest.approx(0.4), None, None]
    assert number(results, "effect_equipment") == pytest.approx(438)
    # the vase is drawn from the first furnace, whose rate stays: 30 minutes x 0.6 / 60
    vase = number(results, "cost_after", 1) - number(results, "cost_good", 1)
    assert vase == pytest.approx(0.3) == pytest.approx(number(results, "piece_more_hot", 1))
    assert on_two_sources().value("effect_equipment") is None


def test_without_a_pricing_date_the_latest_of_all_logs_is_taken() -> None:
    later = [{**SMALL_LOG[0], "date": date(2026, 4, 1)}, SMALL_LOG[1]]
    more = [{**shop()["more_furnaces"][0], "log": later}]
    results = run(shop={"pricing_date": None}, more_furnaces=more)
    assert results.value("pricing_date_used") == results.value("pricing_date_used_second") == 46117
    assert results.value("start_last_entry") == 46117


def test_what_a_further_furnace_lacks_is_asked_for_on_its_own_sheets() -> None:
    small = shop()["more_furnaces"][0]
    unweighed = [{**SMALL_LOG[0], "weight": 0.0}, SMALL_LOG[1]]
    for lacks, place in (
        ({"furnace": {}}, "Connected kW or the use of each kind of day, on Furnace 2"),
        ({"log": unweighed}, "The weight charged, on Furnace log 2"),
    ):
        results = run(more_furnaces=[{**small, **lacks}])
        assert place in results.columns["check_first_second"]
        assert place not in results.columns["check_first"]


@pytest.mark.parametrize("seed", range(40, 52))
def test_a_furnace_of_several_is_what_it_is_alone(seed: int) -> None:
    """With a typed pricing date, the whole of the standing charges, and its source as the only one."""
    studio = furnace_studio(seed, 3)
    day = studio.shop.pricing_date or date(2025, 6, 1)
    whole = {"standing_part": 1.0}
    several = studio.model_copy(
        update={
            "shop": studio.shop.model_copy(update={"pricing_date": day}),
            "more_furnaces": tuple(
                more.model_copy(update={"place": more.place.model_copy(update=whole)}) for more in studio.more_furnaces
            ),
        }
    )
    together = compute(several, rooms(3))
    for number_, (word, more) in enumerate(zip(FURNACE_WORDS[1:], several.more_furnaces, strict=False), start=1):
        second = several.second_source if more.source == "Second" else None
        own = {key: getattr(more, key) for key in ("furnace", "wear", "decisions", "day_kinds", "log")}
        parts = {key: getattr(more, key) for key in ("part_kinds", "ledger")}
        energy = {"energy_unit": second.energy_unit, "price_limit": second.limit.price_limit} if second else {}
        alone = several.model_copy(
            update={
                **own,
                **parts,
                **({"tariffs": second.tariffs, "letter": second.letter} if second else {}),
                "shop": several.shop.model_copy(update={**more.melt.model_dump(), **energy}),
                "more_furnaces": (),
                "second_source": None,
            }
        )
        rows = rooms(3).of_furnace(number_)
        tariffs = rooms(3).second if second else SMALL.tariffs
        one = compute(alone, replace(rows, tariffs=tariffs))
        for name in ("period_use", "period_cost", "step_hot", "line_own", "row_wear", "part_uses", "row_standing"):
            assert together.columns[f"{name}_{word}"] == pytest.approx(one.columns[name]), name
        for name in ("price_line_own", "own_yearly", "asked_saves", "best_age", "gap_crossing"):
            assert together.scalars[f"{name}_{word}"] == one.scalars[name], name


def test_each_sheet_says_whose_it_is() -> None:
    results = compute(Studio.model_validate(shop()), ROOM)
    assert results.value("whose_log") == results.value("whose_change_the_pot") == "Furnace 1"
    assert {results.value(f"whose_{sheet}_second") for sheet in ("log", "glass", "decisions")} == {"Furnace 2: Small"}
    assert str(results.value("whose_pictures")).startswith("Furnace 1. All furnaces has the others")


def test_start_has_a_line_for_each_furnace() -> None:
    results = compute(Studio.model_validate(shop()), ROOM)
    # 24 a day for 10 days over 200 lb; 10 a day for 5 days over 20 lb
    assert [str(stands).partition(", with")[0] for stands in results.columns["start_stands"]] == [
        "log to 2026-03-11; every hot day 1.20",
        "log to 2026-03-06; every hot day 2.50",
    ]
    assert [str(stands).rpartition("; ")[2] for stands in results.columns["start_stands"]] == ["6 log rows left"] * 2


@pytest.mark.parametrize(
    ("furnace", "log", "says", "done"),
    [
        ({}, (), "Type the connected kW on Furnace 2, under The furnace and its meter", 0),
        (
            {"connected_kw": 5.0},
            (),
            "Type the opening reading on Furnace 2, under The furnace and its meter (new: 0)",
            0,
        ),
        ({"connected_kw": 5.0, "opening_reading": 0.0}, (), "Log the first days of Small on Furnace log 2", 0),
        (
            {"connected_kw": 5.0, "opening_reading": 0.0},
            SMALL_LOG[:1],
            "Log an Idle day, or any later row, with the meter's reading on Furnace log 2",
            0,
        ),
        ({"connected_kw": 5.0, "opening_reading": 0.0}, SMALL_LOG, "Log the first days of Small on Furnace log 2", 1),
    ],
)
def test_start_leads_through_the_second_furnace(furnace: dict[str, Any], log: Any, says: str, done: int) -> None:
    data = shop(furnace={"opening_reading": 0.0}, people=[{"rate": 20.0}])
    data["more_furnaces"][0] = {**data["more_furnaces"][0], "furnace": furnace, "log": list(log)}
    results = compute(Studio.model_validate(data), ROOM)
    assert results.columns["step_text"][7] == says
    assert results.columns["step_done"][7] == done
    if not done:
        assert results.value("step_waiting") == says


def test_a_second_source_asks_for_its_price_and_names_its_tariffs() -> None:
    data = shop(second_source={"energy_unit": "m³"})
    data["more_furnaces"][0] = {**data["more_furnaces"][0], "source": "Second"}
    results = compute(Studio.model_validate(data), ROOM)
    assert (results.columns["step_text"][7], results.columns["step_done"][7]) == ("Type the unit price on Tariffs 2", 0)
    assert results.value("price_lacks_fuel") == "Type a tariff first."
    assert results.value("price_lacks_day_fuel") == "No tariff is in force on the pricing date: see Tariffs 2."
    assert results.value("price_lacks_day") == "No tariff is in force on the pricing date: see Tariffs."


def test_the_first_check_to_look_at_says_whose_list_it_stands_in() -> None:
    """A gap in the second furnace's log; then two rows of the second source's tariffs out of order, too."""
    gap = [SMALL_LOG[0], {**SMALL_LOG[1], "date": date(2026, 3, 9)}]
    data = shop(
        furnace={"opening_reading": 0.0},
        pieces=[{"name": "Bead", "drawn": 1.0, "minutes": 10.0}],
        channels=[{"name": "Door", "must_earn": "Yes"}],
    )
    data["more_furnaces"][0] = {**data["more_furnaces"][0], "source": "Second", "log": gap}
    backwards = [{"start": date(2026, 2, 1), "price": 1.0}, {"start": date(2026, 1, 1), "price": 1.0}]
    data["second_source"] = {"energy_unit": "m³", "tariffs": backwards}
    both = compute(Studio.model_validate(data), replace(ROOM, log=400))
    assert both.value("next_step") == 'Look at Checks, Furnace 2, the line "No days are missing from the log"'
    assert both.value("first_look") is None
    assert both.value("first_look_fuel") == 'Source 2, the line "Tariffs have dates that rise"'
    data["more_furnaces"][0] = {**data["more_furnaces"][0], "log": SMALL_LOG}
    only_source = compute(Studio.model_validate(data), replace(ROOM, log=400))
    assert only_source.value("next_step") == 'Look at Checks, Source 2, the line "Tariffs have dates that rise"'


@pytest.mark.parametrize("typed", ("first", "second", ""))
def test_new_tariff_asks_for_no_letter_that_is_only_the_other_sources(typed: str) -> None:
    letter = {"letter_start": date(2026, 4, 1), "letter_price": 0.3}
    tariffs = [{"start": date(2026, 1, 1), "price": 0.2}]
    data = shop(letter=letter if typed == "first" else {})
    data["more_furnaces"][0] = {**data["more_furnaces"][0], "source": "Second"}
    data["second_source"] = {"energy_unit": "m³", "tariffs": tariffs, "letter": letter if typed == "second" else {}}
    results = compute(Studio.model_validate(data), ROOM)
    said = {end: str(results.value(f"letter_state{end}")) for end in ("", "_fuel")}
    none = "No letter about this source is typed. If there is one, type from when, and what changes."
    assert (said[""] == none, said["_fuel"] == none) == (typed != "first", typed != "second")
    assert run().value("letter_state") == "Type the letter: from when, and what changes."
