"""Which pieces pay best for an hour at the bench, and which stand on the printed price list in what order.

Both orders are made in two steps: each piece is given its place by counting those that go before it, and each
line of the list then looks up which piece has that place. Nothing is sorted, so nothing has to be sorted
again.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.prices import over_ways

AN_HOUR = "{currency} an hour"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """The way of selling that pieces are ranked by, how many there are, and what the list says below."""
    return (*_ranked_channel(), *_counts())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Each piece's places, the ranking, and the price list."""
    numbers = tuple(range(1, ctx.capacity.pieces + 1))
    return (
        Table(
            "piece_ranks",
            "Places",
            (*_rank(), *_shelf()),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
        Table("ranking", "Ranking", _ranking(numbers), rows=ctx.capacity.pieces, capacity="pieces"),
        Table("price_list", "Price list", _price_list(numbers), rows=ctx.capacity.pieces, capacity="pieces"),
    )


def _ranked_channel() -> tuple[Item, ...]:
    return (
        Figure(
            "rank_slot",
            "Ranked way of selling",
            Shape.COUNT,
            note="Its row among the ways of selling; the first if none is chosen or the name is not there.",
            formula='IF(rank_channel="",1,IFERROR(MATCH(rank_channel,channel_name.all,0),1))',
        ),
        Figure(
            "rank_factor",
            "Left of a tag there",
            Shape.FACTOR,
            note="Of a tag of 1, what is left there before what a sale costs. Blank if that way is not used.",
            formula='IF(INDEX(channel_used.all,rank_slot)=1,INDEX(channel_factor.all,rank_slot),"")',
        ),
        Figure(
            "rank_costs",
            "A sale there costs",
            Shape.MONEY,
            unit="{currency} a sale",
            note="Fixed fee and postage of that way of selling.",
            formula="INDEX(channel_costs.all,rank_slot)",
        ),
        Figure(
            "rank_replaced",
            "Replaced there",
            Shape.FACTOR,
            note="The part of its sales that take a second piece.",
            formula="INDEX(channel_replaced.all,rank_slot)",
        ),
    )


def _counts() -> tuple[Item, ...]:
    return (
        Figure(
            "pieces_named",
            "Pieces named",
            Shape.COUNT,
            note="Rows of Pieces that have a name.",
            formula="COUNTA(piece_name.all)",
        ),
        Figure(
            "pieces_final",
            "Pieces complete",
            Shape.COUNT,
            note="Pieces with nothing left to count.",
            formula="SUM(piece_final.all)",
        ),
        Figure(
            "list_count",
            "Pieces on the list",
            Shape.COUNT,
            note="Pieces that are printed.",
            formula="SUM(shelf_shown.all)",
        ),
        Figure(
            "list_held",
            "Pieces waiting",
            Shape.COUNT,
            note="Pieces that belong on the list but whose figures are not complete.",
            formula="SUM(shelf_held.all)",
        ),
        Figure(
            "list_sentence",
            "Not printed",
            Shape.TEXT,
            note="Says how many pieces wait for figures.",
            formula='IF(list_held=0,"",IF(list_held=1,"1 piece waits for figures and is",'
            'list_held&" pieces wait for figures and are")&" not printed; see What each costs.")',
        ),
        Figure(
            "list_tax_note",
            "Sales tax",
            Shape.TEXT,
            note="What the buyer should know of tax.",
            formula='IF(SUM(sales_tax)=0,"",'
            'IF(tax_inside="Yes","Sales tax is included.","Sales tax is added at the till."))',
        ),
    )


def _rank() -> tuple[Item, ...]:
    return (
        Figure(
            "rank_sold",
            "Sold so",
            Shape.COUNT,
            note="1 if it is sold in the way that pieces are ranked by.",
            formula=over_ways("sells", "channel_rank"),
        ),
        Figure(
            "left_ranked",
            "Left per bench hour",
            Shape.MONEY,
            unit=AN_HOUR,
            note="As sold in the way that pieces are ranked by; blank where it isn't sold so.",
            formula="(tag_plain*rank_factor-rank_costs-low_good*(1+rank_replaced))/bench_hours_good",
            needs=("tag_plain", "low_good", "bench_hours_good"),
            nonzero=("rank_sold", "bench_hours_good"),
        ),
        Figure(
            "rank_key",
            "Ranked by",
            Shape.FACTOR,
            note="The same as a number in every row; rows without one go last.",
            formula="IF(ISNUMBER(left_ranked),ROUND(left_ranked+0.000000001,6),-far_date)",
        ),
        Figure(
            "rank_place",
            "Place",
            Shape.COUNT,
            note="1 for the piece that leaves most; of equal ones the upper row goes first.",
            formula="1+SUMPRODUCT((rank_key.all>rank_key)*1)"
            "+SUMPRODUCT((rank_key.all=rank_key)*(piece_position.all<piece_position))",
            needs=("left_ranked",),
        ),
    )


def _shelf() -> tuple[Item, ...]:
    return (
        Figure(
            "shelf_shown",
            "On the list",
            Shape.COUNT,
            note="1 if its cost is complete, it has a tag and it isn't kept off.",
            formula='IF(AND(piece_final=1,ISNUMBER(tag_in_force),piece_listed<>"No"),1,0)',
        ),
        Figure(
            "shelf_held",
            "Waits",
            Shape.COUNT,
            note="1 if it belongs on the list but is not shown yet.",
            formula='IF(AND(piece_name<>"",piece_listed<>"No",shelf_shown=0),1,0)',
        ),
        Figure(
            "shelf_key",
            "Listed by",
            Shape.FACTOR,
            note="Its shelf order; those without one come after all that have one, those not shown last.",
            formula="IF(shelf_shown=1,IF(ISNUMBER(piece_order),piece_order,far_campaign),far_date)",
        ),
        Figure(
            "shelf_place",
            "Line",
            Shape.COUNT,
            note="Its line on the price list; of equal orders the upper row goes first.",
            formula='IF(shelf_shown=0,"",1+SUMPRODUCT((shelf_key.all<shelf_key)*1)'
            "+SUMPRODUCT((shelf_key.all=shelf_key)*(piece_position.all<piece_position)))",
        ),
    )


def _ranking(numbers: tuple[int, ...]) -> tuple[Item, ...]:
    return (
        Fixed("ranking_no", "Place", Shape.COUNT, values=numbers),
        Figure(
            "ranking_row",
            "Row of the piece",
            Shape.COUNT,
            note="Which piece has this place; 0 if none.",
            formula="IFERROR(MATCH(ranking_no,rank_place.all,0),0)",
        ),
        Figure(
            "ranking_name",
            "Piece",
            Shape.TEXT,
            note="Its name.",
            formula="INDEX(piece_name.all,ranking_row)",
            nonzero=("ranking_row",),
        ),
        Figure(
            "ranking_left",
            "Left per bench hour",
            Shape.MONEY,
            unit=AN_HOUR,
            note="What an hour at the bench leaves with it.",
            formula="INDEX(left_ranked.all,ranking_row)",
            nonzero=("ranking_row",),
        ),
        Figure(
            "ranking_tag",
            "Tag in force",
            Shape.MONEY,
            unit="{currency} a tag",
            note="The tag that this is worked out at.",
            formula="INDEX(tag_in_force.all,ranking_row)",
            nonzero=("ranking_row",),
        ),
        Figure(
            "ranking_minutes",
            "Bench minutes",
            Shape.MINUTES,
            unit="minutes",
            note="As typed on Pieces.",
            formula="INDEX(piece_minutes.all,ranking_row)",
            nonzero=("ranking_row",),
        ),
    )


def _price_list(numbers: tuple[int, ...]) -> tuple[Item, ...]:
    return (
        Fixed("list_no", "Line", Shape.COUNT, values=numbers),
        Figure(
            "list_row",
            "Row of the piece",
            Shape.COUNT,
            note="Which piece stands on this line; 0 if none.",
            formula="IFERROR(MATCH(list_no,shelf_place.all,0),0)",
        ),
        Figure(
            "list_name",
            "Piece",
            Shape.TEXT,
            note="Its name.",
            formula="INDEX(piece_name.all,list_row)",
            nonzero=("list_row",),
        ),
        Figure(
            "list_size",
            "Size",
            Shape.TEXT,
            note="Its size, if you typed one.",
            formula='IF(INDEX(piece_size.all,list_row)="","",INDEX(piece_size.all,list_row))',
            nonzero=("list_row",),
        ),
        Figure(
            "list_tag",
            "Price",
            Shape.MONEY,
            unit="{currency}",
            note="The tag in force.",
            formula="INDEX(tag_in_force.all,list_row)",
            nonzero=("list_row",),
        ),
    )
