"""Figures that the book works out twice, by two different ways.

A formula that somebody has typed over, a pasted row or a range that lost its end shows in one of the two ways
and not in the other. The two columns stand side by side, so that the difference can be seen as well as
reported.
"""

from __future__ import annotations

from typing import NamedTuple

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.studio.capacity import CHANNEL_SLOTS


class Pair(NamedTuple):
    """One figure, and the formulas of the two ways to it. ``check`` is the check that reports it."""

    check: str
    what: str
    one: str
    other: str


def _campaigns(what: str, column: str) -> Pair:
    return Pair("campaigns_add_up", what, f"{column}.1", f'SUMIFS({column}.all,period_number.all,">0")')


def _tags(row: int, slot: str) -> Pair:
    """All tags needed in one way of selling; not compared while some tag was raised to 0."""
    applies = f"channel_can.{row}*MIN(tag_exact_{slot}.all)>0"
    return Pair(
        "prices_add_up",
        f"What the tags of way of selling {row} bring",
        f"IF({applies},SUM(tag_exact_{slot}.all)*channel_factor.{row},0)",
        f"IF({applies},SUM(cost_good.all)*(1/(1-SUM(channel_margin.{row}))+channel_replaced.{row})"
        f"+channel_costs.{row}*COUNT(tag_exact_{slot}.all),0)",
    )


PAIRS: tuple[Pair, ...] = (
    Pair(
        "use_adds_up",
        "Energy of all rows",
        "IF(meter_code=no_meter_code,SUMPRODUCT(kind_days_logged.all,kind_day_use.all),SUM(reading_use.all)-last_pending)",
        "SUM(energy_used.all)",
    ),
    Pair(
        "cost_adds_up",
        "Energy cost of all rows",
        "SUM(energy_cost.all)",
        "SUMPRODUCT(energy_used.all,mean_price.all)",
    ),
    Pair("days_add_up", "Hot days", "SUM(row_hot_days.all)", "SUMPRODUCT(kind_days_logged.all,kind_hot.all)"),
    Pair(
        "days_add_up",
        "Charges",
        "SUM(row_charges.all)",
        'SUMIFS(log_charges.all,row_kind.all,">0")+SUM(row_charge_default.all)',
    ),
    Pair(
        "tariff_adds_up",
        "Price of energy, summed by days",
        "tariff_integral.end",
        "tariff_all_in.end*tariff_key.end-SUMPRODUCT(tariff_key.all,tariff_change.all)",
    ),
    Pair(
        "tariff_adds_up",
        "Service and demand, summed by days",
        "tariff_standing_integral.end",
        "tariff_standing.end*tariff_key.end-SUMPRODUCT(tariff_key.all,tariff_standing_change.all)",
    ),
    Pair("wear_adds_up", "Wear of all rows", "SUM(row_wear.all)", "SUMPRODUCT(part_rate.all,part_log_uses.all)"),
    _campaigns("Weight of all campaigns", "period_weight"),
    _campaigns("Energy cost of all campaigns", "period_cost"),
    _campaigns("Days of all campaigns", "period_days"),
    Pair(
        "ladder_adds_up",
        "What all the glass cost",
        "SUM(line_own.1)*period_weight.1",
        "IF(COUNT(line_own.1)=0,0,period_cost.1+period_standing.1+SUM(period_wear.1)"
        "+COUNT(step_glass.1)*period_glass.1+SUM(own_yearly)*period_days.1/days_in_year)",
    ),
    Pair("piece_costs_add_up", "One good one of each piece", "SUM(cost_good.all)", "SUM(cost_lines.all)"),
    *(_tags(row, slot) for row, slot in enumerate(CHANNEL_SLOTS, start=1)),
    Pair(
        "ranking_adds_up",
        "What a bench hour of each piece leaves",
        "IF(INDEX(channel_used.all,rank_slot)=1,SUM(left_ranked.all),0)",
        "INDEX(slot_left.all,rank_slot)",
    ),
)


def rows_of(check: str) -> tuple[int, ...]:
    """The rows of the pairs that a check reports, counted from 1."""
    return tuple(row for row, pair in enumerate(PAIRS, start=1) if pair.check == check)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """No single figures: all of it stands in the tables."""
    return ()


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The pairs, and what all pieces leave in each way of selling."""
    return (
        Table(
            "sum_pairs",
            "Two ways to the same figure",
            (
                Fixed("pair_what", "Figure", Shape.TEXT, values=tuple(pair.what for pair in PAIRS)),
                Figure(
                    "pair_one",
                    "One way",
                    Shape.FACTOR,
                    note="As the book uses it; 0 where there is nothing to compare yet.",
                    formulas=tuple(pair.one for pair in PAIRS),
                ),
                Figure(
                    "pair_other",
                    "The other way",
                    Shape.FACTOR,
                    note="The same worked out from other cells.",
                    formulas=tuple(pair.other for pair in PAIRS),
                ),
                Figure(
                    "pair_apart",
                    "Differ",
                    Shape.COUNT,
                    note="1 if the two differ by more than rounding can explain, or one of them is an error.",
                    formula="IFERROR(IF(ABS(pair_one-pair_other)>close_enough*MAX(1,ABS(pair_one)),1,0),1)",
                ),
            ),
            rows=len(PAIRS),
        ),
        Table(
            "slot_sums",
            "All pieces by way of selling",
            (
                Figure(
                    "slot_left",
                    "Left an hour, all",
                    Shape.MONEY,
                    unit="{currency} an hour",
                    note="What a bench hour of each piece leaves, added over all pieces.",
                    formulas=tuple(f"SUM(left_{slot}.all)" for slot in CHANNEL_SLOTS),
                ),
            ),
            rows=ctx.capacity.channels,
            aligned="channels",
        ),
    )
