"""Plain lists to read and print: tabs of cells with no names and nothing to type, that at most add up.

What is written here comes from a command, not from declarations: a key for the teacher, sheets of data, marks.
A tab is rows of cells under a title; text is always text, whatever it begins with: only what stands in
``Entry.formula`` is a formula, and nothing from outside ever does. ``meltbook.workbook.write`` makes the file
(:func:`meltbook.workbook.write.listing_bytes`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from meltbook.fields.kernel import Shape
from meltbook.workbook.ink import done, write_plain
from meltbook.workbook.layout import PURPOSE_ROW, ROW_PIXELS, TITLE_ROW
from meltbook.workbook.paper import PAPER_CODE, SIDE, TOP, Paper
from meltbook.workbook.style import RULED, Formats
from meltbook.workbook.widths import lines_of

FIRST_ROW = 3
"""Where the rows begin, under the title, the purpose and an empty line."""
_BARRED = "[]:*?/\\'"
_LONGEST_NAME = 31


@dataclass(frozen=True, slots=True)
class Entry:
    """A cell: a value, its shape if it is a number, and one of the manners of ``meltbook.workbook.style``.

    ``wraps`` breaks a text into lines and makes the row as high as it needs, ``turned`` lets it run upwards, and
    ``number`` is a number format in place of the shape's. A ``formula`` is written with ``value`` beside it; a
    ``link`` leads to a cell of the same file, such as ``'Feedback'!A7``.
    """

    value: float | int | str | None = None
    shape: Shape = Shape.TEXT
    manner: str = "plain"
    ruled: bool = True
    wraps: bool = False
    right: bool = False
    turned: bool = False
    number: str = ""
    formula: str = ""
    link: str = ""


Row = tuple[Entry | None, ...]


@dataclass(frozen=True, slots=True)
class Tab:
    """A sheet. ``widths`` are in characters, from column A; ``frozen`` rows and columns stay in view.

    ``one_page`` prints it on a single page; ``repeated`` is the row, counted in ``rows``, that heads each page.
    With a ``scale`` in percent it is printed in that size, with a new page before each row of ``breaks``.
    """

    name: str
    title: str
    purpose: str
    widths: tuple[float, ...]
    rows: Sequence[Row] = field(default_factory=tuple)
    landscape: bool = False
    one_page: bool = False
    frozen: tuple[int, int] = (0, 0)
    repeated: int | None = None
    heights: dict[int, int] = field(default_factory=dict)
    scale: int = 0
    breaks: tuple[int, ...] = ()


def heads(texts: Sequence[str], *, left: Sequence[int] = (0,)) -> Row:
    """A row of headings. Those of numbers stand to the right, as the numbers do; ``left`` are those of texts."""
    return tuple(
        Entry(text, manner="head", ruled=False, wraps=True, right=place not in left) for place, text in enumerate(texts)
    )


def tab_name(text: str, taken: set[str]) -> str:
    """A name for a sheet that no other has, made of any text; it is added to those taken."""
    plain = "".join(" " if letter in _BARRED or not letter.isprintable() else letter for letter in text)
    plain = " ".join(plain.split())[:_LONGEST_NAME].strip() or "Sheet of one"
    name, number = plain, 1
    while name.casefold() in taken or name.casefold() == "history":
        number += 1
        name = f"{plain[: _LONGEST_NAME - len(str(number)) - 1].strip()} {number}"
    taken.add(name.casefold())
    return name


def draw_tab(sheet: Any, tab: Tab, formats: Formats, paper: Paper) -> None:
    """Draw one tab and set it up to be printed one page wide."""
    for col, width in enumerate(tab.widths):
        done(sheet.set_column(col, col, width))
    sheet.hide_gridlines(2)
    sheet.set_default_row(ROW_PIXELS * 0.75)
    done(sheet.set_row_pixels(TITLE_ROW, 30))
    done(sheet.write_string(TITLE_ROW, 0, tab.title, formats.manner("title")))
    done(sheet.write_string(PURPOSE_ROW, 0, tab.purpose, formats.manner("purpose")))
    for number, row in enumerate(tab.rows):
        _row(sheet, tab, number, row, formats)
    sheet.freeze_panes(FIRST_ROW + tab.frozen[0], tab.frozen[1])
    sheet.set_paper(PAPER_CODE[paper])
    if tab.landscape:
        sheet.set_landscape()
    sheet.set_margins(left=SIDE, right=SIDE, top=TOP, bottom=TOP)
    if tab.scale:
        sheet.set_print_scale(tab.scale)
        done(sheet.set_h_pagebreaks([FIRST_ROW + row for row in tab.breaks]))
    else:
        sheet.fit_to_pages(1, int(tab.one_page))
    done(sheet.print_area(0, 0, max(FIRST_ROW, FIRST_ROW + len(tab.rows) - 1), len(tab.widths) - 1))
    if tab.repeated is not None:
        sheet.repeat_rows(FIRST_ROW + tab.repeated)
    done(sheet.set_header("&R&A"))
    done(sheet.set_footer("&CPage &P of &N"))


def row_pixels(row: Row, widths: Sequence[float], least: int = 0) -> int:
    """How high a row has to be for its texts that are broken into lines; 0 if it is as high as any."""
    lines = 1
    for col, entry in enumerate(row):
        if entry is not None and entry.wraps and not entry.turned:
            padding = 2 if entry.manner == "head" else 1
            said = "" if entry.value is None else str(entry.value)
            lines = max(lines, sum(len(lines_of(part, widths[col] - padding)) for part in said.split("\n")))
    return max(least, 4 + 15 * lines if lines > 1 else 0)


def _row(sheet: Any, tab: Tab, number: int, row: Row, formats: Formats) -> None:
    for col, entry in enumerate(row):
        if entry is not None:
            _entry(sheet, FIRST_ROW + number, col, entry, formats)
    height = row_pixels(row, tab.widths, tab.heights.get(number, 0))
    if height:
        done(sheet.set_row_pixels(FIRST_ROW + number, height))


def _entry(sheet: Any, row: int, col: int, entry: Entry, formats: Formats) -> None:
    more: dict[str, Any] = dict(RULED) if entry.ruled and entry.manner != "line" else {}
    if entry.wraps:
        more["text_wrap"] = True
    if entry.right:
        more["align"] = "right"
    if entry.turned:
        more |= {"rotation": 90, "valign": "bottom", "align": "left", "indent": 0}
    if entry.number:
        look = formats.manner(entry.manner, num_format=entry.number, **more)
    else:
        look = formats.cell(entry.shape, entry.manner, **more)
    if entry.formula:
        done(sheet.write_formula(row, col, entry.formula, look, entry.value))
    elif entry.link and isinstance(entry.value, str):
        done(sheet.write_url(row, col, f"internal:{entry.link}", look, entry.value))
    else:
        write_plain(sheet, row, col, entry.value, look)
