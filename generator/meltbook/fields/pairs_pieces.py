"""Two ways to the figures of the pieces: their costs, their tags, and the lists."""

from __future__ import annotations

from meltbook.fields.check_twins import NUMBER
from meltbook.fields.pair import Pair
from meltbook.studio.capacity import CHANNEL_SLOTS

_NAMED = "piece_named.all,1"


def _typed(column: str, *more: str) -> str:
    """All that is typed in a column for pieces that have a name."""
    return f"SUMIFS({','.join((f'piece_{column}.all', _NAMED, *more))})"


def _lines() -> tuple[Pair, ...]:
    check = "piece_costs_add_up"
    loads = f'{_NAMED},piece_per_load.all,">0"'
    return (
        Pair(check, "One good one of each piece", "SUM(cost_good.all)", "SUM(cost_lines.all)"),
        Pair(check, "Pieces with a name", "pieces_named", "SUM(piece_named.all)"),
        Pair(
            check,
            "Glass drawn",
            f"SUM(piece_drawn_used.all)+{_typed('gathers', 'piece_drawn.all', NUMBER)}*SUM(gather_weight_used)",
            f"{_typed('drawn')}+gathers_typed*SUM(gather_weight_used)",
        ),
        Pair(
            check,
            "Units of furnace",
            "SUM(piece_furnace_units.all)",
            'IF(furnace_by="Gathers",gathers_typed,IF(furnace_by="Bench minutes",minutes_typed,'
            "SUM(piece_drawn_used.all)))",
        ),
        Pair(check, "Furnace", "SUM(cost_furnace.all)", "SUM(piece_furnace_units.all)*SUM(furnace_rate)"),
        Pair(
            check,
            "Glasses of the pieces",
            "SUM(piece_glass_row.all)",
            "SUMPRODUCT(glass_position.all-1,glass_pieces.all)+pieces_named-COUNTIF(piece_glass_row.all,0)",
        ),
        Pair(
            check,
            "Prices of their glass",
            "SUM(piece_glass_price.all)",
            "SUMPRODUCT(glass_price_known.all,glass_taken.all)",
        ),
        Pair(
            check,
            "Raw glass",
            "SUM(cost_glass.all)+SUMPRODUCT(piece_glass_price.all,piece_drawn_used.all,piece_recovered.all)",
            "SUMPRODUCT(piece_glass_price.all,piece_drawn_used.all)"
            "+SUMPRODUCT(piece_glass_price.all,piece_kept.all,piece_recovered.all)",
        ),
        Pair(
            check,
            "Colour",
            "SUM(cost_colour.all)"
            "-SUMPRODUCT(piece_named.all,piece_colour_weight.all,piece_colour_waste.all,piece_colour_price.all)",
            "SUMPRODUCT(piece_named.all,piece_colour_weight.all,piece_colour_price.all)",
        ),
        Pair(check, "Gaffer × 60", "SUM(cost_gaffer.all)*60", "minutes_typed*SUM(gaffer_rate)*paid_used"),
        Pair(
            check,
            "Assistants × 60",
            "SUM(cost_first.all,cost_second.all)*60",
            f"({_typed('first_minutes')}*first_rate+{_typed('second_minutes')}*second_rate)*paid_used",
        ),
        Pair(check, "Off-bench work × 60", "SUM(cost_off.all)*60", f"{_typed('off_minutes')}*off_rate"),
        Pair(
            check,
            "All labour",
            "SUM(cost_labour.all)",
            "SUM(cost_gaffer.all,cost_first.all,cost_second.all,cost_off.all)",
        ),
        Pair(
            check,
            "Parts of a load, typed",
            f"SUMIFS(piece_load_part.all,piece_load_share.all,{NUMBER})",
            _typed("load_share"),
        ),
        Pair(
            check,
            "Parts of a load × pieces a load",
            f"SUMPRODUCT(piece_load_part.all,piece_per_load.all)+COUNTIFS({loads},piece_load_share.all,{NUMBER})",
            f"COUNTIFS({loads})+SUMPRODUCT(piece_named.all,piece_load_share.all,piece_per_load.all)",
        ),
        Pair(
            check,
            "Glory hole",
            "SUM(cost_glory.all)-SUM(piece_load_part.all)*equipment_load.1"
            f"+{_typed('minutes', 'piece_glory_minutes.all', NUMBER)}*equipment_minute.1",
            f"({_typed('glory_minutes')}+minutes_typed)*equipment_minute.1",
        ),
        Pair(
            check,
            "Annealing",
            "SUM(cost_anneal.all)-SUM(piece_load_part.all)*equipment_load.2",
            "minutes_typed*equipment_minute.2",
        ),
        Pair(
            check,
            "Other equipment",
            "SUM(cost_other.all)-SUM(piece_load_part.all)*equipment_load.3",
            f"{_typed('other_minutes')}*equipment_minute.3",
        ),
        Pair(
            check,
            "Materials and packing",
            "SUM(cost_materials.all,cost_packing.all)",
            f"{_typed('materials')}+{_typed('packing')}",
        ),
        Pair(check, "Overhead × 60", "SUM(cost_overhead.all)*60", "minutes_typed*SUM(overhead_hour)"),
    )


