"""The pieces: what is typed about each, and the rates by which a piece takes its part of the furnace.

The rates come from the months that prices are taken from. Each of the three ways of sharing the furnace
brings in the same total over those months' pieces; they only share it out differently between large and slow
ones.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.studio.capacity import CHANNEL_SLOTS

SHARE = Typed(minimum=0, maximum=1)
LOSS = Typed(minimum=0, maximum=0.99)
AMOUNT = Typed(minimum=0)
A_PIECE = "{currency} a piece"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """The furnace's rate for a piece, and what one more piece burns at the least."""
    return (*_furnace_rates(), *_low_rates())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """What is typed: one row a piece."""
    return (
        Table(
            "pieces",
            "Pieces",
            (
                Fixed(
                    "piece_position",
                    "Row",
                    Shape.COUNT,
                    note="Settles ties: the upper row goes first.",
                    values=tuple(range(1, ctx.capacity.pieces + 1)),
                ),
                *_name_and_glass(),
                *_time(),
                *_losses(),
                *_sold(),
            ),
            rows=ctx.capacity.pieces,
            capacity="pieces",
        ),
    )


def _money(name: str, label: str, note: str) -> Input:
    return Input(name, label, Shape.MONEY, unit=A_PIECE, note=note, typed=AMOUNT)


def _minutes(name: str, label: str, note: str) -> Input:
    return Input(name, label, Shape.MINUTES, unit="minutes", note=note, typed=AMOUNT)


def _name_and_glass() -> tuple[Item, ...]:
    return (
        Input("piece_name", "Piece", Shape.TEXT, note="Each name once; a row without a name is not counted."),
        Input("piece_size", "Size", Shape.TEXT, note="As on the price list: 20 cm, large, a pair."),
        Input(
            "piece_order",
            "Shelf order",
            Shape.COUNT,
            note="Small numbers stand first on the price list; pieces without one follow.",
            typed=AMOUNT,
        ),
        Input(
            "piece_glass",
            "Glass",
            Shape.TEXT,
            note="The name of a raw glass on Shop. Empty: the first one.",
            typed=Typed(choices_from="glass_name"),
        ),
        Input(
            "piece_drawn",
            "Glass drawn",
            Shape.WEIGHT,
            unit="{weight}",
            note="All that leaves the pot for one piece: the piece, what is cut off, and what stays on the "
            "pipe. "
            "Empty: gathers × the weight of one.",
            typed=AMOUNT,
        ),
        Input(
            "piece_gathers",
            "Gathers",
            Shape.FACTOR,
            note="How often you go to the pot for one piece; bits count as the part of a gather that they are.",
            typed=AMOUNT,
        ),
        Input(
            "piece_finished",
            "Finished weight",
            Shape.WEIGHT,
            unit="{weight}",
            note="Put five finished ones on the scale and take the mean.",
            typed=AMOUNT,
        ),
        Input(
            "piece_recovered",
            "Cullet kept",
            Shape.SHARE,
            unit="of what is cut off",
            note="The part of the cut-off glass that goes back in the pot. Empty is none, as for coloured pieces.",
            typed=SHARE,
        ),
        Input(
            "piece_colour_weight",
            "Colour",
            Shape.WEIGHT,
            unit="{weight}",
            note="Bar, frit or powder on one piece. Powder hurts the lungs: extraction and a fitted mask.",
            typed=AMOUNT,
        ),
        Input(
            "piece_colour_price",
            "Colour price",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="From the last invoice, with freight.",
            typed=AMOUNT,
        ),
        Input(
            "piece_colour_waste",
            "Colour waste",
            Shape.SHARE,
            unit="of the colour",
            note="What is bought but never lands on a piece: ends of bars, spilled powder.",
            typed=AMOUNT,
        ),
        _money("piece_materials", "Materials", "Fittings, wire, glue, abrasives for one piece."),
    )


def _time() -> tuple[Item, ...]:
    return (
        _minutes(
            "piece_minutes",
            "Bench minutes",
            "From the first gather to the kiln door, for one piece; time five and take the mean.",
        ),
        _minutes("piece_first_minutes", "Assistant one", "Minutes that this assistant is needed for one piece."),
        _minutes("piece_second_minutes", "Assistant two", "Minutes that this assistant is needed for one piece."),
        _minutes(
            "piece_off_minutes",
            "Off-bench work",
            "Cold working, drilling, photographs. Grind wet: dry glass dust hurts the lungs.",
        ),
        _minutes("piece_glory_minutes", "Glory hole", "Minutes of it that a piece takes. Empty: the bench minutes."),
        _minutes(
            "piece_other_minutes",
            "Other equipment",
            "Minutes of the third row under Other equipment on Shop.",
        ),
        Input(
            "piece_per_load",
            "Pieces a load",
            Shape.FACTOR,
            note="How many of these fill the annealer, with air between them. Never crowd it to lower this cost.",
            typed=Typed(minimum=0.001),
        ),
        Input(
            "piece_load_share",
            "Share of a load",
            Shape.SHARE,
            unit="of a load",
            note="In place of pieces a load, for loads of mixed sizes: the part of the kiln that one piece takes.",
            typed=SHARE,
        ),
    )


