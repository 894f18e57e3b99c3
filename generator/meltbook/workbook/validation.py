"""What a cell accepts, and what it says when it is chosen: an input's declaration as a data validation."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from meltbook.fields.kernel import Input, Shape
from meltbook.workbook.address import absolute_range
from meltbook.workbook.placement import Placement

LONGEST_TITLE, LONGEST_MESSAGE, LONGEST_LIST = 32, 255, 255
_MOST = 1e12
_FIRST_DAY, _LAST_DAY = 32874, 73415  # 1990-01-01 to 2100-12-31


def validation(item: Input, placement: Placement, worded: Callable[[str], str]) -> dict[str, Any]:
    """The options of a data validation for an input cell."""
    rule, expected = _rule(item, placement)
    expected = item.typed.asks or expected
    if item.typed.warns:
        rule["error_type"] = "warning"
    unit = worded(item.unit)
    prompt = ". ".join(
        part.rstrip(".") for part in (worded(item.note), f"Type {expected}{', ' + unit if unit else ''}") if part
    )
    return rule | {
        "ignore_blank": True,
        "input_title": shortened(worded(item.label), LONGEST_TITLE),
        "input_message": shortened(prompt + ".", LONGEST_MESSAGE),
        "error_title": shortened(worded(item.label), LONGEST_TITLE),
        "error_message": shortened(f"Type {expected}, or leave the cell empty.", LONGEST_MESSAGE),
    }


def _rule(item: Input, placement: Placement) -> tuple[dict[str, Any], str]:
    """The rule, and in words what it asks for."""
    typed = item.typed
    if typed.choices:
        joined = ", ".join(typed.choices)
        return {"validate": "list", "source": list(typed.choices)}, f"one of: {joined}"
    if typed.choices_from:
        spot = placement.columns[typed.choices_from]
        # Not the defined name: where a named list holds a blank, some programs then accept anything.
        cells = absolute_range(spot.sheet, spot.first, spot.first + spot.rows - 1, spot.col)
        return {"validate": "list", "source": f"={cells}"}, "a name from the list"
    if item.shape is Shape.TEXT:
        return {"validate": "any"}, "a text"
    if item.shape is Shape.DATE:
        low, high = _bounds(item, _FIRST_DAY, _LAST_DAY)
        return _between("date", low, high), "a date such as 2026-03-31"
    low, high = _bounds(item, -_MOST, _MOST)
    kind, noun = ("integer", "a whole number") if typed.whole else ("decimal", "a number")
    return _between(kind, low, high), noun + _range_in_words(item)


def _bounds(item: Input, low: float, high: float) -> tuple[float, float]:
    typed = item.typed
    return (low if typed.minimum is None else typed.minimum), (high if typed.maximum is None else typed.maximum)


def _between(kind: str, low: float, high: float) -> dict[str, Any]:
    if kind != "decimal":
        low, high = int(low), int(high)
    return {"validate": kind, "criteria": "between", "minimum": low, "maximum": high}


def _range_in_words(item: Input) -> str:
    low, high = item.typed.minimum, item.typed.maximum
    if item.shape is Shape.SHARE:
        percent = (f"{bound * 100:g} %" for bound in (low, high) if bound is not None)
        words = " to ".join(percent)
        return (
            f" from {words}"
            if low is not None and high is not None
            else (f" in percent, bound {words}" if words else "")
        )
    if low is not None and high is not None:
        return f" from {low:g} to {high:g}"
    if low is not None:
        return f", {low:g} or more"
    return f", {high:g} or less" if high is not None else ""


def shortened(text: str, longest: int) -> str:
    """A text cut at a word, as long as a spreadsheet takes it there (it counts as UTF-16 does)."""
    if _length(text) <= longest:
        return text
    while text and _length(text) > longest - 3:
        text = text.rpartition(" ")[0] or text[:-1]
    return text.rstrip(" .,;:") + "..."


def _length(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2
