"""The first sheet: how far the book has come, what to type next, and the sentences beside the pictures."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import amount_words, whole_words

ALL_DONE = "Keep the log going; nothing is missing"

STEPS: tuple[tuple[str, str], ...] = (
    ("Type the connected kW on Shop", "IF(energy_known=1,1,0)"),
    ("Type the unit price on Tariffs", "IF(ISNUMBER(tariff_newest),1,0)"),
    (
        "Log a Charge day with its weight on Furnace log",
        'IF(COUNTIFS(row_kind.all,charge_kind,log_weight.all,">0")>0,1,0)',
    ),
    (
        "Log an Idle day, or any later row, with the meter's reading on Furnace log",
        "IF(period_weight.1>0,1,0)",
    ),
    (
        "Type a piece, its glass and its bench minutes on Pieces",
        'IF(COUNTIFS(piece_drawn_used.all,">=0",piece_minutes.all,">=0")>0,1,0)',
    ),
    ("Type the gaffer's hourly rate on Shop", "IF(ISNUMBER(gaffer_rate),1,0)"),
    (
        "Type, or set to 0, what is not counted yet; see What each costs",
        "IF(AND(pieces_named>0,pieces_final=pieces_named),1,0)",
    ),
)
"""What to do, in this order, and the formula that sees it done."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What to do next, four figures that are worth a look each day, and a sentence for each picture."""
    return (*_how_things_stand(), *_sentences())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The way from a blank book to a first price."""
    return (
        Table(
            "start_steps",
            "From nothing to a first price",
            (
                Fixed("step_text", "Step", Shape.TEXT, values=tuple(text for text, _ in STEPS)),
                Figure(
                    "step_done",
                    "Done",
                    Shape.COUNT,
                    note="1 once it is done.",
                    formulas=tuple(formula for _, formula in STEPS),
                ),
                Figure(
                    "step_word",
                    "Done?",
                    Shape.TEXT,
                    note="Whether the step is done.",
                    formula='IF(step_done=1,"Done","To do")',
                ),
            ),
            rows=len(STEPS),
        ),
    )


def _how_things_stand() -> tuple[Item, ...]:
    per_weight = "{currency}/{weight}"
    return (
        Figure(
            "next_step",
            "Next",
            Shape.TEXT,
            note="The first step below that is not done.",
            formula=f'IFERROR(INDEX(step_text.all,MATCH(0,step_done.all,0)),"{ALL_DONE}")',
        ),
        Figure(
            "start_last_entry",
            "Log reaches to",
            Shape.DATE,
            note="The last day in the furnace log.",
            formula="log_last_day",
        ),
        Figure(
            "start_cost_hot",
            "Every hot day",
            Shape.RATE,
            unit=per_weight,
            note="Energy of all hot days per weight charged, to price with.",
            formula="price_hot",
        ),
        Figure(
            "start_cost_line",
            "With all that is counted",
            Shape.RATE,
            unit=per_weight,
            note="With standing charges, wear, raw glass and the furnace itself, as far as they are typed.",
            formula="price_line_own",
        ),
        Figure(
            "start_pieces_final",
            "Pieces complete",
            Shape.COUNT,
            note="Pieces with nothing left to count; only these are printed on the price list.",
            formula="pieces_final",
            nonzero=("pieces_named",),
        ),
    )


def _words(name: str, label: str, amount: str) -> Figure:
    return Figure(
        name,
        label,
        Shape.TEXT,
        note="The amount as a text with two digits, for a sentence.",
        formula=amount_words(amount),
        needs=(amount,),
    )


def _sentences() -> tuple[Item, ...]:
    return (
        _words("hot_words", "Every hot day, in words", "price_hot"),
        _words("line_words", "All counted, in words", "price_line_own"),
        _words("tag_words", "Tag, in words", "slice_tag"),
        _words("left_words", "Left, in words", "slice_left"),
        Figure(
            "ladder_sentence",
            "About the ladder",
            Shape.TEXT,
            note="What the picture of the ladder says.",
            formula='"Every hot day costs "&hot_words&" per "&weight_unit'
            '&"; with everything counted so far "&line_words&"."',
            needs=("price_line_own",),
        ),
        Figure(
            "kinds_sentence",
            "About the energy",
            Shape.TEXT,
            note="What the picture of the energy says.",
            formula=f'"Idle days took "&{whole_words("share_idle.1*100")}&" % of the energy and heat-ups "'
            f'&{whole_words("share_heatup.1*100")}&" %."',
            needs=("share_idle.1",),
        ),
        Figure(
            "piece_sentence",
            "About the piece",
            Shape.TEXT,
            note="What the picture of one price says.",
            formula='picture_name&": of a tag of "&tag_words&", "&left_words'
            '&" is left after all costs counted so far."',
            needs=("slice_left",),
        ),
    )
