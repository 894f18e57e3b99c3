"""Names that were typed and that no list has: of glasses, parts, pieces and ways of selling."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from meltbook.errors import Problem
from meltbook.studio.complaints import shown
from meltbook.studio.expect import input_name
from meltbook.studio.furnaces import titles
from meltbook.studio.model import SECTIONS
from meltbook.workbook.edited import EditedBook
from meltbook.workbook.gather import LISTS


def unlisted_names(book: EditedBook) -> Iterator[Problem]:
    """Every cell whose name the list that it is looked up in doesn't have."""
    for end, owner in zip(book.ends(), (book.studio, *book.studio.more_furnaces), strict=True):
        for (table, key), (source, source_key) in LISTS.items():
            if not hasattr(owner, table):
                continue
            lists = owner if hasattr(owner, source) else book.studio
            listed = [name for row in getattr(lists, source) if (name := getattr(row, source_key))]
            part = getattr(owner, table)
            for position, row in enumerate((part,) if table in SECTIONS else part):
                typed = getattr(row, key)
                if typed and typed not in listed:
                    yield book.problem(
                        input_name(table, key) + end,
                        None if table in SECTIONS else position,
                        shown(typed),
                        _expected(book, input_name(source, source_key), listed),
                        _advice(typed, listed),
                    )
    if len(book.ends()) > 1:
        yield from _furnaces(book)


def _furnaces(book: EditedBook) -> Iterator[Problem]:
    """Pieces that name a furnace that there isn't."""
    called = titles(book.studio.places)
    known = {title.casefold() for title in called}
    for position, piece in enumerate(book.studio.pieces):
        if piece.furnace and piece.furnace.casefold() not in known:
            expected = _expected(book, "furnace_called", called)
            yield book.problem(
                "piece_furnace", position, shown(piece.furnace), expected, _advice(piece.furnace, called)
            )


def _expected(book: EditedBook, source: str, listed: list[str]) -> str:
    return f"one of {', '.join(listed)}" if listed else f"a name that stands under {book.label(source)}"


def _advice(typed: str, listed: list[str]) -> str:
    near = get_close_matches(typed.casefold(), [name.casefold() for name in listed], n=1)
    meant = next((name for name in listed if near and name.casefold() == near[0]), "")
    return f"Did you mean {meant}?" if meant else "Choose from the list, or add the name to it."
