"""The ways of selling: what each takes, and what a piece's tag leaves there.

Of the tag, a way of selling charges a part (all of it in the owner's shop, less in wholesale), keeps a
commission, takes a fee on one of three bases and costs a fixed sum a sale. What is left of each unit of the
tag is the channel's factor; the tag that a margin needs is worked out backwards through it. Some pieces never
arrive: they are replaced, which costs the piece again, or refunded, which loses the price. Where the owner doesn't
sell a piece in a way, its figures there stay blank and no tag goes by it.

The six ways of selling are alike, so one declaration makes the six blocks of columns.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.studio.capacity import CHANNEL_SLOTS

NO_TAG = "No tag can do it"
AT_A_LOSS = "At a loss"
SHARE = Typed(minimum=0, maximum=1)
AMOUNT = Typed(minimum=0)
ON_A_TAG = "{currency} a tag"
A_SALE = "{currency} a sale"
AN_HOUR = "{currency} an hour"


def over_ways(column: str, each: str) -> str:
    """A sum over the ways of selling: the piece's column for each, times a figure of the way itself."""
    return "+".join(f"{column}_{slot}*{each}.{row}" for row, slot in enumerate(CHANNEL_SLOTS, start=1))


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Which ways of selling set the tag, and what is too little to divide by."""
    return (
        Fixed(
            "tiny_share",
            "Too little to share by",
            Shape.FACTOR,
            note="Where less than this is left of a tag, no tag can do it.",
            values=(0.000000001,),
        ),
        Fixed(
            "tax_base_code",
            "Code: tag with tax",
            Shape.COUNT,
            note="The number by which the workings know a fee on the tag with tax.",
            values=(3,),
        ),
        Figure(
            "must_blocked",
            "Can't earn it",
            Shape.COUNT,
            note="Ways of selling that must earn their margin but where no tag can do it.",
            formula="COUNTIFS(channel_must.all,1,channel_can.all,0)",
        ),
        Figure(
            "must_count",
            "Must earn their margin",
            Shape.COUNT,
            note="Ways of selling marked so; the highest tag among them is suggested.",
            formula="SUM(channel_must.all)",
        ),
        Figure(
            "ways_legend",
            "Ways of selling by number",
            Shape.TEXT,
            note="Which is which in the columns of Pieces: the numbers and names of those on Shop.",
            formula="&".join(f"channel_legend.{number}" for number in range(1, len(CHANNEL_SLOTS) + 1)),
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The ways of selling, then a block of columns for each of them in the rows of the pieces."""
    channels = Table(
        "channels",
        "Ways of selling",
        (*_typed(), *_worked_out()),
        rows=ctx.capacity.channels,
        capacity="channels",
    )
    slots = tuple(
        Table(
            f"channel_{slot}",
            f"Way of selling {number}",
            _slot(slot, number),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        )
        for number, slot in enumerate(CHANNEL_SLOTS, start=1)
    )
    return (channels, *slots)


def _typed() -> tuple[Item, ...]:
    return (
        Input(
            "channel_name",
            "Way of selling",
            Shape.TEXT,
            note="Own shop, gallery, web shop, market, wholesale.",
        ),
        Input(
            "channel_tag_share",
            "Part of the tag",
            Shape.SHARE,
            unit="of the tag",
            note="1 in a shop; 0.5 where wholesale buyers pay half the tag. Empty counts as 1.",
            typed=SHARE,
        ),
        Input(
            "channel_commission",
            "They keep",
            Shape.SHARE,
            unit="of the price",
            note="The gallery's or the site's commission, from your agreement.",
            typed=SHARE,
        ),
        Input(
            "channel_fee",
            "Payment fee",
            Shape.SHARE,
            unit="of its base",
            note="What the card or payment company takes in percent, from its statement.",
            typed=SHARE,
        ),
        Input(
            "channel_fee_base",
            "Fee is on",
            Shape.TEXT,
            note="What the fee is worked out from: what is left after commission, the tag, or the tag with tax.",
            typed=Typed(choices=("What is left", "Tag", "Tag with tax")),
        ),
        Input(
            "channel_fixed_fee",
            "Fixed fee",
            Shape.MONEY,
            unit=A_SALE,
            note="What each sale costs whatever its price, from the same statement.",
            typed=AMOUNT,
        ),
        Input(
            "channel_postage_paid",
            "Postage you pay",
            Shape.MONEY,
            unit=A_SALE,
            note="To the carrier, on average, with insurance.",
            typed=AMOUNT,
        ),
        Input(
            "channel_postage_charged",
            "Postage you charge",
            Shape.MONEY,
            unit=A_SALE,
            note="What the buyer pays you for it, on average.",
            typed=AMOUNT,
        ),
        Input(
            "channel_lost_share",
            "Don't arrive",
            Shape.SHARE,
            unit="of sales",
            note="Broken on the way or sent back, of all sold so: count the last hundred.",
            typed=SHARE,
        ),
        Input(
            "channel_lost_how",
            "Then it is",
            Shape.TEXT,
            note="Replaced by another piece, or the price refunded; empty counts as replaced.",
            typed=Typed(choices=("Replaced", "Refunded")),
        ),
        Input(
            "channel_margin",
            "Margin wanted",
            Shape.SHARE,
            unit="of what you get",
            note="Of what is left to you, the part that should stay after all costs. Cost + half of it is "
            "a third here.",
            typed=SHARE,
        ),
        Input(
            "channel_must_earn",
            "Must earn it",
            Shape.TEXT,
            note="Yes where the tag must be high enough for this margin; the suggested tag suits all that say Yes.",
            typed=Typed(choices=("Yes", "No")),
        ),
    )


