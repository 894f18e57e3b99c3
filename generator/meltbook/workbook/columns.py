"""How wide the columns of a sheet are, and which column takes what.

Tables have their say first, since each of their columns is one column of the sheet. Single figures fit in
with them: their label runs over as many columns as it needs, then come value, unit and note. Workings stand
to the right of all that is printed, after a gap.
"""

from __future__ import annotations

from collections.abc import Sequence

from meltbook.fields.kernel import Item, Shape, Vocabulary
from meltbook.sheets.kernel import Fields, Grid, Links, Picture, Rows, Sheet, Steps
from meltbook.workbook.boxes import FIRST, SheetLayout
from meltbook.workbook.paper import LEGIBLE_PIXELS
from meltbook.workbook.placement import unknown_name
from meltbook.workbook.widths import (
    CHARTS_BESIDE,
    FILLER,
    GAP,
    MARGIN,
    NOTE,
    NOTE_LEAST,
    PRINTED,
    column_width,
    least_width,
    pixels,
    text_width,
    value_width,
)

_LABEL_LEAST, _LABEL_MOST = 20.0, 46.0
_VALUE_MOST, _UNIT_MOST = 24.0, 22.0
_BY_TABLES = 11.0
"""The most that values, units and headings of single figures ask for in columns that tables share."""
_UNIT_LEAST = 8.0
_NAME_LEAST = 17.0
"""The column that says what a row is about stays readable when the others are narrowed."""
_YOU_LEAST, _YOU_MOST = 18.0, 34.0
_STEP_COLUMNS = (37.0, 12.5, 16.5, 14.5, 8.0)
"""Question, answer, unit, feedback and the cell that asks for a hint."""
_HINT_LEAST, _HINT_MOST = 24.0, 50.0


def settle_columns(sheet: Sheet, vocabulary: Vocabulary, book: Sequence[Sheet]) -> SheetLayout:
    """The widths of a sheet's columns, and the columns of labels, values, notes and workings."""
    tables = [block for block in sheet.blocks if isinstance(block, Rows)]
    grids = [block for block in sheet.blocks if isinstance(block, Grid)]
    items = [
        vocabulary.scalars[name]
        for block in sheet.blocks
        if isinstance(block, Fields)
        for name in block.names
        if name in vocabulary.scalars
    ]
    widths: dict[int, float] = {0: MARGIN}
    for table in tables:
        for col, name in enumerate(table.columns, FIRST):
            _widen(widths, col, _wanted(table, name, vocabulary))
    printed = max([FIRST, *(len(table.columns) for table in tables)])

    stepped = any(isinstance(block, Steps) for block in sheet.blocks)
    if stepped:
        _step_columns(sheet, widths)
        printed = max(printed, FIRST + len(_STEP_COLUMNS))
    else:
        _squeeze(sheet, widths, tables, vocabulary)

    labels = [item.label for item in items] + [row[0] for grid in grids for row in grid.rows]
    label_end = FIRST if stepped else _label_columns(widths, labels)
    value, note = label_end + 1, label_end + 3
    taken = set(range(FIRST, printed + 1)) if tables or stepped else set()
    for grid in grids:
        for col, heading in enumerate(grid.columns, value):
            taken.add(col)
            _widen(
                widths,
                col,
                max([_BY_TABLES if tables else FILLER, *(len(word) + 2.0 for word in heading.split())]),
            )
        printed = max(printed, value + len(grid.columns))
    note_wraps = note not in taken
    if items:
        room = LEGIBLE_PIXELS[sheet.landscape] - sum(map(pixels, widths.values())) - note_wraps * pixels(NOTE)
        _value_columns(widths, value, items, _BY_TABLES if taken and room < pixels(_VALUE_MOST) else _VALUE_MOST)
        if not stepped:
            _squeeze(sheet, widths, tables, vocabulary, keep=(value, value + 1))
        printed = max(printed, note if note_wraps and sheet.role != "print" else note - 1)
    purposes = note if items and note_wraps else FIRST + 2
    if any(isinstance(block, Links) for block in sheet.blocks):
        _widen(widths, FIRST, max(text_width(other.name) for other in book))
        _widen(widths, FIRST + 1, min(_YOU_MOST, max([_YOU_LEAST, *(text_width(other.does) for other in book)])))
        if purposes != note:
            _widen(widths, purposes, NOTE)
        printed = max(printed, purposes)

    for col in range(printed + 1):
        widths.setdefault(col, FILLER)
    if items and note_wraps and sheet.role != "print":
        widths[note] = _note_width(sheet, widths, note)
    layout = SheetLayout(sheet, widths, printed, 0, label_end, value, note, note_wraps, stepped, purposes=purposes)
    _make_room(
        layout,
        [note] if items and sheet.role != "print" else [],
        [value + len(grid.columns) for grid in grids],
    )
    layout.workings = layout.printed + 2
    for table in tables:
        if table.workings:
            widths[layout.printed + 1] = GAP
        for col, name in enumerate(table.workings, layout.workings):
            _widen(widths, col, _wanted(table, name, vocabulary))
    return layout


