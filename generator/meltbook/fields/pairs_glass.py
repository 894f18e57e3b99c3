"""Two ways to the figures of the cost of glass: periods, the ladder, and what to price with."""

from __future__ import annotations

from meltbook.fields.check_twins import NUMBER
from meltbook.fields.ladder import STEPS
from meltbook.fields.pair import Pair


def _campaigns(what: str, column: str) -> Pair:
    return Pair("campaigns_add_up", what, f"{column}.1", f'SUMIFS({column}.all,period_number.all,">0")')


def _sum(names: tuple[str, ...]) -> str:
    return f"SUM({','.join(names)})"


def _periods() -> tuple[Pair, ...]:
    check = "campaigns_add_up"
    return (
        _campaigns("Weight of all campaigns", "period_weight"),
        _campaigns("Energy cost of all campaigns", "period_cost"),
        _campaigns("Days of all campaigns", "period_days"),
        Pair(check, "Periods that differ from the log", "SUM(period_apart.all)"),
        Pair(
            check,
            "Energy of all periods",
            "SUM(period_use.all)",
            "SUM(heatup_use.all,charge_use.all,blow_use.all,idle_use.all)",
        ),
        Pair(
            check,
            "Energy cost of all periods",
            "SUM(period_cost.all)",
            "SUM(heatup_cost.all,charge_cost.all,blow_cost.all,idle_cost.all)",
        ),
        Pair(
            check,
            "Sums shown",
            "SUM(weight_shown.all,charges_shown.all,hot_days_shown.all,use_shown.all)",
            "SUM(period_weight.all,period_charges.all,period_hot_days.all,period_use.all)",
        ),
        Pair(check, "Glass of all measured rows", "period_weight.1", "SUMIFS(log_weight.all,row_measured.all,1)"),
        Pair(
            check,
            "Glass of the window",
            "period_weight.3",
            "IF(SUM(window_year_weight)>0,window_year_weight,period_weight.1)",
        ),
        Pair(
            check,
            "Glass of the twelve months",
            "SUM(window_year_weight)"
            '+IF(COUNT(window_end)=0,0,SUMIFS(log_weight.all,row_measured.all,1,first_day.all,">"&window_end))',
            'IF(COUNT(window_end)=0,0,SUMIFS(log_weight.all,row_measured.all,1,first_day.all,">="&window_start))',
        ),
        Pair(
            check,
            "Days of the periods less your dates and the window",
            "day_from.2-chosen_from+day_from.3-window_low+day_to.2-chosen_to+day_to.3-window_high",
        ),
        Pair(
            check,
            "Your dates less those typed",
            "chosen_from-IF(COUNT(period_from,period_to)=0,far_date,SUM(period_from))+chosen_to-IF(COUNT(period_to)=1,period_to,far_date)",
        ),
        Pair(
            check,
            "Window less the twelve months",
            "IF(SUM(window_year_weight)>0,window_low-window_start+window_high-window_end,window_low+window_high-far_date)",
        ),
        Pair(
            check,
            "Days of the twelve months",
            "IF(COUNT(window_end)=0,0,window_end-window_start)",
            "IF(COUNT(window_end)=0,0,MAX(days_in_year-1,MIN(days_in_year,window_end-window_start)))",
        ),
        Pair(
            check,
            "End of the window less the last day that counts",
            "IF(COUNT(window_end)=0,0,window_end-MIN(IF(COUNT(pricing_date)=1,pricing_date,MAX(next_day.all)-1),"
            "MAX(measured_to.all)))",
        ),
        Pair(
            check,
            "Last measured days less next days",
            "SUM(measured_to.all)-SUMIFS(next_day.all,row_measured.all,1)+SUM(row_measured.all)",
        ),
    )


