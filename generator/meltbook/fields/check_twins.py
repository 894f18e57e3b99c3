"""Columns that nothing but the checks needs: the same rows counted by another route.

A figure is worth checking only against one that does not read the same cells. So these columns go back to
what is typed, or carry something down the log where the book's own working carries it up. Their sums stand in
``check_pairs`` beside the sums that the book uses.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.periods import total

NUMBER = "is_number"
"""The field that holds the condition for any number, whatever its sign."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Where the log begins, and whether it can be walked through from end to end."""
    return (
        Fixed(
            "is_number",
            "Is a number",
            Shape.TEXT,
            note="The condition with which the checks count the cells that hold a number.",
            values=(">-999999999999",),
        ),
        Figure(
            "log_starts_on",
            "Log starts on",
            Shape.DATE,
            note="The day after which the first dated row of the log counts its days; 0 for an empty log.",
            formula="IF(MAX(next_day.all)=0,0,INDEX(first_day.all,COUNTIF(next_day.all,0)+1)"
            "+(INDEX(row_days.all,COUNTIF(next_day.all,0)+1)=0))",
        ),
        Figure(
            "log_ends_on",
            "Log ends before",
            Shape.DATE,
            note="The day after the last row of the log; 0 for an empty log.",
            formula="INDEX(next_day.all,log_cells-1)",
        ),
        Figure(
            "log_whole",
            "Log has no gaps",
            Shape.COUNT,
            note="1 if its rows follow on one another and each of them has a price.",
            formula='IF(AND(log_starts_on>0,SUM(row_flow_dates.all)=0,COUNTIFS(row_kind.all,">0",row_priced.all,0)=0),1,0)',
        ),
        Figure(
            "tags_on_grid",
            "Tags can be stepped to",
            Shape.COUNT,
            note="1 if step and ending are whole in the currency's smallest coin, so that each tag lies on a step.",
            formula="IF(ABS(ROUND(tag_step_used,money_digits)-tag_step_used)"
            "+ABS(ROUND(tag_ending_used,money_digits)-tag_ending_used)>close_enough,0,1)",
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """One table for each whose rows are counted again; log and tariffs hold theirs themselves."""
    rows = ctx.capacity
    return (
        Table("kinds_again", "Kinds of day, counted again", _kinds(), rows=rows.day_kinds, aligned="day_kinds"),
        Table("glasses_again", "Glasses, counted again", _glasses(), rows=rows.glasses, aligned="glasses"),
        Table("parts_again", "Kinds of part, counted again", _part_kinds(), rows=rows.part_kinds, aligned="part_kinds"),
        Table("periods_again", "Periods, counted again", _periods(), rows=rows.periods, aligned="periods"),
        Table("channels_again", "Ways of selling, again", _channels(), rows=rows.channels, aligned="channels"),
        Table("pieces_again", "Pieces, counted again", _pieces(), rows=rows.pieces, aligned="pieces"),
        Table("ranking_again", "The ranking, again", _strange("ranking", "name"), rows=rows.pieces, aligned="ranking"),
        Table(
            "list_again",
            "The price list, again",
            _strange("list", "name", "size"),
            rows=rows.pieces,
            aligned="price_list",
        ),
    )


def _count(name: str, label: str, note: str, formula: str, *, shape: Shape = Shape.COUNT) -> Figure:
    return Figure(name, label, shape, unit="{currency}" if shape is Shape.MONEY else "", note=note, formula=formula)


def log_columns() -> tuple[Figure, ...]:
    """Columns of the furnace log, whose table they stand in: its rows may be inserted and deleted."""
    return (
        _count(
            "reading_count",
            "Counted since",
            "On a row that closes a stretch: what it reads less the last reading above it.",
            "IF(stretch_close>0,SUM(log_reading)-reading_base.prev,0)",
            shape=Shape.READING,
        ),
        _count(
            "factor_change",
            "Change of factor",
            "How much a new connected kW differs from the one before.",
            "IF(AND(row_kind=new_meter_kind,meter_code=1,ISNUMBER(log_new_kw)),log_new_kw-reading_factor.prev,0)",
            shape=Shape.FACTOR,
        ),
        Figure(
            "rows_since",
            "Rows since",
            Shape.COUNT,
            note="Rows since the last reading, this one included: carried down, where the state is carried up.",
            formula="IF(row_kind>0,1,0)+IF(stretch_close.prev=0,rows_since.prev,0)",
            seed=0,
        ),
        _count(
            "heating_again",
            "Goes on heating up",
            "1 on a Heat-up row that continues the run above it.",
            "IF(AND(row_kind=heatup_kind,row_days>0,run_kind.prev=heatup_kind),1,0)",
        ),
        _count(
            "own_total",
            "Own use in one",
            "Energy, days and glass of a Charge or Idle row that tells its own use, added up.",
            "IF(row_own=0,0,(row_kind=charge_kind)*(energy_used+row_days+SUM(log_weight))"
            "+(row_kind=idle_kind)*(energy_used+row_days))",
            shape=Shape.FACTOR,
        ),
        _count(
            "days_total",
            "Counts in one",
            "Whatever the periods count of the row, added up: it means nothing, but the periods must have it too.",
            "IF(row_measured=0,0,1+row_charges+SUM(log_gathers)+row_days+row_days+row_hot_days+row_starts+own_total)",
            shape=Shape.FACTOR,
        ),
        _count(
            "row_total",
            "Row in one",
            "The same with its glass, energy and money.",
            "IF(row_measured=0,0,days_total+SUM(log_weight)+energy_used+energy_cost+row_standing"
            "+glass_charged_cost+row_wear)",
            shape=Shape.FACTOR,
        ),
    )


def letter_columns() -> tuple[Figure, ...]:
    """Columns of the tariffs, whose table they stand in."""
    return (
        _count(
            "service_in_year",
            "Service a year, all",
            "The whole service charge of a usable letter over a year.",
            'tariff_valid*SUM(tariff_service)*IF(tariff_service_per="Day",days_in_year,months_in_year)',
            shape=Shape.MONEY,
        ),
        _count(
            "demand_in_month",
            "Demand a month, all",
            "The whole demand charge of a usable letter over a month.",
            "tariff_valid*SUM(tariff_demand)*SUM(tariff_demand_kw)",
            shape=Shape.MONEY,
        ),
    )


def _kinds() -> tuple[Item, ...]:
    return (
        _count("kind_rows", "Rows of the log", "Rows of the log with this word.", "COUNTIF(log_kind.all,kind_name)"),
    )


def _first_of_its_name(name: str, position: str, count: str) -> str:
    """A count for a list of names: rows that look up a name find the first one that is spelt so."""
    return f'IF({name}="",0,IF(MATCH({name},{name}.all,0)={position},{count},0))'


def _glasses() -> tuple[Item, ...]:
    return (
        _count(
            "glass_rows",
            "Rows of the log",
            "Rows with a weight on which this glass is named.",
            _first_of_its_name(
                "glass_name",
                "glass_position",
                f'COUNTIFS(log_glass.all,glass_name,log_weight.all,{NUMBER},row_kind.all,">0")',
            ),
        ),
        _count(
            "glass_pieces",
            "Pieces",
            "Pieces for which this glass is named.",
            _first_of_its_name(
                "glass_name", "glass_position", "COUNTIFS(piece_glass.all,glass_name,piece_named.all,1)"
            ),
        ),
        _count(
            "glass_taken",
            "Pieces that take it",
            "Pieces of this glass, those with no glass named too.",
            "COUNTIF(piece_glass_row.all,glass_position)",
        ),
    )


def _part_kinds() -> tuple[Item, ...]:
    same = "part_kind_row.all,kind_of_part_position"
    return (
        _count(
            "kind_of_part_rows",
            "Rows of the ledger",
            "Rows with this name.",
            _first_of_its_name(
                "kind_of_part_name", "kind_of_part_position", "COUNTIF(part_name.all,kind_of_part_name)"
            ),
        ),
        _count(
            "kind_of_part_parts",
            "Parts that count",
            "Rows of this kind with a date.",
            f"COUNTIFS({same},part_used.all,1)",
        ),
        _count(
            "kind_of_part_lives",
            "Lives in the mean",
            "How many lives the expected life is the mean of: those retired, or 1 for the owner's own figure.",
            "IF(kind_of_part_retired>=lives_needed,kind_of_part_retired,1)",
        ),
        _count(
            "kind_of_part_lent",
            "Lives lent to parts",
            "The expected life × the parts that have none of their own.",
            f"SUM(kind_of_part_mean)*(kind_of_part_parts-COUNTIFS({same},part_used.all,1,part_life.all,{NUMBER}))",
            shape=Shape.FACTOR,
        ),
        _count(
            "kind_of_part_priced",
            "Parts that prices go by",
            "Parts of this kind that prices go by and whose life is known.",
            f'COUNTIFS({same},part_prices.all,1,part_expected.all,">0")',
        ),
    )


def _periods() -> tuple[Item, ...]:
    def blank(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.FACTOR, note=note, formula=formula, blank_if="period_label")

    return (
        blank(
            "period_counts",
            "Counts, added up",
            "Rows, glass, charges, gathers, days, heat-ups, standing charges, raw glass and wear.",
            "SUM(period_rows,period_weight,period_charges,period_gathers,period_days,period_hot_days,"
            "period_starts,period_standing,period_glass,period_row_wear)",
        ),
        blank(
            "period_kinds",
            "Kinds, added up",
            "Days, energy and cost by kind.",
            "SUM(heatup_days,charge_days,blow_days,idle_days,cold_days,heatup_use,charge_use,blow_use,idle_use,"
            "heatup_cost,charge_cost,blow_cost,idle_cost)",
        ),
        blank(
            "period_owns",
            "Own use, added up",
            "What rows that tell their own use were counted as.",
            "SUM(own_charge_use,own_charge_days,own_charge_weight,own_idle_use,own_idle_days)",
        ),
        blank(
            "period_logged",
            "All of it, from the log",
            "The same in one sum over the log.",
            total("row_total"),
        ),
        Figure(
            "period_apart",
            "Differs from the log",
            Shape.COUNT,
            note="1 if the sums of the period are not those of the log.",
            formula="IFERROR(IF(ABS(period_counts+period_kinds+period_owns-period_logged)"
            ">close_enough*MAX(1,period_logged),1,0),1)",
            blank_if="period_label",
        ),
        blank(
            "charge_more",
            "More than idling",
            "What the Charge rows that tell their own use took more than idle days would have.",
            "IF(COUNT(step_charge)=0,0,own_charge_use-own_charge_days*idle_use_day)",
        ),
        blank(
            "ladder_amount",
            "What the glass cost",
            "The amounts behind the steps of the ladder, added up.",
            "IF(COUNT(line_own)=0,0,period_cost+period_standing+SUM(period_wear)+COUNT(step_glass)*period_glass"
            "+SUM(own_yearly)*period_days/days_in_year)",
        ),
    )


def _channels() -> tuple[Item, ...]:
    return (
        _count(
            "channel_left_again",
            "Left after both, again",
            "1 less what commission takes and less what the fee takes of its base.",
            '1-SUM(channel_commission)-SUM(channel_fee)*IF(channel_fee_base="Tag",1,'
            'IF(channel_fee_base="Tag with tax",1+SUM(sales_tax),1-SUM(channel_commission)))',
            shape=Shape.FACTOR,
        ),
    )


def _strange(prefix: str, *compared: str) -> tuple[Item, ...]:
    """A line of a list that shows something else than the piece in its row has."""
    alike = [f"{prefix}_{key}=INDEX(piece_{key}.all,{prefix}_row)" for key in compared]
    same = alike[0] if len(alike) == 1 else f"AND({','.join(alike)})"
    return (
        _count(
            f"{prefix}_strange",
            "Another piece",
            "1 if the line shows another name, or another size, than the piece that it stands for.",
            f"IF({prefix}_row=0,0,IF({same},0,1))",
        ),
    )


def _pieces() -> tuple[Item, ...]:
    return (
        _count("piece_named", "Has a name", "1 if the row has a name.", 'IF(piece_name="",0,1)'),
        _count("piece_costed", "Has a cost", "1 if its cost is known.", "COUNT(cost_good)"),
        _count("piece_low_known", "Has a least cost", "1 if its least cost is known.", "COUNT(low_good)"),
        _count(
            "piece_kept",
            "Stays in it",
            "The glass drawn that is still in the finished piece.",
            "IF(COUNT(piece_drawn_used)=0,0,MIN(piece_finished,piece_drawn_used))",
            shape=Shape.WEIGHT,
        ),
        _count(
            "piece_ready",
            "Typed in full",
            "1 if its loss, its glass and, for an annealer that goes by loads, its part of a load are known.",
            "COUNT(cost_good)*COUNT(piece_loss)*COUNT(cost_glass)*IF(equipment_load.2>0,COUNT(piece_load_part),1)",
        ),
        _count(
            "piece_later",
            "Later seconds bring",
            "What the seconds after the kiln bring, for each piece that gets there.",
            "SUM(piece_loss_after)*SUM(piece_seconds_after)*SUM(piece_second_value_after)",
            shape=Shape.MONEY,
        ),
        _count(
            "not_own_again",
            "All but own pay, again",
            "What a start costs without the owner's time, less seconds, with the packing of what comes out good.",
            "IF(COUNT(cost_not_own)=0,0,spent_started-cost_gaffer*(1-gaffer_hired)-kiln_share*cost_off*(1-off_hired)"
            "-seconds_credit+cost_packing*good_share)",
            shape=Shape.MONEY,
        ),
        _count(
            "own_minutes",
            "Own minutes",
            "The owner's minutes for each start.",
            "IF(COUNT(own_hours_good)=0,0,piece_minutes*paid_used*(1-gaffer_hired)"
            "+kiln_share*SUM(piece_off_minutes)*(1-off_hired))",
            shape=Shape.MINUTES,
        ),
        _count(
            "margin_again",
            "Lowest margin, again",
            "The lowest of the margins watched.",
            "MIN(must_margin_one,must_margin_two,must_margin_three,must_margin_four,must_margin_five,must_margin_six)",
            shape=Shape.SHARE,
        ),
        _count(
            "tag_again",
            "Tag asked for, again",
            "The highest of the tags asked for.",
            "IF(COUNT(tag_wanted)=0,0,MAX(must_tag_one,must_tag_two,must_tag_three,must_tag_four,must_tag_five,"
            "must_tag_six))",
            shape=Shape.MONEY,
        ),
        _count(
            "lowest_again",
            "Lowest price, again",
            "The highest of the lowest prices.",
            "MAX(lowest_one,lowest_two,lowest_three,lowest_four,lowest_five,lowest_six)",
            shape=Shape.MONEY,
        ),
        Figure(
            "tag_over",
            "Rounded up by",
            Shape.MONEY,
            unit="{currency}",
            note="The suggested tag less the tag asked for, as it would stand there to the cent.",
            formula="ROUND(tag_suggested-ROUND(tag_wanted*tag_factor+0.000000001,money_digits),6)",
            needs=("tag_suggested",),
        ),
        Figure(
            "tag_steps",
            "Steps of the tag",
            Shape.FACTOR,
            note="How many steps the suggested tag is above the ending.",
            formula="(tag_suggested-tag_ending_used)/tag_step_used",
            needs=("tag_suggested",),
        ),
        _count(
            "rank_off",
            "Ranked by another",
            "1 if the ranking goes by another number than what a bench hour leaves.",
            "IF(ABS(rank_key-IF(COUNT(left_ranked)=0,-far_date,left_ranked))>close_enough,1,0)",
        ),
        _count(
            "shelf_off",
            "Listed by another",
            "1 if the price list goes by another number than the shelf order typed.",
            "IF(shelf_shown*(shelf_key-SUM(piece_order)-(1-COUNT(piece_order))*far_campaign)=0,0,1)",
        ),
        _count(
            "tag_off",
            "Off the step",
            "1 if the suggested tag is below the tag asked for, a whole step above it, or on no step.",
            "IF(COUNT(tag_over)*tags_on_grid=0,0,IF(AND(ROUND(tag_over,6)>=0,ROUND(tag_over-tag_step_used,6)<0,"
            "ABS(tag_steps-ROUND(tag_steps,0))<close_enough),0,1))",
        ),
    )
