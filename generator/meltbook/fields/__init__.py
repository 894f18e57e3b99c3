"""The vocabulary: every cell that means something, declared once.

Each module is a chapter of the method and exports ``scalars(ctx)`` and ``tables(ctx)``. A chapter that grew
too long hands some of its figures to a helper module (``campaigns``, ``late`` and ``log_status`` belong to ``log``;
``periods``, ``ladder`` and ``pricing`` to ``melt``; ``ledger`` to ``wear``; ``letter_rates`` to ``letter``;
``piece_after`` and ``retag`` to ``tariff_change``; ``courses`` to ``hire``; ``idle_cold``, ``campaign_length``,
``pot_life`` and ``pot_ages`` to ``decisions``).

A book with more furnaces than one has the furnace's fields once for each: ``several`` puts it together, ``own`` finds
what is a furnace's own, ``copies`` copies it, ``furnaces`` has what is shown of all of them,
``drawn_from`` what pieces and bills read of them, ``standing_parts`` what each carries of the standing charges;
``sheet_names`` says which sheets the sentences of each name.
"""

from __future__ import annotations

from collections.abc import Iterable
from types import ModuleType

from meltbook.fields import (
    bars,
    bills,
    constants,
    decisions,
    energy,
    labels,
    letter,
    log,
    looking_back,
    melt,
    meter,
    several,
    tariff,
    tariff_change,
    wear,
)
from meltbook.fields.chapters_b import CHAPTERS as SHOP_CHAPTERS
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Vocabulary
from meltbook.fields.sheet_names import FIRST
from meltbook.studio.capacity import Capacity

FURNACE_CHAPTERS: tuple[ModuleType, ...] = (constants, meter, energy, log, tariff, letter, wear, melt)
"""From the meter to the cost of a weight of glass."""

CHAPTERS: tuple[ModuleType, ...] = (
    *FURNACE_CHAPTERS,
    *SHOP_CHAPTERS,
    tariff_change,
    decisions,
    bills,
    bars,
    looking_back,
    labels,
)
"""All chapters, in the order in which the method reads."""

__all__ = ["CHAPTERS", "FURNACE_CHAPTERS", "BookContext", "build", "collect"]


def build(
    *,
    weight_unit: str,
    currency: str,
    money_digits: int,
    capacity: Capacity,
    energy_unit: str = "kWh",
    sources: tuple[str, ...] = ("First",),
    second_unit: str = "",
) -> Vocabulary:
    """All fields of a book with these units, these prepared rows and so many furnaces as ``sources`` names."""
    ctx = BookContext(weight_unit, currency, money_digits, capacity, energy_unit, sources, second_unit)
    return collect(CHAPTERS, ctx) if len(sources) == 1 else several.build(CHAPTERS, ctx)


def collect(chapters: Iterable[ModuleType], ctx: BookContext) -> Vocabulary:
    """The fields of some chapters only, for tests and for looking at one chapter at a time."""
    chosen = tuple(chapters)
    return Vocabulary.of(
        (FIRST.item(item) for chapter in chosen for item in chapter.scalars(ctx)),
        (FIRST.table(table) for chapter in chosen for table in chapter.tables(ctx)),
    )
