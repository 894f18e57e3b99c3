"""The defined names of a book: one on every figure's cell, one on every column.

A name that collides with a cell address in some program, or that XlsxWriter would only warn of, is an error
here.
"""

from __future__ import annotations

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import NAME
from meltbook.workbook.address import absolute_range
from meltbook.workbook.placement import Placement

LONGEST_NAME = 255


def checked_name(name: str) -> str:
    """The name itself, if every spreadsheet program takes it for a name."""
    if not NAME.match(name):
        raise DeclarationError(f"{name!r} can't be a defined name: small letters with an underscore, no digits")
    if len(name) > LONGEST_NAME:
        raise DeclarationError(f"{name[:40]!r}... can't be a defined name: over {LONGEST_NAME} characters")
    return name


def defined_names(placement: Placement) -> dict[str, str]:
    """Each defined name and what it refers to, without an equals sign, sorted by name.

    A column's name runs from its seed row to its end row, so that a row inserted above the first or below
    the last data row is still inside it.
    """
    names: dict[str, str] = {}
    for name, spot in placement.scalars.items():
        names[checked_name(name)] = absolute_range(spot.sheet, spot.row, spot.row, spot.col)
    for name, column in placement.columns.items():
        if name in names:
            raise DeclarationError(f"{name} names both a cell and a column")
        names[checked_name(name)] = absolute_range(column.sheet, column.top, column.bottom, column.col)
    return dict(sorted(names.items()))
