"""The table of faults, read from ``table.toml`` into what is done to the book and what the checks must say."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.faults.book import CHECK_IDS, HERE, Cell, SoundBook, Typed
from tests.faults.recalculate import Run, States

ALWAYS = frozenset({"waiting"})
"""The notes of the sound book."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One line of the table."""

    what: str
    told: Mapping[str, Any]

    @property
    def moves_rows(self) -> bool:
        """Whether it takes a spreadsheet program: rows inserted, cut, sorted."""
        return "do" in self.told

    def run(self, book: SoundBook, save: Path | None = None) -> Run:
        """What is done to the book."""
        cells = _typed(book, self.told.get("set", {})) | self._rows(book) | self._below(book)
        acts = tuple(_act(book, act) for act in self.told.get("do", ()))
        return Run(cells, acts, _typed(book, self.told.get("then", {})), save)

    def _rows(self, book: SoundBook) -> dict[Cell, Typed]:
        typed = dict(self.told.get("rows", {}))
        if not typed:
            return {}
        numbers = range(typed.pop("first"), typed.pop("last") + 1)
        return {book.cell(f"{name}.{number}"): value for number in numbers for name, value in typed.items()}

    def _below(self, book: SoundBook) -> dict[Cell, Typed]:
        ends = ((book.cell(f"{name}.end"), value) for name, value in self.told.get("below", {}).items())
        return {Cell(end.sheet, end.row + 2, end.column): value for end, value in ends}

    def expected(self, engine: str) -> States:
        """What each check must say then."""
        look, note = set(self.told["look"]), set(self.told.get("note", ()))
        if engine != "LibreOffice":
            look -= set(self.told.get("office", ()))
        note |= ALWAYS - set(self.told.get("gone", ()))
        return {name: "LOOK" if name in look else "NOTE" if name in note else "OK" for name in CHECK_IDS}


def _typed(book: SoundBook, cells: Mapping[str, Typed]) -> dict[Cell, Typed]:
    return {book.cell(place): None if value == "" else value for place, value in cells.items()}


def _act(book: SoundBook, act: Mapping[str, Any]) -> dict[str, Any]:
    """One thing to do in terms of sheets and cells."""
    for do in ("insert", "delete"):
        if do in act:
            cell = book.cell(act[do])
            return {"do": do, "sheet": cell.sheet, "row": cell.row}
    for word, do in (("copy_row", "copy"), ("cut_row", "move")):
        if word in act:
            first, to = book.cell(act[word]), book.cell(act["to"])
            return {"do": do, "sheet": first.sheet, "area": [1, first.row, WIDEST, first.row], "to": [to.row, 1]}
    word = next(word for word in ("copy", "cut", "sort") if word in act)
    first, last = book.cell(act[word]), book.cell(act["through"])
    found: dict[str, Any] = {"sheet": first.sheet, "area": [first.column, first.row, last.column, last.row]}
    if word == "sort":
        return {"do": "sort", **found, "by": book.cell(f"{act['by']}.1").column, "up": act["up"]}
    to = book.cell(act["to"])
    return {"do": "copy" if word == "copy" else "move", **found, "to": [to.row, to.column]}


WIDEST = 100
"""More columns than any sheet has, for whole rows."""


def faults() -> Iterator[Fault]:
    """The table, line by line."""
    for told in tomllib.loads((HERE / "table.toml").read_text(encoding="utf-8"))["fault"]:
        yield Fault(told["what"], told)
