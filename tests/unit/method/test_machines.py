"""Machines worked by hand: what an hour, a day or a load costs, and what a piece pays for it.

Energy costs 0.20 a unit here, and 0.30 under the letter where there is one.
"""

from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from meltbook.method.machines import MachineCost, Machines, UnitPrice, work_out_machines
from meltbook.studio.machines import Machine
from tests.unit.method.studios import melt, run

Row = dict[str, Any]
PRICE = UnitPrice(0.20, 0.30)


def shop(
    *rows: Row, energy: UnitPrice = PRICE, second: UnitPrice | None = None, minutes: float | None = 240
) -> Machines:
    typed = [Machine.model_validate(row) for row in rows]
    prices = {"First": energy} if second is None else {"First": energy, "Second": second}
    return work_out_machines(typed, 4, prices, minutes)


def alone(minutes: float | None = 240, energy: UnitPrice = PRICE, **typed: Any) -> MachineCost:
    """A shop with one machine."""
    return shop({"name": "Kiln", **typed}, minutes=minutes, energy=energy).rows[0]


# --------------------------------------------------------------------------------------------- one machine


def test_by_the_hour() -> None:
    """15 an hour x 0.20 = 3; (5,000 - 1,000) / 10 + 80 = 480 a year over 800 hours is 0.60: 3.60 an hour."""
    hole = alone(feeds="Glory hole", use=15, per="Hour", runs=800, purchase=5000, worth_end=1000, life=10, upkeep=80)
    assert hole.machine_energy == pytest.approx(3)
    assert hole.machine_own_year == pytest.approx(480)
    assert hole.machine_own == pytest.approx(0.6)
    assert hole.machine_cost == pytest.approx(3.6)
    assert (hole.machine_way, hole.machine_part, hole.machine_turns) == (2, 1, 800)
    assert hole.machine_minute == pytest.approx(0.06)
    assert hole.machine_driven_minute == pytest.approx(0.05)
    assert (hole.machine_load, hole.machine_driven_load) == (0, 0)
    assert hole.machine_more == pytest.approx(1.5)  # 15 x (0.30 - 0.20)
    assert hole.machine_more_minute == pytest.approx(0.025)
    assert hole.machine_year_use == 12_000
    assert hole.machine_year_more == pytest.approx(1200)
    assert (hole.machine_ready, hole.machine_says) == (1, "Counted")


def test_by_the_day() -> None:
    """60 a day x 0.20 = 12; over 240 piece minutes 0.05 each. It burns whatever is made: nothing of it is driven."""
    hole = alone(feeds="Glory hole", use=60, per="Day", runs=200)
    assert hole.machine_cost == pytest.approx(12)
    assert (hole.machine_way, hole.machine_part, hole.machine_turns) == (1, 1, 0)
    assert hole.machine_minute == pytest.approx(0.05)
    assert (hole.machine_driven_minute, hole.machine_driven_load) == (0, 0)
    assert hole.machine_more_minute == pytest.approx(6 / 240)
    assert hole.machine_says == "Counted"


def test_by_the_load() -> None:
    """25 a load x 0.20 = 5, and 90 of upkeep over 150 loads: 5.60."""
    annealer = alone(feeds="Annealer", use=25, per="Load", runs=150, upkeep=90)
    assert annealer.machine_load == pytest.approx(5.6)
    assert annealer.machine_driven_load == pytest.approx(5)
    assert annealer.machine_more_load == pytest.approx(2.5)
    assert (annealer.machine_way, annealer.machine_minute) == (3, 0)
    assert annealer.machine_turns == 150


def test_by_the_hour_with_the_hours_of_a_load() -> None:
    """2 an hour x 0.20 = 0.40, and 420 of upkeep over 2,100 hours, 0.20: 0.60 an hour, 14 hours a load 8.40."""
    annealer = alone(feeds="Annealer", use=2, per="Hour", hours=14, runs=2100, upkeep=420)
    assert annealer.machine_cost == pytest.approx(0.6)
    assert annealer.machine_load == pytest.approx(8.4)
    assert annealer.machine_turns == pytest.approx(150)  # 2,100 hours are 150 loads
    assert (annealer.machine_a_load, annealer.machine_a_minute) == (14, 0)


