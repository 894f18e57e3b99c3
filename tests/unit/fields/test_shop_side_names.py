"""Each chapter of the shop's side declares what it is for: what goes missing is seen here by its name."""

from __future__ import annotations

import pytest

from meltbook.fields import (
    check_counts,
    check_pairs,
    checks,
    collect,
    equipment,
    hire,
    machines,
    machines_again,
    made,
    picture,
    piece_costs,
    piece_low,
    pieces,
    prices,
    ranking,
    shop,
    start,
    tags,
)
from meltbook.fields.chapters_b import CHAPTERS
from meltbook.fields.check_list import CHECKS
from meltbook.fields.check_pairs import PAIRS
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Input
from meltbook.studio.capacity import CHANNEL_SLOTS, Capacity

CONTEXT = BookContext("kg", "EUR", 2, Capacity(pieces=7, campaigns=3))

SCALARS = {
    shop: """studio_name weight_unit sales_tax tax_inside ordinary_hours window_hours paid_factor
        minutes_a_day gather_weight furnace_by tag_step tag_ending made_when recovery_tolerance
        rank_channel picture_piece
        gaffer_rate first_rate second_rate off_rate gaffer_hired first_hired second_hired off_hired paid_used
        overhead_total overhead_lines overhead_known overhead_hour""",
    pieces: """gather_weight_used furnace_pool window_minutes rate_weight rate_gather rate_minute furnace_rate
        rent_not_earned low_energy low_energy_note low_rate""",
    prices: "must_blocked must_count ways_legend",
    tags: "tag_factor tag_step_used tag_ending_used money_step",
    ranking: """rank_slot rank_factor rank_costs rank_replaced pieces_named pieces_final list_count list_held
        list_sentence list_tax_note""",
    made: """made_known made_period made_weight made_charges made_melt_days made_hot_days made_log_gathers
        made_pieces made_gathers_total made_glass_total made_value_total made_furnace_total made_gather_share
        made_glass_share made_a_charge made_a_melt_day made_a_hot_day made_pool made_recovered""",
    hire: """hire_day_typed hire_open_hours hire_sold hire_attendant hire_loads hire_margin hire_price
        hire_day hire_furnace hire_equipment hire_overhead hire_shop_hour hire_annealing hire_open_hour
        hire_missing hire_hour hire_needed hire_ask hire_net hire_left hire_margin_now hire_glass hire_own
        hire_sentence""",
    picture: """picture_row picture_name picture_net slice_glass slice_furnace slice_colour slice_labour
        slice_equipment slice_materials slice_overhead slice_losses slice_packing slice_channel slice_left
        slice_tax slice_tag""",
    machines: """machines_named machines_complete machines_unknown machines_words machines_sentence effect_equipment
        effect_equipment_month machines_year_use machines_year_unmetered""",
    checks: "checks_total checks_failing checks_notes checks_state checks_begun checks_calm",
    start: """next_step first_look step_waiting start_tag suggested_amount suggested_words start_margin must_row
        start_percent start_last_entry start_cost_hot start_cost_line start_pieces_final ladder_sentence
        kinds_sentence piece_sentence""",
}

