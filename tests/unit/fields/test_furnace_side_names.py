"""Each chapter of the furnace's side declares what it is for: what goes missing is seen here by its name."""

from __future__ import annotations

import pytest

from meltbook.fields import BookContext, letter

from .furnace_side import SMALL, vocabulary

FIELDS = vocabulary()
CONTEXT = BookContext("lb", "USD", 2, SMALL)

CONSTANTS = """
days_in_year months_in_year hours_in_day three_phase far_date far_campaign watts_in_kilowatt weight_in_kg melt_heat
batch_heat kilojoules_in_kwh money_digits book_version log_rows_made jump_limit rows_low close_enough
lives_needed mixed_kinds heatup_kind charge_kind blow_kind idle_kind cold_kind new_meter_kind
no_meter_code lost_stretch waiting_stretch window_code campaign_code
"""
METER = """
meter_kind opening_reading connected_kw measured_amps measured_volts measured_phases measured_on
nameplate_kw nameplate_volts supply_volts kw_measured kw_nameplate kw_in_use meter_code energy_known
starting_factor starting_reading weights_differ own_basis
meter_row meter_step meter_done opening_step opening_done charge_done reading_step reading_done
billing_factor heat_content heat_content_in heat_content_on unit_in_kwh heat_factor heat_in_unit
"""
LOG = """
log_rows_used log_rows_free log_last_day waiting_rows use_not_placed log_cells last_pending campaign_count
starts_all last_measured_day
"""
LATE = """
letter_difference late_rows late_waiting late_energy late_standing late_logged late_words late_waits late_note
"""
TARIFF = """
pricing_date price_limit pricing_date_used pricing_row price_now price_now_from standing_now tariff_newest
price_lacks price_lacks_day
"""
MELT = """
share_drawn share_in_pieces share_good ordinary_weight period_from period_to cullet_share furnace_purchase
furnace_worth_end furnace_life furnace_maintenance chosen_from chosen_to dates_words window_end window_start
window_year_weight window_low window_high window_first window_last ends_share raw_glass_known glass_gap heat_to_melt
furnace_efficiency period_overrun own_known own_yearly year_weight price_charge price_melt price_hot
price_standing starts_a_weight charges_a_weight days_a_weight price_wear_charge price_wear_day
price_wear_start price_wear price_glass price_own price_line_standing price_line_wear price_line_glass
price_line_own price_line_sold gap_charge gap_melt gap_hot gap_standing gap_wear gap_glass gap_own
"""
MIRRORS = """
charge melt hot standing wear glass own line_standing line_wear line_glass line_own line_sold
"""
WEAR = "wear_method wear_counted parts_used wear_known wear_now_known lost_early_total"

