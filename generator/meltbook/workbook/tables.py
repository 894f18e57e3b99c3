"""Draws a table: headings, seed row, data rows, end row; what is typed, what is fixed and what works itself
out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Plain, Shape
from meltbook.method.results import Results
from meltbook.workbook.boxes import RowsBox, SheetLayout, State
from meltbook.workbook.formulas import Template
from meltbook.workbook.ink import Ink, done, is_state, write_plain
from meltbook.workbook.style import SHOP
from meltbook.workbook.typed import Typed
from meltbook.workbook.validation import validation
from meltbook.workbook.widths import header_lines, header_text, lines_of


def draw_table(sheet: Any, layout: SheetLayout, box: RowsBox, ink: Ink) -> list[State]:
    """Draw a block of columns. Returns the ranges of cells that are tinted by their state."""
    shop = layout.sheet.role == "print"
    states: list[State] = []
    most_lines = 1
    for name, col in (*box.columns, *box.workings):
        item = ink.vocabulary.columns[name][1]
        working = (name, col) in box.workings
        heading = header_text(item)
        look = ink.formats.manner(
            "head_workings" if working else "head", align="left" if item.shape is Shape.TEXT else "right"
        )
        done(sheet.write_string(box.header, col, ink.worded(heading), look))
        most_lines = max(most_lines, header_lines(heading, layout.widths[col]))
        _column(sheet, box, item, col, ink, working=working, shop=shop and not working)
        if is_state(item):
            states.append(State((box.first, col, box.last, col)))
    done(sheet.set_row_pixels(box.header, layout.tall(box.header, 8 + 16 * most_lines)))
    _tall_rows(sheet, layout, box, ink)
    margin = ink.formats.manner("margin", align="right")
    if box.seed is not None:
        done(sheet.write_string(box.seed, 0, "Start", margin))
    if box.end is not None:
        done(sheet.write_string(box.end, 0, "Add rows above this line", ink.formats.manner("margin")))
    if box.block.line_numbers:
        for index in range(box.rows):
            done(sheet.write_number(box.first + index, 0, index + 1, margin))
    return states


def _tall_rows(sheet: Any, layout: SheetLayout, box: RowsBox, ink: Ink) -> None:
    """Make rows as high as their fixed texts need; what works itself out or is typed stays on one line."""
    lines: dict[int, int] = {}
    for name, col in box.columns:
        item = ink.vocabulary.columns[name][1]
        if isinstance(item, Fixed) and item.shape is Shape.TEXT:
            for index, value in enumerate(item.values):
                count = len(lines_of(str(value), layout.widths[col]))
                lines[index] = max(lines.get(index, 1), count)
    for index, count in lines.items():
        if count > 1:
            row = box.first + index
            done(sheet.set_row_pixels(row, layout.tall(row, 4 + 16 * count)))


def _column(sheet: Any, box: RowsBox, item: Item, col: int, ink: Ink, *, working: bool, shop: bool) -> None:
    # On a sheet for customers only filled rows are ruled, by a conditional format.
    ruled, more = not shop, SHOP if shop else {}
    last = box.first + box.rows - 1
    edge = ink.formats.cell(item.shape, "edge", ruled=ruled, dash=working)
    if isinstance(item, Input):
        look = ink.formats.cell(item.shape, "input")
        _values(sheet, box, col, ink.typed.columns.get(item.name, ()), look)
        done(sheet.data_validation(box.first, col, last, col, validation(item, ink.placement, ink.worded)))
        seed, end = None, None
    elif isinstance(item, Figure):
        manner = "working" if working else "plain"
        dash = working or item.name in box.block.dashed
        look = ink.formats.cell(item.shape, manner, ruled=ruled, dash=dash, **more)
        _formulas(sheet, box, item, col, ink, look)
        seed, end = ink.compiler.seed(item.name), ink.compiler.end(item.name)
    else:
        fixed = item.values if isinstance(item, Fixed) else ()
        wrap = {"text_wrap": True} if item.shape is Shape.TEXT else {}
        look = ink.formats.cell(item.shape, "plain", ruled=ruled, **more, **wrap)
        _values(sheet, box, col, fixed, look)
        seed, end = None, None
    for row, which, value in ((box.seed, "seed", seed), (box.end, "end", end)):
        if row is not None:
            _edge(sheet, row, col, value, edge, lambda which=which: ink.result(item.name, which))  # type: ignore[misc]


def _edge(
    sheet: Any, row: int, col: int, value: Plain | None, look: Any, result: Callable[[], float | int | str]
) -> None:
    if isinstance(value, str) and value.startswith("="):
        done(sheet.write_formula(row, col, value, look, result()))
    else:
        write_plain(sheet, row, col, value, look)


def _values(sheet: Any, box: RowsBox, col: int, values: Sequence[Typed], look: Any) -> None:
    for index in range(box.rows):
        write_plain(sheet, box.first + index, col, values[index] if index < len(values) else None, look)


def _formulas(sheet: Any, box: RowsBox, item: Figure, col: int, ink: Ink, look: Any) -> None:
    made = ink.compiler.column(item.name)
    assert made is not None
    templates = made if isinstance(made, tuple) else None
    values = _cached_column(item.name, len(templates) if templates else box.rows, ink.results)
    first, write = box.first, sheet.write_formula
    if templates is not None:
        for index, template in enumerate(templates):
            done(write(first + index, col, "=" + template.at(index), look, values[index]))
        for index in range(len(templates), box.rows):
            done(sheet.write_blank(first + index, col, None, look))
        return
    assert isinstance(made, Template)
    pattern, bases = "=" + made.pattern, made.bases
    for index, value in enumerate(values):
        if write(first + index, col, pattern % tuple([base + index for base in bases]), look, value):
            raise DeclarationError(f"XlsxWriter refused to write {item.name}, row {index + 1}")


def _cached_column(name: str, rows: int, results: Results | None) -> list[float | int | str]:
    if results is None:
        return [""] * rows
    values = results.columns.get(name)
    if values is None or len(values) < rows:
        raise DeclarationError(f"the reference engine has {len(values or ())} values for {name}, which has {rows} rows")
    for value in values:
        if isinstance(value, bool) or (isinstance(value, float) and not math.isfinite(value)):
            raise DeclarationError(f"the reference engine's value for {name} is {value!r}, which no cell can hold")
    return ["" if value is None else value for value in values[:rows]]