def _ladder() -> tuple[Pair, ...]:
    check = "ladder_adds_up"
    half = len(STEPS) // 2
    mirrors = (
        *((f"Steps shown, all time, {n}", "happened", 1, part) for n, part in ((1, STEPS[:half]), (2, STEPS[half:]))),
        *((f"Steps shown, your dates, {n}", "chosen", 2, part) for n, part in ((1, STEPS[:half]), (2, STEPS[half:]))),
    )
    return (
        Pair(
            check,
            "What all the glass cost",
            "SUMPRODUCT(line_own.all,period_weight.all)",
            "SUM(ladder_amount.all)",
        ),
        Pair(
            check,
            "Melting and blowing days",
            "SUMPRODUCT(step_melt.all,period_weight.all)",
            f"SUMIFS(charge_cost.all,step_melt.all,{NUMBER})+SUMIFS(blow_cost.all,step_melt.all,{NUMBER})",
        ),
        Pair(
            check,
            "Idle days × their use",
            "SUMPRODUCT(idle_use_day.all,own_idle_days.all)",
            "SUM(own_idle_use.all)",
        ),
        Pair(
            check,
            "One more charge × glass",
            "SUMPRODUCT(step_charge.all,own_charge_weight.all)",
            "SUM(charge_more.all)*SUM(price_now)",
        ),
        Pair(
            check,
            "In pieces that sell",
            "SUM(line_sold.all)*SUM(share_good)*IF(COUNT(share_in_pieces)=1,share_in_pieces,SUM(share_drawn))",
            f"SUMIFS(line_own.all,line_sold.all,{NUMBER})",
        ),
        Pair(
            check,
            "Pots and elements",
            "SUM(period_wear.all)",
            'IF(OR(wear_counted="None",wear_known=0),0,'
            'IF(wear_method="Paid",SUM(wear_paid.all),SUM(wear_used_up.all)))',
        ),
        Pair(check, "Used up", "SUM(wear_used_up.all)", "SUM(period_row_wear.all)+SUM(period_unused.all)"),
        Pair(
            check,
            "Parts retired unused",
            "period_unused.1",
            f"SUMIFS(part_unused_cost.all,part_retired.all,{NUMBER})",
        ),
        Pair(check, "Parts paid", "wear_paid.1", f"SUMIFS(part_cost.all,part_installed.all,{NUMBER})"),
        *(
            Pair(
                check,
                what,
                _sum(tuple(f"{prefix}_{step}" for step, _, _ in part)),
                _sum(tuple(f"{column}.{row}" for _, column, _ in part)),
            )
            for what, prefix, row, part in mirrors
        ),
    )


