"""Which figures are a furnace's own, which a source's, and which the shop's.

Nothing is listed here that follows from the formulas: a figure is a furnace's own if it reads, however far back,
what is typed about the furnace or into its log. A few names mark where that ends, since what a piece costs follows
from the log as well, and yet belongs to the shop.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from meltbook.fields.kernel import Figure, Fixed, Input, Item, Table

_QUOTED = re.compile(r'"[^"]*"')
_NAME = re.compile(r"[a-z]+(?:_[a-z]+)+")

FURNACE_CHAPTERS = frozenset(
    [
        "meter",
        "energy",
        "log",
        "wear",
        "melt",
        "tariff_change",
        "decisions",
        "looking_back",
        "check_counts",
        "check_twins",
    ]
)
FURNACE_FIGURES = frozenset(
    [
        "gather_weight_used",
        "furnace_pool",
        "window_minutes",
        "rate_weight",
        "rate_gather",
        "rate_minute",
        "furnace_rate",
        "low_energy",
        "low_energy_note",
        "low_rate",
        "made_weight",
        "made_charges",
        "made_melt_days",
        "made_hot_days",
        "made_log_gathers",
        "made_pool",
        "bill_before_rows",
        "bill_before_days",
        "bill_until_rows",
        "bill_until_days",
        "bill_waiting",
        "bill_unlogged",
        "bill_furnace",
        "effect_standing",
        "effect_standing_month",
    ]
)
"""Figures of a furnace that the shop's chapters declare."""
SOURCE_FIGURES = frozenset(["price_lacks_day"])
"""A figure of a source that reads only what all share, and names the source's own sheet."""
SOURCE_CHAPTERS = frozenset(["tariff", "log", "letter", "tariff_change", "labels"])
SHOPS = frozenset(
    [
        *("pricing_date", "pricing_date_used", "retag_tolerance", "retag_tolerance_used"),
        *("retag_heading", "retag_empty", "retag_none"),
    ]
)
"""What all furnaces and sources share though its chapter is theirs."""
BY_ROW = frozenset(["number_watch", "need_list", "sum_pairs", "checks"])
"""Tables of unlike rows: some of their rows belong to a furnace, some to a source, most to the shop."""


@dataclass(frozen=True, slots=True)
class Parts:
    """All declarations of a book, before they are made a vocabulary: each with the chapter that it is of."""

    scalars: Mapping[str, tuple[str, Item]]
    tables: Mapping[str, tuple[str, Table]]

    def items(self) -> dict[str, Item]:
        """Every field by its name."""
        found = {name: item for name, (_, item) in self.scalars.items()}
        for _, table in self.tables.values():
            found |= {item.name: item for item in table.columns}
        return found

    def chapters(self) -> dict[str, str]:
        """The chapter of every field."""
        found = {name: chapter for name, (chapter, _) in self.scalars.items()}
        for chapter, table in self.tables.values():
            found |= {item.name: chapter for item in table.columns}
        return found


@dataclass(frozen=True, slots=True)
class Owned:
    """The names of fields that are a furnace's own, and of those that are a source's own."""

    furnace: frozenset[str]
    source: frozenset[str]


def names_in(text: str) -> set[str]:
    """The names of fields in a formula, outside of the texts in it."""
    return set(_NAME.findall(_QUOTED.sub("", text)))


def formulas_of(item: Item) -> list[str]:
    """Every text of a field in which another field can stand."""
    if not isinstance(item, Figure):
        return []
    edges = [edge for edge in (item.seed, item.end) if isinstance(edge, str)]
    return [item.formula, *item.formulas, *item.needs, *item.nonzero, item.blank_if, *edges]


def reads(item: Item) -> set[str]:
    """The names that a field's formulas read."""
    return set[str]().union(*(names_in(text) for text in formulas_of(item)))


def owned(parts: Parts, furnace: Iterable[str], source: Iterable[str], shop: Iterable[str]) -> Owned:
    """Sort the fields. The arguments name the inputs of a furnace, of a source and of the shop's pieces."""
    items, chapter = parts.items(), parts.chapters()
    read = {name: reads(item) for name, item in items.items()}
    of_pieces = _reached(read, set(shop) & set(items), lambda name: True)

    def furnaces(name: str) -> bool:
        mine = chapter[name] in FURNACE_CHAPTERS or name in FURNACE_FIGURES
        return mine and name not in SHOPS and name not in of_pieces

    own = _reached(read, set(furnace) & set(items), furnaces) | (FURNACE_FIGURES & set(items))
    own |= _whole_tables(parts, own, of_pieces)

    def sources(name: str) -> bool:
        return chapter[name] in SOURCE_CHAPTERS and not {name} & (SHOPS | of_pieces | own)

    theirs = _reached(read, (set(source) & set(items)) - SHOPS, sources)
    theirs |= SOURCE_FIGURES & set(items)
    theirs |= _whole_tables(parts, theirs, of_pieces) - own
    return Owned(frozenset(own), frozenset(theirs))


def _reached(read: Mapping[str, set[str]], seeds: set[str], allowed: Callable[[str], bool]) -> set[str]:
    """The seeds, and every allowed field that reads one of them, directly or by way of another."""
    readers: dict[str, list[str]] = {}
    for name, sources in read.items():
        for source in sources:
            readers.setdefault(source, []).append(name)
    found, waiting = set(seeds), list(seeds)
    while waiting:
        for name in readers.get(waiting.pop(), ()):
            if name not in found and allowed(name):
                found.add(name)
                waiting.append(name)
    return found


def _whole_tables(parts: Parts, own: set[str], of_pieces: set[str]) -> set[str]:
    """The other columns of tables that nobody else types into: their line numbers and labels."""
    more: set[str] = set()
    for name, (_, table) in parts.tables.items():
        columns = {item.name for item in table.columns}
        others = [item for item in table.columns if item.name not in own]
        typed = any(isinstance(item, Input) for item in others)
        if name in BY_ROW or not columns & own or typed:
            continue
        if all(isinstance(item, Fixed) or item.name not in of_pieces for item in others):
            more |= columns - own
    return more