TABLES = {
    "meter_steps": "meter_name meter_asks meter_under",
    "heat_units": "heat_unit heat_unit_kwh",
    "day_kinds": "kind_name kind_hot kind_weighting kind_use kind_weight kind_day_use",
    "log": """
        log_date log_kind log_days log_charges log_reading log_new_kw log_weight log_glass log_gathers
        log_note log_day_shown log_energy_shown log_cost_shown log_campaign_shown log_status row_kind
        row_days first_day next_day row_hot_days row_charge_default row_charges weighted_days
        reading_factor reading_base stretch_close days_since hot_since hours_over reading_use use_to_share use_pending
        stretch_state use_per_day energy_used stretch_mix stretch_kind tariff_first tariff_last row_priced
        price_to_first price_to_next mean_price energy_cost standing_to_first standing_to_next
        row_standing run_kind row_starts campaign_no row_measured row_own measured_to row_past row_glass
        glass_charged_cost wear_a_charge wear_a_day wear_a_start row_wear day_gap row_typed
        row_bad_numbers row_number_fault row_other_fault row_fault row_flow_dates row_flow_reading
        row_flow_rest row_flow
        reading_count factor_change rows_since heating_again own_total days_total row_total
        late_days late_change
    """,
    "fault_list": "fault_code fault_word",
    "flow_list": "flow_code flow_word",
    "tariffs": """
        tariff_start tariff_price tariff_price_two tariff_price_three tariff_share_one tariff_share_two
        tariff_share_three tariff_surcharge tariff_tax tariff_service tariff_service_per
        tariff_service_share tariff_demand tariff_demand_kw tariff_demand_share tariff_block tariff_letter
        tariff_valid tariff_shares tariff_by_share tariff_mix tariff_key tariff_all_in tariff_change
        tariff_integral tariff_service_day tariff_demand_day tariff_standing tariff_standing_change
        service_in_year demand_in_month
        tariff_standing_integral tariff_used tariff_bad_order tariff_bad_share tariff_jump
        tariff_no tariff_line tariff_kept tax_dropped service_dropped demand_dropped
    """,
    "glasses": """
        glass_name glass_price glass_position glass_price_known glass_used_weight glass_window_weight
    """,
    "periods": """
        period_code period_number period_title period_label campaign_from campaign_to campaign_test
        day_from day_to period_rows period_weight period_charges period_gathers period_days
        weight_shown charges_shown hot_days_shown use_shown
        period_hot_days period_starts heatup_days charge_days blow_days idle_days cold_days heatup_use
        charge_use blow_use idle_use heatup_cost charge_cost blow_cost idle_cost own_charge_use
        own_charge_days own_charge_weight own_idle_use own_idle_days period_standing period_glass
        period_row_wear period_use period_cost campaign_first period_part_from period_part_to
        period_unused wear_used_up wear_paid period_wear idle_use_day step_charge step_melt step_hot
        step_standing step_wear step_glass step_own line_standing line_wear line_glass line_own line_sold
        use_a_weight use_a_day cost_a_day cost_a_charge share_heatup share_charge share_blow share_idle
    """,
    "part_kinds": """
        kind_of_part_name kind_of_part_basis kind_of_part_life kind_of_part_cost_now kind_of_part_gone
        kind_of_part_position kind_of_part_retired kind_of_part_uses kind_of_part_mean kind_of_part_newest
        kind_of_part_cost_used kind_of_part_in_service kind_of_part_again kind_of_part_word kind_of_part_speaking
        kind_of_part_since kind_of_part_next_cost kind_of_part_through kind_of_part_of kind_of_part_to_go
        kind_of_part_left_words kind_of_part_past_words kind_of_part_so_far_words kind_of_part_says
    """,
    "ledger": """
        part_name part_installed part_retired part_cost part_uses_before part_life part_why part_note
        part_order part_kind_row part_used part_from part_end part_is_retired part_basis_code
        part_log_charges part_log_days part_log_starts part_log_uses part_uses part_expected
        part_life_used part_rate part_rate_charges part_rate_days part_rate_starts part_unused_cost
        part_used_up part_left part_lost_early part_unknown part_serving part_tied part_newest part_prices
        part_now_rate part_now_charges part_now_days part_now_starts part_now_unknown part_fault
        part_later_serving part_below_serving part_speaks
    """,
}
ROWS = {
    "meter_steps": 4,
    "heat_units": 4,
    "day_kinds": 6,
    "log": SMALL.log,
    "fault_list": 5,
    "flow_list": 9,
    "tariffs": SMALL.tariffs,
    "glasses": SMALL.glasses,
    "periods": 3 + SMALL.campaigns,
    "part_kinds": SMALL.part_kinds,
    "ledger": SMALL.ledger,
}


def test_single_figures() -> None:
    mirrors = {f"{side}_{step}" for side in ("happened", "chosen") for step in MIRRORS.split()}
    named = set((CONSTANTS + METER + LOG + LATE + TARIFF + MELT + WEAR).split()) | mirrors
    letters = {item.name for item in letter.scalars(CONTEXT)}  # named one by one in test_tariff_change
    assert set(FIELDS.scalars) == named | letters


def test_tables() -> None:
    assert set(FIELDS.tables) == set(TABLES)


@pytest.mark.parametrize("name", TABLES)
def test_columns(name: str) -> None:
    table = FIELDS.tables[name]
    assert {item.name for item in table.columns} == set(TABLES[name].split())
    assert table.rows == ROWS[name]
    assert table.seeded == table.grows == (name in ("log", "tariffs", "ledger"))
