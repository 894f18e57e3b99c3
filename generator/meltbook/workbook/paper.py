"""Paper: its sizes and margins, and how much of a sheet it holds at a size that can be read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Paper = Literal["Letter", "A4"]
PAPER_CODE: Mapping[Paper, int] = {"Letter": 1, "A4": 9}
INCHES: Mapping[Paper, tuple[float, float]] = {"Letter": (8.5, 11.0), "A4": (8.27, 11.69)}
"""The short side and the long one."""
SIDE, TOP = 0.25, 0.5
"""Margins in inches."""

BODY_POINTS, LEAST_POINTS = 10.0, 8.0
"""The size of all running text, and the least that it may be printed at."""
LEAST_SCALE = LEAST_POINTS / BODY_POINTS
WIDER = 1.09
"""A column is as many digits wide as the file says. Excel makes a digit of 10 point Arial 7 pixels wide; LibreOffice
takes 7.41 and then shrinks a sheet by whole per cents, often one more than it need."""
PIXELS_PER_INCH = 96


def across(paper: Paper, *, landscape: bool) -> float:
    """How many pixels wide a page is between its margins, in the program that needs most of them."""
    return (INCHES[paper][landscape] - 2 * SIDE) * PIXELS_PER_INCH / WIDER


def down(paper: Paper, *, landscape: bool) -> float:
    """How many pixels high a page is between its margins."""
    return (INCHES[paper][not landscape] - 2 * TOP) * PIXELS_PER_INCH


LEGIBLE_PIXELS = {
    landscape: int(min(across(paper, landscape=landscape) for paper in INCHES) / LEAST_SCALE)
    for landscape in (False, True)
}
"""How wide a sheet may be, upright and lying, to print at 8 points or more on both Letter and A4."""