def test_what_its_own_meter_counted_goes_before_what_is_typed() -> None:
    """84 in 60 hours are 1.4 an hour."""
    assert alone(use=99, per="Hour", metered=84, metered_runs=60).machine_use_used == pytest.approx(1.4)
    assert alone(use=99, per="Hour", metered=0, metered_runs=60).machine_use_used == 0
    for unread in ({"metered": 84}, {"metered": 84, "metered_runs": 0}, {"metered_runs": 60}):
        assert alone(use=99, per="Hour", **unread).machine_use_used == 99
    assert alone(per="Hour", metered=84).machine_use_used is None


def test_a_price_of_its_own() -> None:
    """A bottle of gas at 3 a kg: no letter changes it, and it is not on the bill."""
    torch = alone(use=0.5, per="Hour", price=3, runs=100)
    assert torch.machine_energy == pytest.approx(1.5)
    assert (torch.machine_price_used, torch.machine_price_after, torch.machine_more) == (3, 3, 0)
    assert (torch.machine_on_bill, torch.machine_unmetered) == (0, 1)
    assert alone(use=0.5, per="Hour", price=0).machine_energy == 0


def test_hours_of_a_load_are_for_what_is_counted_by_the_hour() -> None:
    day = alone(feeds="Annealer", use=5, per="Day", hours=14)
    assert (day.machine_way, day.machine_load, day.machine_minute) == (1, 0, pytest.approx(1 / 240))
    load = alone(feeds="Annealer", use=5, per="Load", hours=14, runs=28)
    assert (load.machine_load, load.machine_turns) == (pytest.approx(1), 28)
    assert (alone(hours=14).machine_way, alone(hours=14).machine_part) == (0, 0)


def test_without_a_letter_it_costs_what_it_costs_now() -> None:
    kiln = alone(use=10, per="Hour", energy=UnitPrice(0.2))
    assert (kiln.machine_price_after, kiln.machine_more) == (0.2, 0)


@pytest.mark.parametrize(
    ("typed", "says", "ready"),
    [
        ({}, "Choose hour, day or load.", 0),
        ({"per": "Hour"}, "Type its energy, or 0.", 0),
        ({"per": "Hour", "metered": 5}, "Type its energy, or 0.", 0),
        ({"per": "Hour", "use": 5, "purchase": 100}, "Type its life.", 0),
        ({"per": "Hour", "use": 5, "purchase": 100, "life": 0}, "Type its life.", 0),
        ({"per": "Hour", "use": 5, "purchase": 100, "life": 4}, "Type how often it runs in a year.", 0),
        ({"per": "Hour", "use": 5, "upkeep": 1, "runs": 0}, "Type how often it runs in a year.", 0),
        ({"per": "Hour", "use": 5, "purchase": 100, "life": 4, "runs": 50}, "Counted", 1),
        ({"per": "Hour", "use": 5, "purchase": 100, "worth_end": 100, "life": 4}, "Counted", 1),
        ({"per": "Hour", "use": 5, "hours": 0}, "Type the hours of a load.", 0),
        ({"per": "Hour", "use": 0, "hours": 0}, "Counted", 1),
        ({"per": "Day", "use": 5}, "Counted", 1),
    ],
)
def test_what_it_asks_for(typed: Row, says: str, ready: int) -> None:
    kiln = alone(feeds="Annealer", **typed)
    assert (kiln.machine_says, kiln.machine_ready) == (says, ready)


