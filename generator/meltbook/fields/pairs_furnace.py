"""Two ways to the figures of the furnace's side: readings, days, tariffs, parts."""

from __future__ import annotations

from meltbook.fields.check_twins import NUMBER
from meltbook.fields.pair import Pair

_KINDS = 'row_kind.all,">0"'
_WITH_DAYS = f'{_KINDS},row_kind.all,"<"&new_meter_kind'


def _last(column: str) -> str:
    """What the last row of the log carries: the row above the line, also where rows were inserted there."""
    return f"INDEX({column}.all,log_cells-1)"


def _readings() -> tuple[Pair, ...]:
    check = "use_adds_up"
    return (
        Pair(
            check,
            "Energy of all rows",
            "IF(meter_code=no_meter_code,SUMPRODUCT(kind_days_logged.all,kind_day_use.all),"
            "SUM(reading_use.all)-last_pending)",
            "SUM(energy_used.all)",
        ),
        Pair(
            check, "Last reading less the first", "SUM(reading_count.all)", f"{_last('reading_base')}-starting_reading"
        ),
        Pair(
            check,
            "Use by the readings",
            "SUM(reading_use.all)",
            "SUMPRODUCT((stretch_close.all=1)*1,reading_count.all,reading_factor.all)",
        ),
        Pair(
            check,
            "Readings and new meters",
            'COUNTIFS(stretch_close.all,">0")',
            f"COUNTIFS({_WITH_DAYS},log_reading.all,{NUMBER})+COUNTIFS(row_kind.all,new_meter_kind)",
        ),
        Pair(check, "Energy a count at the end", "SUM(factor_change.all)+starting_factor", _last("reading_factor")),
        Pair(
            check,
            "Energy a count at first",
            "starting_factor",
            'IF(meter_kind="Hour meter",IF(COUNT(connected_kw)=1,connected_kw,SUM(kw_in_use)),'
            "IF(COUNT(billing_factor)=1,billing_factor,1))",
        ),
        Pair(
            check,
            "kW by amps and volts",
            "SUM(kw_measured)*watts_in_kilowatt",
            "SUM(measured_amps)*SUM(measured_volts)*IF(SUM(measured_phases)>2,three_phase,1)",
        ),
        Pair(
            check,
            "kW by the nameplate, × its volts squared",
            "SUM(kw_nameplate)*SUM(nameplate_volts)^2",
            "IF(SUM(nameplate_volts)=0,0,SUM(nameplate_kw)*SUM(supply_volts)^2)",
        ),
        Pair(check, "Opening reading", "starting_reading", "SUM(opening_reading)"),
        Pair(
            check,
            "Weights of the kinds in a reading",
            "SUM(kind_weight.all)",
            f"SUMIFS(kind_weighting.all,kind_hot.all,1)+SUM(kind_hot.all)"
            f"-COUNTIFS(kind_hot.all,1,kind_weighting.all,{NUMBER})",
        ),
        Pair(check, "Use a day, typed", "SUM(kind_day_use.all)", "SUMIFS(kind_use.all,kind_hot.all,1)"),
        Pair(
            check,
            "Kinds that have a use of their own",
            "own_basis",
            'IF(OR(meter_kind="No meter",kind_weight.2<>kind_weight.4),1,0)',
        ),
        Pair(
            check,
            "Rows of stretches that were read",
            "SUMIFS(rows_since.all,stretch_close.all,1)",
            f"COUNTIFS({_KINDS},stretch_state.all,1)",
        ),
        Pair(
            check,
            "Rows of stretches of one kind",
            'SUMIFS(rows_since.all,stretch_close.all,1,stretch_mix.all,"<"&mixed_kinds)',
            f'COUNTIFS({_KINDS},stretch_state.all,1,stretch_kind.all,"<"&mixed_kinds)',
        ),
        Pair(
            check,
            "Hot rows in stretches of one kind",
            'COUNTIFS(stretch_state.all,1,row_hot_days.all,">0",stretch_kind.all,"<"&mixed_kinds)',
            "SUMPRODUCT((stretch_state.all=1)*(row_hot_days.all>0)*(stretch_kind.all=row_kind.all))",
        ),
        Pair(
            check,
            "Single rows that are said to be mixed",
            'COUNTIFS(stretch_close.all,">0",rows_since.all,1,stretch_mix.all,mixed_kinds)',
        ),
        Pair(
            check,
            "Measured rows",
            "SUM(row_measured.all)",
            f"IF(energy_known=0,0,IF(meter_code=no_meter_code,COUNTIFS({_KINDS},row_priced.all,1),"
            f"COUNTIFS({_KINDS},row_priced.all,1,stretch_state.all,1)))",
        ),
        Pair(
            check,
            "Rows that tell their own use",
            "SUM(row_own.all)",
            "IF(own_basis=1,SUM(row_measured.all),SUMPRODUCT((row_measured.all=1)*(stretch_kind.all=row_kind.all)))",
        ),
    )


