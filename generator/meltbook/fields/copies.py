"""A furnace's or a source's own figures once more, for a further furnace or the second source.

The names of the copies end in a word that tells whose they are, and so do the names in their formulas, as far as
those are own figures too. Everything else, such as the price of a glass or a day of the calendar, is read from the
one cell that all share.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from meltbook.fields.check_counts import text_cells
from meltbook.fields.check_list import CHECKS
from meltbook.fields.check_pairs import PAIRS
from meltbook.fields.check_pairs import rows_of as rows_of_check
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Plain, Table
from meltbook.fields.own import BY_ROW, Parts, names_in
from meltbook.fields.sheet_names import SheetNames

_TEXT = re.compile(r'("[^"]*")')
_NAME = re.compile(r"[a-z]+(?:_[a-z]+)+")
_CELL = re.compile(r"[a-z]+(?:_[a-z]+)+(?:\.all)?")
_COUNTED = re.compile(r"COUNTA\(([^)]*)\)")
_PAIR_ROW = re.compile(r"\b(pair_[a-z]+)\.([0-9]+)")

FURNACE_CHECKS: tuple[str, ...] = (
    "log_kinds",
    "log_numbers",
    "log_dates",
    "log_gaps",
    "readings_back",
    "meter_hours",
    "gas_factor",
    "meter_change",
    "use_unplaced",
    "tariff_cover",
    "charges_asked",
    "waiting",
    "glass_names",
    "part_rows",
    "log_formulas",
    "log_rows",
    "use_adds_up",
    "cost_adds_up",
    "days_add_up",
    "wear_adds_up",
    "campaigns_add_up",
    "ladder_adds_up",
    "pricing_adds_up",
    "shop_numbers",
    "inputs_missing",
    "unknown_names",
    "log_room",
    "below_last",
)
SOURCE_CHECKS: tuple[str, ...] = (
    "tariff_order",
    "tariff_shares",
    "tariff_size",
    "tariff_block",
    "tariff_adds_up",
    "shop_numbers",
    "letter_size",
    "tariff_dropped",
)
ONLY_THE_FURNACES: dict[str, str] = {
    "glass_names": "COUNTIFS(row_fault.all,fault_code.3)",
    "unknown_names": "IF(pot_row=0,1,0)",
}
"""Checks of a further furnace that leave out what the first furnace's check has counted for the shop."""
ONLY_THERE: dict[str, str] = {"unknown_names": '"Change the pot"'}
"""Where they say to look then."""


