"""Each piece under a new tariff: its cost, the margin that its old tag leaves, the tag it would need.

Only the furnace's part of a piece and that of the machines on Equipment move with the tariff, so its cost after the
change is its cost now, plus what the furnace's rate and the machines' energy move by. A tag is worth changing when the
margin at the old tag falls short of the one wanted by more than the owner's tolerance, and the rounded tag is a higher
one. Where it fell short before the change as well, the sheet says so: then the tariff is not the reason.

A tag that could go down is shown, and never proposed.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.prices import AT_A_LOSS, NO_TAG
from meltbook.studio.capacity import CHANNEL_SLOTS

RETAG, ALREADY_SHORT, KEEP = "Retag", "Already short", "Keep"
ON_A_TAG = "{currency} a tag"
OF_NET = "of what you get"


def scalars() -> tuple[Item, ...]:
    """How much a margin may miss before a tag is changed."""
    return (
        Fixed(
            "default_tolerance",
            "Margin may miss by, if not typed",
            Shape.SHARE,
            note="Stands in where nothing is typed on New tariff.",
            values=(0.01,),
        ),
        Figure(
            "retag_tolerance_used",
            "Margin may miss by, used",
            Shape.SHARE,
            unit=OF_NET,
            note="As typed; 1 % if blank.",
            formula="IF(ISNUMBER(retag_tolerance),retag_tolerance,default_tolerance)",
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """One table in the rows of the pieces."""
    slots = (item for number, slot in enumerate(CHANNEL_SLOTS, start=1) for item in _slot(slot, number))
    return (
        Table(
            "piece_after",
            "Pieces after the new tariff",
            (*_now(), *_machines_after(), _cost_after(), *slots, *_margins(), *_tag(), *_decision()),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
    )


def _every(column: str) -> str:
    return ",".join(f"{column}_{slot}" for slot in CHANNEL_SLOTS)


def _now() -> tuple[Figure, ...]:
    def again(name: str, label: str, shape: Shape, unit: str, source: str) -> Figure:
        return Figure(name, label, shape, unit=unit, note="As it is now.", formula=source)

    return (
        again("after_tag_now", "Old tag", Shape.MONEY, "{currency}", "tag_in_force"),
        again("after_cost_now", "Cost now", Shape.MONEY, "{currency}", "cost_good"),
        again("after_margin_now", "Margin now", Shape.SHARE, "", "margin_worst"),
    )


def _machines_after() -> tuple[Figure, ...]:
    def more(name: str, label: str, note: str, formula: str) -> Figure:
        unit = "{currency} a piece"
        return Figure(name, label, Shape.MONEY, unit=unit, note=note, formula=formula, blank_if="piece_name")

    return (
        more(
            "piece_more_hot",
            "Machines at the bench, more",
            "What the letter adds to the glory hole and other equipment, if they are on Equipment.",
            "piece_glory_used*equipment_more_minute.1+SUM(piece_other_minutes)*equipment_more_minute.3"
            "+SUM(piece_load_part)*(equipment_more_load.1+equipment_more_load.3)",
        ),
        more(
            "piece_more_kiln",
            "Annealer, more",
            "What the letter adds to the annealers on Equipment.",
            "SUM(piece_minutes)*equipment_more_minute.2+SUM(piece_load_part)*equipment_more_load.2",
        ),
    )


def _cost_after() -> Figure:
    return Figure(
        "cost_after",
        "Cost after",
        Shape.MONEY,
        unit="{currency}",
        note="What a good one costs under the new tariff.",
        formula="cost_good+(piece_furnace_units*(rate_after-furnace_rate)+piece_more_hot"
        "+kiln_share*piece_more_kiln)/good_share",
        needs=("cost_good", "rate_after"),
    )


def _slot(slot: str, row: int) -> tuple[Figure, ...]:
    """The columns of one way of selling, which stands in this row of the ways of selling."""
    net, margin = f"net_after_{slot}", f"margin_after_{slot}"
    return (
        Figure(
            f"short_now_{slot}",
            "Short now",
            Shape.SHARE,
            unit=OF_NET,
            note="The margin wanted less the one at the old tag, where it must be earned.",
            formula=f"SUM(channel_margin.{row})-must_margin_{slot}",
            needs=(f"must_margin_{slot}", "cost_after"),
        ),
        Figure(
            net,
            "You get after",
            Shape.MONEY,
            unit="{currency}",
            note="Of the old tag; a piece that is replaced costs more then.",
            formula=f'IF(channel_must.{row}=1,net_{slot}-channel_replaced.{row}*(cost_after-cost_good),"")',
            needs=(f"net_{slot}", "cost_after"),
        ),
        Figure(
            margin,
            "Margin after",
            Shape.SHARE,
            unit=OF_NET,
            note="At the old tag; −1 stands for a loss of everything.",
            formula=f"IF({net}>close_enough,MAX(-1,({net}-cost_after)/{net}),-1)",
            needs=(net,),
        ),
        Figure(
            f"short_after_{slot}",
            "Short after",
            Shape.SHARE,
            unit=OF_NET,
            note="The margin wanted less the one after the change.",
            formula=f"SUM(channel_margin.{row})-{margin}",
            needs=(margin,),
        ),
        Figure(
            f"after_{slot}",
            "Tag needed after",
            Shape.MONEY,
            unit="{currency} before tax",
            note="The tag that brings the margin wanted under the new tariff, to the last fraction.",
            formula=f"IF(AND(sells_{slot}=1,channel_must.{row}=1,channel_can.{row}=1),"
            f'MAX(0,(cost_after*channel_on_cost.{row}+channel_costs.{row})/channel_factor.{row}),"")',
            needs=("cost_after",),
        ),
    )


def _margins() -> tuple[Figure, ...]:
    def worst(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(
            name,
            label,
            Shape.SHARE,
            unit=OF_NET,
            note=note,
            formula=formula,
            needs=("tag_plain", "cost_after"),
            nonzero=("must_here",),
        )

    return (
        worst(
            "short_now", "Short now", "The most that any margin falls short by today.", f"MAX({_every('short_now')})"
        ),
        worst("short_after", "Short after", "The same under the new tariff.", f"MAX({_every('short_after')})"),
        worst(
            "margin_after_lowest",
            "Lowest margin after",
            "The lowest of the margins that must be earned, at the old tag.",
            f"MIN({_every('margin_after')})",
        ),
        Figure(
            "margin_after",
            "Margin after",
            Shape.SHARE,
            note="The worst at the old tag, or the word when nothing at all is left.",
            formula=f'IF(margin_after_lowest<=close_enough-1,"{AT_A_LOSS}",margin_after_lowest)',
        ),
    )


def _tag() -> tuple[Figure, ...]:
    return (
        Figure(
            "after_wanted",
            "Tag asked for after",
            Shape.MONEY,
            unit="{currency} before tax",
            note="The highest among the ways it is sold in that must earn their margin, to the last fraction.",
            formula=f'IF(must_here=0,"",IF(must_stuck>0,"{NO_TAG}",MAX({_every("after")})))',
            needs=("cost_after",),
        ),
        Figure(
            "after_cents",
            "With tax, to the cent",
            Shape.MONEY,
            unit=ON_A_TAG,
            note="As the tag shows it, half a cent rounded up.",
            formula="ROUND(after_wanted*tag_factor+0.000000001,money_digits)",
            needs=("after_wanted",),
        ),
        Figure(
            "tag_after",
            "Suggested after",
            Shape.MONEY,
            unit="{currency}",
            note="The suggested tag after the change, rounded up to your step and ending.",
            formula="IF(ISNUMBER(after_cents),ROUND(ROUNDUP(MAX(0,ROUND((after_cents-tag_ending_used)/tag_step_used,"
            "6)),0)*tag_step_used+tag_ending_used,money_digits),after_wanted)",
        ),
        Figure(
            "tag_change",
            "Suggested over the old",
            Shape.MONEY,
            unit="{currency}",
            note="The suggested tag less the old one; below 0 where the old one may stay.",
            formula="tag_after-tag_in_force",
            needs=("tag_after",),
        ),
    )


def _decision() -> tuple[Figure, ...]:
    return (
        Figure(
            "tag_verdict",
            "What to do",
            Shape.TEXT,
            note="Retag if the margin falls short by more than your tolerance and the rounded tag is higher; Already "
            "short if it did so before the change.",
            formula="IF(MIN(short_after-retag_tolerance_used,SUM(tag_change))>close_enough,"
            f'IF(short_now-retag_tolerance_used>close_enough,"{ALREADY_SHORT}","{RETAG}"),"{KEEP}")',
            needs=("short_after",),
        ),
        Figure(
            "tag_new",
            "New tag",
            Shape.MONEY,
            unit="{currency}",
            note="The suggested tag, where the tag is to be changed.",
            formula='IF(OR(retag_flag=1,COUNT(tag_after)=0),tag_after,"")',
        ),
        Figure(
            "tag_rise",
            "Over the old",
            Shape.MONEY,
            unit="{currency}",
            note="The new tag less the old one.",
            formula="tag_change",
            nonzero=("retag_flag",),
        ),
        Figure(
            "retag_flag",
            "On the retag list",
            Shape.COUNT,
            note="1 if its tag is to be changed.",
            formula=f'IF(OR(tag_verdict="{RETAG}",tag_verdict="{ALREADY_SHORT}"),1,0)',
        ),
        Figure(
            "retag_key",
            "Listed by",
            Shape.FACTOR,
            note="Its shelf order; those without one come after all that have one, those not listed last.",
            formula="IF(retag_flag=1,IF(ISNUMBER(piece_order),piece_order,far_campaign),far_date)",
        ),
        Figure(
            "retag_place",
            "Line",
            Shape.COUNT,
            note="Its line on the retag list; of equal orders the upper row goes first.",
            formula="1+SUMPRODUCT((retag_key.all<retag_key)*1)"
            "+SUMPRODUCT((retag_key.all=retag_key)*(piece_position.all<piece_position))",
            nonzero=("retag_flag",),
        ),
    )