def _losses() -> tuple[Pair, ...]:
    check = "piece_costs_add_up"
    costed = f"cost_before_packing.all,{NUMBER}"
    return (
        Pair(
            check,
            "Shares that come out good",
            f"SUM(good_share.all)+{_typed('loss')}+{_typed('loss_after')}",
            "SUM(piece_named.all)+SUMPRODUCT(piece_named.all,piece_loss.all,piece_loss_after.all)",
        ),
        Pair(
            check,
            "Shares that reach the kiln",
            "SUM(kiln_share.all)",
            f"SUM(piece_named.all)-{_typed('loss', 'piece_loss_after.all', NUMBER)}",
        ),
        Pair(
            check,
            "Seconds bring",
            "SUM(seconds_credit.all)+SUMPRODUCT(piece_named.all,piece_loss.all,piece_later.all)",
            "SUMPRODUCT(piece_named.all,piece_loss.all,piece_seconds.all,piece_second_value.all)"
            "+SUMIFS(piece_later.all,piece_named.all,1)",
        ),
        Pair(
            check,
            "Spent from the kiln on",
            "SUM(spent_kiln.all)",
            "SUM(cost_anneal.all)+SUM(cost_off.all)",
        ),
        Pair(
            check,
            "Before packing × good share, with seconds",
            f"SUMPRODUCT(cost_before_packing.all,good_share.all)+SUMIFS(seconds_credit.all,{costed})",
            f"SUMIFS(spent_hot.all,{costed})+SUMPRODUCT(piece_costed.all,kiln_share.all,spent_kiln.all)",
        ),
        Pair(
            check,
            "Hired hands",
            "SUM(low_hands.all)",
            "SUM(cost_gaffer.all)*gaffer_hired+SUM(cost_first.all)*first_hired+SUM(cost_second.all)*second_hired",
        ),
        Pair(
            check,
            "Driven equipment",
            "SUM(low_equipment.all)+SUM(low_kiln.all)-SUM(cost_off.all)*off_hired"
            f"-{_typed('other_minutes')}*equipment_driven_minute.3",
            "SUM(piece_glory_used.all)*equipment_driven_minute.1+minutes_typed*equipment_driven_minute.2"
            "+SUM(piece_load_part.all)*SUM(equipment_driven_load.all)",
        ),
        Pair(
            check,
            "Least at the bench",
            "SUM(low_hot.all)-SUMIFS(low_hands.all,piece_low_known.all,1)-SUMIFS(low_equipment.all,piece_low_known.all,1)",
            "SUMPRODUCT(piece_low_known.all,piece_drawn_used.all)*SUM(low_rate)+SUMIFS(cost_glass.all,"
            "piece_low_known.all,1)+SUM(least_typed)",
        ),
        Pair(
            check,
            "Least for a good one × good share, with seconds",
            "SUMPRODUCT(low_good.all,good_share.all)+SUMIFS(seconds_credit.all,piece_low_known.all,1)",
            "SUM(low_hot.all)+SUMPRODUCT(piece_low_known.all,kiln_share.all,low_kiln.all)"
            "+SUMPRODUCT(piece_low_known.all,cost_packing.all,good_share.all)",
        ),
        Pair(
            check,
            "Bench hours × good share × 60",
            "SUMPRODUCT(bench_hours_good.all,good_share.all)*60",
            _typed("minutes"),
        ),
        Pair(
            check,
            "All but own pay × good share",
            "SUMPRODUCT(cost_not_own.all,good_share.all)",
            "SUM(not_own_again.all)",
        ),
        Pair(
            check,
            "Own hours × good share × 60",
            "SUMPRODUCT(own_hours_good.all,good_share.all)*60",
            "SUM(own_minutes.all)",
        ),
        Pair(
            check,
            "Pieces whose cost is complete",
            "pieces_final",
            "overhead_known*own_known*equipment_known.2*COUNT(price_wear)*SUM(piece_ready.all)",
        ),
    )


