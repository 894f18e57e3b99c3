"""Rules that every sheet keeps: its top lines, how it prints, what stands where, and how it can be read."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from typing import Any

from openpyxl.utils import range_boundaries

from meltbook.fields.kernel import Shape
from meltbook.workbook.style import contrast
from tests.craft.opened import Opened, address, pixels

INCHES = {"Letter": (8.5, 11.0), "A4": (8.27, 11.69)}
LEAST_POINTS = 8.0
READ_POINTS = 10.0
"""The size of all running text."""
WIDER = 1.06
"""LibreOffice makes a digit of 10 point Arial 7.41 pixels wide (measured), Excel 7, and with it every column."""
WHITE = "#FFFFFF"


def inputs_stand_on_sheets_to_type_on(opened: Opened) -> Iterator[str]:
    """No cell is open to typing elsewhere, the sample in the legend apart, which holds the word itself."""
    roles = opened.roles()
    for item, tab, cell, _ in opened.inputs():
        if roles[tab.title] != "type":
            yield f"{item.name} is typed on {tab.title} ({cell}), a sheet to {roles[tab.title]}"
    for sheet, tab in opened.tabs():
        if sheet.role != "type":
            unlocked = [one for row in tab.iter_rows() for one in row if not one.protection.locked]
            yield from (f"{sheet.name}!{one.coordinate} is unlocked" for one in unlocked if one.value != "type")


def the_order_is_type_read_print_check(opened: Opened) -> Iterator[str]:
    """Where a check points is behind all that it checks; the price list is behind all that it prints."""
    order = [sheet.role for sheet in opened.sheets]
    typed = [number for number, role in enumerate(order) if role == "type"]
    for number, role in enumerate(order):
        if role in ("print", "check") and number < typed[-1]:
            yield f"{opened.sheets[number].name} ({role}) comes before {opened.sheets[typed[-1]].name}"
    if opened.file.sheetnames != [sheet.name for sheet in opened.sheets]:
        yield f"the tabs are in another order: {opened.file.sheetnames}"


def every_sheet_has_its_top_lines(opened: Opened) -> Iterator[str]:
    first = opened.sheets[0].name
    for sheet, tab in opened.tabs():
        texts = [[cell.value for cell in row if cell.value is not None] for row in tab["A1:C3"]]
        if texts[0] != [sheet.title]:
            yield f"{sheet.name} has no title: {texts[0]}"
        if len(texts[1]) != 1 or "\n" in str(texts[1][0]):
            yield f"{sheet.name} has no purpose of one line: {texts[1]}"
        if "=checks_state" not in texts[2]:
            yield f"{sheet.name} does not say how all checks stand: {texts[2]}"
        link = tab["A3"].hyperlink
        if sheet.name != first and (link is None or link.location != f"'{first}'!A1"):
            yield f"{sheet.name} has no way back to {first}"


def headings_stay_in_view(opened: Opened) -> Iterator[str]:
    """The top three lines at least; in a sheet with one long table its headings too."""
    for sheet, tab in opened.tabs():
        column, row, _, _ = range_boundaries(tab.freeze_panes or "A1")
        if row is None or row < 4:
            yield f"{sheet.name} keeps {row - 1 if row else 0} rows in view"
        if column is not None and column > 3:
            yield f"{sheet.name} keeps {column - 1} columns in view, which is most of a small screen"


def print_is_one_page_wide_and_legible(opened: Opened) -> Iterator[str]:
    for sheet, tab in opened.tabs():
        setup = tab.page_setup
        if not tab.sheet_properties.pageSetUpPr.fitToPage or (setup.fitToWidth or 1) != 1:
            yield f"{sheet.name} is not one page wide"
        if int(setup.paperSize or 0) != {"Letter": 1, "A4": 9}[opened.paper]:
            yield f"{sheet.name} is set for another paper than {opened.paper}"
        area = tab.print_area
        if not area:
            yield f"{sheet.name} does not say what is printed"
            continue
        for paper in INCHES:
            points = READ_POINTS * scale(tab, area, paper)
            if points < LEAST_POINTS:
                yield f"{sheet.name} prints at {points:.1f} points on {paper}"
        if not (tab.oddHeader.right.text and tab.oddFooter.center.text):
            yield f"{sheet.name} prints without its name or the number of the page"


def scale(tab: Any, area: str, paper: str) -> float:
    """By how much a sheet shrinks to be one page wide, from the widths in the file."""
    left, _, right, _ = range_boundaries(area.rpartition("!")[2])
    assert left is not None and right is not None
    short, long = INCHES[paper]
    room = (
        (long if tab.page_setup.orientation == "landscape" else short) - tab.page_margins.left - tab.page_margins.right
    )
    wide = WIDER * sum(pixels(width_of(tab, col)) for col in range(left, right + 1)) / 96
    return min(1.0, room / wide)


def width_of(tab: Any, col: int) -> float:
    """A column's width; openpyxl keeps only the first of columns that share one."""
    for one in tab.column_dimensions.values():
        if one.min is not None and one.min <= col <= one.max:
            return float(one.width)
    return 9.14