def _costs() -> tuple[Pair, ...]:
    check = "cost_adds_up"

    def days(what: str, summed: str, change: str) -> Pair:
        return Pair(
            check,
            what,
            f"IF(log_whole=0,0,{summed}"
            f"+SUMPRODUCT((tariff_key.all<log_starts_on)*(log_starts_on-tariff_key.all),{change}.all))",
            f"IF(log_whole=0,0,SUMPRODUCT((tariff_key.all<log_ends_on)*(log_ends_on-tariff_key.all),{change}.all))",
        )

    return (
        Pair(
            check,
            "Energy cost of all rows",
            "SUM(energy_cost.all)",
            "SUMPRODUCT(energy_used.all,mean_price.all)",
        ),
        days("Price × days, from the first letter on", "SUMPRODUCT(mean_price.all,row_days.all)", "tariff_change"),
        days("Standing charges, from the first letter on", "SUM(row_standing.all)", "tariff_standing_change"),
        Pair(
            check,
            "Rows with a price",
            "SUM(row_priced.all)",
            "IF(SUM(tariff_valid.all)=0,0,COUNTIFS(row_kind.all,"
            '">0",first_day.all,">="&LARGE(tariff_key.all,COUNTIF(tariff_key.all,">0"))))',
        ),
    )


def _days() -> tuple[Pair, ...]:
    check = "days_add_up"
    dated = f'{_KINDS},log_date.all,">0"'
    charge = 'row_kind.all,charge_kind,row_days.all,">0"'
    return (
        Pair(check, "Kinds of the rows", "SUM(row_kind.all)", "SUMPRODUCT(kind_number.all,kind_rows.all)"),
        Pair(
            check,
            "Days",
            f"SUM(row_days.all)+COUNTIFS({_WITH_DAYS},log_days.all,{NUMBER})",
            f"SUMIFS(log_days.all,{_WITH_DAYS})+COUNTIFS({_WITH_DAYS})",
        ),
        Pair(check, "Hot days", "SUM(row_hot_days.all)", "SUMPRODUCT(kind_days_logged.all,kind_hot.all)"),
        Pair(check, "Weighted days", "SUM(weighted_days.all)", "SUMPRODUCT(kind_days_logged.all,kind_weight.all)"),
        Pair(
            check,
            "Charges",
            f"SUM(row_charges.all)+COUNTIFS({charge},log_charges.all,{NUMBER})",
            f"SUMIFS(log_charges.all,{_KINDS})+COUNTIFS({charge})",
        ),
        Pair(
            check,
            "Days by the calendar",
            "IF(COUNTIFS(row_flow_dates.all,1)>0,0,log_ends_on-log_starts_on-SUM(day_gap.all))",
            "IF(COUNTIFS(row_flow_dates.all,1)>0,0,SUM(row_days.all))",
        ),
        Pair(
            check,
            "First days less the dates typed",
            f"SUMIFS(first_day.all,{dated})-SUMIFS(log_date.all,{dated})",
        ),
        Pair(
            check,
            "Kinds running",
            'SUMIFS(run_kind.all,row_days.all,">0")',
            'SUMIFS(row_kind.all,row_days.all,">0")',
        ),
        Pair(
            check,
            "Rows of heat-ups",
            "SUM(row_starts.all)+SUM(heating_again.all)",
            'COUNTIFS(row_kind.all,heatup_kind,row_days.all,">0")',
        ),
        Pair(
            check,
            "Campaigns by their starts",
            _last("campaign_no"),
            "SUM(row_starts.all)+IFERROR(1-INDEX(row_starts.all,MATCH(1,campaign_no.all,0)),0)",
        ),
        Pair(check, "Campaigns", "campaign_count", _last("campaign_no")),
        Pair(
            check,
            "Glass of the rows",
            f"SUM(row_glass.all)+COUNTIFS({_KINDS},log_weight.all,{NUMBER},row_glass.all,0)",
            f"SUMPRODUCT(glass_position.all-1,glass_rows.all)+COUNTIFS({_KINDS},log_weight.all,{NUMBER})",
        ),
        Pair(
            check,
            "Raw glass charged",
            "SUMIFS(glass_charged_cost.all,row_measured.all,1)",
            "SUMPRODUCT(glass_used_weight.all,glass_price_known.all)",
        ),
        Pair(check, "Prices of the glasses", "SUM(glass_price_known.all)", "SUM(glass_price.all)"),
        Pair(
            check,
            "Weight by glass",
            "SUM(glass_used_weight.all)",
            'SUMIFS(log_weight.all,row_measured.all,1,row_glass.all,">0")',
        ),
        Pair(
            check,
            "Weight by glass, in the window",
            "SUM(glass_window_weight.all)",
            'SUMIFS(log_weight.all,row_measured.all,1,row_glass.all,">0",first_day.all,">="&window_low,'
            'first_day.all,"<="&window_high)',
        ),
        Pair(
            check,
            "Glasses charged, and rows of none",
            'glass_gap+COUNTIFS(glass_used_weight.all,">0",glass_price.all,">=0")',
            'COUNTIF(glass_used_weight.all,">0")+COUNTIF(row_fault.all,fault_code.3)',
        ),
        Pair(
            check,
            "Raw glass is known",
            "raw_glass_known",
            "IF(AND(SUMIFS(row_glass.all,row_measured.all,1)>0,glass_gap=0),1,0)",
        ),
    )