COLUMNS = {
    (shop, "people"): "person_role person_rate person_hired",
    (shop, "overheads"): "overhead_name overhead_category overhead_amount overhead_per overhead_yearly",
    (equipment, "equipment"): """equipment_name equipment_cost equipment_per equipment_hours equipment_no
        equipment_detail equipment_detail_ready equipment_detail_minute equipment_detail_load equipment_typed_minute
        equipment_minute equipment_load equipment_driven_minute equipment_driven_load equipment_more_minute
        equipment_more_load equipment_counted equipment_known equipment_twice equipment_day_minute
        equipment_open_hour""",
    (hire, "courses"): """course_name course_seats course_hours course_prep course_pay course_glass course_materials
        course_load course_packing course_empty course_fee course_margin course_price course_named course_nameless
        course_paying course_shop course_fixed course_student course_cost course_needed course_ask course_net
        course_over course_leaves course_margin_now course_even course_hour course_says""",
    (hire, "courses_again"): "course_brings course_takes",
    (machines, "machines"): """machine_name machine_feeds machine_use machine_per machine_hours machine_metered
        machine_metered_runs machine_price machine_runs machine_purchase machine_worth_end machine_life machine_upkeep
        machine_named machine_feeds_row machine_use_used machine_price_used machine_price_after machine_energy
        machine_own_year machine_own machine_cost machine_way machine_turns machine_group_turns machine_part
        machine_a_minute machine_a_load machine_minute machine_load machine_driven_minute machine_driven_load
        machine_more machine_more_minute machine_more_load machine_year_use machine_on_bill machine_unmetered
        machine_year_more machine_ready machine_says machine_nameless machine_runs_missing""",
    (machines_again, "machines_again"): """machine_run_count machine_a_life machine_runs_again machine_turns_shared
        machine_load_hours machine_no_life""",
    (machines_again, "equipment_again"): """equipment_fed equipment_fed_cost equipment_fed_low equipment_fed_ready
        equipment_ways""",
    (
        pieces,
        "pieces",
    ): """piece_position piece_name piece_size piece_order piece_glass piece_drawn piece_gathers
        piece_finished piece_recovered piece_colour_weight piece_colour_price piece_colour_waste
        piece_materials
        piece_minutes piece_first_minutes piece_second_minutes piece_off_minutes piece_glory_minutes
        piece_other_minutes piece_per_load piece_load_share piece_loss piece_seconds piece_second_value
        piece_loss_after piece_seconds_after piece_second_value_after piece_packing piece_made piece_tag
        piece_listed piece_sold_one piece_sold_two piece_sold_three piece_sold_four piece_sold_five piece_sold_six""",
    (piece_costs, "piece_costs"): """piece_drawn_used cost_furnace piece_furnace_units piece_glass_row
        piece_glass_price cost_glass cost_colour cost_gaffer cost_first cost_second cost_off piece_load_part
        piece_glory_used
        cost_glory cost_anneal cost_other cost_materials cost_overhead spent_hot spent_kiln kiln_share
        good_share
        seconds_credit spent_started cost_before_packing cost_loss cost_packing cost_good cost_lines""",
    (
        piece_low,
        "piece_low",
    ): """low_loads low_equipment low_hot low_kiln low_good own_cost_hot own_cost_kiln cost_not_own
        bench_hours_good own_hours_good miss_rent miss_losses miss_annealing miss_wear miss_glass miss_own
        piece_missing_list piece_missing piece_final""",
    (prices, "channels"): """channel_name channel_tag_share channel_commission channel_fee channel_fee_base
        channel_fixed_fee channel_postage_paid channel_postage_charged channel_lost_share channel_lost_how
        channel_margin channel_must_earn channel_used channel_tag_part channel_base_code channel_left
        channel_refunded channel_replaced channel_factor channel_costs channel_open channel_can
        channel_must channel_stuck channel_no channel_legend channel_rank""",
    **{
        (prices, f"channel_{slot}"): " ".join(
            f"{word}_{slot}"
            for word in (
                *("sells", "tag_exact", "net", "margin", "must_tag"),
                *("must_margin", "lowest", "left", "earn", "losing"),
            )
        )
        for slot in CHANNEL_SLOTS
    },
    (tags, "piece_prices"): """tag_wanted tag_cents tag_suggested tag_in_force tag_plain margin_worst tag_gap
        lowest_worst must_here must_stuck open_here losing_ways losing_way loses_where""",
    (ranking, "piece_ranks"): "rank_sold left_ranked rank_key rank_place shelf_shown shelf_key shelf_place",
    (ranking, "ranking"): """ranking_no ranking_row ranking_name ranking_left ranking_tag ranking_minutes""",
    (ranking, "price_list"): "list_no list_row list_name list_size list_tag",
    (made, "piece_made"): "made_count made_gathers made_glass made_value made_furnace",
    (check_counts, "piece_checks"): "piece_twice piece_nameless tag_losing sold_nowhere_row",
    (check_counts, "log_below"): "log_below_date log_below_kind",
    (check_pairs, "slot_sums"): "slot_left slot_sells slot_sells_again",
    (checks, "checks"): """check_id check_title check_found check_level check_state check_look check_first
        check_do""",
    (start, "start_steps"): "step_text step_done",
}

