"""The checks, one by one: what each looks for, how it counts, and what to do about it.

A check counts faults; 0 is fine. A fault wants mending, a note is only good to know. For checks of single
rows of the log, ``first`` finds the first row that is meant, so that the sheet can say from which date to
look.
"""

from __future__ import annotations

from typing import NamedTuple

from meltbook.fields.check_pairs import rows_of


class Check(NamedTuple):
    """One check.

    ``found`` counts its faults; ``first`` is the place of the first faulty row of the log, and ``place`` a text that
    says where else to look.
    """

    key: str
    title: str
    found: str
    do: str
    first: str = ""
    fault: bool = True
    place: str = '""'

    def line(self) -> str:
        """The formula for the line of the log that is meant, counted from its first; 0 for none."""
        return f"IFERROR({self.first}-1,0)" if self.first else "0"

    def where(self) -> str:
        """The formula for where to look: the day of that line, or the line itself while it has no day."""
        if not self.first:
            return self.place
        return 'IF(check_day>0,check_on,IF(check_line>0,"line "&check_line&" of the log",""))'


def _in_log(column: str, code: str) -> str:
    return f"MATCH({code},{column}.all,0)"


def _apart(check: str) -> str:
    rows = rows_of(check)
    return f"SUM(pair_apart.{rows[0]}:pair_apart.{rows[-1]})"


def _pair(key: str, title: str, do: str) -> Check:
    return Check(key, title, _apart(key), do)


LOG_ROWS: tuple[Check, ...] = (
    Check(
        "log_kinds",
        "Each row of the log has a kind of day",
        "COUNTIFS(row_fault.all,1)",
        "Choose the kind from the list; a row without one is not counted.",
        first=_in_log("row_fault", "1"),
    ),
    Check(
        "log_numbers",
        "Numbers and dates in the log are numbers and dates",
        "COUNTIFS(row_fault.all,2)+COUNTIFS(row_fault.all,fault_code.5)",
        "Type it again: 12.50 as a number and a date as a date, not as a text; nothing below 0.",
        first=f"IFERROR({_in_log('row_fault', '2')},{_in_log('row_fault', 'fault_code.5')})",
    ),
    Check(
        "log_dates",
        "Dates in the log run on",
        "COUNTIFS(row_flow_dates.all,1)+COUNTIFS(row_flow_dates.all,2)",
        "Give the first row a date, and let no row begin before the one above it has ended.",
        first=_in_log("row_flow_dates", "2"),
    ),
    Check(
        "log_gaps",
        "No days are missing from the log",
        "COUNTIFS(row_flow_dates.all,flow_code.3)",
        "Log the missing days, or lengthen the row above; Cold days count too.",
        first=_in_log("row_flow_dates", "flow_code.3"),
    ),
    Check(
        "readings_back",
        "The meter never runs backwards",
        'COUNTIFS(stretch_close.all,2)+COUNTIFS(reading_use.all,"<0")',
        "Read the meter again. This stretch counts nothing, and the next one may count too much.",
        first=_in_log("stretch_close", "2"),
    ),
    Check(
        "meter_hours",
        "No day has more than 24 hours on the meter",
        "SUM(hours_over.all)",
        "Type the opening reading (what a used meter showed at the start), or look at this reading again.",
        first=_in_log("hours_over", "1"),
    ),
    Check(
        "gas_factor",
        "A gas meter has its billing factor",
        'IF(AND(meter_kind="Gas meter",COUNT(billing_factor)=0,unit_in_kwh>0),1,0)',
        "The meter counts m³ or ft³, the bill doesn't: type the bill's use ÷ the count, from a gas bill.",
        fault=False,
    ),
    Check(
        "meter_change",
        "Meters are changed cleanly",
        "COUNTIFS(row_flow_reading.all,flow_code.5)+new_meter_unread+COUNTIFS(row_fault.all,fault_code.4)",
        "Log the old meter's last reading, then a New meter row with the new one's first.",
        first=_in_log("row_flow_reading", "flow_code.5"),
    ),
    Check(
        "use_unplaced",
        "All use has days to carry it",
        "IF(ABS(SUM(use_not_placed))>close_enough*MAX(1,SUM(reading_use.all)),1,0)"
        '+COUNTIFS(stretch_close.all,1,days_since.all,0,reading_use.all,">0")',
        "Log the hot days between the two readings; until then the next stretch carries their use.",
    ),
    Check(
        "tariff_cover",
        "Each day of the log has a price",
        'COUNTIFS(row_kind.all,">0",first_day.all,">0",row_priced.all,0)',
        "Add the letter that was in force then as the first row of {Tariffs}.",
        first=_in_log("row_flow_rest", "flow_code.6"),
    ),
)

