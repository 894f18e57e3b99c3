"""The tags to change for a new tariff: counted, put in a sentence, and listed in shelf order to take along."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.piece_after import ALREADY_SHORT, KEEP, RETAG
from meltbook.fields.words import date_words


def scalars() -> tuple[Item, ...]:
    """How many tags change, and the lines above the list."""

    def counted(name: str, label: str, word: str, note: str) -> Figure:
        return Figure(name, label, Shape.COUNT, note=note, formula=f'COUNTIF(tag_verdict.all,"{word}")')

    return (
        counted("retag_count", "Tags to change", RETAG, "The new tariff takes their margin below the one wanted."),
        counted("short_count", "Already short", ALREADY_SHORT, "Their margin missed before the change as well."),
        counted("keep_count", "Tags to keep", KEEP, "Their margin still holds, or no higher tag would help."),
        Figure(
            "retag_list_count",
            "Lines on the retag list",
            Shape.COUNT,
            note="Tags to change and those that were short already.",
            formula="SUM(retag_flag.all)",
        ),
        Figure(
            "retag_sentence",
            "What it does to the tags",
            Shape.TEXT,
            note="How many tags change.",
            formula='retag_count&IF(retag_count=1," tag"," tags")'
            '&" to change, "&short_count&" already short, "&keep_count&" to keep."',
            needs=("rate_after",),
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
            formula=f'"New tags for the tariff of "&{date_words("letter_start")}',
            nonzero=("letter_given",),
        ),
        Figure(
            "retag_empty",
            "If nothing is listed",
            Shape.TEXT,
            note="Says so, once the new tariff is worked out.",
            formula='IF(retag_list_count=0,"No tag has to change.","")',
            needs=("rate_after",),
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
        line("retag_why", "Why", Shape.TEXT, "tag_verdict", "Retag, or already short before the change."),
    )