CHECK_IDS = """log_kinds log_numbers log_dates log_gaps readings_back meter_hours gas_factor meter_change
    use_unplaced tariff_cover
    tariff_order tariff_shares tariff_size tariff_block charges_asked waiting glass_names part_rows
        log_formulas
    log_rows use_adds_up cost_adds_up days_add_up tariff_adds_up wear_adds_up campaigns_add_up ladder_adds_up
    pricing_adds_up
    shop_numbers inputs_missing piece_names equipment_once equipment_rows machines_add_up piece_costs_add_up
    prices_add_up ranking_adds_up unknown_names
    furnace_recovered log_room below_last tax_asked course_rows hire_adds_up
    stray_prices sold_nowhere list_full letter_size tariff_dropped"""
NOTES = {
    *("gas_factor", "tariff_block", "charges_asked", "waiting", "furnace_recovered", "tax_asked"),
    *("stray_prices", "sold_nowhere", "list_full", "letter_size", "tariff_dropped"),
}

PIECE_TABLES = ("piece_costs", "piece_low", "piece_prices", "piece_ranks", "piece_made", "piece_checks")


@pytest.mark.parametrize("chapter", SCALARS, ids=lambda chapter: chapter.__name__.rpartition(".")[2])
def test_a_chapter_has_its_single_figures(chapter: object) -> None:
    declared = collect([chapter], CONTEXT).scalars  # type: ignore[list-item]
    assert not set(SCALARS[chapter].split()) - set(declared)  # type: ignore[index]


@pytest.mark.parametrize(("chapter", "table"), COLUMNS, ids=lambda part: part if isinstance(part, str) else "")
def test_a_table_has_its_columns(chapter: object, table: str) -> None:
    declared = collect([chapter], CONTEXT).tables[table]  # type: ignore[list-item]
    names = {item.name for item in declared.columns}
    assert not set(COLUMNS[chapter, table].split()) - names  # type: ignore[index]


def test_pieces_share_their_rows_with_all_that_is_worked_out_of_them() -> None:
    declared = collect(CHAPTERS, CONTEXT).tables
    for name in (*PIECE_TABLES, *(f"channel_{slot}" for slot in CHANNEL_SLOTS)):
        assert declared[name].aligned == "pieces" and declared[name].rows == 7


def test_the_checks_stand_in_their_order() -> None:
    assert [check.key for check in CHECKS] == CHECK_IDS.split()
    assert {check.key for check in CHECKS if not check.fault} == NOTES
    assert {pair.check for pair in PAIRS} <= {check.key for check in CHECKS}


def test_every_number_that_is_typed_outside_the_log_is_watched() -> None:
    watched = " ".join(collect([check_counts], CONTEXT).columns["number_texts"][1].formulas)  # type: ignore[attr-defined]
    declared = collect(check_counts.WATCHED, CONTEXT)
    for name, item in (*declared.scalars.items(), *((n, i) for n, (_, i) in declared.columns.items())):
        if isinstance(item, Input) and item.shape.value != "text":
            assert watched.count(name) >= 2, name


def test_the_weight_and_the_currency_are_those_of_the_book() -> None:
    declared = collect([shop], CONTEXT).scalars
    assert declared["weight_unit"].values == ("kg",)  # type: ignore[attr-defined]
    assert declared["currency_code"].values == ("EUR",)  # type: ignore[attr-defined]