def test_what_it_asks_of_other_sheets() -> None:
    no_tariff = alone(per="Hour", use=5, energy=UnitPrice())
    assert (no_tariff.machine_says, no_tariff.machine_energy) == ("Type a tariff first.", None)
    no_minutes = alone(None, per="Day", use=5, feeds="Glory hole")
    assert (no_minutes.machine_says, no_minutes.machine_minute) == ("Type piece minutes a day on Shop.", 0)
    assert alone(0, per="Day", use=5, feeds="Glory hole").machine_ready == 0


def test_the_cells_in_which_it_asks() -> None:
    kiln = alone(feeds="Annealer", purchase=9)
    assert kiln.machine_asks_use == "Choose hour, day or load."
    assert kiln.machine_asks_own == "Type its life."
    assert kiln.machine_asks_feeds == "Type the hours of a load."
    assert kiln.machine_asks_runs == "Type the hours of a load."  # a purchase without a life wears nothing off yet
    counted = alone(feeds="Annealer", per="Load", use=1)
    asked = (counted.machine_asks_use, counted.machine_asks_own, counted.machine_asks_feeds, counted.machine_asks_runs)
    assert asked == (None, None, "Counted", "Counted")


def test_one_that_feeds_nothing_is_for_the_bill_check() -> None:
    pump = alone(use=3, per="Hour", runs=500)
    assert (pump.machine_feeds_row, pump.machine_part, pump.machine_minute, pump.machine_turns) == (0, 0, 0, 0)
    assert (pump.machine_says, pump.machine_ready, pump.machine_year_use) == ("Counted", 0, 1500)


# ------------------------------------------------------------------------------------------- several machines


def test_two_annealers_share_the_pieces_by_their_loads() -> None:
    """A big one with 100 loads at 6, a small one of 14 hours a load with 4,200 hours at 0.3: 300 loads at 4.20.

    A quarter of the pieces go through the big one: 0.25 x 6 + 0.75 x 4.20 = 4.65 a load.
    """
    machines = shop(
        {"name": "Big", "feeds": "Annealer", "use": 30, "per": "Load", "runs": 100},
        {"name": "Small", "feeds": "Annealer", "use": 1.5, "per": "Hour", "hours": 14, "runs": 4200},
    )
    big, small, *_ = machines.rows
    assert (big.machine_turns, small.machine_turns) == (100, pytest.approx(300))
    assert (big.machine_part, small.machine_part) == (pytest.approx(0.25), pytest.approx(0.75))
    assert big.machine_group_turns == small.machine_group_turns == pytest.approx(400)
    assert small.machine_load == pytest.approx(3.15)
    assert machines.shared[2].cost_load == pytest.approx(4.65)
    assert machines.shared[2].more_load == pytest.approx(4.65 / 2)  # all of it is energy, at half more


def test_two_that_burn_all_day_both_count_whole() -> None:
    day = {"feeds": "Glory hole", "use": 60, "per": "Day"}
    machines = shop({"name": "Big", **day}, {"name": "Small", **day, "use": 30})
    assert [row.machine_part for row in machines.rows] == [1, 1, None, None]
    assert machines.shared[1].cost_minute == pytest.approx((12 + 6) / 240)
    assert machines.shared[1].driven_minute == 0
    assert machines.shared[1].more_minute == pytest.approx((6 + 3) / 240)


def test_one_by_the_hour_and_one_by_the_day_do_not_share() -> None:
    machines = shop(
        {"name": "Hole", "feeds": "Glory hole", "use": 15, "per": "Hour", "runs": 10},
        {"name": "Garage", "feeds": "Glory hole", "use": 60, "per": "Day", "runs": 200},
        {"name": "Drum", "feeds": "Glory hole", "use": 5, "per": "Load", "runs": 30},
    )
    assert [row.machine_part for row in machines.rows[:3]] == [1, 1, 1]
    shared = machines.shared[1]
    assert shared.cost_minute == pytest.approx(0.05 + 0.05)
    assert shared.cost_load == pytest.approx(1)
    assert (shared.driven_minute, shared.driven_load) == (pytest.approx(0.05), pytest.approx(1))


