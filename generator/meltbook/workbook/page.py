"""How a sheet is seen and printed: what stays in view, what is on paper, and the state of checks tinted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, get_args

from meltbook.errors import UsageError
from meltbook.workbook.address import column_letters
from meltbook.workbook.boxes import FIRST, Cells, SheetLayout, State
from meltbook.workbook.ink import done
from meltbook.workbook.layout import BODY_ROW, ROW_PIXELS, STATE_ROW, TITLE_ROW
from meltbook.workbook.paper import (
    BODY_POINTS,
    LEAST_SCALE,
    PAPER_CODE,
    SIDE,
    TOP,
    Paper,
    across,
    down,
)
from meltbook.workbook.style import ALL_STATES, RULE, SAID, STATES
from meltbook.workbook.widths import pixels

_TAB = {"type": "#8C8C5A", "read": "#222255", "print": "#117733", "check": "#663333"}
_ROOM = tuple(per_cent / 100 for per_cent in range(91, 104))
"""Programs differ in how much they get on a page: such shares of what is worked out here. A block begins a new page if
it is better there with any of them, or else a heading could stand at the foot of a page, its table on the next."""
_HEADS = 2
"""Rows of a block that only heads the next one, the empty row after it counted."""
_HEADER_SEEN = 14
"""Headings lower down than this would leave no room below them if they stayed in view."""


def set_up_page(sheet: Any, layout: SheetLayout, paper: Paper) -> None:
    """Freeze headings, and print one page wide with the sheet's name and page numbers."""
    if paper not in get_args(Paper):
        raise UsageError(f"{paper!r} is not a paper that the workbook can be made for: Letter or A4")
    role = layout.sheet.role
    sheet.hide_gridlines(2)
    sheet.set_default_row(ROW_PIXELS * 0.75)
    sheet.set_tab_color(_TAB[role])
    sheet.freeze_panes(*_frozen(layout))
    sheet.set_paper(PAPER_CODE[paper])
    if layout.sheet.landscape:
        sheet.set_landscape()
    if role == "print":
        sheet.center_horizontally()
    sheet.set_margins(left=SIDE, right=SIDE, top=TOP, bottom=TOP)
    # One page only as long as it can be read: a long price list takes the pages that it needs.
    sheet.fit_to_pages(1, int(fits_one_page(layout, paper)))
    done(sheet.print_area(*printed_area(layout)))
    repeated = _repeated(layout)
    if repeated is not None:
        sheet.repeat_rows(repeated)
    breaks = page_breaks(layout, paper)
    if breaks:
        sheet.set_h_pagebreaks(breaks)
    done(sheet.set_header("&R&A"))
    done(sheet.set_footer("&CPage &P of &N"))


def printed_area(layout: SheetLayout) -> Cells:
    """First row, first column, last row, last column of what is printed.

    A sheet for customers is printed without what speaks to the owner: no title rows, no margin, and nothing
    below its last table.
    """
    if layout.sheet.role == "print":
        last = max((box.last - box.table.grows for box in layout.tables), default=layout.bottom)
        return BODY_ROW, FIRST, last, layout.printed
    return 0, 0, layout.bottom, layout.printed


def smallest_print(layout: SheetLayout, paper: Paper) -> float:
    """The size, in points, that the 10 point font has when the sheet is printed one page wide."""
    _, first, _, last = printed_area(layout)
    wide = sum(pixels(layout.widths[col]) for col in range(first, last + 1))
    return BODY_POINTS * min(1.0, across(paper, landscape=layout.sheet.landscape) / wide)


def fits_one_page(layout: SheetLayout, paper: Paper) -> bool:
    """Whether a sheet that wants a single page can be read on one."""
    if not layout.sheet.one_page:
        return False
    first, _, last, _ = printed_area(layout)
    high = sum(layout.heights.get(row, ROW_PIXELS) for row in range(first, last + 1))
    return high * LEAST_SCALE <= down(paper, landscape=layout.sheet.landscape)