@dataclass(frozen=True, slots=True)
class Copier:
    """Makes the copies of one furnace or source.

    ``own`` are the names that are copied, ``renamed`` what their names and those of other own figures become;
    ``checks`` the keys of the checks that are asked of it; ``sheets`` are those that its texts name; ``energy`` stands
    for {energy} where it is another unit than the book's first.
    """

    word: str
    own: frozenset[str]
    renamed: Mapping[str, str]
    checks: tuple[str, ...]
    sheets: SheetNames
    energy: str = ""

    def scalars(self, parts: Parts) -> Iterator[Item]:
        """The single figures."""
        for name, (_, item) in parts.scalars.items():
            if name in self.own:
                yield self.item(item)

    def tables(self, parts: Parts) -> Iterator[Table]:
        """The tables, or as much of them as is own."""
        for name, (_, table) in parts.tables.items():
            if name in BY_ROW:
                rows = self.rows(table)
                if rows:
                    yield self._table(
                        table, [_at_rows(item, rows) for item in self._asked(table, parts)], len(rows), ""
                    )
                continue
            mine = [item for item in table.columns if item.name in self.own]
            if mine:
                yield self._table(table, mine, table.rows, self._shares_rows_with(table, parts))

    def rows(self, table: Table) -> tuple[int, ...]:
        """Which rows of a table of unlike rows belong here, counted from 0."""
        if table.name == "checks":
            return tuple(row for row, check in enumerate(CHECKS) if check.key in self.checks)
        if table.name == "sum_pairs":
            return tuple(row for row, pair in enumerate(PAIRS) if pair.check in self.checks)
        counted = next(item for item in table.columns if isinstance(item, Figure) and item.formulas)
        return tuple(row for row, formula in enumerate(counted.formulas) if names_in(formula) & self.own)

    def item(self, item: Item) -> Item:
        """One field under its new name."""
        here = self.sheets.item(item)
        label, unit, note = (self._told(text) for text in (here.label, here.unit, here.note))
        name = self.renamed.get(item.name, f"{item.name}_{self.word}")
        made = replace(here, name=name, label=label, unit=unit, note=note)
        if isinstance(made, Input):
            listed = made.typed.choices_from
            return replace(made, typed=replace(made.typed, choices_from=self.renamed.get(listed, listed)))
        return rewritten(made, self.name_for) if isinstance(made, Figure) else made

    def name_for(self, name: str) -> str:
        """What a formula of a copy says in place of a name."""
        return self.renamed.get(name, name)

    def _told(self, text: str) -> str:
        return text.replace("{energy}", self.energy) if self.energy else text

    def _shares_rows_with(self, table: Table, parts: Parts) -> str:
        """The table whose rows a copy has: a copy where that is copied whole, else the one that all share."""

        def whole(name: str) -> bool:
            return all(item.name in self.own for item in parts.tables[name][1].columns)

        if not table.aligned:
            return "" if whole(table.name) else table.name
        return f"{table.aligned}_{self.word}" if whole(table.aligned) else table.aligned

    def _table(self, table: Table, columns: list[Item], rows: int, aligned: str) -> Table:
        return replace(
            table,
            name=f"{table.name}_{self.word}",
            columns=tuple(self.item(item) for item in columns),
            rows=rows,
            capacity="",
            aligned=aligned,
        )

    def _asked(self, table: Table, parts: Parts) -> list[Item]:
        """The columns of a table of unlike rows, with what is asked of a further furnace in place of the shop's."""
        if table.name == "number_watch":
            return self._watched(table, parts)
        columns: list[Item] = []
        for item in table.columns:
            if item.name == "check_found" and isinstance(item, Figure):
                asked = {check.key: ONLY_THE_FURNACES.get(check.key, "") for check in CHECKS}
                formulas = (
                    self._pair_rows(f"IFERROR({asked[check.key]},1)" if asked[check.key] else formula)
                    for check, formula in zip(CHECKS, item.formulas, strict=True)
                )
                columns.append(replace(item, formulas=tuple(formulas)))
            elif item.name == "check_first" and isinstance(item, Figure):
                there = (
                    ONLY_THERE.get(check.key, formula) for check, formula in zip(CHECKS, item.formulas, strict=True)
                )
                columns.append(replace(item, formulas=tuple(there)))
            else:
                columns.append(item)
        return columns

    def _watched(self, table: Table, parts: Parts) -> list[Item]:
        """Cells that must hold numbers: its own only; those of the shop are watched among the first furnace's."""
        labels = {name: item.label for name, item in parts.items().items()}
        where, counted, *rest = table.columns
        assert isinstance(where, Fixed) and isinstance(counted, Figure)
        places, formulas = list[Plain](), list[str]()
        for place, formula in zip(where.values, counted.formulas, strict=True):
            cells = [cell for cell in _CELL.findall(_COUNTED.findall(formula)[0]) if cell.partition(".")[0] in self.own]
            own = [labels[cell.partition(".")[0]] for cell in cells]
            places.append(f"{str(place).partition(': ')[0]}: {', '.join(own)}")
            formulas.append(text_cells(cells))
        return [replace(where, values=tuple(places)), replace(counted, formulas=tuple(formulas)), *rest]

    def _pair_rows(self, formula: str) -> str:
        """A formula whose rows of pairs are those that the copied pairs have."""
        kept = [row for key in self.checks for row in rows_of_check(key)]
        places = {str(row): place for place, row in enumerate(sorted(kept), start=1)}
        return _PAIR_ROW.sub(lambda found: f"{found[1]}.{places.get(found[2], found[2])}", formula)


def rewritten(item: Figure, name_for: Callable[[str], str]) -> Figure:
    """A figure that reads other names."""

    def said(text: str) -> str:
        pieces = _TEXT.split(text)
        return "".join(
            piece if piece.startswith('"') else _NAME.sub(lambda found: name_for(found[0]), piece) for piece in pieces
        )

    def edge(value: Plain | None) -> Plain | None:
        return said(value) if isinstance(value, str) and value.startswith("=") else value

    return replace(
        item,
        formula=said(item.formula),
        formulas=tuple(said(formula) for formula in item.formulas),
        needs=tuple(name_for(name.partition(".")[0]) + "".join(name.partition(".")[1:]) for name in item.needs),
        nonzero=tuple(name_for(name.partition(".")[0]) + "".join(name.partition(".")[1:]) for name in item.nonzero),
        blank_if=name_for(item.blank_if),
        seed=edge(item.seed),
        end=edge(item.end),
    )


def _at_rows(item: Item, rows: tuple[int, ...]) -> Item:
    """A column of a table of unlike rows, with some of its rows only."""
    if isinstance(item, Fixed):
        return replace(item, values=tuple(item.values[row] for row in rows))
    if isinstance(item, Figure) and item.formulas:
        return replace(item, formulas=tuple(item.formulas[row] for row in rows))
    return item
