"""The formula cells of all sheets of a workbook."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import chain

from meltbook.workbook.cache_cells import FormulaCells, formula_cells, other_cells
from meltbook.workbook.cell_xml import cell_value
from meltbook.workbook.cells import CellValue, read_strings
from meltbook.workbook.edit import sheet_parts, strings_part
from meltbook.workbook.formulas import FUNCTIONS
from meltbook.workbook.known import BySheet
from meltbook.workbook.package import Package
from meltbook.workbook.plain_formulas import PlainFormulas
from meltbook.workbook.sheet_xml import SheetXmlError

_CALL = re.compile(r"""\"[^"]*\"|'[^']*'|([A-Za-z_][A-Za-z0-9_.]*)\s*\(""")
"""A function's name before its bracket; texts and sheet names in quotes are passed over."""


class BookFormulas:
    """The formula cells of all sheets. ``read`` are those of sheets that somebody has taken apart already."""

    def __init__(
        self, package: Package, workbook: str, read: Mapping[str, FormulaCells | PlainFormulas] | None = None
    ) -> None:
        self.package = package
        self.workbook = workbook
        self.parts = sheet_parts(package, workbook)
        self.sheets: dict[str, FormulaCells | PlainFormulas] = {**(read or {})}
        for sheet, part in self.parts.items():
            if sheet in self.sheets:
                continue
            try:
                self.sheets[sheet] = formula_cells(package.read(part))
            except (SheetXmlError, ValueError) as error:
                said = str(error) if isinstance(error, SheetXmlError) else "has a damaged formula"
                raise package.damaged(f"{said} ({sheet})") from error
        settings = package.xml(workbook).find("calcPr")
        chosen = {} if settings is None else settings.attrib
        self.rounds_to_what_it_shows = chosen.get("fullPrecision", "1") in ("0", "false")
        self.asks_for_recalculation = (
            chosen.get("fullCalcOnLoad", "0") in ("1", "true") and chosen.get("calcMode", "auto") != "manual"
        )

    @cached_property
    def names(self) -> dict[str, set[str]]:
        """The names of each sheet's formula cells."""
        return {name: set(sheet.names) for name, sheet in self.sheets.items()}

    @cached_property
    def strings(self) -> list[str]:
        """The texts that cells refer to by number."""
        return read_strings(self.package, strings_part(self.package, self.workbook))

    @cached_property
    def formulas(self) -> int:
        """How many formulas there are."""
        return sum(len(sheet.formula_names) for sheet in self.sheets.values())

    def functions(self) -> set[str]:
        """The names of the functions in all formulas and defined names, in capitals."""
        found: set[str] = set()
        texts: list[Iterable[str]] = [[name.text or "" for name in self.package.xml(self.workbook).iter("definedName")]]
        for sheet in self.sheets.values():
            if isinstance(sheet, PlainFormulas) and (words := sheet.words_before_brackets()) <= FUNCTIONS:
                found |= words  # what only looks like a function does no harm when it has the name of a usual one
            else:
                texts.append(sheet.formula_texts())
        calls = (match[1] for text in chain.from_iterable(texts) for match in _CALL.finditer(text))
        return found | {name.upper() for name in calls if name}

    def stored(self) -> BySheet:
        """The value stored for each formula cell that has one."""
        try:
            return {name: sheet.stored(self.strings) for name, sheet in self.sheets.items()}
        except ValueError as error:
            raise self.package.damaged("has a damaged value beside a formula") from error

    def typed_in(self, sheet: str, cells: set[str]) -> dict[str, CellValue]:
        """What stands in these cells, which have no formula, as far as something does."""
        if sheet not in self.sheets:
            return {}
        try:
            return {
                name: cell_value(fragment, kind, self.strings)
                for name, (fragment, kind) in other_cells(self.sheets[sheet].data, cells).items()
            }
        except (SheetXmlError, ValueError) as error:
            raise self.package.damaged(f"has a damaged cell ({sheet})") from error

    def with_values(self, values: BySheet) -> dict[str, bytes]:
        """The sheets that change, by part."""
        try:
            return {
                self.parts[name]: changed
                for name, sheet in self.sheets.items()
                if sheet.names and (changed := sheet.with_values(values.get(name, {}))) != sheet.data
            }
        except SheetXmlError as error:
            raise self.package.damaged(str(error)) from error
