"""Where the blocks of a sheet come to stand: pure geometry, before anything is drawn.

Column A is a margin. Blocks stand under one another from column B on and share the widths of the columns,
which ``meltbook.workbook.columns`` settles first, for the whole sheet. Then each block gets its rows, here.
Where a note meets columns that a table has made narrow, it runs on over empty cells and is broken into
rows; where it has a column of its own it is wrapped there.

Positions never depend on the units or the currency of a book, so that the same declarations make the same
cells.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Shape, Vocabulary
from meltbook.sheets.kernel import Below, Fields, Grid, Key, Links, Picture, Rows, Sheet, Step, Steps, Words, is_name
from meltbook.workbook.boxes import FIRST, Head, Line, PictureBox, RowsBox, Ruled, ScalarCell, SheetLayout
from meltbook.workbook.columns import charts_abreast, settle_columns
from meltbook.workbook.placement import unknown_name
from meltbook.workbook.widths import FILLER, lines_of, pixels

TITLE_ROW, PURPOSE_ROW, STATE_ROW, BODY_ROW = 0, 1, 2, 4
STATE_COL = FIRST
KEY_ROWS = 5
STEP_PIXELS = 11
"""What a row of a step has besides its lines of text."""
CHART_WIDTH, CHART_HEIGHT = 620, 280
CHART_TALL_HEIGHT = 342
CHART_BESIDE_WIDTH, CHART_BESIDE_HEIGHT, CHART_BESIDE_TALL_HEIGHT = 460, 180, 270
ROW_PIXELS = 18


def lay_out_sheet(
    sheet: Sheet, vocabulary: Vocabulary, rows_of: Mapping[str, int], book: Sequence[Sheet]
) -> SheetLayout:
    """Settle the columns of a sheet, then its rows.

    ``rows_of`` says how many rows each table has; ``book`` is all sheets, for the list on the start page.
    """
    layout = settle_columns(sheet, vocabulary, book)
    row = BODY_ROW
    last_picture: int | None = None  # where a chart began that another may stand beside
    for block in sheet.blocks:
        if isinstance(block, Picture):
            beside = block.beside and last_picture is not None and charts_abreast(sheet)
            top = last_picture if beside and last_picture is not None else row
            if not beside:
                layout.starts.append(row)
            row = max(row, _picture(layout, block, top, beside=beside))
            last_picture = None if beside else top
            continue
        last_picture = None
        if isinstance(block, Below):
            layout.below.append(_below(layout, block, vocabulary, rows_of))
            continue
        layout.starts.append(row)
        row = _heading(layout, block, row)
        if isinstance(block, Fields):
            row = _fields(layout, block, row, vocabulary)
        elif isinstance(block, Rows):
            row = _rows(layout, block, row, vocabulary, rows_of)
        elif isinstance(block, Grid):
            row = _grid(layout, block, row)
        elif isinstance(block, Steps):
            row = _steps(layout, block, row)
        elif isinstance(block, Words):
            row = _words(layout, block.lines, row, "body")
        elif isinstance(block, Links):
            row = _links(layout, row, book)
        else:
            layout.keys.append((row, block))
            row += len(block.lines) or KEY_ROWS
        row += 1
    layout.bottom = row - 1
    return layout


# ----------------------------------------------------------------------------------------------------- rows


def _heading(layout: SheetLayout, block: Fields | Rows | Grid | Steps | Words | Links | Key, row: int) -> int:
    if is_name(block.heading):
        layout.scalars.append(ScalarCell(block.heading, row, layout.heading_col, heading=True))
        if layout.sheet.role == "print":
            layout.tall(row, 30)  # it stands as the title there
        row += 1
    elif block.heading:
        layout.lines.append(Line(row, layout.heading_col, block.heading, "heading"))
        row += 1
    if isinstance(block, Fields | Rows | Grid | Steps) and block.intro:
        row = _words(layout, (block.intro,), row, "intro")
    if isinstance(block, Rows) and block.legend:
        row = _words(layout, (block.legend,), row, "intro")
    if isinstance(block, Fields | Rows | Grid | Steps | Words) and block.caution:
        row = _words(layout, (f"Caution: {block.caution}",), row, "caution")
    return row


def _words(layout: SheetLayout, lines: tuple[str, ...], row: int, manner: str) -> int:
    for line in lines:
        if is_name(line):
            layout.scalars.append(ScalarCell(line, row, FIRST, sentence=True))
            row += 1
            continue
        for part in lines_of(line, layout.width_over(FIRST, layout.printed)):
            layout.lines.append(Line(row, FIRST, part, manner))
            row += 1
    return row


def _fields(layout: SheetLayout, block: Fields, row: int, vocabulary: Vocabulary) -> int:
    for name in block.names:
        if name not in vocabulary.scalars:
            raise unknown_name(name, vocabulary.scalars, f"{layout.sheet.name}, {block.heading}")
        item = vocabulary.scalars[name]
        layout.lines.append(Line(row, FIRST, item.label, "question" if layout.stepped else "label"))
        if layout.stepped and (count := len(lines_of(item.label, layout.widths[FIRST]))) > 1:
            layout.heights[row] = 4 + 15 * count
        layout.scalars.append(ScalarCell(name, row, layout.value))
        if item.unit:
            layout.lines.append(Line(row, layout.value + 1, item.unit, "unit"))
        # A text that works itself out may be long and runs on, so its note gives way.
        runs_on = isinstance(item, Figure) and item.shape is Shape.TEXT
        row = _note(layout, "" if runs_on else item.note, row)
        layout.ruled.append(Ruled(row - 1, FIRST, layout.printed))
    return row


def _note(layout: SheetLayout, note: str, row: int) -> int:
    """Write a note beside the row and return the row after it."""
    if layout.note_wraps and layout.sheet.role != "print":
        if note:
            layout.lines.append(Line(row, layout.note, note, "note"))
        count = len(lines_of(note, layout.widths[layout.note]))
        if count > 1:
            layout.heights[row] = 8 + 15 * count
        return row + 1
    if layout.sheet.role == "print":
        return row + 1  # notes are for the owner
    for part in lines_of(note, layout.width_over(layout.note, layout.printed)):
        if part:
            layout.lines.append(Line(row, layout.note, part, "note"))
        row += 1
    return row


def _rows(layout: SheetLayout, block: Rows, row: int, vocabulary: Vocabulary, rows_of: Mapping[str, int]) -> int:
    if block.table not in vocabulary.tables:
        raise unknown_name(block.table, vocabulary.tables, f"{layout.sheet.name}, {block.heading}")
    table = vocabulary.tables[block.table]
    if block.workings:
        if not block.heading:
            row += 1
        layout.lines.append(Line(row - 1, layout.workings, "Workings: nothing to type here", "workings"))
    first = row + 1 + table.seeded
    box = RowsBox(
        block,
        table,
        row,
        first,
        rows_of[table.name],
        tuple((name, col) for col, name in enumerate(block.columns, FIRST)),
        tuple((name, col) for col, name in enumerate(block.workings, layout.workings)),
    )
    layout.tables.append(box)
    return box.last + 1


def _below(layout: SheetLayout, block: Below, vocabulary: Vocabulary, rows_of: Mapping[str, int]) -> RowsBox:
    """Cells that are watched, not drawn: they begin in the row after the table before ends."""
    if not layout.tables:
        raise DeclarationError(f"{layout.sheet.name}: nothing stands above {block.table}")
    if block.table not in vocabulary.tables:
        raise unknown_name(block.table, vocabulary.tables, layout.sheet.name)
    columns = tuple((name, col) for col, name in enumerate(block.columns, FIRST))
    first = layout.tables[-1].last + 1
    table = vocabulary.tables[block.table]
    return RowsBox(Rows("", block.table, block.columns), table, first, first, rows_of[table.name], columns, ())


def _grid(layout: SheetLayout, block: Grid, row: int) -> int:
    ends = layout.value + len(block.columns)
    layout.heads += [Head(row, col, "", manner="head_open") for col in range(FIRST, layout.value)]
    for col, heading in enumerate(block.columns, layout.value):
        layout.heads.append(Head(row, col, heading, align="right"))
    for label, *cells in block.rows:
        row += 1
        layout.lines.append(Line(row, FIRST, label, "label"))
        for col, name in enumerate(cells[: len(block.columns)], layout.value):
            if name:
                layout.scalars.append(ScalarCell(name, row, col))
        sentence = cells[len(block.columns)] if len(cells) > len(block.columns) else ""
        if is_name(sentence):
            layout.scalars.append(ScalarCell(sentence, row, ends, sentence=True))
        elif sentence:
            for part in lines_of(sentence, layout.width_over(ends, layout.printed)):
                layout.lines.append(Line(row, ends, part, "note"))
                row += 1
            row -= 1
        layout.ruled.append(Ruled(row, FIRST, layout.printed))
    return row + 1


def _steps(layout: SheetLayout, block: Steps, row: int) -> int:
    """A row for each step, as high as its question and its hint need."""
    value = layout.value
    for col, text in enumerate(block.heads, FIRST):
        # A heading beside which nothing else is headed runs on.
        manner = "head" if all(block.heads) else "head_open"
        layout.heads.append(Head(row, col, text, "right" if col == value else "left", manner))
    for step in block.rows:
        row += 1
        layout.scalars.append(ScalarCell(step.answer, row, value))
        row = _worked_step(layout, step, row) if step.how else _asked_step(layout, step, row)
        layout.ruled.append(Ruled(row, FIRST, layout.printed))
    return row + 1


def _asked_step(layout: SheetLayout, step: Step, row: int) -> int:
    unit, hint = layout.value + 1, layout.value + 4
    layout.lines.append(Line(row, FIRST, step.label, "question"))
    if step.unit:
        layout.lines.append(Line(row, unit, step.unit, "measure"))
    for col, name in enumerate((step.said, step.ask, step.hint), layout.value + 2):
        if name:
            layout.scalars.append(ScalarCell(name, row, col, wraps=name != step.ask))
    texts = ((step.label, FIRST), (step.unit, unit), (step.hint_text, hint))
    layout.heights[row] = STEP_PIXELS + 15 * max(_lines_in(layout, text, col) for text, col in texts)
    return row


def _worked_step(layout: SheetLayout, step: Step, row: int) -> int:
    """A step that works itself out takes as many rows as its longest text, which runs on to the right."""
    unit, how = layout.value + 1, layout.value + 2
    texts = (
        (FIRST, lines_of(step.label, layout.widths[FIRST] - 1), "label"),
        (unit, lines_of(step.unit, layout.widths[unit] - 1), "unit"),
        (how, lines_of(step.how, layout.width_over(how, layout.printed)), "note"),
    )
    for col, parts, manner in texts:
        layout.lines += [Line(at, col, part, manner) for at, part in enumerate(parts, row) if part]
    return row + max(len(parts) for _, parts, _ in texts) - 1


def _lines_in(layout: SheetLayout, text: str, col: int) -> int:
    """How many lines a text takes that is broken within its own column."""
    return len(lines_of(text, layout.widths[col] - 1))


def _links(layout: SheetLayout, row: int, book: Sequence[Sheet]) -> int:
    for col in range(FIRST, layout.printed + 1):
        text = {FIRST: "Sheet", FIRST + 1: "You", layout.purposes: "What it is for"}.get(col, "")
        layout.heads.append(Head(row, col, text, manner="head_open"))
    for other in book:
        if other.key != layout.sheet.key:
            row += 1
            layout.links.append((row, other))
            count = len(lines_of(other.purpose, layout.widths[layout.purposes]))
            if count > 1:
                layout.heights[row] = 4 + 16 * count
            layout.ruled.append(Ruled(row, FIRST, layout.printed))
    return row + 1


def _picture(layout: SheetLayout, block: Picture, row: int, *, beside: bool) -> int:
    width, height = CHART_WIDTH, CHART_TALL_HEIGHT if block.tall else CHART_HEIGHT
    if charts_abreast(layout.sheet) and not block.alone:
        width, height = CHART_BESIDE_WIDTH, CHART_BESIDE_TALL_HEIGHT if block.tall else CHART_BESIDE_HEIGHT
    col = FIRST
    if beside:
        while sum(pixels(layout.widths.get(c, FILLER)) for c in range(FIRST, col)) < width + 20:
            col += 1
    layout.lines.append(Line(row, col if beside else layout.heading_col, block.heading or block.title, "heading"))
    if is_name(block.sentence):
        layout.scalars.append(ScalarCell(block.sentence, row + 1, col, sentence=True))
    elif block.sentence:
        layout.lines.append(Line(row + 1, col, block.sentence, "body"))
    layout.pictures.append(PictureBox(block, row + 2, col, width, height))
    return row + 2 + height // ROW_PIXELS + 2
