"""The tags to change for a new tariff: counted, put in a sentence, and listed in shelf order to take along."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.piece_after import ALREADY_SHORT, KEEP, RETAG
from meltbook.fields.words import amount_of, whole_words

NO_LETTER = "No letter is typed, so no tag changes."


def scalars() -> tuple[Item, ...]:
    """How many tags change, and the lines above the list."""

    def counted(name: str, label: str, word: str, note: str) -> Figure:
        formula = f'COUNTIF(tag_verdict.all,"{word}")'
        return Figure(name, label, Shape.COUNT, note=note, formula=formula, needs=("rate_after",))

    return (
        Figure(
            "retag_list_count",
            "Tags to change",
            Shape.COUNT,
            note="All that stand on the Retag list.",
            formula="SUM(retag_flag.all)",
            needs=("rate_after",),
        ),
        counted("retag_count", "Of these by the letter", RETAG, "It takes their margin below the one wanted."),
        counted("short_count", "Of these already short", ALREADY_SHORT, "Their margin missed before it as well."),
        counted("keep_count", "Tags to keep", KEEP, "Their margin still holds, or no higher tag would help."),
        Figure(
            "retag_sentence",
            "What it does to the tags",
            Shape.TEXT,
            note="How many tags change.",
            formula='IF(retag_list_count=0,"No tag to change; ",retag_told)&keep_count&" to keep."',
            needs=("rate_after",),
        ),
        Figure(
            "retag_told",
            "Tags to change, in words",
            Shape.TEXT,
            note="Why they are to be changed.",
            formula='retag_list_count&IF(retag_list_count=1," tag"," tags")&" to change: "&retag_count'
            '&" by the letter, "&short_count&" already short before it; "',
            needs=("retag_list_count",),
            nonzero=("retag_list_count",),
        ),
        *_above(),
    )


def _above() -> tuple[Figure, ...]:
    return (
        Figure(
            "retag_studio",
            "Studio",
            Shape.TEXT,
            note="As on the price list.",
            formula='IF(studio_name="","Your studio",studio_name)',
        ),
        Figure(
            "retag_heading",
            "Above the list",
            Shape.TEXT,
            note="From when the new tags stand on the shelf.",
            formula='IF(letter_given=1,"New tags for the tariff of "&letter_day,"")',
        ),
        Figure(
            "retag_empty",
            "If nothing is listed",
            Shape.TEXT,
            note="Says so, and why.",
            formula=f'IF(letter_given=0,"{NO_LETTER}",IF(SUM(retag_list_count)=0,retag_none,""))',
        ),
        Figure(
            "retag_none",
            "Why nothing is listed",
            Shape.TEXT,
            note="With a letter: no tag misses, or nothing is known yet.",
            formula="IF(COUNT(rate_after)=0,\"The furnace's rate isn't known yet, so no tag is judged.\","
            '"No tag changes.")',
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """As many lines as there are pieces."""
    numbers = tuple(range(1, ctx.capacity.pieces + 1))
    return (Table("retag_list", "Tags to change", _lines(numbers), rows=ctx.capacity.pieces, capacity="pieces"),)


def _lines(numbers: tuple[int, ...]) -> tuple[Item, ...]:
    def line(name: str, label: str, shape: Shape, source: str, note: str, unit: str = "") -> Figure:
        return Figure(
            name,
            label,
            shape,
            unit=unit,
            note=note,
            formula=f"INDEX({source}.all,retag_row)",
            nonzero=("retag_row",),
        )

    return (
        Fixed("retag_no", "Line", Shape.COUNT, values=numbers),
        Figure(
            "retag_row",
            "Row of the piece",
            Shape.COUNT,
            note="Which piece stands on this line; 0 if none.",
            formula="IFERROR(MATCH(retag_no,retag_place.all,0),0)",
        ),
        line("retag_name", "Piece", Shape.TEXT, "piece_name", "Its name."),
        Figure(
            "retag_size",
            "Size",
            Shape.TEXT,
            note="Its size, if you typed one.",
            formula='IF(INDEX(piece_size.all,retag_row)="","",INDEX(piece_size.all,retag_row))',
            nonzero=("retag_row",),
        ),
        line("retag_old", "Old tag", Shape.MONEY, "tag_in_force", "What stands on it today.", "{currency}"),
        line("retag_new", "New tag", Shape.MONEY, "tag_after", "What has to stand on it.", "{currency}"),
        *_why(),
    )


def _why() -> tuple[Figure, ...]:
    """By how much the margin at the old tag misses the one wanted: under the letter, and before it."""

    def percent(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.FACTOR, unit="%", note=note, formula=formula, nonzero=("retag_row",))

    def words(source: str) -> Figure:
        formula = amount_of(whole_words(f"{source}*100"))
        note = "With two digits behind the point."
        return Figure(f"{source}_words", "The same in words", Shape.TEXT, note=note, formula=formula, needs=(source,))

    return (
        percent(
            "retag_short",
            "Too low by",
            "By so much the margin at the old tag misses the one wanted then.",
            "INDEX(short_after.all,retag_row)*100",
        ),
        words("retag_short"),
        percent(
            "retag_before",
            "Too low before",
            "The same today; blank unless the tag is short already.",
            f'IF(INDEX(tag_verdict.all,retag_row)="{ALREADY_SHORT}",INDEX(short_now.all,retag_row)*100,"")',
        ),
        words("retag_before"),
        Figure(
            "retag_why",
            "Why",
            Shape.TEXT,
            note="How far the margin at the old tag misses the one wanted.",
            formula='"Margin "&retag_short_words&" % too low"'
            '&IF(ISNUMBER(retag_before),", "&retag_before_words&" % already","")',
            nonzero=("retag_row",),
        ),
    )