TARIFF_ROWS: tuple[Check, ...] = (
    Check(
        "tariff_order",
        "Tariffs have dates that rise",
        "SUM(tariff_bad_order.all)",
        "Give each row a date and a price, the oldest letter first.",
    ),
    Check(
        "tariff_shares",
        "Shares of a tariff make 1",
        "SUM(tariff_bad_share.all)",
        "Type the shares of the periods again; together they are 1, or 100 %.",
    ),
    Check(
        "tariff_size",
        "Prices are in money, not cents",
        "SUM(tariff_jump.all)",
        "Look at the price again: 0.15, not 15. If it did rise so much, raise the limit on {Shop}.",
    ),
    Check(
        "tariff_block",
        "Prices by block",
        'COUNTIFS(tariff_block.all,"Yes")',
        "The price typed is that of the block which the furnace's use falls in. Look again when its use changes.",
        fault=False,
    ),
    Check(
        "charges_asked",
        "Charges of long stretches",
        'COUNTIFS(row_charge_default.all,1,row_days.all,">2")',
        "Type how many charges these days had; the book counts one.",
        first=_in_log("row_flow_rest", "flow_code.7"),
        fault=False,
    ),
    Check(
        "waiting",
        "Rows that wait for a reading",
        "SUM(waiting_rows)",
        "They count as soon as the meter is read on a later row.",
        first=_in_log("row_flow_rest", "flow_code.8"),
        fault=False,
    ),
)

NAMES_AND_FORMULAS: tuple[Check, ...] = (
    Check(
        "glass_names",
        "Glasses are those on Shop",
        "COUNTIFS(row_fault.all,fault_code.3)+COUNTIFS(piece_glass_row.all,0)",
        "Choose the glass from the list, or add it under Raw glass on Shop.",
        first=_in_log("row_fault", "fault_code.3"),
    ),
    Check(
        "part_rows",
        "Pots and elements are typed in full",
        "SUM(part_fault.all)",
        "A part needs a kind from the list, the date it was fitted, what it cost, and no end before its start.",
    ),
    Check(
        "log_formulas",
        "The log's formulas are there",
        "log_cells*columns_watched-COUNT(row_kind.all,energy_used.all,energy_cost.all,row_measured.all,row_wear.all)",
        "Copy the right part of a good row, from Starts on, over the empty one and the rows above and below.",
    ),
    Check(
        "log_rows",
        "No row of the log was deleted",
        "MAX(0,log_rows_made+2-log_cells)",
        "Undo it: the row below lost its link to the one above. To be rid of a row, clear what is typed in it.",
    ),
)

SUMS: tuple[Check, ...] = (
    _pair(
        "use_adds_up",
        "Energy of the rows is what the meter saw",
        "A formula in Energy used, or in the readings behind it, was typed over: copy it from another row.",
    ),
    _pair(
        "cost_adds_up",
        "Energy cost is use × price",
        "A formula in Energy cost, or in the prices behind it, was typed over.",
    ),
    _pair(
        "days_add_up",
        "Days, charges and glass add up",
        "A formula in the log's workings was typed over: copy the right part of a good row over it.",
    ),
    _pair("tariff_adds_up", "Tariffs add up day by day", "A formula on {Tariffs} was typed over."),
    _pair("wear_adds_up", "Wear adds up by part", "A formula in Wear, or on {Pots and elements}, was typed over."),
    _pair(
        "campaigns_add_up",
        "Periods and campaigns have what the log has",
        "More campaigns than the book has rows for (make it with more), or a formula on {Cost of glass} typed over.",
    ),
    _pair(
        "ladder_adds_up",
        "The ladder's steps make its last line",
        "A formula on {Cost of glass} was typed over.",
    ),
    _pair(
        "pricing_adds_up",
        "What to price with comes from the periods",
        "A formula on {Cost of glass}, {Shop} or {Workings} was typed over.",
    ),
)

