"""Wrong cached values, so that a value which was not recalculated is seen.

A spreadsheet program may show the value that the file brings along instead of working the formula out. A test
of the formulas is worth something only if each cached value is wrong beforehand and none survives.
"""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

from .values import CellError, Value, Values, sheet_parts

POISON_NUMBER = 987654321
POISON_TEXT = "STALE"

# A cell is `<c r="B2" s="5" t="str"><f>A1&"x"</f><v>3x</v></c>`; `<f/>` and `<v/>` may be empty elements.
_CELL = re.compile(
    rb"<c (?P<attributes>[^>]*?)>\s*(?P<formula><f(?:\s[^>]*)?(?:/>|>.*?</f>))"
    rb"\s*(?:<v\s*/>|<v>.*?</v>)?\s*</c>",
    re.DOTALL,
)
_TYPE = re.compile(rb'\s*\bt="([^"]*)"')


def poison(source: Path, target: Path) -> int:
    """Copy a workbook with a wrong cached value in every formula cell, and tell how many cells that were.

    A cell that holds text gets another text, any other cell gets a number.
    """
    count = 0
    with (
        zipfile.ZipFile(source) as package,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as out,
    ):
        sheets = set(sheet_parts(package).values())
        for item in package.infolist():
            data = package.read(item)
            if item.filename in sheets:
                data, changed = _CELL.subn(_wrong, data)
                count += changed
            out.writestr(item.filename, data)
    return count


def poison_left(values: Values) -> list[tuple[str, str]]:
    """The cells in which a wrong cached value survived, or went into the result of another."""
    return [key for key, value in values.items() if _is_poison(value)]


def _wrong(match: re.Match[bytes]) -> bytes:
    attributes = match["attributes"].rstrip()
    kind = _TYPE.search(attributes)
    plain = _TYPE.sub(b"", attributes)
    if kind is not None and kind[1] == b"str":
        return b'<c %s t="str">%s<v>%s</v></c>' % (plain, match["formula"], POISON_TEXT.encode())
    return b"<c %s>%s<v>%d</v></c>" % (plain, match["formula"], POISON_NUMBER)


def _is_poison(value: Value) -> bool:
    if isinstance(value, str):
        return POISON_TEXT in value
    if value is None or isinstance(value, CellError | bool):
        return False
    return value == POISON_NUMBER