def page_breaks(layout: SheetLayout, paper: Paper) -> list[int]:
    """The rows that begin a new page, so that a block is not cut where it would fit on a page of its own.

    Programs that fit a sheet to one page's width may break pages by themselves instead; nothing is lost then.
    """
    if fits_one_page(layout, paper):
        return []
    paper_room = down(paper, landscape=layout.sheet.landscape) / (smallest_print(layout, paper) / BODY_POINTS)
    rooms = tuple(paper_room * share for share in _ROOM)
    repeated = _repeated(layout)
    breaks: list[int] = []
    above = float(sum(layout.heights.get(row, ROW_PIXELS) for row in range(layout.starts[0])))
    used = [above for _ in rooms]
    starts = _with_what_they_head(layout)
    for start, end in zip(starts, [*starts[1:], layout.bottom + 1], strict=True):
        height = sum(layout.heights.get(row, ROW_PIXELS) for row in range(start, end))
        # Rows are repeated on the pages after the one that they stand on.
        heading = layout.heights.get(repeated, ROW_PIXELS) if repeated is not None and repeated < start else 0.0
        fits_alone = height <= max(rooms) - heading
        torn = any(
            down + height > room and (fits_alone or down > room / 2) for down, room in zip(used, rooms, strict=True)
        )
        if torn and start > starts[0]:
            breaks.append(start)
            used = [heading for _ in rooms]
        used = [_after(height, down, room, heading) for down, room in zip(used, rooms, strict=True)]
    return breaks


def _with_what_they_head(layout: SheetLayout) -> list[int]:
    """Where blocks start, those of a line or two taken together with the one that they stand above."""
    starts: list[int] = []
    for start in layout.starts:
        if not starts or start - starts[-1] > _HEADS:
            starts.append(start)
    return starts


def _after(height: float, used: float, room: float, heading: float) -> float:
    """How far down the last page is written on once the block stands there too."""
    used += height
    while used > room:
        used -= room - heading
    return used


def _frozen(layout: SheetLayout) -> tuple[int, int]:
    if len(layout.tables) != 1:
        return STATE_ROW + 1, 0
    box = layout.tables[0]
    wide = len(box.columns) > 8 or bool(box.workings)
    rows = box.header + 1 if box.header < _HEADER_SEEN and box.rows > 12 else STATE_ROW + 1
    return rows, FIRST + 1 if wide else 0


def _repeated(layout: SheetLayout) -> int | None:
    """The row to repeat on each printed page: a long table's headings, if all that follows is that table."""
    long = [box for box in layout.tables if box.rows > 25]
    if long and long[-1].header >= layout.starts[-1]:
        return long[-1].header
    return None if layout.sheet.role == "print" else TITLE_ROW


def tint_states(book: Any, sheet: Any, states: Sequence[State]) -> None:
    """Tint cells by the words of their state. No two of the words can hold at once."""
    for state in states:
        words = SAID if state.of_step else STATES
        each = tuple(("begins with", word, ink, fill) for word, ink, fill in words)
        for criteria, word, ink, fill in ALL_STATES if state.of_all else each:
            look = {"font_color": ink, "bold": True} | ({} if state.of_sheet else {"bg_color": fill})
            rule = {"type": "text", "criteria": criteria, "value": word, "format": book.add_format(look)}
            done(sheet.conditional_format(*state.cells, rule))


def rule_filled_rows(book: Any, sheet: Any, layout: SheetLayout) -> None:
    """On a sheet for customers, draw the line below a row only where the row shows something."""
    if layout.sheet.role != "print":
        return
    look = book.add_format({"bottom": 1, "bottom_color": RULE})
    for box in layout.tables:
        filled = f'=${column_letters(FIRST)}{box.first + 1}<>""'
        last = FIRST + len(box.columns) - 1
        rule = {"type": "formula", "criteria": filled, "format": look}
        done(sheet.conditional_format(box.first, FIRST, box.first + box.rows - 1, last, rule))


def first_typed(layout: SheetLayout, names: set[str]) -> tuple[int, int] | None:
    """The first cell to type into, which is chosen when the sheet is opened."""
    cells = [(cell.row, cell.col) for cell in layout.scalars if cell.name in names]
    cells += [(box.first, col) for box in layout.tables for name, col in box.columns if name in names]
    return min(cells, default=None)