def _terms() -> tuple[Pair, ...]:
    check = "prices_add_up"
    used = "channel_used.all,1"
    return (
        *(_tags(row, slot) for row, slot in enumerate(CHANNEL_SLOTS, start=1)),
        Pair(check, "Ways of selling", "SUM(channel_used.all)", "COUNTA(channel_name.all)"),
        Pair(
            check,
            "Parts of the tag",
            "SUM(channel_tag_part.all)",
            "SUM(channel_tag_share.all)+COUNT(channel_used.all)-COUNT(channel_tag_share.all)",
        ),
        Pair(
            check,
            "Left after commission and fee",
            "SUM(channel_left.all)",
            "SUM(channel_left_again.all)",
        ),
        Pair(
            check,
            "Refunded",
            "SUM(channel_refunded.all)",
            'SUMIFS(channel_lost_share.all,channel_lost_how.all,"Refunded")',
        ),
        Pair(
            check,
            "Refunded or replaced",
            "SUM(channel_refunded.all)+SUM(channel_replaced.all)",
            "SUM(channel_lost_share.all)",
        ),
        Pair(
            check,
            "Left of a tag",
            "SUM(channel_factor.all)",
            "SUMPRODUCT(channel_tag_part.all,channel_left_again.all)"
            "-SUMPRODUCT(channel_tag_part.all,channel_left_again.all,channel_refunded.all)",
        ),
        Pair(
            check,
            "What a sale costs",
            "SUM(channel_costs.all)",
            "SUM(channel_fixed_fee.all)+SUM(channel_postage_paid.all)-SUM(channel_postage_charged.all)",
        ),
        Pair(
            check,
            "Ways that leave something",
            "SUM(channel_open.all)",
            f'COUNTIFS({used},channel_factor.all,">"&tiny_share)-COUNTIFS({used},channel_factor.all,">"&tiny_share,'
            'channel_commission.all,">1")',
        ),
        Pair(
            check,
            "Ways that can earn their margin",
            "SUM(channel_can.all)",
            'SUM(channel_open.all)-COUNTIFS(channel_open.all,1,channel_margin.all,">=1")',
        ),
        Pair(
            check,
            "Ways that must earn it",
            "SUM(channel_must.all)",
            f'COUNTIFS({used},channel_must_earn.all,"Yes")',
        ),
        Pair(
            check,
            "Ways that must and can",
            "must_count-must_blocked",
            "COUNTIFS(channel_must.all,1,channel_can.all,1)",
        ),
        Pair(
            check,
            "Tax, step and ending of tags",
            "tag_factor+tag_step_used+tag_ending_used",
            'IF(tax_inside="Yes",1+SUM(sales_tax),1)+IF(SUM(tag_step)>0,SUM(tag_step),1)'
            "+IF(SUM(tag_ending)<tag_step_used,SUM(tag_ending),0)",
        ),
    )


def _tags(row: int, slot: str) -> Pair:
    """All tags needed in one way of selling; not compared while some tag was raised to 0, or none is a number."""
    applies = f"MIN(tag_exact_{slot}.all)>close_enough"
    return Pair(
        "prices_add_up",
        f"What the tags of way of selling {row} bring",
        f"IF({applies},SUM(tag_exact_{slot}.all)*channel_factor.{row}"
        f"-channel_costs.{row}*COUNT(tag_exact_{slot}.all),0)",
        f"IF({applies},SUMIFS(cost_good.all,tag_exact_{slot}.all,{NUMBER})"
        f"*(1/(1-SUM(channel_margin.{row}))+channel_replaced.{row}),0)",
    )