def _per_weight() -> tuple[Pair, ...]:
    """What to price with, each step × the weight that it is per."""
    check, weight = "pricing_adds_up", "SUM(period_weight.3)"
    return (
        Pair(
            check,
            "Pricing date less the day it should be",
            "SUM(pricing_date_used)-IF(COUNT(pricing_date)=1,pricing_date,MAX(0,MAX(next_day.all)-1))",
        ),
        Pair(
            check,
            "Price on the pricing date",
            "SUM(price_now)",
            "IF(COUNT(pricing_date_used)=0,0,INDEX(tariff_all_in.all,MATCH(pricing_date_used,tariff_key.all,1)))",
        ),
        Pair(
            check,
            "Service and demand on the pricing date",
            "SUM(standing_now)",
            "IF(COUNT(pricing_date_used)=0,0,INDEX(tariff_standing.all,MATCH(pricing_date_used,tariff_key.all,1)))",
        ),
        Pair(
            check,
            "Glass in an ordinary year",
            "SUM(year_weight)",
            "IF(COUNT(ordinary_weight)=1,ordinary_weight,IF(SUM(period_days.3)=0,0,"
            "days_in_year/period_days.3*period_weight.3))",
        ),
        Pair(
            check,
            "Every hot day × glass",
            f"SUM(price_hot)*{weight}",
            "COUNT(price_hot)*SUM(period_use.3)*SUM(price_now)",
        ),
        Pair(
            check,
            "Melting and blowing days × glass",
            f"SUM(price_melt)*{weight}",
            "COUNT(price_melt)*SUM(charge_use.3,blow_use.3)*SUM(price_now)",
        ),
        Pair(check, "One more charge", "SUM(price_charge)", "SUM(step_charge.3)"),
        Pair(
            check,
            "Service and demand × glass",
            "SUM(price_standing)*SUM(year_weight)",
            "COUNT(price_standing)*SUM(standing_now)*days_in_year",
        ),
        Pair(
            check,
            "Wear by charges × glass",
            f"SUM(price_wear_charge)*{weight}",
            'IF(wear_counted="None",0,COUNT(price_wear_charge)*SUM(part_now_charges.all)*SUM(period_charges.3))',
        ),
        Pair(
            check,
            "Wear by hot days × glass",
            f"SUM(price_wear_day)*{weight}",
            'IF(wear_counted="None",0,COUNT(price_wear_day)*SUM(part_now_days.all)*SUM(period_hot_days.3))',
        ),
        Pair(
            check,
            "Wear by heat-ups × glass",
            "SUM(price_wear_start)*IF(SUM(period_starts.3)>0,period_weight.3,SUM(period_weight.1))",
            'IF(wear_counted="None",0,COUNT(price_wear_start)*SUM(part_now_starts.all)'
            "*IF(SUM(period_starts.3)>0,period_starts.3,SUM(period_starts.1)))",
        ),
        Pair(check, "Wear, all three", "SUM(price_wear)", "SUM(price_wear_charge,price_wear_day,price_wear_start)"),
        Pair(
            check,
            "Raw glass × glass",
            f"SUM(price_glass)*{weight}",
            "COUNT(price_glass)*SUMPRODUCT(glass_window_weight.all,glass_price_known.all)",
        ),
        Pair(
            check,
            "The furnace itself × glass",
            "SUM(price_own)*SUM(year_weight)",
            "COUNT(price_own)*SUM(own_yearly)",
        ),
        Pair(
            check,
            "The furnace itself, over its life",
            "IF(COUNT(own_yearly)=0,0,(own_yearly-SUM(furnace_maintenance))*SUM(furnace_life))",
            "COUNT(own_yearly)*IF(SUM(furnace_purchase)>0,furnace_purchase-SUM(furnace_worth_end),0)",
        ),
        Pair(
            check,
            "Furnace and raw glass, as the ladder has them",
            f"IF(COUNT(furnace_pool)=0,0,furnace_pool+SUM(price_glass)*{weight})",
            f"SUM(price_line_own)*{weight}",
        ),
        Pair(
            check,
            "In pieces that sell, to price with",
            "SUM(price_line_sold)*SUM(share_good)*IF(COUNT(share_in_pieces)=1,share_in_pieces,SUM(share_drawn))",
            "COUNT(price_line_sold)*SUM(price_line_own)",
        ),
    )


