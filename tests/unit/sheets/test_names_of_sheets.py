"""No text of a further furnace or source sends anybody to a sheet of the first."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Vocabulary
from meltbook.fields.sheet_names import FIRST, SheetNames, of_furnace
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import Block, Fields, Grid, Picture, Rows, Sheet, Words, is_name
from meltbook.studio.furnaces import MoreFurnace, SecondSource, Source
from meltbook.studio.model import Studio
from meltbook.studio.room import capacity_for
from meltbook.workbook.book import vocabulary_for

TWINS = (
    "Shop",
    "Tariffs",
    "New tariff",
    "Furnace log",
    "Pots and elements",
    "Cost of glass",
    "Idle or cold",
    "Campaign length",
    "Change the pot",
)
"""Sheets of the first furnace or source which another has as sheets of its own."""
_NAMED = re.compile(rf"\b(?:{'|'.join(TWINS)})\b(?! [2-6]\b)")

MEANT: dict[str, str] = {
    "Pots and elements": "the name of what wears out, on the ladder and in the lists",
    "Pots and elements, dates": "the same",
    "Pots and elements, gap": "the same",
    "+ Pots and elements": "the same",
    "Pots and elements are typed in full": "the same",
    "Cost of glass": "the name of a figure",
    "Tariffs have dates that rise": "letters of its own, said of any tariffs",
    "Tariffs add up day by day": "the same",
    "Idle or cold: The answer": "which of its three decisions follows",
    "Campaign length: The answer": "the same",
    "Change the pot: The answer": "the same",
    "Furnace 2: Idle or cold, how many charges, when to change the pot, from its own log.": "the same",
    "Furnace 3: Idle or cold, how many charges, when to change the pot, from its own log.": "the same",
    "Idle or cold": "a heading among the workings: which decision they are of",
    "Campaign length": "the same",
    "Change the pot": "the same",
    "As on Shop and on Pots and elements, for this furnace.": "says what the sheet is like",
    "Glasses are those on Shop": "raw glass stands on Shop for all furnaces",
    "Choose the glass from the list, or add it under Raw glass on Shop.": "the same",
    "Which glass, as named on Shop. Blank is the first one.": "the same",
    "The place of the glass in the list on Shop; 0 without a weight, or if the glass isn't listed.": "the same",
    "The glasses of the pricing window in their mix, at their prices on Shop.": "the same",
    "The glass charged, at its price on Shop.": "the same",
    "Glasses charged without a price on Shop, and rows with a glass that isn't listed.": "the same",
    "Log a day first, or type a pricing date on Shop.": "all furnaces have one pricing date",
    "Type the letter about this source. Its pieces, its tags and Equipment stand on New tariff.": "they stand there",
    "Per weight drawn, gather or bench minute, as chosen on Shop.": "how pieces share the furnaces is chosen once",
    "What a piece is charged for the furnace, by weight, gathers or bench minutes as chosen on Shop.": "the same",
}
"""Texts that name such a sheet and are right, with the reason."""


@cache
def book(second: Source = "Second") -> tuple[Vocabulary, tuple[Sheet, ...]]:
    """A book of three furnaces, the further ones on a second source, or the second on the first one's."""
    more = (MoreFurnace(source=second), MoreFurnace(source="Second"))
    studio = Studio(more_furnaces=more, second_source=SecondSource())
    vocabulary = vocabulary_for(studio, capacity_for(studio, 20)[0])
    return vocabulary, book_sheets(vocabulary)


def _texts_of(item: Item) -> Iterator[str]:
    yield from (item.label, item.unit, item.note)
    if isinstance(item, Figure):
        for formula in (item.formula, *item.formulas):
            yield from re.findall(r'"([^"]*)"', formula)
    if isinstance(item, Fixed):
        yield from (value for value in item.values if isinstance(value, str))
    if isinstance(item, Input):
        yield item.typed.asks


def _texts_on(block: Block) -> Iterator[str]:
    yield from (str(getattr(block, part, "")) for part in ("heading", "intro", "caution", "title", "axis", "alt"))
    if isinstance(block, Words):
        yield from block.lines
    if isinstance(block, Grid):
        yield from (text for row in block.rows for text in row)
    if isinstance(block, Picture):
        yield from (series.label for series in block.series)


def _shown(block: Block) -> Iterator[str]:
    if isinstance(block, Fields):
        yield from block.names
    elif isinstance(block, Rows):
        yield from (*block.columns, *block.workings)
    elif isinstance(block, Words | Grid):
        yield from (text for text in _texts_on(block) if is_name(text))


def texts(sheet: Sheet, vocabulary: Vocabulary) -> Iterator[str]:
    """Everything that can be read on a sheet of a further furnace, or in its rows of Checks."""
    if sheet.key != "checks":
        yield from (sheet.title, sheet.purpose, sheet.does)
    for block in sheet.blocks:
        fields = list(_shown(block))
        if sheet.key == "checks" and not any(name.endswith(("_second", "_third", "_fuel")) for name in fields):
            continue
        yield from (text for text in _texts_on(block) if not is_name(text))
        for name in fields:
            yield from _texts_of(
                vocabulary.scalars[name] if name in vocabulary.scalars else vocabulary.columns[name][1]
            )


def further() -> list[Sheet]:
    return [sheet for sheet in book()[1] if re.search(r" [23]$", sheet.name) or sheet.key == "checks"]


def test_the_sheets_that_are_looked_at() -> None:
    assert len(further()) == 14


def test_no_text_names_a_sheet_of_the_first() -> None:
    vocabulary, _ = book()
    wrong = {
        (sheet.name, text)
        for sheet in further()
        for text in texts(sheet, vocabulary)
        if _NAMED.search(text) and text not in MEANT
    }
    assert wrong == set()


def test_every_exception_is_needed() -> None:
    vocabulary, _ = book()
    said = {text for sheet in further() for text in texts(sheet, vocabulary)}
    assert {text for text in MEANT if text not in said} == set()


def test_no_text_keeps_its_braces() -> None:
    vocabulary, sheets = book()
    marks = {text for sheet in sheets for text in texts(sheet, vocabulary) if re.search(r"\{[A-Z]", text)}
    assert marks == set()


def test_a_furnace_on_the_second_source_is_sent_to_its_tariffs() -> None:
    vocabulary, _ = book("First")
    cells = {name: vocabulary.columns[f"need_what_{name}"][1] for name in ("second", "third", "fuel")}
    price = {name: item.values[0 if name == "fuel" else 1] for name, item in cells.items() if isinstance(item, Fixed)}
    assert price == {
        "second": "A date and a price, on Tariffs",
        "third": "A date and a price, on Tariffs 2",
        "fuel": "A date and a price, on Tariffs 2",
    }


def test_an_unknown_sheet_in_braces_is_an_error() -> None:
    assert SheetNames(of_furnace(2)).told("See {Cost of glass}, {energy}.") == "See Cost of glass 2, {energy}."
    with pytest.raises(DeclarationError, match="no sheet of a furnace"):
        FIRST.told("See {Cost of brass}.")
