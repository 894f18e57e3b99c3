"""The part of its source's service and demand charges that each of several furnaces carries.

A furnace reads its part where a book of one furnace reads the whole; the first has copies of its own as well, since
the names without a word are those of the whole.
"""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.fields.furnaces import Many
from meltbook.fields.kernel import Figure, Item, Shape, Table
from meltbook.studio.furnaces import FURNACE_WORDS, SOURCE_ENDS

CARRIED = (
    "tariff_standing",
    "tariff_standing_change",
    "tariff_standing_integral",
    "standing_now",
    "base_standing",
    "new_standing",
)
"""What a furnace reads as its own part of it."""


@dataclass(frozen=True, slots=True)
class Bearer:
    """A furnace: the word of its part's fields, the figure of its part, and what its source's names end in."""

    word: str
    part: str
    source_end: str


def bearers(many: Many) -> tuple[Bearer, ...]:
    """The furnaces of a book, in order."""
    return tuple(
        Bearer(word, part, SOURCE_ENDS[source])
        for word, part, source in zip(FURNACE_WORDS, many.each("standing_part_used"), many.sources, strict=False)
    )


def standing_columns(furnace: Bearer, rows: int) -> Table:
    """The tariffs' standing charges as one furnace carries them."""

    def carried(name: str, label: str, unit: str, *, framed: bool = True) -> Figure:
        return Figure(
            f"{name}_{furnace.word}",
            label,
            Shape.MONEY,
            unit=unit,
            note="The furnace's part of it.",
            formula=f"{furnace.part}*{name}{furnace.source_end}",
            seed=0 if framed else None,
            end=f"={name}_{furnace.word}.prev" if framed else None,
        )

    return Table(
        f"standing_{furnace.word}",
        "Service and demand by furnace",
        (
            carried("tariff_standing", "Service and demand a day", "{currency}/day"),
            carried("tariff_standing_change", "Change in it", "{currency}/day", framed=False),
            carried("tariff_standing_integral", "Summed up to it", "{currency}"),
        ),
        rows=rows,
        seeded=True,
        grows=True,
        aligned=f"tariffs{furnace.source_end}",
    )


def standing_figures(furnace: Bearer) -> tuple[Item, ...]:
    """The same on the pricing date and by the letter."""
    return tuple(
        Figure(
            f"{name}_{furnace.word}",
            label,
            Shape.RATE,
            unit="{currency}/day",
            note="The furnace's part of it.",
            formula=f"{furnace.part}*{name}{furnace.source_end}",
            needs=(f"{name}{furnace.source_end}",),
        )
        for name, label in (
            ("standing_now", "Service and demand"),
            ("base_standing", "Service and demand before"),
            ("new_standing", "Service and demand from then on"),
        )
    )
