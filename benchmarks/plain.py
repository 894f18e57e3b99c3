"""What a book is measured against: the plainest code that does the same work.

``record`` watches a book being written and notes every cell; ``replay`` writes those cells with XlsxWriter and
nothing else. ``plain_loop`` is the shortest honest script for the cost of a hot day: what somebody would write
who needed that one figure.
"""

from __future__ import annotations

import datetime as dt
import io
from bisect import bisect_right
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, field
from typing import Any
from unittest.mock import patch

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from meltbook.studio.model import Studio

CELLS = ("write_string", "write_number", "write_blank", "write_formula")
"""Row, column, value and format, in this order; a formula's value comes after them."""
OTHERS = ("write_url", "data_validation", "conditional_format", "set_column", "set_row_pixels")


@dataclass(frozen=True, slots=True)
class Look:
    """Stands for the format with this number."""

    number: int


@dataclass(slots=True)
class Recording:
    """A book as lists of plain values."""

    options: dict[str, Any] = field(default_factory=dict)
    formats: list[dict[str, Any]] = field(default_factory=list)
    sheets: dict[str, dict[str, list[tuple[Any, ...]]]] = field(default_factory=dict)
    names: list[tuple[str, str]] = field(default_factory=list)

    @property
    def cells(self) -> int:
        """How many cells the book has."""
        return sum(len(sheet[method]) for sheet in self.sheets.values() for method in CELLS)


def record(write: Callable[[], object]) -> Recording:
    """What a function that writes a workbook asks XlsxWriter for, charts and page set-up apart."""
    made = Recording()
    looks: dict[int, Look] = {}
    kept: list[Any] = []  # a format that is let go of would hand its id on

    add_format, make_book = xlsxwriter.Workbook.add_format, xlsxwriter.Workbook.__init__
    define_name = xlsxwriter.Workbook.define_name

    def noted_init(book: Any, target: Any, options: dict[str, Any]) -> None:
        made.options = options
        make_book(book, target, options)

    def noted_format(book: Any, properties: dict[str, Any] | None = None) -> Any:
        format_ = add_format(book, properties)
        kept.append(format_)
        looks[id(format_)] = Look(len(made.formats))
        made.formats.append(dict(properties or {}))
        return format_

    def noted_name(book: Any, name: str, cells: str) -> Any:
        made.names.append((name, cells))
        return define_name(book, name, cells)

    def plain(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: plain(one) for key, one in value.items()}
        return looks.get(id(value), value)

    def noted(method: str, original: Callable[..., Any]) -> Callable[..., Any]:
        def call(sheet: Any, *arguments: Any) -> Any:
            calls = made.sheets.setdefault(sheet.name, {name: [] for name in (*CELLS, *OTHERS)})
            calls[method].append(tuple(map(plain, arguments)))
            return original(sheet, *arguments)

        return call

    with ExitStack() as stack:
        stack.enter_context(patch.object(xlsxwriter.Workbook, "__init__", noted_init))
        stack.enter_context(patch.object(xlsxwriter.Workbook, "add_format", noted_format))
        stack.enter_context(patch.object(xlsxwriter.Workbook, "define_name", noted_name))
        for method in (*CELLS, *OTHERS):
            stack.enter_context(patch.object(Worksheet, method, noted(method, getattr(Worksheet, method))))
        write()
    return made


def replay(recording: Recording, tab: type[Any] = Worksheet) -> bytes:
    """Write the cells of a recording with XlsxWriter and nothing else."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, recording.options)
    first = len(book.formats)  # a workbook begins with formats of its own
    looks = [book.add_format(properties) for properties in recording.formats[first:]]
    looks = [*book.formats[:first], *looks]

    def live(value: Any) -> Any:
        if isinstance(value, Look):
            return looks[value.number]
        return {key: live(one) for key, one in value.items()} if isinstance(value, dict) else value

    tabs = {name: book.add_worksheet(name, worksheet_class=tab) for name in recording.sheets}
    for name, calls in recording.sheets.items():
        for method in CELLS:
            write = getattr(tabs[name], method)
            for row, col, value, look, *more in calls[method]:
                write(row, col, value, looks[look.number], *more)
        for method in OTHERS:
            do = getattr(tabs[name], method)
            for arguments in calls[method]:
                do(*map(live, arguments))
    for name, cells in recording.names:
        book.define_name(name, cells)
    book.close()
    return held.getvalue()


def plain_loop(studio: Studio) -> float:
    """The cost of a unit of weight over all measured days: energy of every hot day ÷ glass charged.

    It takes a log with a date and a kind on every row, an hour meter that was never replaced, and one price a
    tariff row; the reference engine takes any log.
    """
    weights = [1.0 if row.weighting is None else row.weighting for row in studio.day_kinds]
    kinds = dict(zip(("Heat-up", "Charge", "Blow", "Idle", "Cold", "New meter"), weights, strict=True))
    kinds |= {"Cold": 0.0, "New meter": 0.0}
    starts: list[dt.date] = []
    prices: list[float] = []
    for letter in studio.tariffs:
        if letter.start is not None and letter.price is not None:
            starts.append(letter.start)
            prices.append((letter.price + (letter.surcharge or 0)) * (1 + (letter.tax or 0)))
    factor = studio.furnace.connected_kw or 0
    last = studio.furnace.opening_reading or 0
    cost = weight = 0.0
    waiting: list[tuple[float, float, float]] = []
    for row in studio.log:
        if row.date is None or row.kind is None:
            continue
        days = 1 if row.days is None else row.days
        price = prices[bisect_right(starts, row.date) - 1]
        waiting.append((days * kinds[row.kind], price, row.weight or 0))
        if row.reading is not None:
            use, shared = (row.reading - last) * factor, sum(part for part, _, _ in waiting)
            cost += sum(use * part / shared * price for part, price, _ in waiting)
            weight += sum(glass for _, _, glass in waiting)
            last, waiting = row.reading, []
    return cost / weight
