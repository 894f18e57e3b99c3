"""The sheets of the book, in reading order. Each module declares one sheet: which fields stand where."""

from __future__ import annotations

from meltbook.fields.kernel import Vocabulary
from meltbook.fields.sheet_names import FIRST
from meltbook.sheets import (
    bill_check,
    checks,
    costs,
    equipment,
    furnace_decisions,
    further,
    glass,
    hire,
    how,
    log,
    new_tariff,
    pictures,
    pieces,
    pots,
    price_list,
    prices,
    shop,
    start,
    tariffs,
    workings,
)
from meltbook.sheets.kernel import Sheet
from meltbook.sheets.told import told_sheet

__all__ = ["book_sheets"]


def book_sheets(vocabulary: Vocabulary | None = None) -> tuple[Sheet, ...]:
    """Declare every sheet of the book, in the order of the tabs.

    Where the vocabulary has several furnaces, each further one has sheets of its own.
    """
    sheets = _sheets()
    if vocabulary and further.has_several(vocabulary):
        sheets = further.with_further(sheets, vocabulary)
    return tuple(told_sheet(sheet, FIRST.told) for sheet in sheets)


def _sheets() -> tuple[Sheet, ...]:
    """The sheets of a book with one furnace."""
    return (
        start.sheet(),
        shop.sheet(),
        tariffs.sheet(),
        log.sheet(),
        pots.sheet(),
        equipment.sheet(),
        glass.sheet(),
        pieces.sheet(),
        costs.sheet(),
        prices.sheet(),
        new_tariff.sheet(),
        furnace_decisions.idle_sheet(),
        furnace_decisions.campaign_sheet(),
        furnace_decisions.pot_sheet(),
        hire.sheet(),
        bill_check.sheet(),
        price_list.sheet(),
        new_tariff.retag_sheet(),
        pictures.sheet(),
        checks.sheet(),
        how.sheet(),
        workings.sheet(),
    )