def _rates() -> tuple[Pair, ...]:
    """The rates that pieces are costed with."""
    check = "pricing_adds_up"
    return (
        Pair(
            check,
            "Bench minutes of the window",
            "SUM(window_minutes)",
            "IF(COUNT(window_hours)=1,window_hours,SUM(ordinary_hours)*MIN(1,SUM(period_days.3)/days_in_year))*60",
        ),
        Pair(
            check,
            "Furnace rate × what it is per",
            'SUM(furnace_rate)*IF(furnace_by="Gathers",SUM(period_gathers.3),'
            'IF(furnace_by="Bench minutes",SUM(window_minutes),SUM(period_weight.3)*SUM(share_drawn)))',
            "COUNT(furnace_rate)*SUM(furnace_pool)",
        ),
        Pair(
            check,
            "One more weight drawn × share",
            "SUM(low_rate)*SUM(share_drawn)",
            "COUNT(low_rate)*(IF(COUNT(price_charge)=1,price_charge,SUM(price_melt))+SUM(price_wear_charge))",
        ),
        Pair(
            check,
            "Glass in one gather",
            "SUM(gather_weight_used)",
            "IF(COUNT(gather_weight)=1,gather_weight,IF(SUM(period_gathers.1)=0,0,"
            "SUM(share_drawn)/period_gathers.1*period_weight.1))",
        ),
        Pair(
            check,
            "Rates of people",
            "SUM(gaffer_rate,first_rate,second_rate)",
            "SUM(person_rate.1,person_rate.2,person_rate.3)",
        ),
        Pair(
            check,
            "Rate off the bench",
            "off_rate",
            "IF(COUNT(person_rate.4)=1,person_rate.4,SUM(person_rate.1))",
        ),
        Pair(
            check,
            "People paid by the hour",
            "gaffer_hired+first_hired+second_hired+off_hired",
            'COUNTIF(person_hired.all,"Yes")',
        ),
        Pair(check, "Paid hours per bench hour", "paid_used", "IF(COUNT(paid_factor)=1,paid_factor,1)"),
        Pair(
            check,
            "Overheads in a year",
            "overhead_total",
            'SUM(overhead_amount.all)+SUMIFS(overhead_amount.all,overhead_per.all,"Month")*(months_in_year-1)',
        ),
        Pair(
            check,
            "Overhead of an ordinary year's hours",
            "IF(overhead_total=0,0,SUM(overhead_hour)*SUM(ordinary_hours))",
            "COUNT(overhead_hour)*overhead_total",
        ),
        Pair(
            check,
            "Equipment, a minute of each",
            "SUM(equipment_minute.all)-SUM(equipment_detail_minute.all)"
            f'+SUMIFS(equipment_cost.all,equipment_per.all,"Hour",equipment_hours.all,{NUMBER})/60',
            'SUMIFS(equipment_cost.all,equipment_per.all,"Day")*IF(SUM(minutes_a_day)>0,1/minutes_a_day,0)'
            '+SUMIFS(equipment_cost.all,equipment_per.all,"Hour")/60',
        ),
        Pair(
            check,
            "Equipment, a load of each",
            "SUM(equipment_load.all)-SUM(equipment_detail_load.all)",
            'SUMIFS(equipment_cost.all,equipment_per.all,"Load")'
            '+SUMPRODUCT((equipment_per.all="Hour")*1,equipment_cost.all,equipment_hours.all)',
        ),
        Pair(
            check,
            "Overheads are known",
            "overhead_known",
            "IF(COUNT(overhead_amount.all)=0,0,IF(OR(overhead_total=0,SUM(ordinary_hours)>0),1,0))",
        ),
        Pair(
            check,
            "Ownership is known",
            "own_known",
            "IF(COUNT(furnace_purchase)=0,0,IF(OR(furnace_purchase=0,SUM(furnace_life)>0),1,0))",
        ),
        Pair(
            check,
            "Equipment whose cost is known",
            "SUM(equipment_known.all)"
            "-SUMPRODUCT((equipment_detail.all>0)*(equipment_detail.all=equipment_detail_ready.all))",
            "COUNTIFS(equipment_cost.all,0)"
            "+SUMPRODUCT((equipment_detail.all=0)*(equipment_minute.all+equipment_load.all>0))",
        ),
        Pair(
            check,
            "Equipment that a piece drives",
            "SUM(equipment_driven_minute.all,equipment_driven_load.all)"
            '+SUMIFS(equipment_minute.all,equipment_detail.all,0,equipment_per.all,"Day")',
            "SUMIFS(equipment_minute.all,equipment_detail.all,0)+SUMIFS(equipment_load.all,equipment_detail.all,0)"
            '+SUMIFS(equipment_fed_low.all,equipment_detail.all,">0")',
        ),
    )


PAIRS: tuple[Pair, ...] = (*_periods(), *_ladder(), *_per_weight(), *_rates())
"""Grouped by the check that reports them, in the order of the checks."""