def test_where_several_share_each_says_how_often_it_runs() -> None:
    once = {"feeds": "Annealer", "use": 10, "per": "Load"}
    machines = shop({"name": "Big", **once, "runs": 3}, {"name": "Small", **once}, {"name": "Spare", **once, "runs": 0})
    assert [row.machine_runs_missing for row in machines.rows] == [0, 1, 1, 0]
    assert machines.rows[0].machine_part == pytest.approx(3 / 5)  # meanwhile each of the others counts once
    assert shop({"name": "Only", **once}).rows[0].machine_runs_missing == 0
    all_day = {**once, "per": "Day"}
    assert [row.machine_runs_missing for row in shop({"name": "A", **all_day}, {"name": "B", **all_day}).rows] == [
        0
    ] * 4


def test_a_row_without_a_name() -> None:
    machines = shop({"use": 5}, {"per": "Load"}, {"upkeep": 0}, {})
    assert [row.machine_nameless for row in machines.rows] == [1, 1, 1, 0]
    assert machines.rows[0].machine_cost is None
    assert machines.machines_named == 0
    assert machines.machines_sentence == "No machine typed: the single costs on Shop are used."


def test_the_source_counts_as_typed_only_where_there_are_two() -> None:
    assert shop({"source": "Second"}).rows[0].machine_nameless == 0
    assert shop({"source": "Second"}, second=PRICE).rows[0].machine_nameless == 1


def test_how_many_are_counted() -> None:
    one, other = {"name": "A", "use": 1, "per": "Hour"}, {"name": "B"}
    assert shop(one).machines_sentence == "The one machine is counted."
    assert shop(other).machines_sentence == "0 of 1 machines are counted."
    assert shop(one, other).machines_sentence == "1 of 2 machines are counted."
    assert shop(one, one).machines_sentence == "All 2 machines are counted."
    assert shop(one, one).machines_complete == 2


def test_a_name_that_is_no_equipment_feeds_nothing() -> None:
    """A file that somebody else wrote may say anything; in a spreadsheet, capitals make no difference."""
    typed = Machine(name="A", use=1, per="Hour")
    strange = [typed.model_copy(update={"feeds": word}) for word in ("Forge", "ANNEALER")]
    machines = work_out_machines(strange, 2, {"First": PRICE}, None)
    assert [row.machine_feeds_row for row in machines.rows] == [0, 2]
    assert machines.machines_unknown == 1


# ------------------------------------------------------------------------------------------------ two sources


GAS = UnitPrice(0.05, None)


def test_each_machine_costs_what_its_source_costs() -> None:
    use = {"use": 10, "per": "Hour", "runs": 100}
    machines = shop(
        {"name": "Kiln", **use},
        {"name": "Hole", **use, "source": "Second"},
        {"name": "Oven", **use, "source": "First", "metered": 20, "metered_runs": 4},
        {"name": "Torch", **use, "source": "Second", "price": 1},
        second=GAS,
    )
    assert [row.machine_energy for row in machines.rows] == pytest.approx([2, 0.5, 1, 10])
    assert [row.machine_more for row in machines.rows] == pytest.approx([1, 0, 0.5, 0])
    # the first source bills 1,000 of the kiln and 500 of the oven, which has a meter; the second 1,000 of the hole
    assert (machines.machines_year_use, machines.machines_year_unmetered) == (1500, 1000)
    assert (machines.sources["Second"].everything, machines.sources["Second"].unmetered) == (1000, 1000)
    assert machines.effect_equipment == pytest.approx(150)
    assert machines.effect_equipment_month == pytest.approx(12.5)


def test_a_letter_of_either_source_has_an_effect() -> None:
    machine = {"name": "Kiln", "use": 10, "per": "Hour", "runs": 100}
    assert shop(machine, energy=UnitPrice(0.2), second=GAS).effect_equipment is None
    assert shop(machine, energy=UnitPrice(0.2), second=UnitPrice(0.05, 0.06)).effect_equipment == 0
    assert shop(machine, energy=UnitPrice(0.2)).effect_equipment is None
    assert shop(machine, energy=UnitPrice(None, 0.3)).effect_equipment == 0  # no price now: no difference yet