def _tariffs() -> tuple[Pair, ...]:
    check, valid = "tariff_adds_up", "tariff_valid.all,1"
    return (
        Pair(
            check,
            "Price of energy, summed by days",
            "tariff_integral.end",
            "tariff_all_in.end*tariff_key.end-SUMPRODUCT(tariff_key.all,tariff_change.all)",
        ),
        Pair(
            check,
            "Service and demand, summed by days",
            "tariff_standing_integral.end",
            "tariff_standing.end*tariff_key.end-SUMPRODUCT(tariff_key.all,tariff_standing_change.all)",
        ),
        Pair(
            check,
            "Shares typed",
            "SUM(tariff_shares.all)",
            "COUNT(tariff_share_one.all,tariff_share_two.all,tariff_share_three.all)",
        ),
        Pair(
            check,
            "Prices by times of use",
            "SUM(tariff_by_share.all)-SUMPRODUCT(tariff_share_three.all,tariff_price_three.all)",
            "SUMPRODUCT(tariff_share_one.all,tariff_price.all)+SUMPRODUCT(tariff_share_two.all,tariff_price_two.all)",
        ),
        Pair(
            check,
            "Prices before surcharge and tax",
            "SUM(tariff_mix.all)",
            f"SUMIFS(tariff_price.all,{valid},tariff_shares.all,0)"
            f'+SUMIFS(tariff_by_share.all,{valid},tariff_shares.all,">0")',
        ),
        Pair(
            check,
            "Surcharge and tax of all letters",
            f"SUMIFS(tariff_all_in.all,{valid})-SUM(tariff_mix.all)",
            f"SUMIFS(tariff_surcharge.all,{valid})+SUMPRODUCT(tariff_mix.all,tariff_tax.all)"
            "+SUMPRODUCT(tariff_valid.all,tariff_surcharge.all,tariff_tax.all)",
        ),
        Pair(check, "Changes of price without a letter", "SUMIFS(tariff_change.all,tariff_valid.all,0)"),
        Pair(
            check,
            "Service and demand of all letters",
            f"SUMIFS(tariff_standing.all,{valid})",
            "SUM(tariff_service_day.all)+SUM(tariff_demand_day.all)"
            "+SUMPRODUCT(tariff_service_day.all,tariff_tax.all)+SUMPRODUCT(tariff_demand_day.all,tariff_tax.all)",
        ),
        Pair(check, "Changes of it without a letter", "SUMIFS(tariff_standing_change.all,tariff_valid.all,0)"),
        Pair(
            check,
            "Service charges in a year",
            "SUM(tariff_service_day.all)*days_in_year",
            "SUMPRODUCT(service_in_year.all,tariff_service_share.all)+SUM(service_in_year.all)"
            f"-SUMIFS(service_in_year.all,tariff_service_share.all,{NUMBER})",
        ),
        Pair(
            check,
            "Demand charges in a year",
            "SUM(tariff_demand_day.all)*days_in_year",
            "(SUMPRODUCT(demand_in_month.all,tariff_demand_share.all)+SUM(demand_in_month.all)"
            f"-SUMIFS(demand_in_month.all,tariff_demand_share.all,{NUMBER}))*months_in_year",
        ),
        Pair(check, "Letters used", "SUM(tariff_valid.all)+SUM(tariff_bad_order.all)", "SUM(tariff_used.all)"),
        Pair(
            check,
            "Dates of the letters less those typed",
            f"SUMIFS(tariff_key.all,{valid})-SUMIFS(tariff_start.all,{valid})",
        ),
        Pair(
            check,
            "Date of the last letter less that typed",
            "IF(OR(SUM(tariff_valid.all)=0,SUM(tariff_bad_order.all)>0),0,tariff_key.end-MAX(tariff_start.all))",
        ),
    )


