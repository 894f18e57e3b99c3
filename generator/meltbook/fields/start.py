"""The first sheet: how far the book has come, what to type next, and the sentences beside the pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table
from meltbook.fields.words import in_words, whole_words
from meltbook.studio.furnaces import SECOND_SOURCE, name_ends

ALL_DONE = "Keep the log going; nothing is missing"
LOOK = "Look at Checks, "


class Step(NamedTuple):
    """A step: the formula of what it says, and the formula that sees it done."""

    says: str
    done: str


def _plain(words: str, done: str) -> Step:
    return Step(f'"{words}"', done)


FIRST_STEPS: tuple[Step, ...] = (
    Step("meter_step", "meter_done"),
    _plain("Type the unit price on Tariffs", "IF(ISNUMBER(tariff_newest),1,0)"),
    _plain("Log a Charge day with its weight on Furnace log", "charge_done"),
    Step("reading_step", "reading_done"),
    _plain(
        "Type a piece, its glass and its bench minutes on Pieces",
        'IF(COUNTIFS(piece_drawn_used.all,">=0",piece_minutes.all,">=0")>0,1,0)',
    ),
    _plain("Type the gaffer's hourly rate on Shop, under People", "IF(ISNUMBER(gaffer_rate),1,0)"),
    Step("opening_step", "opening_done"),  # last of them: a cost and a price are there without it, for a new meter
)
"""What to do for a first price, in this order."""
LAST_STEP = _plain(
    "Type, or set to 0, what is not counted yet; see What each costs",
    "IF(AND(pieces_named>0,pieces_final=pieces_named),1,0)",
)


def steps(ctx: BookContext) -> tuple[Step, ...]:
    """All steps of a book: those for a first price, one for each further furnace and its source, and the last."""
    return (*FIRST_STEPS, *_further(ctx), LAST_STEP)


def _further(ctx: BookContext) -> Iterator[Step]:
    if ctx.second_unit:
        yield _plain("Type the unit price on Tariffs 2", f"IF(ISNUMBER(tariff_newest_{SECOND_SOURCE}),1,0)")
    for number, end in enumerate(name_ends(len(ctx.sources))[1:], start=2):
        first_days = f'"Log the first days of "&furnace_title{end}&" on Furnace log {number}"'
        yield Step(f'IF(furnace_waits{end}="",{first_days},furnace_waits{end})', f"furnace_done{end}")


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What to do next, four figures that are worth a look each day, and a sentence for each picture."""
    return (*_how_things_stand(), *_suggested(), *_sentences())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The way from a blank book to a first price."""
    chosen = steps(ctx)
    return (
        Table(
            "start_steps",
            "From nothing to a first price",
            (
                Figure(
                    "step_text",
                    "Step",
                    Shape.TEXT,
                    note="What is to be done.",
                    formulas=tuple(step.says for step in chosen),
                ),
                Figure(
                    "step_done",
                    "Done",
                    Shape.COUNT,
                    note="1 once it is done.",
                    formulas=tuple(step.done for step in chosen),
                ),
                Figure(
                    "step_word",
                    "Done?",
                    Shape.TEXT,
                    note="Whether the step is done.",
                    formula='IF(step_done=1,"Done","To do")',
                ),
            ),
            rows=len(chosen),
        ),
    )


def next_to_do(look: str) -> str:
    """What to type next, or where to look before that."""
    return f'IF({look}="",step_waiting,"{LOOK}"&{look})'


def first_look(end: str = "", title: str = "") -> Figure:
    """The first check that needs a look in a list, which may be passed over while a step asks for what is missing.

    ``end`` is what the names of the list end in, ``title`` what its heading on Checks calls it.
    """
    line = f"{title}, the line" if title else "the line"
    return Figure(
        f"first_look{end}",
        f"First to look at, {title}" if title else "First to look at",
        Shape.TEXT,
        note="The line of Checks. Blank: there is none, or what is missing is asked for by a step below.",
        formula=f'IFERROR("{line} """&INDEX(check_title{end}.all,IF(MIN(step_done.all)=0,'
        f'MATCH(1,check_wrong{end}.all,0),MATCH(1,check_look{end}.all,0)))&"""","")',
    )


def looks_of_all(ends: Sequence[str]) -> Table:
    """The same from every list on Checks, in their order; ``ends`` are what the names of each end in."""
    return Table(
        "check_lists",
        "First to look at, of each list",
        (
            Figure(
                "list_look",
                "First to look at",
                Shape.TEXT,
                note="Repeated from each list's own.",
                formulas=tuple(f"first_look{end}" for end in ends),
            ),
            Figure(
                "list_looks",
                "There is one",
                Shape.COUNT,
                note="1 if the list has one.",
                formula='IF(list_look="",0,1)',
            ),
        ),
        rows=len(ends),
    )


def look_of_all() -> Figure:
    """The first of them."""
    return Figure(
        "look_of_all",
        "First to look at, of all lists",
        Shape.TEXT,
        note="Of the first list that has one.",
        formula='IFERROR(INDEX(list_look.all,MATCH(1,list_looks.all,0)),"")',
    )


def _how_things_stand() -> tuple[Item, ...]:
    per_weight = "{currency}/{weight}"
    return (
        Figure(
            "next_step",
            "Next",
            Shape.TEXT,
            note="What Checks found goes first, unless a step below asks for it; then the first step that is not done.",
            formula=next_to_do("first_look"),
        ),
        first_look(),
        Figure(
            "step_waiting",
            "The first step that is not done",
            Shape.TEXT,
            note="Or that nothing is missing.",
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


def _suggested() -> tuple[Item, ...]:
    """A tag as soon as there is one, and what it rests on."""
    return (
        Figure(
            "start_tag",
            "Suggested tag",
            Shape.TEXT,
            note="Of the piece chosen on Shop, else of the first.",
            formula='picture_name&": "&suggested_words&", for "&start_margin',
            needs=("suggested_amount",),
        ),
        Figure(
            "suggested_amount",
            "Its suggested tag",
            Shape.MONEY,
            unit="{currency} a tag",
            note="Of the piece that the picture of one price shows.",
            formula="INDEX(tag_suggested.all,picture_row)",
        ),
        in_words("suggested_words", "Suggested tag, in words", "suggested_amount"),
        Figure(
            "start_margin",
            "What it rests on",
            Shape.TEXT,
            note="The margin of the way of selling that must earn it, or that there are several.",
            formula='IF(must_count=1,"a margin of "&start_percent&" % in "&INDEX(channel_name.all,must_row),'
            '"the margins asked for on Shop")',
        ),
        Figure(
            "must_row",
            "The way that must earn it",
            Shape.COUNT,
            note="The first one's row.",
            formula='IFERROR(MATCH(1,channel_must.all,0),"")',
        ),
        Figure(
            "start_percent",
            "Its margin in percent",
            Shape.COUNT,
            note="To the nearest whole one.",
            formula=whole_words("SUM(INDEX(channel_margin.all,must_row))*100"),
            needs=("must_row",),
        ),
    )


def _sentences() -> tuple[Item, ...]:
    return (
        in_words("hot_words", "Every hot day, in words", "price_hot"),
        in_words("line_words", "All counted, in words", "price_line_own"),
        in_words("tag_words", "Tag, in words", "slice_tag"),
        in_words("left_words", "Left, in words", "slice_left"),
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