SHOP_SIDE: tuple[Check, ...] = (
    Check(
        "shop_numbers",
        "Numbers outside the log are numbers",
        "SUM(number_texts.all)",
        "Type it again as a number: 12.50, with the decimal mark of your program. Where names the columns to look in.",
        place='IFERROR(INDEX(number_where.all,MATCH(1,number_bad.all,0)),"")',
    ),
    Check(
        "inputs_missing",
        "Nothing needed is empty",
        "SUM(need_missing.all)",
        "Type it. All that must not be empty is listed further down on Checks.",
        place='IFERROR(INDEX(need_what.all,MATCH(1,need_missing.all,0)),"")',
    ),
    Check(
        "piece_names",
        "Each piece has a name of its own",
        "SUM(piece_twice.all)+SUM(piece_nameless.all)",
        "Name the row, or tell two pieces of the same name apart.",
        place='"Pieces"',
    ),
    Check(
        "equipment_once",
        "Equipment is typed once",
        "SUM(equipment_twice.all)",
        "A cost typed on Shop goes before what Equipment works out: clear one of the two.",
    ),
    Check(
        "equipment_rows",
        "Rows of Equipment are complete",
        "SUM(machine_nameless.all)+SUM(machine_runs_missing.all)",
        "Give each row a name; where several share the pieces, type how often each runs in a year.",
    ),
    _pair(
        "machines_add_up",
        "Equipment adds up",
        "A formula on Equipment, or in Other equipment on Shop, was typed over.",
    ),
    _pair(
        "piece_costs_add_up",
        "A piece's lines make its cost",
        "A formula on What each costs was typed over: copy it from another row.",
    ),
    _pair(
        "prices_add_up",
        "Tags bring back cost and margin",
        "A formula on Prices, or in the ways of selling on Shop, was typed over.",
    ),
    _pair(
        "ranking_adds_up",
        "The lists have what Prices has",
        "A formula on Prices or on the Price list was typed over.",
    ),
    Check(
        "unknown_names",
        "Names chosen from lists exist",
        "rank_unknown+picture_unknown+IF(pot_row=0,1,0)+machines_unknown",
        "Choose the name again from the list of its cell; a name that was changed is changed where it is chosen too.",
        place='IF(rank_unknown+picture_unknown>0,"Shop",IF(pot_row=0,"Change the pot","Equipment"))',
    ),
    Check(
        "furnace_recovered",
        "Pieces paid for the furnace",
        "IF(COUNT(made_recovered,recovery_tolerance)<2,0,IF(ABS(made_recovered-1)>recovery_tolerance+close_enough,1,0))",
        "Under 100 %: glass was melted that no piece paid for, or pieces were not counted. Over 100 %: counted twice.",
        fault=False,
        place='"paid: "&INT(ROUND(made_recovered*100,6)+0.5)&" %"',
    ),
    Check(
        "log_room",
        "The log has rows left",
        "IF(AND(log_rows_free<rows_low,log_rows_used>0),1,0)",
        "Insert rows as How it works says, or make a book with more.",
    ),
    Check(
        "below_last",
        "Nothing stands below the log",
        "COUNTA(log_below_date.all)+COUNTA(log_below_kind.all)",
        "Move what is below the last line up into the log; down there it isn't counted.",
    ),
    Check(
        "tax_asked",
        "Sales tax is typed where tags include it",
        'IF(AND(tax_inside="Yes",COUNT(sales_tax)=0,pieces_named>0),1,0)',
        "Type the Sales tax on Shop, 0 if you charge none; until then tags come out without tax.",
        fault=False,
    ),
    Check(
        "course_rows",
        "Classes have a name",
        "SUM(course_nameless.all)",
        "A row of Hire and classes has figures but no name: type it, or clear the row.",
    ),
    _pair(
        "hire_adds_up",
        "Hire and classes add up",
        "A formula on Hire and classes, or in Other equipment on Shop, was typed over.",
    ),
    Check(
        "stray_prices",
        "Tags below the lowest price",
        "SUM(tag_losing.all)",
        "Each one sold at this tag takes money out of the shop: raise it, or know why not.",
        fault=False,
    ),
    Check(
        "sold_nowhere",
        "Pieces are sold somewhere",
        "SUM(sold_nowhere_row.all)",
        "Pieces, part 4, says No to every way of selling: clear one, or take the piece off the list.",
        fault=False,
    ),
    Check(
        "list_full",
        "Rows for pieces are used up",
        "IF(pieces_named>=COUNT(piece_position.all),1,0)",
        "Make a book with more rows for pieces.",
        fault=False,
    ),
    Check(
        "letter_size",
        "The new tariff is in money, not cents",
        "letter_jump",
        "Look at {New tariff} again: 0.15, not 15, or say there that its prices are in cents.",
        fault=False,
    ),
    Check(
        "tariff_dropped",
        "Newer tariffs have tax, service and demand",
        "SUM(tax_dropped.all)+SUM(service_dropped.all)+SUM(demand_dropped.all)",
        "The row before has a charge or tax that is blank in a newer one, where it counts as none: copy it, or type 0.",
        fault=False,
    ),
)

CHECKS: tuple[Check, ...] = (*LOG_ROWS, *TARIFF_ROWS, *NAMES_AND_FORMULAS, *SUMS, *SHOP_SIDE)
"""In the order in which the sheet lists them."""
