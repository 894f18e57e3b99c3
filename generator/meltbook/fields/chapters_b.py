"""The chapters of the shop's side of the book, in the order in which the owner meets them.

What it costs to be open, what a piece costs, what it is sold for, and what the book checks about itself.
"""

from __future__ import annotations

from types import ModuleType

from meltbook.fields import (
    check_counts,
    check_pairs,
    check_twins,
    checks,
    equipment,
    hire,
    machines,
    machines_again,
    made,
    picture,
    piece_costs,
    piece_low,
    pieces,
    prices,
    ranking,
    shop,
    start,
    tags,
)

CHAPTERS: tuple[ModuleType, ...] = (
    shop,
    machines,
    equipment,
    pieces,
    piece_costs,
    piece_low,
    prices,
    tags,
    ranking,
    made,
    hire,
    picture,
    check_counts,
    check_twins,
    machines_again,
    check_pairs,
    checks,
    start,
)