# ------------------------------------------------------------------------------------------------ in a studio


HOLE: Row = {"name": "Hole", "feeds": "Glory hole", "use": 15, "per": "Hour", "runs": 800, "upkeep": 480}
ANNEALER: Row = {"name": "Box", "feeds": "Annealer", "use": 25, "per": "Load", "runs": 150, "upkeep": 90}
PICK_UP: Row = {"name": "Pick-up", "feeds": "Other equipment", "use": 6, "per": "Hour", "runs": 400}
"""0.06 a minute (0.05 of it energy), 5.60 a load (5 of it energy), and 0.02 a minute."""


def piece(*machines: Row, bowl: Row | None = None, **more: Any) -> Results:
    """A bowl of 1.5 drawn, 10 minutes at the bench and 4 at the pick-up kiln, 20 to a load."""
    typed = {"name": "Bowl", "drawn": 1.5, "minutes": 10, "other_minutes": 4, "per_load": 20, **(bowl or {})}
    shop = {"share_drawn": 0.8, "minutes_a_day": 240}
    return run(**melt(shop=shop, people=[{"rate": 30}], pieces=[typed], machines=list(machines), **more))


def test_a_piece_pays_for_the_machines_it_goes_through() -> None:
    results = piece(HOLE, ANNEALER, PICK_UP)
    assert results.value("cost_glory", 1) == pytest.approx(0.6)  # 10 x 0.06
    assert results.value("cost_anneal", 1) == pytest.approx(0.28)  # 5.60 / 20
    assert results.value("cost_other", 1) == pytest.approx(0.08)  # 4 x 0.02
    # the furnace 1.20, the gaffer 5, and the three
    assert results.value("cost_good", 1) == pytest.approx(1.2 + 5 + 0.6 + 0.28 + 0.08)
    assert results.value("miss_annealing", 1) is None
    assert results.value("piece_glory_used", 1) == 10
    assert piece(HOLE, bowl={"glory_minutes": 3}).value("cost_glory", 1) == pytest.approx(0.18)


def test_the_lowest_cost_has_the_energy_that_a_piece_drives() -> None:
    results = piece(HOLE, ANNEALER, PICK_UP)
    assert results.value("low_equipment", 1) == pytest.approx(10 * 0.05 + 4 * 0.02)
    assert results.value("low_kiln", 1) == pytest.approx(5 / 20)
    assert results.value("low_loads", 1) == 0
    # 1.5 x 0.16 / 0.8 for glass in the pot
    assert results.value("low_good", 1) == pytest.approx(0.3 + 0.58 + 0.25)
    by_load = piece({**HOLE, "per": "Load"})
    assert by_load.value("low_loads", 1) == by_load.value("low_equipment", 1) == pytest.approx(3 / 20)
    all_day = piece({**HOLE, "per": "Day"})
    assert all_day.value("low_equipment", 1) == 0
    assert all_day.value("cost_glory", 1) == pytest.approx(3.6 / 240 * 10)


def test_a_piece_that_has_no_part_of_a_load_misses_its_annealing() -> None:
    results = piece(HOLE, ANNEALER, bowl={"per_load": None})
    assert results.value("miss_annealing", 1) == ", annealing"
    assert piece({**ANNEALER, "use": None}).value("miss_annealing", 1) == ", annealing"


