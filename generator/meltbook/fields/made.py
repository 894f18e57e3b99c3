"""What was made: the pieces that were started in a time, against the glass that the furnace melted in it.

Nothing here feeds a price. It shows how much of the glass went into pieces, what a charge or a day brought at
the tags in force, and whether the pieces paid for the furnace.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """The furnace's side of the time, the totals of the pieces, and one over the other."""
    return (*_furnace_side(), *_totals(), *_compared())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """What was made of each piece, in the rows of the pieces."""

    def made(name: str, label: str, shape: Shape, unit: str, note: str, each: str) -> Figure:
        formula = f"made_count*{each}"
        return Figure(name, label, shape, unit=unit, note=note, formula=formula, needs=("made_count",))

    return (
        Table(
            "piece_made",
            "What was made",
            (
                Figure(
                    "made_count",
                    "Started",
                    Shape.COUNT,
                    note="As typed on Pieces; 0 if empty.",
                    formula="SUM(piece_made)",
                    blank_if="piece_name",
                ),
                made(
                    "made_gathers",
                    "Gathers",
                    Shape.COUNT,
                    "gathers",
                    "Started × gathers of one.",
                    "SUM(piece_gathers)",
                ),
                made(
                    "made_glass",
                    "Glass in them",
                    Shape.WEIGHT,
                    "{weight}",
                    "Started × the finished weight, or the glass drawn where that is not typed.",
                    "IF(ISNUMBER(piece_finished),piece_finished,SUM(piece_drawn_used))",
                ),
                made(
                    "made_value",
                    "Value at tag",
                    Shape.MONEY,
                    "{currency}",
                    "The good ones at their tag, and what seconds bring.",
                    "(good_share*SUM(tag_in_force)+seconds_credit)",
                ),
                made(
                    "made_furnace",
                    "Furnace paid",
                    Shape.MONEY,
                    "{currency}",
                    "Started × the furnace line of one.",
                    "SUM(cost_furnace)",
                ),
            ),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
    )


def _furnace_side() -> tuple[Item, ...]:
    def of_period(name: str, label: str, shape: Shape, unit: str, formula: str) -> Figure:
        return Figure(name, label, shape, unit=unit, note="In the time that pieces were counted for.", formula=formula)

    return (
        Figure(
            "made_known",
            "Pieces were counted",
            Shape.COUNT,
            note="1 once a number over 0 is typed for any piece.",
            formula="IF(SUM(piece_made.all)>0,1,0)",
        ),
        Figure(
            "made_period",
            "Time they were counted for",
            Shape.COUNT,
            note="1 for the whole log, 2 for your two dates, if any is typed.",
            formula='IF(AND(made_when="Between your dates",COUNT(period_from,period_to)>0),2,1)',
        ),
        of_period("made_weight", "Glass charged", Shape.WEIGHT, "{weight}", "INDEX(period_weight.all,made_period)"),
        of_period("made_charges", "Charges", Shape.COUNT, "charges", "INDEX(period_charges.all,made_period)"),
        of_period(
            "made_melt_days",
            "Charge and blow days",
            Shape.DAYS,
            "days",
            "INDEX(charge_days.all,made_period)+INDEX(blow_days.all,made_period)",
        ),
        of_period("made_hot_days", "Hot days", Shape.DAYS, "days", "INDEX(period_hot_days.all,made_period)"),
        of_period(
            "made_log_gathers",
            "Gathers logged",
            Shape.COUNT,
            "gathers",
            "INDEX(period_gathers.all,made_period)",
        ),
    )


def _totals() -> tuple[Item, ...]:
    def total(name: str, label: str, shape: Shape, unit: str, note: str, column: str) -> Figure:
        formula = f"SUM({column}.all)"
        return Figure(name, label, shape, unit=unit, note=note, formula=formula, nonzero=("made_known",))

    return (
        total("made_pieces", "Pieces started", Shape.COUNT, "pieces", "Good and bad together.", "made_count"),
        total("made_gathers_total", "Gathers in them", Shape.COUNT, "gathers", "By the pieces.", "made_gathers"),
        total("made_glass_total", "Glass in them", Shape.WEIGHT, "{weight}", "By the pieces.", "made_glass"),
        total(
            "made_value_total",
            "Value at tag",
            Shape.MONEY,
            "{currency}",
            "Good ones at their tags, and seconds; with tax where the tags include it.",
            "made_value",
        ),
        total(
            "made_furnace_total",
            "Paid towards the furnace",
            Shape.MONEY,
            "{currency}",
            "The furnace lines of all pieces started.",
            "made_furnace",
        ),
    )


def _compared() -> tuple[Item, ...]:
    def over(name: str, label: str, shape: Shape, unit: str, note: str, part: str, whole: str) -> Figure:
        return Figure(
            name,
            label,
            shape,
            unit=unit,
            note=note,
            formula=f"{part}/{whole}",
            needs=(part, whole),
            nonzero=(whole,),
        )

    value, money = "made_value_total", Shape.MONEY
    return (
        over(
            "made_gather_share",
            "Gathers found again",
            Shape.SHARE,
            "of the log's",
            "Gathers in the pieces over gathers in the log; far from 100 %, one of the two was counted wrongly.",
            "made_gathers_total",
            "made_log_gathers",
        ),
        over(
            "made_glass_share",
            "Glass in pieces",
            Shape.SHARE,
            "of the charge",
            "Glass in the pieces over glass charged.",
            "made_glass_total",
            "made_weight",
        ),
        over(
            "made_a_charge",
            "Value a charge",
            money,
            "{currency} a charge",
            "Value at tag over charges.",
            value,
            "made_charges",
        ),
        over(
            "made_a_melt_day",
            "Value a charge or blow day",
            money,
            "{currency} a day",
            "Value at tag over the days on which glass was melted or worked.",
            value,
            "made_melt_days",
        ),
        over(
            "made_a_hot_day",
            "Value a hot day",
            money,
            "{currency} a day",
            "Value at tag over hot days.",
            value,
            "made_hot_days",
        ),
        Figure(
            "made_pool",
            "Furnace cost of that time",
            money,
            unit="{currency}",
            note="The furnace's cost to price with, for the weight charged in the time that pieces were counted for.",
            formula="furnace_pool/period_weight.3*made_weight",
            needs=("furnace_pool",),
        ),
        over(
            "made_recovered",
            "Furnace recovered",
            Shape.SHARE,
            "of its cost",
            "What the pieces paid towards the furnace over its cost: near 100 % is right.",
            "made_furnace_total",
            "made_pool",
        ),
    )