def _parts() -> tuple[Pair, ...]:
    check, used, retired = "wear_adds_up", "part_used.all,1", "part_is_retired.all,1"
    out_of_service = 'kind_of_part_in_service.all,0,kind_of_part_parts.all,">0"'
    return (
        Pair(check, "Wear of all rows", "SUM(row_wear.all)", "SUMPRODUCT(part_rate.all,part_log_uses.all)"),
        Pair(
            check,
            "Kinds of the parts",
            "SUM(part_kind_row.all)",
            "SUMPRODUCT(kind_of_part_position.all,kind_of_part_rows.all)",
        ),
        Pair(
            check,
            "Parts that count",
            "SUM(part_used.all)",
            f'COUNTIFS(part_kind_row.all,">0",part_installed.all,{NUMBER})',
        ),
        Pair(
            check,
            "Days installed less those typed",
            f"SUM(part_from.all)-SUMIFS(part_installed.all,{used})",
        ),
        Pair(
            check,
            "Days retired less those typed",
            f"SUM(part_end.all)-SUMIFS(part_retired.all,{used})-far_date*(SUM(part_used.all)-SUM(part_is_retired.all))",
        ),
        Pair(
            check,
            "Parts retired",
            "SUM(part_is_retired.all)",
            f"COUNTIFS({used},part_retired.all,{NUMBER})",
        ),
        Pair(
            check,
            "What lives count in",
            "SUM(part_basis_code.all)",
            'SUMPRODUCT(kind_of_part_parts.all*(1+(kind_of_part_basis.all="Hot days")'
            '+2*(kind_of_part_basis.all="Heat-ups")))',
        ),
        Pair(
            check,
            "Uses of all parts",
            "SUM(part_uses.all)",
            f"SUM(part_log_uses.all)+SUMIFS(part_uses_before.all,{used})",
        ),
        Pair(check, "Uses by kind of part", "SUM(kind_of_part_uses.all)", "SUM(part_uses.all)"),
        Pair(check, "Retired by kind of part", "SUM(kind_of_part_retired.all)", "SUM(part_is_retired.all)"),
        Pair(
            check,
            "Expected lives × lives in the mean",
            "SUMPRODUCT(kind_of_part_mean.all,kind_of_part_lives.all)",
            'SUMIFS(kind_of_part_uses.all,kind_of_part_retired.all,">="&lives_needed)'
            '+SUMIFS(kind_of_part_life.all,kind_of_part_retired.all,"<"&lives_needed)',
        ),
        Pair(
            check,
            "Expected lives of all parts",
            "SUM(part_expected.all)",
            f"SUMIFS(part_life.all,{used})+SUM(kind_of_part_lent.all)",
        ),
        Pair(
            check,
            "Lives that costs are shared over",
            "SUM(part_life_used.all)",
            f"SUMIFS(part_uses.all,{retired})+SUMIFS(part_uses.all,{used},part_is_retired.all,0,"
            f"part_expected.all,{NUMBER})+SUM(part_left.all)",
        ),
        Pair(
            check,
            "Rate × life of all parts",
            "SUMPRODUCT(part_rate.all,part_life_used.all)",
            'SUMIFS(part_cost.all,part_life_used.all,">0")',
        ),
        Pair(
            check,
            "Rates by what lives count in",
            "SUM(part_rate_charges.all,part_rate_days.all,part_rate_starts.all)",
            "SUM(part_rate.all)",
        ),
        Pair(check, "Newest of each kind", "SUM(part_newest.all)", 'COUNTIF(kind_of_part_parts.all,">0")'),
        Pair(
            check,
            "Cost of the newest ones",
            "SUM(kind_of_part_newest.all)",
            "SUMIFS(part_cost.all,part_newest.all,1)",
        ),
        Pair(
            check,
            "Costs to price with",
            "SUM(kind_of_part_cost_used.all)",
            "SUM(kind_of_part_cost_now.all)+SUM(kind_of_part_newest.all)"
            f"-SUMIFS(kind_of_part_newest.all,kind_of_part_cost_now.all,{NUMBER})",
        ),
        Pair(
            check,
            "Parts in service",
            "SUM(part_serving.all)",
            f"IF(COUNT(pricing_date_used)=0,0,COUNTIFS({used},"
            'part_from.all,"<="&pricing_date_used,part_end.all,">"&pricing_date_used))',
        ),
        Pair(check, "In service by kind", "SUM(kind_of_part_in_service.all)", "SUM(part_serving.all)"),
        Pair(
            check,
            "Parts that prices go by",
            f'SUM(part_prices.all)+COUNTIFS({out_of_service},kind_of_part_gone.all,"Yes")',
            f"SUM(part_serving.all)+COUNTIFS({out_of_service})",
        ),
        Pair(
            check,
            "Rate to price with × life",
            "SUMPRODUCT(part_now_rate.all,part_expected.all)",
            "SUMPRODUCT(kind_of_part_cost_used.all,kind_of_part_priced.all)",
        ),
        Pair(
            check,
            "Rates to price with, by what lives count in",
            "SUM(part_now_charges.all,part_now_days.all,part_now_starts.all)",
            "SUM(part_now_rate.all)",
        ),
        Pair(
            check,
            "Parts not known",
            "SUM(part_unknown.all)",
            f"SUM(part_used.all)-COUNTIFS({used},part_cost.all,{NUMBER},part_life_used.all,{NUMBER})",
        ),
        Pair(
            check,
            "Parts to price with not known",
            "SUM(part_now_unknown.all)",
            f"SUM(part_prices.all)-COUNTIFS(part_prices.all,1,part_now_rate.all,{NUMBER})",
        ),
        Pair(
            check,
            "Wear is known",
            "wear_known+wear_now_known",
            "IF(SUM(part_used.all)=0,0,(SUM(part_unknown.all)=0)+(SUM(part_now_unknown.all)=0))",
        ),
        Pair(
            check,
            "Parts retired unused",
            "SUM(part_unused_cost.all)",
            f"SUMIFS(part_cost.all,{retired},part_uses.all,0)",
        ),
    )


PAIRS: tuple[Pair, ...] = (*_readings(), *_costs(), *_days(), *_tariffs(), *_parts())
"""Grouped by the check that reports them, in the order of the checks."""