def _losses() -> tuple[Item, ...]:
    return (
        Input(
            "piece_loss",
            "Lost at the bench",
            Shape.SHARE,
            unit="of those started",
            note="Of twenty started, how many never became a good piece; 0 if you lose none.",
            typed=LOSS,
        ),
        Input(
            "piece_seconds",
            "Sold as seconds",
            Shape.SHARE,
            unit="of the lost",
            note="The part of those lost at the bench that sell as seconds.",
            typed=SHARE,
        ),
        _money("piece_second_value", "A second brings", "What such a second leaves after what selling it takes."),
        Input(
            "piece_loss_after",
            "Lost after",
            Shape.SHARE,
            unit="of those annealed",
            note="Found cracked or broken later, in the kiln or in cold work. Empty: not told apart, and every piece "
            "started pays annealing too; 0: those lost at the bench never reach the kiln, which costs less.",
            typed=LOSS,
        ),
        Input(
            "piece_seconds_after",
            "Seconds after",
            Shape.SHARE,
            unit="of the lost after",
            note="The part of those lost after that sell as seconds.",
            typed=SHARE,
        ),
        _money(
            "piece_second_value_after",
            "A later second brings",
            "What such a second leaves after what selling it takes.",
        ),
        _money("piece_packing", "Packing", "Box, paper and tape for one good piece."),
        Input(
            "piece_made",
            "Started",
            Shape.COUNT,
            note="How many were started in the time chosen on Shop, good and bad together. Only to look back.",
            typed=AMOUNT,
        ),
        _money("piece_tag", "Tag now", "What stands on it in your shop today. Empty: the suggested tag."),
        Input(
            "piece_listed",
            "On the list",
            Shape.TEXT,
            note="No keeps it off the price list; empty counts as Yes.",
            typed=Typed(choices=("Yes", "No")),
        ),
    )


def _sold() -> tuple[Item, ...]:
    """Where a piece is sold: one column for each way of selling, in the order in which they stand on Shop."""
    return tuple(
        Input(
            f"piece_sold_{slot}",
            f"Way of selling {number}",
            Shape.TEXT,
            note="No where this piece isn't sold so; empty counts as Yes.",
            typed=Typed(choices=("Yes", "No")),
        )
        for number, slot in enumerate(CHANNEL_SLOTS, start=1)
    )


def _furnace_rates() -> tuple[Item, ...]:
    return (
        Figure(
            "gather_weight_used",
            "Glass in one gather used",
            Shape.WEIGHT,
            unit="{weight}",
            note="As weighed; if not typed, the glass drawn in the whole log over its gathers.",
            formula="IF(ISNUMBER(gather_weight),gather_weight,IF(COUNT(share_drawn)*period_gathers.1=0,"
            '"",period_weight.1*share_drawn/period_gathers.1))',
        ),
        Figure(
            "furnace_pool",
            "Furnace cost to share out",
            Shape.MONEY,
            unit="{currency}",
            note="Hot days, service and demand, pots and elements and the furnace itself, for the weight "
            "charged in "
            "the months that prices are taken from. Raw glass is a line of its own.",
            formula="SUM(price_hot,price_standing,price_wear,price_own)*period_weight.3",
            needs=("price_hot",),
        ),
        Figure(
            "window_minutes",
            "Bench minutes in those months",
            Shape.MINUTES,
            unit="minutes",
            note="The hours typed for them, or the ordinary year's for as many days.",
            formula="IF(ISNUMBER(window_hours),window_hours*60,IF(ISNUMBER(ordinary_hours),"
            'ordinary_hours*60*MIN(1,period_days.3/days_in_year),""))',
        ),
        Figure(
            "rate_weight",
            "Furnace per weight drawn",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="For pieces that take their part of the furnace by weight.",
            formula="furnace_pool/(period_weight.3*share_drawn)",
            needs=("furnace_pool", "share_drawn"),
            nonzero=("share_drawn",),
        ),
        Figure(
            "rate_gather",
            "Furnace per gather",
            Shape.RATE,
            unit="{currency} a gather",
            note="For pieces that take their part of the furnace by gathers, as logged.",
            formula="furnace_pool/period_gathers.3",
            needs=("furnace_pool",),
            nonzero=("period_gathers.3",),
        ),
        Figure(
            "rate_minute",
            "Furnace per bench minute",
            Shape.RATE,
            unit="{currency} a minute",
            note="For pieces that take their part of the furnace by bench minutes.",
            formula="furnace_pool/window_minutes",
            needs=("furnace_pool", "window_minutes"),
            nonzero=("window_minutes",),
        ),
        Figure(
            "furnace_rate",
            "Furnace rate used",
            Shape.RATE,
            unit="{currency} per {weight}, gather or minute",
            note="Per weight drawn, gather or bench minute, as chosen on Shop.",
            formula='IF(furnace_by="Gathers",rate_gather,IF(furnace_by="Bench minutes",rate_minute,rate_weight))',
        ),
        Figure(
            "rent_not_earned",
            "Rent the bench didn't earn",
            Shape.MONEY,
            unit="{currency}",
            note="Overheads of those months less what the hours blown carried. It is shown, and no tag carries it.",
            formula="MAX(0,overhead_total*period_days.3/days_in_year-window_hours*overhead_hour)",
            needs=("window_hours", "overhead_hour"),
        ),
    )


def _low_rates() -> tuple[Item, ...]:
    return (
        Figure(
            "low_energy",
            "Energy of one more weight",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="One more charge; where that is not known, melting and blowing days.",
            formula="IF(ISNUMBER(price_charge),price_charge,price_melt)",
        ),
        Figure(
            "low_energy_note",
            "About the lowest price",
            Shape.TEXT,
            note="Which step of the ladder the lowest price rests on.",
            formula='IF(ISNUMBER(price_charge),"It counts the energy that one more charge takes.",'
            '"One more charge is not known here, so melting and blowing days stand in.")',
            needs=("low_energy",),
        ),
        Figure(
            "low_rate",
            "One more weight drawn",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="Energy and the wear that goes with each charge, per weight that leaves the pot.",
            formula="(low_energy+SUM(price_wear_charge))/share_drawn",
            needs=("low_energy", "share_drawn"),
            nonzero=("share_drawn",),
        ),
    )