def test_a_new_tariff_moves_what_machines_use() -> None:
    """At 0.30 the furnace costs 0.96 a weight charged, so 1.80 for the bowl's 1.5; machines half more for energy."""
    letter = {"letter_start": "2025-04-01", "letter_price": 0.30}
    results = piece(HOLE, ANNEALER, PICK_UP, letter=letter)
    assert results.value("piece_more_hot", 1) == pytest.approx(0.25 + 0.04)
    assert results.value("piece_more_kiln", 1) == pytest.approx(0.125)
    assert results.value("cost_after", 1) == pytest.approx(7.16 + 0.6 + 0.29 + 0.125)
    # 15 x 800 + 25 x 150 + 6 x 400 = 18,150 a year, at 0.10 more
    assert results.value("effect_equipment") == pytest.approx(1815)
    assert results.value("effect_equipment_month") == pytest.approx(151.25)
    assert piece(HOLE).value("effect_equipment") is None


def test_what_is_lost_on_the_way_makes_the_rise_dearer() -> None:
    """A fifth breaks at the bench, and with a second loss the kiln anneals the rest only."""
    letter = {"letter_start": "2025-04-01", "letter_price": 0.30}
    results = piece(HOLE, ANNEALER, PICK_UP, letter=letter, bowl={"loss": 0.2, "loss_after": 0.1})
    now, after = (results.value(name, 1) for name in ("cost_good", "cost_after"))
    assert isinstance(now, float) and isinstance(after, float)
    assert after - now == pytest.approx((0.6 + 0.29 + 0.8 * 0.125) / (0.8 * 0.9))


def test_a_typed_cost_stays_under_a_new_tariff() -> None:
    letter = {"letter_start": "2025-04-01", "letter_price": 0.30}
    results = piece(HOLE, letter=letter, equipment=[{"cost": 6, "per": "Hour"}])
    assert (results.value("cost_glory", 1), results.value("piece_more_hot", 1)) == (pytest.approx(1), 0)
    assert results.columns["equipment_twice"] == [1, 0, 0]
    ids = results.columns["check_found"]
    assert ids[31:34] == [1, 0, 0]  # equipment_once, equipment_rows, machines_add_up


def test_rows_that_are_not_complete_are_counted() -> None:
    results = piece(ANNEALER, {**ANNEALER, "name": "Old", "runs": None}, {"use": 4})
    assert results.columns["check_found"][31:34] == [0, 2, 0]
    assert results.columns["check_state"][32] == "LOOK"


BILL: Row = {"start": "2025-03-01", "end": "2025-03-10", "use": 2000}
"""Ten days in which the furnace took 1,000."""


def billed(*machines: Row, **bill: Any) -> Results:
    return piece(*machines, bills=[{**BILL, **bill}])


def test_a_bill_takes_the_machines_by_its_days() -> None:
    """18,150 in 365 days are 497.26 in ten."""
    results = billed(HOLE, ANNEALER, PICK_UP)
    assert results.value("bill_furnace", 1) == pytest.approx(1000)
    assert results.value("bill_estimate_used", 1) == pytest.approx(18_150 * 10 / 365)
    assert results.value("bill_known", 1) == pytest.approx(1000 + 18_150 * 10 / 365)


def test_what_is_typed_on_the_bill_goes_before_it() -> None:
    assert billed(HOLE, estimated=70).value("bill_known", 1) == pytest.approx(1070)
    assert billed(HOLE, estimated=0).value("bill_estimate_used", 1) == 0
    assert billed(HOLE, end=None).value("bill_estimate_used", 1) is None


def test_machines_with_a_meter_are_left_out_where_meters_are_on_the_bill() -> None:
    """The pick-up kiln's meter counted 12 in 2 hours: it is in the bill's 30 already."""
    metered = {**PICK_UP, "metered": 12, "metered_runs": 2}
    results = billed(HOLE, metered, metered=30)
    assert results.value("bill_estimate_used", 1) == pytest.approx(12_000 * 10 / 365)
    assert results.value("bill_known", 1) == pytest.approx(1030 + 12_000 * 10 / 365)
    assert billed(HOLE, metered).value("bill_estimate_used", 1) == pytest.approx(14_400 * 10 / 365)
    bottled = {**HOLE, "price": 2.5}
    assert billed(bottled, metered).value("bill_estimate_used", 1) == pytest.approx(2400 * 10 / 365)
