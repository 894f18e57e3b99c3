"""Writes a workbook: the one way from declarations, a studio and results to a file.

XlsxWriter does the writing. It answers much that it can't do with a warning or a code; both are errors
here, so that no workbook leaves this module with something missing. The bytes depend on nothing but the
arguments.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.exceptions import XlsxWriterException
from xlsxwriter.worksheet import Worksheet

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Input, Vocabulary
from meltbook.method.results import Results
from meltbook.sheets.kernel import Sheet
from meltbook.studio.model import Studio
from meltbook.workbook.charts import make_chart
from meltbook.workbook.draw import draw_sheet
from meltbook.workbook.files import put_in_place, refuse_if_there
from meltbook.workbook.formulas import Compiler
from meltbook.workbook.ink import Ink, done
from meltbook.workbook.listing import Tab, draw_tab
from meltbook.workbook.names import defined_names
from meltbook.workbook.page import first_typed, rule_filled_rows, set_up_page, tint_states
from meltbook.workbook.paper import Paper
from meltbook.workbook.place import Layout, Placement, lay_out, prepared_rows
from meltbook.workbook.style import Formats
from meltbook.workbook.typed import TypedValues, check_it_fits, typed_values
from meltbook.workbook.widths import worded

_CREATED = datetime(2000, 1, 1)
"""Every book says that it was made then, so that the same book has the same bytes."""
_WINDOW = (1280 * 2, 800 * 2)


@dataclass(frozen=True, slots=True)
class BookOptions:
    """What is chosen when a book is written.

    ``capacities`` are rows by the tables' capacity names; ``money_digits`` how many digits the currency has;
    ``words`` what stands for {weight}, {currency} and {energy}, which :func:`write_book` takes from the studio
    where they are left out; ``complete=False`` allows fields that stand on no sheet, for parts of a book.
    """

    paper: Paper = "Letter"
    capacities: Mapping[str, int] = field(default_factory=dict)
    money_digits: int = 2
    words: Mapping[str, str] = field(default_factory=dict)
    title: str = "Costing workbook"
    overwrite: bool = False
    complete: bool = True


def write_book(
    path: Path,
    vocabulary: Vocabulary,
    sheets: Sequence[Sheet],
    studio: Studio,
    results: Results | None,
    options: BookOptions | None = None,
) -> Placement:
    """Write a workbook and return where its fields stand.

    Without ``results`` every cached value is empty, and a program that opens the file works it out. A file
    that is there is not overwritten unless the options say so, and stays whole if writing fails.
    """
    options = options or BookOptions()
    refuse_if_there(path, overwrite=options.overwrite)
    layout = lay_out(sheets, vocabulary, options.capacities, complete=options.complete)
    words = {"weight": studio.shop.weight_unit, "currency": studio.shop.currency, "energy": studio.shop.energy_unit}
    told = replace(options, words=words | dict(options.words))
    data = book_bytes(layout, vocabulary, typed_values(studio), results, told)
    put_in_place(path, data, overwrite=options.overwrite)
    return layout.placement


def book_bytes(
    layout: Layout, vocabulary: Vocabulary, typed: TypedValues, results: Results | None, options: BookOptions
) -> bytes:
    """The bytes of a workbook whose geometry is known, with what is typed into it by field name."""
    check_it_fits(typed, vocabulary, prepared_rows(vocabulary, options.capacities))
    words = {f"{{{name}}}": word for name, word in options.words.items()}
    with _new_book() as (book, held):
        ink = Ink(
            vocabulary,
            layout.placement,
            Compiler(vocabulary, layout.placement),
            Formats(book.add_format, options.money_digits),
            typed,
            results,
            lambda text: worded(text, words),
        )
        _fill(book, layout, ink, options)
    return held.getvalue()


def listing_bytes(tabs: Sequence[Tab], *, title: str, paper: Paper = "Letter") -> bytes:
    """The bytes of a workbook of plain lists."""
    with _new_book() as (book, held):
        book.set_properties({"title": title, "created": _CREATED})
        book.set_size(*_WINDOW)
        formats = Formats(book.add_format)
        for tab in tabs:
            draw_tab(book.add_worksheet(tab.name), tab, formats, paper)
    return held.getvalue()


@contextmanager
def _new_book() -> Iterator[tuple[Any, io.BytesIO]]:
    """A workbook to fill, and what holds its bytes once it is closed. Whatever XlsxWriter warns of is an error."""
    held = io.BytesIO()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            book = xlsxwriter.Workbook(
                held,
                {"in_memory": True, "default_format_properties": {"font_name": "Arial", "font_size": 10}},
            )
            yield book, held
            book.close()
    except (UserWarning, XlsxWriterException) as error:
        raise DeclarationError(f"XlsxWriter: {error}") from error


class VerbatimTab(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """A sheet that takes each formula as it is.

    XlsxWriter looks in every formula for some thirty functions that are too new for the file format and puts a
    prefix before them. None of those is on the list of functions that a formula may use, and the looking takes
    three quarters of the time that a book takes. Should a release call this something else, the book is the
    same and only slower.
    """

    def _prepare_formula(self, formula: str, *_: object, **__: object) -> str:
        return formula.removeprefix("=")


def _fill(book: Any, layout: Layout, ink: Ink, options: BookOptions) -> None:
    book.set_properties({"title": options.title, "created": _CREATED})
    book.set_size(*_WINDOW)
    inputs = {name for name, item in ink.vocabulary.scalars.items() if isinstance(item, Input)}
    inputs |= {name for name, (_, item) in ink.vocabulary.columns.items() if isinstance(item, Input)}
    first = layout.sheets[0].sheet.name
    # All tabs first: a link or a chart may look to a sheet that comes later.
    tabs = [book.add_worksheet(one.sheet.name, worksheet_class=VerbatimTab) for one in layout.sheets]
    for tab, one in zip(tabs, layout.sheets, strict=True):
        states = draw_sheet(tab, one, ink, first)
        tint_states(book, tab, states)
        rule_filled_rows(book, tab, one)
        for box in one.pictures:
            picture = replace(box.block, axis=ink.worded(box.block.axis), title=ink.worded(box.block.title))
            chart = make_chart(book, picture, ink.placement, box.width, box.height)
            place = {"description": ink.worded(box.block.alt), "object_position": 2}
            done(tab.insert_chart(box.row, box.col, chart, place))
        set_up_page(tab, one, options.paper)
        start = first_typed(one, inputs)
        if start is not None:
            tab.set_selection(*start, *start)
    tabs[0].activate()
    for name, cells in defined_names(ink.placement).items():
        done(book.define_name(name, f"={cells}"))