def workings_are_not_printed(opened: Opened) -> Iterator[str]:
    for sheet, tab in opened.tabs():
        _, _, right, _ = range_boundaries(tab.print_area.rpartition("!")[2])
        assert right is not None
        for block in sheet.blocks:
            for name in getattr(block, "workings", ()):
                if opened.placement.columns[name].col + 1 <= right + 1:
                    yield f"{name}, a working, stands among what is printed on {sheet.name}"


def text_can_be_read_on_its_fill(opened: Opened) -> Iterator[str]:
    """The contrast of each ink on each fill that any cell has, worked out."""
    seen: dict[tuple[str, str], str] = {}
    for _, tab in opened.tabs():
        for row in tab.iter_rows():
            for cell in row:
                seen.setdefault((colour(cell.font.color, "#000000"), fill(cell)), f"{tab.title}!{cell.coordinate}")
    for (ink, paper), where in seen.items():
        if contrast(ink, paper) < 4.5:
            yield f"{ink} on {paper} has a contrast of {contrast(ink, paper):.1f} ({where})"


def fill(cell: Any) -> str:
    return colour(cell.fill.fgColor, WHITE) if cell.fill.fill_type == "solid" else WHITE


def colour(of: Any, default: str) -> str:
    return f"#{of.rgb[-6:]}" if of is not None and isinstance(of.rgb, str) else default


def bars_stand_out(opened: Opened) -> Iterator[str]:
    """A chart's fills against paper at 3 to 1, or an outline that does."""
    with zipfile.ZipFile(opened.path) as package:
        charts = [name for name in package.namelist() if re.fullmatch(r"xl/charts/chart[0-9]+\.xml", name)]
        for name in charts:
            text = package.read(name).decode()
            for series in re.findall(r"<c:ser>.*?</c:ser>", text):
                look = re.search(r"<c:spPr>.*?</c:spPr>", series)
                colours = re.findall(r'srgbClr val="([0-9A-F]{6})"', look[0] if look else "")
                if "noFill" in (look[0] if look else "") and not colours:
                    continue  # it only carries the bar that stands on it
                if not colours or max(contrast(f"#{one}", WHITE) for one in colours) < 3:
                    yield f"{name}: a series in {colours} is hard to see on paper"


def dates_and_money(opened: Opened) -> Iterator[str]:
    """Dates show as yyyy-mm-dd; money's heading or unit names the currency, once."""
    for _, tab in opened.tabs():
        for row in tab.iter_rows():
            for cell in row:
                if cell.is_date and cell.number_format != "yyyy-mm-dd":
                    yield f"{tab.title}!{cell.coordinate} shows a date as {cell.number_format}"
    for item, tab, cell, is_column in (*opened.inputs(), *opened.shown_figures()):
        if item.shape in (Shape.MONEY, Shape.RATE):
            said = heading_of(tab, cell) if is_column else unit_of(tab, cell)
            if said.count(opened.currency) != 1:
                yield f"{item.name} ({tab.title}!{cell}): {said!r} does not name {opened.currency} once"


def heading_of(tab: Any, cell: str) -> str:
    """The heading above the first cell of a column: the nearest dark cell above it."""
    one = tab[cell]
    for row in range(one.row - 1, 0, -1):
        above = tab.cell(row, one.column)
        if isinstance(above.value, str) and fill(above) != WHITE:
            return str(above.value)
    return ""


def unit_of(tab: Any, cell: str) -> str:
    """The text beside a figure; in a grid, where another figure stands there, the label on its left."""
    one = tab[cell]
    beside = str(tab.cell(one.row, one.column + 1).value or "")
    if beside and not beside.startswith("="):
        return beside
    return " ".join(str(of.value or "") for of in tab[one.row][: one.column - 1])


def a_last_line_lies_in_every_range(opened: Opened) -> Iterator[str]:
    """The line that says where to add rows is inside each name, so that rows above it are too."""
    for table in opened.vocabulary.tables.values():
        for item in table.columns if table.grows else ():
            spot = opened.placement.columns[item.name]
            tab = opened.file[spot.sheet]
            reach = opened.file.defined_names[item.name].attr_text
            if tab.cell(spot.bottom + 1, 1).value != "Add rows above this line":
                yield f"{spot.sheet}!{address(spot.bottom, 0)} does not say where to add rows"
            if not reach.endswith(f"${spot.bottom + 1}"):
                yield f"{item.name} stands for {reach}, which leaves out the last line"