def _step_columns(sheet: Sheet, widths: dict[int, float]) -> None:
    """Question, answer, unit, feedback, hint asked for; the hint itself has what is left of the page."""
    for col, width in enumerate(_STEP_COLUMNS, FIRST):
        _widen(widths, col, width)
    last = FIRST + len(_STEP_COLUMNS)
    room = LEGIBLE_PIXELS[sheet.landscape] - sum(pixels(width) for col, width in widths.items() if col != last)
    _widen(widths, last, max(_HINT_LEAST, min(_HINT_MOST, (room - 5) / 7)))


def _widen(widths: dict[int, float], col: int, width: float) -> None:
    widths[col] = max(widths.get(col, 0.0), width)


def _wanted(block: Rows, name: str, vocabulary: Vocabulary) -> float:
    if name not in vocabulary.columns:
        raise unknown_name(name, vocabulary.columns, block.heading)
    return block.widths.get(name) or column_width(vocabulary.columns[name][1])


def _squeeze(
    sheet: Sheet,
    widths: dict[int, float],
    tables: Sequence[Rows],
    vocabulary: Vocabulary,
    keep: tuple[int, ...] = (),
) -> None:
    """Narrow the columns of wide tables, each by the same part of what it can spare, to print legibly."""
    over = sum(map(pixels, widths.values())) - LEGIBLE_PIXELS[sheet.landscape]
    if over <= 0:
        return
    least: dict[int, float] = {}
    for table in tables:
        for col, name in enumerate(table.columns, FIRST):
            item = vocabulary.columns[name][1]
            need = table.widths.get(name) or least_width(item)
            if col == FIRST and item.shape is Shape.TEXT:
                need = max(need, min(_NAME_LEAST, widths[col]))
            least[col] = max(least.get(col, 0.0), need)
    spares = {col: max(0.0, widths[col] - need) for col, need in least.items() if col not in keep}
    spare = sum(spares.values()) * 7
    part = min(1.0, over / spare) if spare > 0 else 0.0
    for col, width in spares.items():
        widths[col] -= width * part


def _label_columns(widths: dict[int, float], labels: Sequence[str]) -> int:
    """The last of the columns that labels run over."""
    if not labels:
        return FIRST
    need = min(_LABEL_MOST, max(_LABEL_LEAST, *(text_width(label) + 1 for label in labels)))
    if FIRST not in widths:
        widths[FIRST] = need
    last = FIRST
    while sum(widths.get(col, FILLER) for col in range(FIRST, last + 1)) < need:
        last += 1
    return last


def _value_columns(widths: dict[int, float], value: int, items: Sequence[Item], most: float) -> None:
    wanted = max(value_width(item) for item in items)
    units = max(_UNIT_LEAST, *(text_width(item.unit) for item in items))
    _widen(widths, value, min(most, max(FILLER, wanted)))
    _widen(widths, value + 1, min(most, _UNIT_MOST, units))


def _note_width(sheet: Sheet, widths: dict[int, float], note: int) -> float:
    """As wide as notes may be while the sheet, one page wide, still prints large enough to read."""
    others = sum(pixels(width) for col, width in widths.items() if col < note)
    room = (LEGIBLE_PIXELS[sheet.landscape] - others - 5) / 7
    return max(NOTE_LEAST, min(NOTE, room))


def charts_abreast(sheet: Sheet) -> bool:
    """Whether a sheet has room for, and asks for, two charts side by side."""
    return sheet.landscape and any(isinstance(block, Picture) and block.beside for block in sheet.blocks)


def _make_room(layout: SheetLayout, notes: Sequence[int], sentences: Sequence[int]) -> None:
    """Print more columns until running text, notes and charts have the width they need."""
    least = 0.0 if layout.sheet.role == "print" else CHARTS_BESIDE if charts_abreast(layout.sheet) else PRINTED
    needs = [
        (FIRST, least),
        *((start, NOTE_LEAST) for start in notes),
        *((start, NOTE) for start in sentences),
    ]
    for start, need in needs:
        while (width := layout.width_over(start, layout.printed)) < need:
            wider = sum(pixels(layout.widths[col]) for col in range(layout.printed + 1)) + pixels(FILLER)
            if width >= NOTE_LEAST and wider > LEGIBLE_PIXELS[layout.sheet.landscape]:
                break
            layout.printed += 1
            layout.widths.setdefault(layout.printed, FILLER)
