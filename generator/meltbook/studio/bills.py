"""Bills for energy, to be compared with what the book knows of."""

from __future__ import annotations

from datetime import date
from typing import Literal

from meltbook.studio.base import Amount, Part, Text


class BillRow(Part):
    """One bill of the furnace's source, from its first to its last day, in the unit that it bills.

    ``metered`` is what meters of other equipment counted in these days, ``estimated`` what all else is thought to
    have used: hours × kW, loads × use of a load. ``source`` is asked for only where there are two.
    """

    start: date | None = None
    end: date | None = None
    use: Amount | None = None
    metered: Amount | None = None
    estimated: Amount | None = None
    ref: Text | None = None
    source: Literal["First", "Second"] | None = None