def _worked_out() -> tuple[Item, ...]:
    def flag(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.COUNT, note=note, formula=formula)

    def share(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.FACTOR, note=note, formula=formula)

    return (
        Fixed(
            "channel_no",
            "Number",
            Shape.COUNT,
            note="Its row among the ways of selling.",
            values=tuple(range(1, len(CHANNEL_SLOTS) + 1)),
        ),
        flag("channel_used", "Is used", "1 if it has a name.", 'IF(channel_name="",0,1)'),
        Figure(
            "channel_legend",
            "Number and name",
            Shape.TEXT,
            note="As Pieces shows it above its columns, with a comma before all but the first.",
            formula='IF(channel_used=0,"",'
            'IF(MATCH(1,channel_used.all,0)=channel_no,"",", ")&channel_no&" "&channel_name)',
        ),
        flag(
            "channel_rank",
            "Ranked by",
            "1 if pieces are ranked as sold so.",
            "IF(channel_no=rank_slot,1,0)",
        ),
        share(
            "channel_tag_part",
            "Part of tag used",
            "As typed; 1 if empty.",
            "IF(ISNUMBER(channel_tag_share),channel_tag_share,1)",
        ),
        flag(
            "channel_base_code",
            "Fee base",
            "1 on what is left, 2 on the tag, 3 on the tag with tax.",
            'IF(channel_fee_base="Tag",2,IF(channel_fee_base="Tag with tax",tax_base_code,1))',
        ),
        share(
            "channel_left",
            "Left after both",
            "Of a price of 1, what commission and fee leave.",
            "IF(channel_base_code=1,(1-SUM(channel_commission))*(1-SUM(channel_fee)),"
            "1-SUM(channel_commission)-SUM(channel_fee)*IF(channel_base_code=2,1,1+SUM(sales_tax)))",
        ),
        share(
            "channel_refunded",
            "Refunded",
            "The part of sales whose price is paid back.",
            'IF(channel_lost_how="Refunded",SUM(channel_lost_share),0)',
        ),
        share(
            "channel_replaced",
            "Replaced",
            "The part of sales that take a second piece.",
            "SUM(channel_lost_share)-channel_refunded",
        ),
        share(
            "channel_factor",
            "Left of a tag",
            "Of a tag of 1, what is left before what a sale costs.",
            "channel_tag_part*channel_left*(1-channel_refunded)",
        ),
        Figure(
            "channel_costs",
            "A sale costs",
            Shape.MONEY,
            unit=A_SALE,
            note="Fixed fee, and postage paid less postage charged.",
            formula="SUM(channel_fixed_fee)+SUM(channel_postage_paid)-SUM(channel_postage_charged)",
        ),
        flag(
            "channel_open",
            "Leaves something",
            "1 if anything of a tag is left; each share is tested, since two that are over 1 would cancel out.",
            "IF(AND(channel_used=1,MAX(SUM(channel_commission),SUM(channel_fee))<1,channel_factor>tiny_share),1,0)",
        ),
        flag(
            "channel_can",
            "Can earn it",
            "1 if a tag can bring the margin wanted.",
            "IF(AND(channel_open=1,SUM(channel_margin)<1),1,0)",
        ),
        flag(
            "channel_must",
            "Sets the tag",
            "1 if it is used and must earn its margin.",
            'IF(AND(channel_used=1,channel_must_earn="Yes"),1,0)',
        ),
        flag(
            "channel_stuck",
            "Must and can't",
            "1 if it must earn its margin and no tag can do it.",
            "channel_must*(1-channel_can)",
        ),
        share(
            "channel_on_cost",
            "Cost is raised by",
            "1 ÷ (1 − margin), and what is replaced; 0 where no tag can do it.",
            "IF(channel_can=1,1/(1-SUM(channel_margin))+channel_replaced,0)",
        ),
    )


