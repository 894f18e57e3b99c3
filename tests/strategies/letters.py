"""Letters from the utility for studios that sell: the shipped starts, with tags and terms moved about.

Generated studios seldom come as far as a price, so what a letter does to tags is drawn on studios that do.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date
from typing import Any, Literal

from meltbook.studio.capacity import Capacity
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start

LETTERS = Capacity(log=200, tariffs=24, ledger=30, pieces=16, campaigns=12)
"""Room for the shipped starts, and no more."""

STARTS = ("lakeside-lb", "harbour-kg")
DAYS = (date(2020, 1, 1), date(2025, 3, 1), date(2026, 3, 1), date(2026, 6, 1), date(2027, 1, 1), date(2027, 1, 1))
TERMS: tuple[dict[str, Any], ...] = (
    {},
    {},
    {"lost_share": 0.05, "lost_how": "Replaced"},
    {"margin": 0.2},
    {"margin": 0.6},
    {"margin": 1.0},
    {"must_earn": "Yes"},
)


def letter_studios(count: int, seed: int = 1) -> Iterator[Studio]:
    """The same ``count`` studios every time."""
    source = random.Random(seed)
    for _ in range(count):
        yield _studio(source)


def _studio(source: random.Random) -> Studio:
    choice = source.choice
    studio = load_start(choice(STARTS)).studio
    pieces = []
    for piece in studio.pieces:
        moved = None if piece.tag is None else float(round(piece.tag * choice((0.3, 0.8, 0.97, 1.0, 1.1))))
        changes = {"tag": choice((piece.tag, piece.tag, None, moved)), "order": choice((piece.order, None, 2.0))}
        pieces.append(piece.model_copy(update=changes))
    shop = {
        "furnace_by": choice(("Weight", "Bench minutes")),
        "sales_tax": choice((None, 0.07)),
        "tag_ending": choice((0.0, 0.95)),
    }
    return studio.model_copy(
        update={
            "letter": _letter(source),
            "pieces": tuple(pieces),
            "channels": tuple(channel.model_copy(update=choice(TERMS)) for channel in studio.channels),
            "shop": studio.shop.model_copy(update=shop),
        }
    )


def _letter(source: random.Random) -> Letter:
    choice = source.choice
    unit: Literal["Money", "Cents"] | None = choice((None, "Money", "Cents"))
    price = choice((None, 0.2, 0.31, 0.9))
    return Letter(
        letter_start=choice(DAYS),
        letter_in=unit,
        letter_tax_in=choice((None, "Without tax", "With tax")),
        letter_change=choice((None, 0.08, -0.3, 0.4, 1.5)),
        letter_price=None if price is None else price * (100 if unit == "Cents" else 1),
        letter_surcharge=choice((None, 0.01)),
        letter_tax=choice((None, 0.19)),
        letter_service=choice((None, 60.0)),
        letter_service_per=choice((None, "Day")),
        letter_demand=choice((None, 8.0)),
        retag_tolerance=choice((0.01, None, 0.0, 0.03)),
    )
