"""Figures that the book works out twice, by two different ways.

A formula that somebody has typed over, a pasted row or a range that lost its end shows in one of the two ways
and not in the other. The two columns stand side by side, so that the difference can be seen as well as
reported, and the line that differs says where to look.

The pairs themselves stand in ``pairs_furnace``, ``pairs_glass``, ``pairs_machines``, ``pairs_pieces`` and
``pairs_hire``.
"""

from __future__ import annotations

from meltbook.fields import pairs_furnace, pairs_glass, pairs_hire, pairs_machines, pairs_pieces
from meltbook.fields.check_twins import NUMBER
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.pair import Pair
from meltbook.studio.capacity import CHANNEL_SLOTS

PAIRS: tuple[Pair, ...] = (
    *pairs_furnace.PAIRS,
    *pairs_glass.PAIRS,
    *pairs_machines.PAIRS,
    *pairs_pieces.PAIRS,
    *pairs_hire.PAIRS,
)


def rows_of(check: str) -> tuple[int, ...]:
    """The rows of the pairs that a check reports, counted from 1. They follow on one another."""
    return tuple(row for row, pair in enumerate(PAIRS, start=1) if pair.check == check)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Sums of what is typed about the pieces, that several pairs need."""

    def typed(name: str, label: str, shape: Shape, unit: str, what: str, column: str) -> Figure:
        formula = f"SUMIFS({column}.all,piece_named.all,1)"
        return Figure(name, label, shape, unit=unit, note=f"{what} of one of each piece.", formula=formula)

    return (
        typed("minutes_typed", "Bench minutes, all", Shape.MINUTES, "minutes", "Bench minutes", "piece_minutes"),
        typed("gathers_typed", "Gathers, all", Shape.FACTOR, "gathers", "Gathers", "piece_gathers"),
        Figure(
            "least_typed",
            "Colour and materials, least",
            Shape.MONEY,
            unit="{currency}",
            note="Colour and materials of all pieces whose least cost is known.",
            formula="SUMIFS(cost_colour.all,piece_low_known.all,1)+SUMIFS(cost_materials.all,piece_low_known.all,1)",
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The pairs, and what all pieces bring in each way of selling."""
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
        Table("slot_sums", "All pieces by way of selling", _slots(), rows=ctx.capacity.channels, aligned="channels"),
    )


def _slots() -> tuple[Item, ...]:
    """One row for each way of selling: sums over its block of columns, by two ways."""

    def each(name: str, label: str, note: str, formula: str, *, shape: Shape = Shape.MONEY) -> Figure:
        return Figure(
            name,
            label,
            shape,
            unit="{currency}" if shape is Shape.MONEY else "",
            note=note,
            formulas=tuple(formula.replace("<k>", slot) for slot in CHANNEL_SLOTS),
        )

    again = "The same by the terms of this way of selling."
    return (
        each("slot_sells", "Sold so, all", "Pieces that are sold so.", "SUM(sells_<k>.all)", shape=Shape.COUNT),
        each(
            "slot_sells_again",
            "Sold so, again",
            "All pieces less those that Pieces says No to, if this way of selling is used.",
            'channel_used*(pieces_named-COUNTIFS(piece_named.all,1,piece_sold_<k>.all,"No"))',
            shape=Shape.COUNT,
        ),
        each("slot_left", "Left an hour, all", "What a bench hour leaves, over all pieces.", "SUM(left_<k>.all)"),
        each("slot_net", "You get, all", "What you get, over all pieces.", "SUM(net_<k>.all)"),
        each(
            "slot_net_again",
            "You get, again",
            again,
            f"SUMIFS(tag_plain.all,net_<k>.all,{NUMBER})*channel_factor-COUNT(net_<k>.all)*channel_costs"
            f"-channel_replaced*SUMIFS(cost_good.all,net_<k>.all,{NUMBER})",
        ),
        each(
            "slot_margin",
            "Margins, all",
            "Margin × what you get, over all pieces that bring something, to six digits.",
            "ROUND(SUMPRODUCT(margin_<k>.all,net_<k>.all),6)",
        ),
        each(
            "slot_margin_again",
            "Margins, again",
            "What you get less cost, to six digits, since large sums may nearly cancel out.",
            'ROUND(SUMIFS(net_<k>.all,net_<k>.all,">"&close_enough)'
            '-SUMIFS(cost_good.all,net_<k>.all,">"&close_enough),6)',
        ),
        each(
            "slot_lowest",
            "Lowest prices, all",
            "What the lowest prices leave; 0 while one of them was raised to 0.",
            "IF(MIN(lowest_<k>.all)>close_enough,SUM(lowest_<k>.all)*channel_factor/tag_factor,0)",
        ),
        each(
            "slot_lowest_again",
            "Lowest prices, again",
            again,
            f"IF(MIN(lowest_<k>.all)>close_enough,SUMIFS(low_good.all,lowest_<k>.all,{NUMBER})*(1+channel_replaced)"
            "+COUNT(lowest_<k>.all)*channel_costs,0)",
        ),
        each("slot_must", "Tags asked for, all", "Over all pieces.", "SUM(must_tag_<k>.all)"),
        each(
            "slot_must_again",
            "Tags asked for, again",
            "The tags needed, if this way must earn its margin.",
            "channel_must*SUM(tag_exact_<k>.all)",
        ),
        each(
            "slot_hours",
            "Left, all",
            "Left per bench hour × bench hours, and what the sales cost, over all pieces.",
            "SUMPRODUCT(left_<k>.all,bench_hours_good.all)+COUNT(left_<k>.all)*channel_costs",
        ),
        each(
            "slot_hours_again",
            "Left, again",
            again,
            f"SUMIFS(tag_plain.all,left_<k>.all,{NUMBER})*channel_factor"
            f"-SUMIFS(low_good.all,left_<k>.all,{NUMBER})*(1+channel_replaced)",
        ),
        each(
            "slot_earn",
            "You earn, all",
            "You earn an hour × own hours, over all pieces.",
            "SUMPRODUCT(earn_<k>.all,own_hours_good.all)",
        ),
        each(
            "slot_earn_again",
            "You earn, again",
            "What you get less all but own pay.",
            f"SUMIFS(net_<k>.all,earn_<k>.all,{NUMBER})-SUMIFS(cost_not_own.all,earn_<k>.all,{NUMBER})",
        ),
        each("slot_watched", "Margins watched, all", "Over all pieces.", "SUM(must_margin_<k>.all)"),
        each(
            "slot_watched_again",
            "Margins watched, again",
            "The margins, if they must be earned; −1 for each loss of everything.",
            'channel_must*(SUMIFS(margin_<k>.all,margin_<k>.all,">"&-1)-COUNTIFS(margin_<k>.all,"<="&-1)'
            '-COUNTIFS(net_<k>.all,"<="&close_enough))',
        ),
    )
