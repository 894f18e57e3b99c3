"""Looks over how numbers are shown, and what a protected sheet still lets its owner do."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
DATE_FORMAT = "yyyy-mm-dd"
_BUILT_IN_DATES = frozenset([*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)])
"""Numbers of formats that every program has, and shows in its own country's way."""
_BUILT_IN_MONEY = frozenset([*range(5, 9), *range(41, 45)])
_BUILT_IN_RED = frozenset([6, 8, 38, 40])
_LITERAL = re.compile(r'"[^"]*"|\\.|_.')
_COLOUR = re.compile(r"\[(?:Black|Blue|Cyan|Green|Magenta|Red|White|Yellow|Color ?[0-9]+)\]", re.IGNORECASE)
_MONEY_SIGN = re.compile(r"[$€£¥¤]|\[\$")
STILL_ALLOWED = ("sort", "autoFilter", "insertRows", "formatCells")
"""What a protected sheet has to leave to its owner, by the names of the file format."""


def number_format_faults(styles: Element) -> Iterator[str]:
    """Dates that are not year-month-day, colours as the only sign of something, and money signs in cells."""
    codes = {int(one.get("numFmtId", "0")): one.get("formatCode", "") for one in styles.iter(f"{_MAIN}numFmt")}
    used = {int(xf.get("numFmtId", "0")) for xf in styles.iterfind(f"{_MAIN}cellXfs/{_MAIN}xf")}
    for number in sorted(used):
        code = codes.get(number, "")
        if number in _BUILT_IN_DATES or (_is_date(code) and code != DATE_FORMAT):
            yield f"dates are shown as {code or f'the format number {number}'}, not as {DATE_FORMAT}"
        if _COLOUR.search(code) or number in _BUILT_IN_RED:
            yield f"the number format {code or number} says something by colour alone"
        if _MONEY_SIGN.search(_LITERAL.sub("", code)) or number in _BUILT_IN_MONEY:
            yield f"the number format {code or number} repeats the currency in every cell"


def _is_date(code: str) -> bool:
    bare = _COLOUR.sub("", _LITERAL.sub("", code)).lower()
    return bare not in ("general", "@", "") and any(letter in bare for letter in "ymdhs")


def protection_faults(sheet: Element) -> Iterator[str]:
    """What the owner can't undo or do on a protected sheet. One that is not protected has none."""
    protection = sheet.find(f"{_MAIN}sheetProtection")
    if protection is None or protection.get("sheet") not in ("1", "true"):
        return
    if any(protection.get(key) for key in ("password", "hashValue")):
        yield "is protected with a password"
    for what in STILL_ALLOWED:
        # The attribute says what is locked; left out, it is.
        if protection.get(what, "1") in ("1", "true"):
            yield f"is protected against {what}"