def _slot(slot: str, row: int) -> tuple[Item, ...]:
    """The columns of one way of selling, which stands in this row of the ways of selling."""

    def money(name: str, label: str, unit: str, note: str, formula: str, *needs: str) -> Figure:
        return Figure(f"{name}_{slot}", label, Shape.MONEY, unit=unit, note=note, formula=formula, needs=needs)

    costs_of_a_sale = f"channel_costs.{row}-channel_replaced.{row}*cost_good"
    low_costs = f"low_good*(1+channel_replaced.{row})"
    return (
        Figure(
            f"sells_{slot}",
            "Sold so",
            Shape.COUNT,
            note="1 if this way of selling is used and Pieces doesn't say No to it.",
            formula=f'IF(AND(piece_name<>"",channel_used.{row}=1,piece_sold_{slot}<>"No"),1,0)',
        ),
        money(
            "tag_exact",
            "Tag needed before tax",
            "{currency} before tax",
            "The tag that brings the margin wanted here, to the last fraction.",
            f'IF(sells_{slot}=0,"",IF(channel_can.{row}=0,"{NO_TAG}",'
            f"MAX(0,(cost_good*channel_on_cost.{row}+channel_costs.{row})/channel_factor.{row})))",
            "cost_good",
        ),
        money(
            "net",
            "You get",
            "{currency}",
            "Of the tag in force, what is left to you after what selling here takes; tax is never in it.",
            f'IF(sells_{slot}=0,"",tag_plain*channel_factor.{row}-{costs_of_a_sale})',
            "tag_plain",
            "cost_good",
        ),
        Figure(
            f"margin_{slot}",
            "Margin",
            Shape.SHARE,
            unit="of what you get",
            note="Of what you get, the part that stays after all costs.",
            formula=f'IF(net_{slot}>close_enough,(net_{slot}-cost_good)/net_{slot},"{AT_A_LOSS}")',
            needs=(f"net_{slot}",),
        ),
        money(
            "must_tag",
            "Tag asked for",
            "{currency} before tax",
            "The tag needed, where this way of selling must earn its margin.",
            f'IF(channel_must.{row}=1,tag_exact_{slot},"")',
            f"tag_exact_{slot}",
        ),
        Figure(
            f"must_margin_{slot}",
            "Margin watched",
            Shape.SHARE,
            unit="of what you get",
            note="The margin, where it must be earned; −1 stands for a loss of everything.",
            formula=f'IF(channel_must.{row}=0,"",MAX(-1,margin_{slot}))',
            needs=(f"net_{slot}",),
        ),
        money(
            "lowest",
            "Lowest price",
            ON_A_TAG,
            "On the tag: below it, each one sold here takes money out of the shop.",
            f'IF(sells_{slot}=0,"",IF(channel_open.{row}=0,"{NO_TAG}",'
            f"MAX(0,({low_costs}+channel_costs.{row})/channel_factor.{row})*tag_factor))",
            "low_good",
        ),
        Figure(
            f"left_{slot}",
            "Left per bench hour",
            Shape.MONEY,
            unit=AN_HOUR,
            note="What an hour at the bench leaves over what one more piece makes you spend.",
            formula=f'IF(sells_{slot}=0,"",'
            f"(tag_plain*channel_factor.{row}-channel_costs.{row}-{low_costs})/bench_hours_good)",
            needs=("tag_plain", "low_good", "bench_hours_good"),
            nonzero=("bench_hours_good",),
        ),
        Figure(
            f"earn_{slot}",
            "You earn an hour",
            Shape.MONEY,
            unit=AN_HOUR,
            note="For each hour of your own, off-bench too, after all other costs.",
            formula=f"(net_{slot}-cost_not_own)/own_hours_good",
            needs=(f"net_{slot}",),
            nonzero=("own_hours_good",),
        ),
        Figure(
            f"losing_{slot}",
            "Loses money",
            Shape.COUNT,
            note="1 if the tag in force is below the lowest price here.",
            formula=f"IF(COUNT(tag_in_force,lowest_{slot})<2,0,IF(tag_in_force<lowest_{slot}-close_enough,1,0))",
        ),
    )
