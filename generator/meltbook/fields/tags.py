"""From what the ways of selling ask for to the tag on the shelf.

The highest tag among the ways of selling that must earn their margin is rounded up to the shop's step and
ending, with the tax in it where the tag shows it. A tag that the owner has typed is in force in its place. Only the
ways in which a piece is sold have a say.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.prices import AT_A_LOSS, NO_TAG, over_ways
from meltbook.studio.capacity import CHANNEL_SLOTS

ON_A_TAG = "{currency} a tag"


def to_the_cent(amount: str) -> str:
    """The formula for an amount before tax as it is quoted: with tax where tags include it, up to the next cent."""
    quoted = f"ROUND({amount}*tag_factor,6)"
    return f"ROUND(0-INT(0-ROUND({quoted}/money_step,6))*money_step,money_digits)"  # INT goes down below 0 too


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """How a tag is rounded and what tax does to it."""
    return (
        Figure(
            "tag_factor",
            "Tag over price",
            Shape.FACTOR,
            note="1 + sales tax where the tag includes it, else 1.",
            formula='1+IF(tax_inside="Yes",SUM(sales_tax),0)',
        ),
        Fixed(
            "money_step",
            "Smallest step of money",
            Shape.FACTOR,
            note="A cent, or what this currency has for it: an hour and a seat are rounded up to it.",
            values=(10.0**-ctx.money_digits,),
        ),
        Figure(
            "tag_step_used",
            "Step used",
            Shape.MONEY,
            unit="{currency}",
            note="As typed; 1 if that is no number over 0.",
            formula="IF(SUM(tag_step)>0,SUM(tag_step),1)",
        ),
        Figure(
            "tag_ending_used",
            "Ending used",
            Shape.MONEY,
            unit="{currency}",
            note="As typed, if it is less than the step; else 0.",
            formula="IF(SUM(tag_ending)>=tag_step_used,0,SUM(tag_ending))",
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The tag of each piece, in the rows of the pieces."""
    return (
        Table(
            "piece_prices",
            "Tags",
            (*_where_sold(), *_suggested(), *_in_force(), *_loses()),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
    )


def _every(column: str) -> str:
    return ",".join(f"{column}_{slot}" for slot in CHANNEL_SLOTS)


def _where_sold() -> tuple[Item, ...]:
    """In how many of the ways a piece is sold in a margin must be earned, can't be, and anything is left at all."""

    def count(name: str, label: str, note: str, each: str) -> Figure:
        return Figure(name, label, Shape.COUNT, note=note, formula=over_ways("sells", each))

    return (
        count("must_here", "Must earn it", "Ways it is sold in that must earn their margin.", "channel_must"),
        count("must_stuck", "Can't earn it", "Those among them where no tag can do it.", "channel_stuck"),
        count("open_here", "Leave something", "Ways it is sold in that leave anything of a tag.", "channel_open"),
    )


def _suggested() -> tuple[Item, ...]:
    return (
        Figure(
            "tag_wanted",
            "Tag asked for",
            Shape.MONEY,
            unit="{currency} before tax",
            note="The highest among the ways it is sold in that must earn their margin, to the last fraction.",
            formula=f'IF(must_here=0,"",IF(must_stuck>0,"{NO_TAG}",MAX({_every("must_tag")})))',
            needs=("cost_good",),
        ),
        Figure(
            "tag_cents",
            "With tax, to the cent",
            Shape.MONEY,
            unit=ON_A_TAG,
            note="As the tag shows it, half a cent rounded up.",
            formula="ROUND(tag_wanted*tag_factor+0.000000001,money_digits)",
            needs=("tag_wanted",),
        ),
        Figure(
            "tag_suggested",
            "Suggested tag",
            Shape.MONEY,
            unit=ON_A_TAG,
            note="Rounded up to your step and ending, so that every way of selling that must earn its margin does.",
            formula="IF(ISNUMBER(tag_cents),ROUND(ROUNDUP(MAX(0,ROUND((tag_cents-tag_ending_used)/tag_step_used,6)),0)"
            "*tag_step_used+tag_ending_used,money_digits),tag_wanted)",
        ),
    )


def _in_force() -> tuple[Item, ...]:
    return (
        Figure(
            "tag_in_force",
            "Tag in force",
            Shape.MONEY,
            unit=ON_A_TAG,
            note="What stands on it today; if you typed none, the suggested tag.",
            formula='IF(ISNUMBER(piece_tag),piece_tag,IF(ISNUMBER(tag_suggested),tag_suggested,""))',
            blank_if="piece_name",
        ),
        Figure(
            "tag_plain",
            "Before tax",
            Shape.MONEY,
            unit="{currency}",
            note="The tag in force without the tax that may be in it.",
            formula="tag_in_force/tag_factor",
            needs=("tag_in_force",),
        ),
        Figure(
            "margin_lowest",
            "Lowest margin",
            Shape.SHARE,
            unit="of what you get",
            note="The lowest of the margins that must be earned, at the tag in force.",
            formula=f"MIN({_every('must_margin')})",
            needs=("tag_plain", "cost_good"),
            nonzero=("must_here",),
        ),
        Figure(
            "margin_worst",
            "Worst margin asked for",
            Shape.SHARE,
            unit="of what you get",
            note="The same, or the word when nothing at all is left.",
            formula=f'IF(margin_lowest<=close_enough-1,"{AT_A_LOSS}",margin_lowest)',
        ),
        Figure(
            "tag_gap",
            "Over suggested",
            Shape.MONEY,
            unit=ON_A_TAG,
            note="The tag in force less the suggested one; below 0 it is too low for the margin wanted.",
            formula="tag_in_force-tag_suggested",
            needs=("tag_suggested",),
        ),
        Figure(
            "lowest_worst",
            "Lowest price",
            Shape.MONEY,
            unit=ON_A_TAG,
            note="The highest of the lowest prices where it is sold. Below it money is lost; it is not a price to "
            "live on.",
            formula=f'IF(open_here=0,"",MAX({_every("lowest")}))',
            needs=("low_good",),
        ),
    )


def _loses() -> tuple[Item, ...]:
    return (
        Figure(
            "losing_ways",
            "Ways that lose",
            Shape.COUNT,
            note="Ways of selling in which the tag in force is below the lowest price.",
            formula=f"SUM({_every('losing')})",
        ),
        Figure(
            "losing_way",
            "Number of the way",
            Shape.COUNT,
            note="Of the way that loses, where it is only one; else their numbers added up, which means nothing.",
            formula=over_ways("losing", "channel_no"),
        ),
        Figure(
            "loses_where",
            "Loses money in",
            Shape.TEXT,
            note="Where the tag in force is below the lowest price: each one sold there takes money out of the shop.",
            formula='IF(losing_ways=0,"",IF(losing_ways=1,INDEX(channel_name.all,losing_way),'
            'losing_ways&" ways of selling"))',
        ),
    )
