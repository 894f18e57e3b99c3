"""From a formula in field names to the text of a cell.

A declared formula is taken apart once: its names become references, everything else stays text. For a
column the result is a template in which only row numbers are open, so that ten thousand rows cost ten
thousand fillings and not ten thousand translations.

Where a name stands decides what it becomes. A scalar, and the whole of a column, is its own defined name. A
cell of this row is ``$C7``, with the sheet in front where the other column stands on another sheet. The
guards of a figure (see ``meltbook.fields.kernel``) are put around its formula here and nowhere else.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache
from importlib.util import find_spec, module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any, NamedTuple

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Plain, Table, Vocabulary
from meltbook.sheets.kernel import STATE_PREFIX
from meltbook.workbook.address import cell_address, column_letters, quoted_sheet
from meltbook.workbook.placement import ColumnSpot, Placement, unknown_name

FUNCTIONS = frozenset(
    [
        "ABS",
        "AND",
        "COUNT",
        "COUNTA",
        "COUNTBLANK",
        "COUNTIF",
        "COUNTIFS",
        "DATE",
        "DAY",
        "EOMONTH",
        "EXP",
        "IF",
        "IFERROR",
        "INDEX",
        "INT",
        "ISNUMBER",
        "LARGE",
        "LEN",
        "LN",
        "MATCH",
        "MAX",
        "MIN",
        "MONTH",
        "NOT",
        "OR",
        "RIGHT",
        "ROUND",
        "ROUNDUP",
        "SUM",
        "SUMIF",
        "SUMIFS",
        "SUMPRODUCT",
        "WEEKDAY",
        "YEAR",
    ]
)
"""The functions that were seen to give the same in every spreadsheet program that was tried."""

LONGEST = 8192
"""The most characters that a spreadsheet cell takes as a formula."""

STATE_SOURCE = "checks_state"
"""The figure that says how all checks stand, and that every sheet repeats."""

_REFERENCE = re.compile(r"^([a-z]+(?:_[a-z]+)+)(?:\.(all|prev|next|seed|end|[0-9]+))?$")

RowIndex = int | str | None
"""Which row of a column: a data row counted from 0, "seed" or "end"; ``None`` for a scalar."""


class Reference(NamedTuple):
    """A name in a formula and what follows its dot: nothing, all, prev, next, seed, end or a row number."""

    name: str
    suffix: str


class CellFormula(NamedTuple):
    """One formula of the book. ``text`` is as the file holds it, without the equals sign."""

    name: str
    row: RowIndex
    sheet: str
    cell: str
    text: str


@cache
def _tokenizer() -> Any:
    """What takes a formula apart: openpyxl's tokenizer, read by itself.

    It is one module that needs no other, and the whole of openpyxl takes as long to load as a small book to be read.
    """
    package = find_spec("openpyxl")
    for folder in (package and package.submodule_search_locations) or ():
        spec = spec_from_file_location("openpyxl_tokenizer", Path(folder) / "formula" / "tokenizer.py")
        if spec is not None and spec.loader is not None:
            module = module_from_spec(spec)
            spec.loader.exec_module(module)
            return module.Tokenizer
    raise ModuleNotFoundError("openpyxl")


@lru_cache(maxsize=8192)
def parse(text: str) -> tuple[str | Reference, ...]:
    """Take a formula apart into text and references; what is not allowed raises a DeclarationError.

    It is remembered, since half the time that a small book takes is spent here, and books share their formulas.
    """
    try:
        tokens = _tokenizer()("=" + text).items
    except Exception as error:  # the tokenizer raises IndexError and others besides its own
        raise DeclarationError(f"this is not a formula: {text}") from error
    parts: list[str | Reference] = []
    depth = 0
    after_value = False
    for token in tokens:
        value, kind, detail = token.value, token.type, token.subtype
        if kind == "WHITE-SPACE":
            continue
        opens = detail == "OPEN"
        if after_value and (kind == "OPERAND" or opens):
            raise DeclarationError(f"an operator or comma is missing before {value!r} in: {text}")
        after_value = kind == "OPERAND" or detail == "CLOSE" or kind == "OPERATOR-POSTFIX"
        if (
            kind == "ARRAY"
            or (kind == "SEP" and detail != "ARG")
            or (kind == "OPERAND" and detail in ("LOGICAL", "ERROR"))
        ):
            raise DeclarationError(f"{value!r} is not the same in every spreadsheet program: {text}")
        if kind == "FUNC" and opens and value[:-1] not in FUNCTIONS:
            raise DeclarationError(f"the function {value[:-1]} is not on the list of those allowed: {text}")
        depth += (detail == "OPEN") - (detail == "CLOSE")
        if kind == "OPERAND" and detail == "RANGE":
            parts.extend(_references(value, text))
        else:
            parts.append(value)
    if depth:
        raise DeclarationError(f"the brackets do not pair up: {text}")
    if not after_value:
        raise DeclarationError(f"the formula ends too early: {text}")
    return tuple(parts)


def _references(operand: str, text: str) -> Iterator[str | Reference]:
    for position, part in enumerate(operand.split(":")):
        match = _REFERENCE.match(part)
        if match is None or position > 1:
            raise DeclarationError(f"{part!r} is neither a field's name nor a number, in: {text}")
        if position:
            yield ":"
        yield Reference(match[1], match[2] or "")


@dataclass(frozen=True, slots=True)
class Template:
    """A formula with its row numbers left open. ``at(0)`` is the first data row, ``at(-1)`` the seed row."""

    pattern: str
    bases: tuple[int, ...]

    def at(self, index: int) -> str:
        """The text in the data row with this index."""
        return self.pattern % tuple([base + index for base in self.bases])

    def column(self, rows: int) -> list[str]:
        """The texts in so many data rows, from the first."""
        if len({*self.bases}) == 1 and "%%" not in self.pattern:
            first, between = self.bases[0], self.pattern.split("%d")
            return [str(number).join(between) for number in range(first, first + rows)]
        if not self.bases:
            return [self.at(0)] * rows
        numbers = zip(*(range(base, base + rows) for base in self.bases), strict=True)
        return [self.pattern % one for one in numbers]


@dataclass(slots=True)
class Compiler:
    """Translates the formulas of one vocabulary for one placement."""

    vocabulary: Vocabulary
    placement: Placement
    _roots: dict[str, str] = field(default_factory=dict)

    def scalar(self, name: str) -> str | None:
        """The formula of a single figure, or nothing if it has none."""
        item = self.vocabulary.scalars[name]
        if not isinstance(item, Figure):
            return None
        where = f"the formula of {name}"
        sheet = self.placement.scalars[name].sheet
        return self._template(guarded(item, item.formula), sheet, None, "scalar", where).at(0)

    def column(self, name: str) -> Template | tuple[Template, ...] | None:
        """The formula of a column: one for all rows, or one a row, or nothing."""
        table, item = self.vocabulary.columns[name]
        if not isinstance(item, Figure):
            return None
        where, sheet = f"the formula of {name}", self.placement.columns[name].sheet
        if item.formulas:
            if item.formula:
                raise DeclarationError(f"{name} has a formula and formulas: one of them is too many")
            rows = self.placement.columns[name].rows
            if len(item.formulas) > rows:
                raise DeclarationError(f"{name} has {len(item.formulas)} formulas for {rows} rows")
            return tuple(
                self._template(guarded(item, one), sheet, table, "row", f"{where}, row {number}")
                for number, one in enumerate(item.formulas, 1)
            )
        return self._template(guarded(item, item.formula), sheet, table, "row", where)

    def seed(self, name: str) -> str | Plain | None:
        """What stands in the seed row: a formula beginning with =, a plain value, or nothing."""
        return self._edge(name, "seed")

    def end(self, name: str) -> str | Plain | None:
        """What stands in the end row: a formula beginning with =, a plain value, or nothing."""
        return self._edge(name, "end")

    def _edge(self, name: str, which: str) -> str | Plain | None:
        table, item = self.vocabulary.columns[name]
        if not isinstance(item, Figure):
            return None
        declared = item.seed if which == "seed" else item.end
        spot = self.placement.columns[name]
        if declared is not None and not (spot.has_seed if which == "seed" else spot.has_end):
            raise DeclarationError(f"{name} declares a value for a row that the table {table.name} does not have")
        if not isinstance(declared, str) or not declared.startswith("="):
            return declared
        template = self._template(declared[1:], spot.sheet, table, which, f"the {which} of {name}")
        return "=" + template.at(-1 if which == "seed" else spot.rows)

    # ------------------------------------------------------------------------------------------ references

    def _template(self, text: str, sheet: str, table: Table | None, row: str, where: str) -> Template:
        if not text:
            raise DeclarationError(f"{where} is empty")
        pattern: list[str] = []
        bases: list[int] = []
        try:
            parts = parse(text)
            for place, part in enumerate(parts):
                if isinstance(part, str):
                    pattern.append(part.replace("%", "%%"))
                    continue
                closes = place > 0 and parts[place - 1] == ":"
                opens = place + 1 < len(parts) and parts[place + 1] == ":"
                written, base = self._cell(part, sheet, table, row, in_range=opens or closes)
                # A range names its sheet once, before its first cell.
                pattern.append(written.rpartition("!")[2] if closes else written)
                if base is not None:
                    bases.append(base)
        except DeclarationError as error:
            raise DeclarationError(f"{where}: {error}") from error
        template = Template("".join(pattern), tuple(bases))
        if len(template.at(0)) > LONGEST:
            raise DeclarationError(f"{where} is {len(template.at(0))} characters long; {LONGEST} is the most")
        return template

    def _cell(
        self, reference: Reference, sheet: str, table: Table | None, row: str, *, in_range: bool
    ) -> tuple[str, int | None]:
        """What a reference is written as, and the row number of index 0 where the row is left open."""
        name, suffix = reference
        if name in self.vocabulary.scalars:
            if suffix or in_range:
                raise DeclarationError(f"{name} is a single cell, not a column")
            if name not in self.placement.scalars:
                raise DeclarationError(f"{name} stands on no sheet")
            return name, None
        if name not in self.vocabulary.columns:
            raise unknown_name(name, [*self.vocabulary.scalars, *self.vocabulary.columns])
        spot = self.placement.columns.get(name)
        if spot is None:
            raise DeclarationError(f"{name} stands on no sheet")
        if suffix == "all":
            if in_range:
                raise DeclarationError(f"{name}.all is a range already")
            return name, None
        cell = "" if spot.sheet == sheet else quoted_sheet(spot.sheet).replace("%", "%%") + "!"
        cell += f"${column_letters(spot.col)}"
        fixed = _fixed_row(reference, spot)
        if fixed is not None:
            return f"{cell}${fixed + 1}", None
        other = self.vocabulary.columns[name][0]
        if table is None or self._root(table.name) != self._root(other.name):
            raise DeclarationError(f"{name} is a column of another table ({other.name}); write {name}.all or {name}.1")
        edge = _EDGE_NEEDED[row, suffix]
        if edge == "none" or (edge == "seed" and not spot.has_seed) or (edge == "end" and not spot.has_end):
            raise DeclarationError(f"{'.'.join(filter(None, reference))}: there is no row there to read")
        return f"{cell}%d", spot.first + 1 + {"": 0, "prev": -1, "next": 1}[suffix]

    def _root(self, table: str) -> str:
        """The table that this one and all that share its rows are aligned with in the end."""
        if table not in self._roots:
            seen = [table]
            while (after := self.vocabulary.tables[seen[-1]].aligned) and after not in seen:
                if after not in self.vocabulary.tables:
                    raise unknown_name(after, self.vocabulary.tables)
                seen.append(after)
            self._roots[table] = seen[-1]
        return self._roots[table]


_EDGE_NEEDED = {
    ("row", ""): "",
    ("row", "prev"): "seed",
    ("row", "next"): "end",
    ("seed", ""): "seed",
    ("seed", "prev"): "none",
    ("seed", "next"): "",
    ("end", ""): "end",
    ("end", "prev"): "",
    ("end", "next"): "none",
}
"""Which edge row a column must have, for a formula in a data row, the seed or the end row to refer to it
so.
"""


def _fixed_row(reference: Reference, spot: ColumnSpot) -> int | None:
    name, suffix = reference
    if suffix.isdigit():
        if not 1 <= int(suffix) <= spot.rows:
            raise DeclarationError(f"{name} has rows 1 to {spot.rows}, not {suffix}")
        return spot.first + int(suffix) - 1
    if suffix == "seed" and spot.has_seed:
        return spot.top
    if suffix == "end" and spot.has_end:
        return spot.bottom
    if suffix in ("seed", "end"):
        raise DeclarationError(f"{name} has no {suffix} row")
    return None


def guarded(item: Figure, body: str) -> str:
    """A figure's formula inside its guards, outermost first: blank_if, needs, nonzero.

    AND does not stop at the first false in a spreadsheet, so each guard is an IF of its own: what follows
    is not worked out at all while something is missing.
    """
    text = body
    if item.nonzero:
        tests = ",".join(f"{name}=0" for name in item.nonzero)
        text = f'IF({tests if len(item.nonzero) == 1 else f"OR({tests})"},"",{text})'
    if item.needs:
        text = f'IF(COUNT({",".join(item.needs)})<{len(item.needs)},"",{text})'
    if item.blank_if:
        text = f'IF({item.blank_if}="","",{text})'
    return text if body else ""


def state_formula(vocabulary: Vocabulary) -> str | None:
    """The formula with which each sheet repeats the state of all checks, if the book has such a figure."""
    return STATE_SOURCE if STATE_SOURCE in vocabulary.scalars else None


def iter_formulas(vocabulary: Vocabulary, placement: Placement) -> Iterator[CellFormula]:
    """Every formula of the book: scalars, then tables column by column, then the state on each sheet."""
    compiler = Compiler(vocabulary, placement)
    for name in vocabulary.scalars:
        text = compiler.scalar(name)
        if text is not None:
            spot = placement.scalars[name]
            yield CellFormula(name, None, spot.sheet, cell_address(spot.row, spot.col), text)
    for name in vocabulary.columns:
        yield from _column_formulas(compiler, name)
    repeated = state_formula(vocabulary)
    for name, spot in placement.scalars.items():
        if name.startswith(STATE_PREFIX) and repeated:
            yield CellFormula(name, None, spot.sheet, cell_address(spot.row, spot.col), repeated)


def _column_formulas(compiler: Compiler, name: str) -> Iterator[CellFormula]:
    made = compiler.column(name)
    if made is None:
        return
    spot = compiler.placement.columns[name]
    letters = column_letters(spot.col)
    seed, end = compiler.seed(name), compiler.end(name)
    if isinstance(seed, str) and seed.startswith("="):
        yield CellFormula(name, "seed", spot.sheet, f"{letters}{spot.top + 1}", seed[1:])
    templates = made if isinstance(made, tuple) else (made,) * spot.rows
    for index, template in enumerate(templates):
        yield CellFormula(name, index, spot.sheet, f"{letters}{spot.first + index + 1}", template.at(index))
    if isinstance(end, str) and end.startswith("="):
        yield CellFormula(name, "end", spot.sheet, f"{letters}{spot.bottom + 1}", end[1:])
