"""How the workbook looks: its colours, its number formats, and the manners in which cells are written.

Colours are Paul Tol's (SRON technical note EPS/TN/09-002), chosen to be told apart by people who see fewer
colours and to keep the contrast that the Web Content Accessibility Guidelines ask for; a test works the
contrast out. Nothing is said by colour alone: what is typed also says "type", what needs attention also
says "LOOK".
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from meltbook.fields.kernel import Shape

INK = "#222222"
GREY = "#555555"
NAVY = "#222255"
BROWN = "#663333"
GREEN = "#225522"
WHITE = "#FFFFFF"
RULE = "#D5D5D5"
GRID = "#E0E0E0"

INPUT_FILL, INPUT_BORDER = "#F7F7DD", "#8C8C5A"
GOOD_FILL, LOOK_FILL, NOTE_FILL = "#CCDDAA", "#FFCCCC", "#BBCCEE"

DATA = ("#332288", "#999933", "#882255", "#CC6677", "#117733", "#6699CC")
"""Chart colours, in the order in which a chart uses them."""

STATES: tuple[tuple[str, str, str], ...] = (
    ("OK", GREEN, GOOD_FILL),
    ("LOOK", BROWN, LOOK_FILL),
    ("NOTE", NAVY, NOTE_FILL),
)
"""The words with which a state begins, and the ink and fill of each. No state begins with two of them."""

SAID: tuple[tuple[str, str, str], ...] = (
    ("Right", GREEN, GOOD_FILL),
    ("Not yet", BROWN, LOOK_FILL),
    ("Thank you", NAVY, NOTE_FILL),
)
"""The same for what a student is told about a step; while nothing is typed, it is not tinted."""

ALL_STATES: tuple[tuple[str, str, str, str], ...] = (
    ("begins with", "All", GREEN, GOOD_FILL),
    ("begins with", "OK", GREEN, GOOD_FILL),
    ("containing", "look", BROWN, LOOK_FILL),
)
"""The same for the one line on all checks, which is a sentence."""

FONT = {"font_name": "Arial", "font_size": 10, "font_color": INK, "valign": "vcenter"}

TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    (INK, WHITE),
    (GREY, WHITE),
    (NAVY, WHITE),
    (BROWN, WHITE),
    (GREEN, WHITE),
    (WHITE, NAVY),
    (WHITE, GREY),
    (INK, INPUT_FILL),
    *((ink, fill) for _, ink, fill in STATES),
)
"""Every ink that is written on every fill."""

_HEAD = {"bold": True, "font_color": WHITE, "text_wrap": True, "left": 1, "left_color": WHITE, "indent": 1}

MANNERS: Mapping[str, Mapping[str, Any]] = {
    "title": {"font_size": 16, "bold": True, "font_color": NAVY},
    "purpose": {"font_color": GREY},
    "back": {"font_color": NAVY, "underline": 1},
    "state": {"bold": True},
    "heading": {"font_size": 12, "bold": True, "font_color": NAVY},
    "workings": {"italic": True, "font_color": GREY},
    "intro": {"font_color": GREY},
    "caution": {"font_color": BROWN, "bold": True},
    "body": {},
    "label": {"indent": 1},
    "unit": {"font_color": GREY, "indent": 1},
    "note": {"font_color": GREY, "indent": 1},
    "question": {"indent": 1, "text_wrap": True},
    "measure": {"font_color": GREY, "indent": 1, "text_wrap": True},
    "margin": {"font_color": GREY},
    "line": {"bottom": 1, "bottom_color": GREY},
    "sentence": {"bold": True, "indent": 0},
    "head": {**_HEAD, "bg_color": NAVY},
    "head_open": {"bold": True, "font_color": WHITE, "bg_color": NAVY, "indent": 1},
    "head_workings": {**_HEAD, "bg_color": GREY},
    "plain": {},
    "working": {"font_color": GREY},
    "value": {"bold": True},
    "input": {"bg_color": INPUT_FILL, "border": 1, "border_color": INPUT_BORDER, "locked": False},
    "edge": {"font_color": GREY, "italic": True},
    "link": {"font_color": NAVY, "underline": 1, "indent": 1},
    "sample_good": {"font_color": GREEN, "bg_color": GOOD_FILL, "bold": True},
    "sample_look": {"font_color": BROWN, "bg_color": LOOK_FILL, "bold": True},
    "sample_note": {"font_color": NAVY, "bg_color": NOTE_FILL, "bold": True},
}
"""What each manner adds to the plain font."""

SHOP: Mapping[str, Any] = {"font_size": 11}
"""What is larger on a sheet that is printed for customers."""
RULED: Mapping[str, Any] = {"bottom": 7, "bottom_color": RULE}
_PLACES = {
    Shape.RATE: "0.0000",
    Shape.WEIGHT: "#,##0.00",
    Shape.ENERGY: "#,##0.0",
    Shape.KILOWATTS: "#,##0.00",
    Shape.DAYS: "#,##0.0",
    Shape.COUNT: "#,##0",
    Shape.READING: "#,##0.0",
    Shape.SHARE: "0.0%",
    Shape.FACTOR: "#,##0.00##",
    Shape.MINUTES: "#,##0.0",
    Shape.HOURS: "#,##0.0",
    Shape.YEARS: "0.0",
}


def number_format(shape: Shape, digits: int = 2, *, dash: bool = False) -> str:
    """The number format of a shape. ``dash`` shows a zero as a dash, for workings that are mostly zero."""
    if shape is Shape.TEXT:
        return "General"
    if shape is Shape.DATE:
        return "yyyy-mm-dd"
    money = "#,##0" + ("." + "0" * digits if digits else "")
    places = money if shape is Shape.MONEY else _PLACES[shape]
    return f"{places}_);-{places}_)" + (';"–"_)' if dash else "")


def contrast(one: str, other: str) -> float:
    """The contrast of two colours as WCAG 2.2 defines it: 1 for equal, 21 for black on white."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@dataclass(slots=True)
class Formats:
    """Makes each cell format once. ``make`` is the workbook's ``add_format``; ``digits`` are the
    currency's.
    """

    make: Callable[[dict[str, Any]], Any]
    digits: int = 2
    _made: dict[tuple[Any, ...], Any] = field(default_factory=dict)

    def manner(self, manner: str, **more: Any) -> Any:
        """A format for text in one of the manners."""
        return self._once({**FONT, **MANNERS[manner], **more})

    def cell(self, shape: Shape, manner: str, *, ruled: bool = False, dash: bool = False, **more: Any) -> Any:
        """A format for a field's cell, by its shape and manner."""
        properties = {**FONT, **MANNERS[manner], **more}
        properties["num_format"] = number_format(shape, self.digits, dash=dash)
        if shape is Shape.TEXT:
            properties["indent"] = properties.get("indent", 1)
            if manner == "input":
                properties["num_format"] = "@"
        elif shape is Shape.DATE:
            properties |= {"align": "right", "indent": 1}
        if ruled and manner != "input":
            properties.update(RULED)
        return self._once(properties)

    def _once(self, properties: dict[str, Any]) -> Any:
        key = tuple(sorted(properties.items()))
        if key not in self._made:
            self._made[key] = self.make(properties)
        return self._made[key]
