"""Cell addresses as spreadsheets write them. Rows and columns are counted from 0 everywhere but in the
text.
"""

from __future__ import annotations

import re
from functools import lru_cache

_PLAIN_SHEET = re.compile(r"^[A-Za-z_]+$")
_LIKE_A_CELL = re.compile(r"^(?:R|C|RC)$", re.IGNORECASE)


@lru_cache(maxsize=2048)
def column_letters(col: int) -> str:
    """The letters of a column: 0 is A, 25 is Z, 26 is AA."""
    letters = ""
    number = col + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def cell_address(row: int, col: int) -> str:
    """An address such as ``C7``."""
    return f"{column_letters(col)}{row + 1}"


@lru_cache(maxsize=256)
def quoted_sheet(name: str) -> str:
    """The name of a sheet as it stands in a reference: in quotes where a program might misread it."""
    if _PLAIN_SHEET.match(name) and not _LIKE_A_CELL.match(name):
        return name
    return "'" + name.replace("'", "''") + "'"


def absolute_range(sheet: str, top: int, bottom: int, col: int) -> str:
    """A reference such as ``Log!$C$7:$C$9``, or ``Log!$C$7`` for a single cell."""
    letters = column_letters(col)
    first = f"{quoted_sheet(sheet)}!${letters}${top + 1}"
    return first if top == bottom else f"{first}:${letters}${bottom + 1}"
