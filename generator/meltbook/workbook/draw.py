"""Draws one sheet: its top lines, texts, single figures, the list of sheets and the legend.

Everything goes through a worksheet that is handed in; tables are drawn by ``meltbook.workbook.tables``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from meltbook.fields.kernel import Figure, Fixed, Input
from meltbook.sheets.kernel import Role
from meltbook.workbook.boxes import FIRST, ScalarCell, SheetLayout, State
from meltbook.workbook.formulas import STATE_SOURCE
from meltbook.workbook.ink import Ink, done, is_said, is_state, write_plain
from meltbook.workbook.layout import PURPOSE_ROW, STATE_COL, STATE_ROW, TITLE_ROW
from meltbook.workbook.style import RULED, SHOP
from meltbook.workbook.tables import draw_table
from meltbook.workbook.typed import fixed_or_typed, value_typed
from meltbook.workbook.validation import validation
from meltbook.workbook.widths import header_lines

ROLE_WORDS: Mapping[Role, str] = {
    "type": "Type and read",
    "read": "Read",
    "print": "Print",
    "check": "Look here when a check fails",
}

KEY_LINES: tuple[tuple[str, str, str], ...] = (
    ("type", "input", "Yours to change: tinted, with a border, and the word type beside or above it."),
    ("works itself out", "plain", "A formula. If you type over one, Checks says where."),
    ("OK", "sample_good", "Nothing found."),
    ("LOOK", "sample_look", "Something to mend: Checks says what and where."),
    ("NOTE", "sample_note", "Good to know; nothing is wrong."),
)


def draw_sheet(sheet: Any, layout: SheetLayout, ink: Ink, first_sheet: str) -> list[State]:
    """Draw everything but charts and page set-up. Returns the ranges of cells that are tinted by their
    state.
    """
    for col, width in sorted(layout.widths.items()):
        done(sheet.set_column(col, col, width))
    for row, height in layout.heights.items():
        done(sheet.set_row_pixels(row, height))
    states = _top(sheet, layout, ink, first_sheet)
    ruled = {one.row for one in layout.ruled}
    written: set[tuple[int, int]] = set()
    for line in layout.lines:
        more: dict[str, Any] = dict(RULED) if line.row in ruled and line.col >= FIRST else {}
        if line.manner == "note" and layout.note_wraps:
            more["text_wrap"] = True
        if layout.sheet.role == "print" and line.manner in ("label", "body"):
            more |= SHOP
        done(sheet.write_string(line.row, line.col, ink.worded(line.text), ink.formats.manner(line.manner, **more)))
        written.add((line.row, line.col))
    for cell in layout.scalars:
        _scalar(sheet, cell, ink, ruled=cell.row in ruled, shop=layout.sheet.role == "print")
        written.add((cell.row, cell.col))
        item, cells = ink.vocabulary.scalars[cell.name], (cell.row, cell.col, cell.row, cell.col)
        if is_state(item):
            states.append(State(cells, of_all=cell.name == STATE_SOURCE))
        elif is_said(item):
            states.append(State(cells, of_step=True))
    written |= _links(sheet, layout, ink)
    for rule in layout.ruled:
        for col in range(rule.first, rule.last + 1):
            if (rule.row, col) not in written:
                done(sheet.write_blank(rule.row, col, None, ink.formats.manner("plain", **RULED)))
    for box in layout.tables:
        states += draw_table(sheet, layout, box, ink)
    _heads(sheet, layout, ink)
    _key(sheet, layout, ink)
    return states


# ------------------------------------------------------------------------------------------ texts and lists


def _top(sheet: Any, layout: SheetLayout, ink: Ink, first_sheet: str) -> list[State]:
    formats, col = ink.formats, layout.heading_col
    done(sheet.set_row_pixels(TITLE_ROW, layout.tall(TITLE_ROW, 30)))
    done(sheet.write_string(TITLE_ROW, col, ink.worded(layout.sheet.title), formats.manner("title")))
    done(sheet.write_string(PURPOSE_ROW, col, ink.worded(layout.sheet.purpose), formats.manner("purpose")))
    if layout.sheet.name != first_sheet:
        _link(sheet, STATE_ROW, 0, first_sheet, "Back", formats.manner("back"), f"Back to {first_sheet}")
    spot = ink.placement.scalars.get(layout.sheet.state_name)
    if spot is None:
        return []
    value = ink.result(layout.sheet.state_name)
    done(sheet.write_formula(STATE_ROW, STATE_COL, "=" + STATE_SOURCE, formats.manner("state"), value))
    return [State((STATE_ROW, STATE_COL, STATE_ROW, STATE_COL), of_all=True, of_sheet=True)]


def _link(sheet: Any, row: int, col: int, to: str, text: str, look: Any, tip: str) -> None:
    quoted = to.replace("'", "''")
    done(sheet.write_url(row, col, f"internal:'{quoted}'!A1", look, text, tip))


def _heads(sheet: Any, layout: SheetLayout, ink: Ink) -> None:
    lines: dict[int, int] = {}
    for head in layout.heads:
        look = ink.formats.manner(head.manner, align=head.align)
        write_plain(sheet, head.row, head.col, ink.worded(head.text), look)
        count = header_lines(head.text, layout.widths[head.col]) if head.manner == "head" else 1
        lines[head.row] = max(lines.get(head.row, 1), count)
    for row, count in lines.items():
        done(sheet.set_row_pixels(row, layout.tall(row, 8 + 16 * count)))


def _links(sheet: Any, layout: SheetLayout, ink: Ink) -> set[tuple[int, int]]:
    text = ink.formats.manner("plain", **RULED, indent=1)
    for row, other in layout.links:
        _link(
            sheet,
            row,
            FIRST,
            other.name,
            other.name,
            ink.formats.manner("link", **RULED),
            f"Go to {other.name}",
        )
        done(sheet.write_string(row, FIRST + 1, ink.worded(other.does) or ROLE_WORDS[other.role], text))
        purpose = ink.formats.manner("plain", **RULED, text_wrap=True, indent=1)
        done(sheet.write_string(row, layout.purposes, ink.worded(other.purpose), purpose))
    return {(row, col) for row, _ in layout.links for col in (FIRST, FIRST + 1, layout.purposes)}


def _key(sheet: Any, layout: SheetLayout, ink: Ink) -> None:
    for top, block in layout.keys:
        for row, (word, manner, meaning) in enumerate(block.lines or KEY_LINES, top):
            done(sheet.write_string(row, FIRST, word, ink.formats.manner(manner, indent=1)))
            done(sheet.write_string(row, FIRST + 1, meaning, ink.formats.manner("body", indent=1)))


# ------------------------------------------------------------------------------------------- single figures


def _scalar(sheet: Any, cell: ScalarCell, ink: Ink, *, ruled: bool, shop: bool) -> None:
    item = ink.vocabulary.scalars[cell.name]
    if isinstance(item, Input):
        look = ink.formats.cell(item.shape, "input")
        write_plain(sheet, cell.row, cell.col, value_typed(ink.typed, cell.name), look)
        done(sheet.write_string(cell.row, 0, "type", ink.formats.manner("margin", align="right")))
        options = validation(item, ink.placement, ink.worded)
        done(sheet.data_validation(cell.row, cell.col, cell.row, cell.col, options))
        return
    if cell.heading:
        look = ink.formats.cell(item.shape, "title" if shop else "heading", indent=0)
    else:
        manner = "sentence" if cell.sentence else "value" if isinstance(item, Figure) else "plain"
        if cell.wraps:
            manner = "measure"
        look = ink.formats.cell(item.shape, manner, ruled=ruled, **(SHOP if shop else {}))
    if isinstance(item, Fixed):
        write_plain(sheet, cell.row, cell.col, fixed_or_typed(ink.typed, cell.name, item), look)
        return
    text = ink.compiler.scalar(cell.name)
    done(sheet.write_formula(cell.row, cell.col, f"={text}", look, ink.result(cell.name)))
