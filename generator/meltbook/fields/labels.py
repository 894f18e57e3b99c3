"""Names shown a second time, so that every block says which piece, machine, class or letter a row is."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table
from meltbook.fields.words import date_words
from meltbook.studio.capacity import CHANNEL_SLOTS

PIECE_BLOCKS: tuple[str, ...] = (
    "time",
    "loss",
    "sold",
    "cost",
    "good",
    "made",
    "price",
    "rank",
    "after",
    *CHANNEL_SLOTS,
)
"""The blocks of piece rows that repeat the piece's name, by the word that the repeating column ends in."""

COURSE_BLOCKS: tuple[str, ...] = ("student", "asked")
"""The same for the blocks of classes."""


def _repeat(name: str, source: str, label: str, shape: Shape = Shape.TEXT) -> Figure:
    return Figure(name, label, shape, note="Repeated from where it is typed.", formula=source, blank_if=source)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Headings and names shown on the start page, the price list and above each way of selling."""
    headings = tuple(
        Figure(
            f"channel_heading_{slot}",
            f"Way of selling {number}",
            Shape.TEXT,
            formula=f'IF(channel_name.{number}="","Way of selling not used",channel_name.{number})',
        )
        for number, slot in enumerate(CHANNEL_SLOTS, start=1)
    )
    return (
        Figure(
            "start_studio",
            "Studio",
            Shape.TEXT,
            note="Typed on Shop.",
            formula='IF(studio_name="","Your studio",studio_name)',
        ),
        Figure("list_studio", "Studio", Shape.TEXT, formula='IF(studio_name="","Your studio",studio_name)'),
        Figure(
            "list_from",
            "Prices from",
            Shape.TEXT,
            note="The pricing date and the currency.",
            formula=f'"Prices from "&{date_words("pricing_date_used")}&", in "&currency_code&"."',
            needs=("pricing_date_used",),
        ),
        *headings,
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """One repeating column for each block of piece rows, for the letters and for the ways of selling."""
    return (
        Table(
            "piece_labels",
            "Names of the pieces",
            tuple(_repeat(f"name_{block}", "piece_name", "Piece") for block in PIECE_BLOCKS),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
        Table(
            "machine_labels",
            "Names of the machines",
            (_repeat("name_machine", "machine_name", "Machine"),),
            rows=ctx.capacity.machines,
            aligned="machines",
        ),
        Table(
            "course_labels",
            "Names of the classes",
            tuple(_repeat(f"name_course_{block}", "course_name", "Class") for block in COURSE_BLOCKS),
            rows=ctx.capacity.courses,
            aligned="courses",
        ),
        Table(
            "letter_labels",
            "Dates of the letters",
            (
                Figure(
                    "start_again",
                    "From",
                    Shape.DATE,
                    note="Repeated from the block above.",
                    formula="tariff_start",
                    needs=("tariff_start",),
                ),
            ),
            rows=ctx.capacity.tariffs,
            aligned="tariffs",
        ),
        Table(
            "selling_labels",
            "Names of the ways of selling",
            (_repeat("name_selling", "channel_name", "Way of selling"),),
            rows=ctx.capacity.channels,
            aligned="channels",
        ),
    )
