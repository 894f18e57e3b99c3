"""How wide things are: columns by what stands in them, and texts broken into lines that fit.

A width is in characters of Arial 10, as a spreadsheet counts column widths: one is 7 pixels, and a column
has 5 pixels of padding. Running text is narrower than digits, so a line of text may hold a few more
characters.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable

from meltbook.fields.kernel import Fixed, Input, Item, Shape

MARGIN = 4.2
"""Column A: it holds the word "type", line numbers and the words beside seed and end rows."""
GAP = 3.0
"""The empty column between what is read and the workings."""
FILLER = 13.0
"""A column in which nothing of its own stands."""
NOTE, NOTE_LEAST = 56.0, 36.0
PRINTED, CHARTS_BESIDE = 92.0, 152.0
"""The least width of what is printed, so that running text and charts have room; and two charts abreast."""

_TEXT = 22.0
_BY_SHAPE = {
    Shape.MONEY: 12.5,
    Shape.RATE: 12.5,
    Shape.WEIGHT: 12.0,
    Shape.ENERGY: 12.5,
    Shape.KILOWATTS: 11.0,
    Shape.DAYS: 10.5,
    Shape.DATE: 13.0,
    Shape.COUNT: 10.5,
    Shape.READING: 13.0,
    Shape.SHARE: 10.5,
    Shape.FACTOR: 11.5,
    Shape.MINUTES: 10.5,
    Shape.HOURS: 11.0,
    Shape.YEARS: 10.5,
    Shape.TEXT: _TEXT,
}
_LEAST_BY_SHAPE = {
    Shape.MONEY: 9.5,
    Shape.RATE: 9.0,
    Shape.WEIGHT: 9.5,
    Shape.ENERGY: 9.5,
    Shape.KILOWATTS: 8.0,
    Shape.DAYS: 7.0,
    Shape.DATE: 10.8,
    Shape.COUNT: 7.0,
    Shape.READING: 10.0,
    Shape.SHARE: 8.0,
    Shape.FACTOR: 9.0,
    Shape.MINUTES: 8.0,
    Shape.HOURS: 8.0,
    Shape.YEARS: 7.0,
    Shape.TEXT: 12.0,
}
"""What values of usual size need, for a table that is wide as it is."""

_TYPICAL = {"{weight}": "lb", "{currency}": "USD", "{energy}": "kWh"}


def pixels(width: float) -> int:
    """A column width in pixels."""
    return int(width * 7 + 0.5) + 5


def typical(text: str) -> str:
    """A text with units of the usual length in place of their names in braces."""
    return worded(text, _TYPICAL)


def worded(text: str, words: dict[str, str]) -> str:
    """A text with units in place of their names in braces. Other braces stay as they are."""
    for name, word in words.items():
        text = text.replace(name, word)
    return text


def text_width(text: str) -> float:
    """The width that one line of text takes, with a little air."""
    return len(typical(text)) * 0.92 + 2


def lines_of(text: str, width: float, *, hyphens: bool = False) -> list[str]:
    """A text broken into lines for a width, after ``hyphens`` too if a program does so. No text is one empty line."""
    characters = max(6, int(width * 1.08))
    return textwrap.wrap(text, characters, break_long_words=False, break_on_hyphens=hyphens) or [""]


def value_width(item: Item) -> float:
    """The width that a field's values want."""
    if item.shape is not Shape.TEXT:
        return _BY_SHAPE[item.shape]
    if isinstance(item, Fixed):
        return min(40.0, max([10.0, *(text_width(str(value)) for value in item.values)]))
    if isinstance(item, Input) and item.typed.choices:
        return max(10.5, *(text_width(word) + 1 for word in item.typed.choices))
    if item.name.endswith("_note"):
        return 34.0
    if item.name.endswith("_state"):
        return 18.0
    return _TEXT


def header_text(item: Item) -> str:
    """A column's heading: its label, then a line that says if it is typed and in what unit, if the label doesn't."""
    said = re.findall(r"\w+", item.label.casefold())
    unit = "" if item.unit.casefold() in said else item.unit
    below = ", ".join(part for part in ("type here" if isinstance(item, Input) else "", unit) if part)
    return f"{item.label}\n{below}" if below else item.label


def column_width(item: Item) -> float:
    """The width of a field's column: its values, or the longest word of its heading."""
    words: Iterable[str] = typical(header_text(item)).split()
    return max(value_width(item), *(len(word) + 2.0 for word in words))


def least_width(item: Item) -> float:
    """The width below which a field's column can't be read any more."""
    longest = max(len(word) for word in typical(header_text(item)).split())
    need = _LEAST_BY_SHAPE[item.shape]
    if isinstance(item, Input) and item.typed.choices:
        need = max(text_width(word) for word in item.typed.choices)
    elif isinstance(item, Fixed) and item.shape is Shape.TEXT:
        need = min(24.0, value_width(item))
    return min(column_width(item), max(need, longest + 1.9))


def header_lines(text: str, width: float) -> int:
    """How many lines a heading takes at a width. Headings are bold, so a line holds a little less."""
    return sum(len(lines_of(part, (width - 1) * 0.88, hyphens=True)) for part in typical(text).split("\n"))
