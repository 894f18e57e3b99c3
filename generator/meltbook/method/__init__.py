"""The reference engine: a studio in, a value for every figure out.

This is the method a second time, in another shape than the workbook's: records are read one after the other,
gathered into stretches, campaigns and baskets, and each is worked out once. It shares nothing with the
workbook's formulas, so where both agree on every cell, both are probably right.

:func:`compute` does all of it. The chapters may be called on their own:

=================  ==============================================================================
``energy``         furnace days, meter readings shared over them, campaigns
``tariff``         what energy costs on which day
``wear``           pots, elements and what else wears out
``melt``           what the glass cost; ``melt_prices``: what it is expected to cost; ``glass``
``equipment``      glory hole, annealer; ``machines``: each in detail; ``bench``: the rates that pieces are costed with
``pieces``         what a piece costs; ``prices``: its tag; ``ranking``: the lists; ``made``: what was made
``letter``         a letter from the utility that is not in force yet; ``late``: the logged rows that it reaches
``tariff_change``  what it does to rates, costs and tags; ``take_over``: acting on it
``decisions``      idle or cold, how long a campaign, when to change the pot; ``looking_back``: two pictures
``hire``           what an open hour costs, and what to let it for; ``courses``: the same of a seat in a class
``bills``          what was billed, and how much of it the owner knows of
``checks``         what needs a look; ``log_words``: what a row of the log says about itself
``start``          what to do next
``side``           all of a furnace's side at once; ``shop_side`` all of the shop's; ``furnaces`` several furnaces
=================  ==============================================================================
"""

from __future__ import annotations

from meltbook.method.checks import SheetFacts
from meltbook.method.furnaces import compute_all
from meltbook.method.results import Results, Value
from meltbook.method.take_over import retagged, taken_over
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

__all__ = ["Results", "SheetFacts", "Value", "compute", "retagged", "taken_over"]


def compute(studio: Studio, capacity: Capacity | None = None, *, facts: SheetFacts | None = None) -> Results:
    """Work out every figure of a studio's book.

    ``capacity`` says how many rows the book prepares; a table with more rows is as long as its rows.
    ``facts`` are faults that only a look at the sheet can find; without them the sheet is taken as sound.
    """
    return compute_all(studio, capacity or Capacity(), facts or SheetFacts())