def _prices() -> tuple[Pair, ...]:
    check = "prices_add_up"

    def slots(what: str, measure: str) -> Pair:
        return Pair(check, what, f"SUM(slot_{measure}.all)", f"SUM(slot_{measure}_again.all)")

    return (
        slots("What you get, all ways of selling", "net"),
        slots("Margins × what you get", "margin"),
        slots("Lowest prices, all ways of selling", "lowest"),
        slots("Tags asked for", "must"),
        slots("Left per bench hour × hours", "hours"),
        slots("You earn an hour × hours", "earn"),
        slots("Margins watched", "watched"),
        Pair(check, "Lowest margins", "SUM(margin_lowest.all)", "SUM(margin_again.all)"),
        Pair(
            check,
            "Worst margins",
            "SUM(margin_worst.all)",
            'SUMIFS(margin_lowest.all,margin_lowest.all,">"&(close_enough-1))',
        ),
        Pair(
            check,
            "Tags over those suggested",
            "SUM(tag_gap.all)",
            f"SUMIFS(tag_in_force.all,tag_gap.all,{NUMBER})-SUMIFS(tag_suggested.all,tag_gap.all,{NUMBER})",
        ),
        Pair(check, "Highest tags asked for", "SUM(tag_wanted.all)", "SUM(tag_again.all)"),
        Pair(check, "Suggested tags off the step", "SUM(tag_off.all)"),
        Pair(
            check,
            "Tags in force",
            "SUM(tag_in_force.all)",
            f"{_typed('tag')}+SUM(tag_suggested.all)-SUMIFS(tag_suggested.all,piece_tag.all,{NUMBER})",
        ),
        Pair(check, "Tags before tax", "SUM(tag_plain.all)*tag_factor", "SUM(tag_in_force.all)"),
        Pair(check, "Lowest prices", "SUM(lowest_worst.all)", "SUM(lowest_again.all)"),
        slots("Pieces in all ways of selling", "sells"),
        Pair(
            check,
            "Ways that must earn it, of all pieces",
            "SUM(must_here.all)",
            "SUMPRODUCT(slot_sells.all,channel_must.all)",
        ),
        Pair(
            check,
            "Ways that must and can, of all pieces",
            "SUM(must_here.all)-SUM(must_stuck.all)",
            "SUMPRODUCT(slot_sells.all,channel_must.all,channel_can.all)",
        ),
        Pair(
            check,
            "Ways that leave something, of all pieces",
            "SUM(open_here.all)",
            "SUMPRODUCT(slot_sells.all,channel_open.all)",
        ),
        Pair(
            check,
            "Tags typed that lose money",
            "SUM(tag_losing.all)",
            f'COUNTIFS(losing_ways.all,">0",piece_tag.all,{NUMBER})',
        ),
    )


def _lists() -> tuple[Pair, ...]:
    check = "ranking_adds_up"
    ranked = f"left_ranked.all,{NUMBER}"

    def places(what: str, column: str, count: str) -> Pair:
        return Pair(check, what, f"SUM({column}.all)", f"{count}*({count}+1)/2")

    return (
        Pair(
            check,
            "What a bench hour of each piece leaves",
            "SUM(left_ranked.all)",
            "INDEX(slot_left.all,rank_slot)",
        ),
        places("Places in the ranking", "rank_place", "COUNT(left_ranked.all)"),
        Pair(check, "The ranking", "SUM(ranking_left.all)", "SUM(left_ranked.all)"),
        Pair(check, "Tags in the ranking", "SUM(ranking_tag.all)", f"SUMIFS(tag_in_force.all,{ranked})"),
        Pair(check, "Minutes in the ranking", "SUM(ranking_minutes.all)", f"SUMIFS(piece_minutes.all,{ranked})"),
        Pair(
            check,
            "Pieces on the price list",
            "SUM(shelf_shown.all)",
            f"COUNTIFS(piece_final.all,1,tag_in_force.all,{NUMBER})"
            f'-COUNTIFS(piece_final.all,1,tag_in_force.all,{NUMBER},piece_listed.all,"No")',
        ),
        Pair(
            check,
            "Pieces on it or waiting",
            "list_count+list_held",
            f'pieces_named-COUNTIFS({_NAMED},piece_listed.all,"No")',
        ),
        places("Lines of the price list", "shelf_place", "SUM(shelf_shown.all)"),
        Pair(
            check,
            "Rows of the pieces on it",
            "SUM(list_row.all)",
            "SUMIFS(piece_position.all,shelf_shown.all,1)",
        ),
        Pair(check, "Pieces out of order", "SUM(rank_off.all)+SUM(shelf_off.all)"),
        Pair(check, "Lines with another piece's name", "SUM(ranking_strange.all)+SUM(list_strange.all)"),
        Pair(check, "Prices on it", "SUM(list_tag.all)", "SUMIFS(tag_in_force.all,shelf_shown.all,1)"),
        Pair(
            check,
            "The picture of one price",
            "SUM(slice_glass,slice_furnace,slice_colour,slice_labour,slice_equipment,slice_materials,"
            "slice_overhead,slice_losses,slice_packing)",
            "SUM(slice_tag)-SUM(slice_channel,slice_left,slice_tax)",
        ),
    )


PAIRS: tuple[Pair, ...] = (*_lines(), *_losses(), *_terms(), *_prices(), *_lists())
"""Grouped by the check that reports them, in the order of the checks."""
