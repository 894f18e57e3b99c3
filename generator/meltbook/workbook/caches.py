"""The values stored beside formulas: right, or not there at all.

Some programs show what the file has stored for a formula and work nothing out when they open it. So after
every edit each stored value must be right or absent; a program that finds none works it out.

formualizer works the whole workbook out where it can. It is only used as a calculator: the values are then
put into the file here, cell by cell, so that no other byte changes. Where it refuses (more than 100,000
formulas, a what-if table, a function that it lacks), the values that the caller knows are stored, and every
other formula is left to the program that opens the file next.
"""

from __future__ import annotations

import io
import math
import re
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from itertools import chain
from pathlib import Path

import formualizer

from meltbook.workbook.cache_cells import FormulaCells, formula_cells, other_cells
from meltbook.workbook.cell_xml import cell_value
from meltbook.workbook.cells import CellError, CellValue, read_strings
from meltbook.workbook.edit import sheet_parts, strings_part
from meltbook.workbook.formulas import FUNCTIONS
from meltbook.workbook.package import Package, open_package
from meltbook.workbook.plain_formulas import PlainFormulas
from meltbook.workbook.repack import repacked, zip_bytes
from meltbook.workbook.save import check_target, save
from meltbook.workbook.sheet_xml import SheetXmlError, cell_place

Known = Mapping[tuple[str, str], CellValue]
"""Values by sheet and cell, such as ``("Log", "C7")``. None is a blank."""

_Values = dict[str, dict[str, CellValue]]
_CLOSE = 1e-9
_CALL = re.compile(r"""\"[^"]*\"|'[^']*'|([A-Za-z_][A-Za-z0-9_.]*)\s*\(""")
"""A function's name before its bracket; texts and sheet names in quotes are passed over."""

_UNCOUNTED = re.compile(rb"<tableParts>((?:\s*<tablePart [^>]*>)*)")


_TOO_MANY = "cell count limit"
"""How the engine says that a sheet has more formulas than it takes."""


class Method(StrEnum):
    """Where the stored values come from."""

    RECALCULATED = "recalculated"
    FILLED = "filled"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True)
class Difference:
    """A cell in which the workbook and the caller disagree."""

    sheet: str
    cell: str
    expected: CellValue
    found: CellValue

    def __str__(self) -> str:
        return f"{self.sheet}!{self.cell}: {self.found!s}, expected {self.expected!s}"


@dataclass(frozen=True, slots=True)
class CacheReport:
    """What was stored.

    ``formulas`` counts the formula cells, ``stored`` those that have a value now, ``verified`` the values
    among them that were compared with what the caller knows. ``reason`` says why not all of them were
    recalculated. ``differences`` are the cells for which the caller knew another value than the file gives;
    where there is one, neither is trusted and no value is stored. ``on_opening`` is False for a file that
    does not ask for a recalculation, or wants none, when it is opened: cells without a value may then wait
    for one (F9, or Ctrl+Alt+F9).
    """

    method: Method
    formulas: int
    stored: int
    verified: int = 0
    reason: str = ""
    differences: tuple[Difference, ...] = ()
    on_opening: bool = True

    @property
    def dropped(self) -> int:
        """Formula cells without a stored value."""
        return self.formulas - self.stored

    def __str__(self) -> str:
        if not self.dropped:
            return f"All {self.formulas:,} formulas are worked out and stored."
        why = f" ({self.reason})" if self.reason else ""
        said = f"{self.stored:,} of {self.formulas:,} formulas have a stored value{why}; "
        said += "the others are recalculated when the workbook is next opened"
        if not self.on_opening:
            said += " (if they stay empty there: Ctrl+Alt+F9 or Data > Calculate)"
        if self.differences:
            said += f". {len(self.differences):,} cells differ from what was expected, "
            said += f"the first is {self.differences[0]}"
        return said + "."


def refresh(path_in: Path, path_out: Path, known: Known | None = None, *, overwrite: bool = False) -> CacheReport:
    """Bring the stored values up to date and write the workbook to ``path_out``, which may be ``path_in``.

    ``known`` are values that the caller is sure of as long as the workbook's formulas are the generator's.
    They check the recalculation, and take its place where there can be none.
    """
    return _rewrite(path_in, path_out, known or {}, overwrite, recalculate=True)


def fill_caches(path_in: Path, path_out: Path, values: Known, *, overwrite: bool = False) -> CacheReport:
    """Store these values beside their formulas, and no value beside any other formula."""
    return _rewrite(path_in, path_out, values, overwrite, recalculate=False)


def drop_caches(path_in: Path, path_out: Path, *, overwrite: bool = False) -> CacheReport:
    """Take the stored value of every formula out."""
    return _rewrite(path_in, path_out, {}, overwrite, recalculate=False)


def _rewrite(path_in: Path, path_out: Path, known: Known, overwrite: bool, *, recalculate: bool) -> CacheReport:
    in_place = check_target(path_in, path_out, overwrite=overwrite)
    package, workbook = open_package(path_in)
    data, report = refreshed(package, workbook, known, recalculate=recalculate)
    save(path_out, data, overwrite=overwrite or in_place)
    return report


def refreshed(package: Package, workbook: str, known: Known, *, recalculate: bool = True) -> tuple[bytes, CacheReport]:
    """The whole file with its stored values up to date, in memory."""
    book = _Book(package, workbook)
    expected = _by_sheet(known)
    values: _Values = {}
    method, reason = Method.FILLED if known else Method.DROPPED, ""
    if book.rounds_to_what_it_shows:
        method, reason = Method.DROPPED, "the workbook is set to calculate with rounded figures"
    elif recalculate:
        try:
            values = _calculated(book)
            method = Method.RECALCULATED
        except _RefusedError as refused:
            reason = str(refused)
    differences = _typed_over(book, expected)
    if method is Method.RECALCULATED:
        differences += _differences(book, expected, values)
    elif method is Method.FILLED:
        values = {
            sheet: {cell: value for cell, value in cells.items() if cell in book.names[sheet]}
            for sheet, cells in expected.items()
            if sheet in book.names
        }
    if differences:
        method, values = Method.DROPPED, {}
        reason = reason or "they give other values than expected"
    data = repacked(package, book.with_values(values))
    _prove(_opened(package.path, data), workbook, values)
    report = CacheReport(
        method,
        formulas=book.formulas,
        stored=sum(
            len(values[name].keys() & set(sheet.formula_names))
            for name, sheet in book.sheets.items()
            if values.get(name)
        ),
        verified=sum(len(cells.keys() & expected.get(sheet, {}).keys()) for sheet, cells in values.items()),
        reason=reason,
        differences=tuple(differences),
        on_opening=book.asks_for_recalculation,
    )
    return data, report


class _RefusedError(Exception):
    pass


class _Book:
    """The formula cells of all sheets."""

    def __init__(self, package: Package, workbook: str) -> None:
        self.package = package
        self.workbook = workbook
        self.parts = sheet_parts(package, workbook)
        self.sheets: dict[str, FormulaCells | PlainFormulas] = {}
        for sheet, part in self.parts.items():
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

    def stored(self) -> _Values:
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

    def with_values(self, values: _Values) -> dict[str, bytes]:
        """The sheets that change, by part."""
        return {
            self.parts[name]: changed
            for name, sheet in self.sheets.items()
            if sheet.names and (changed := sheet.with_values(values.get(name, {}))) != sheet.data
        }


def _by_sheet(known: Known) -> _Values:
    found: _Values = {}
    for (sheet, cell), value in known.items():
        found.setdefault(sheet, {})[cell] = value
    return found


def _opened(path: Path, data: bytes) -> Package:
    opened = zipfile.ZipFile(io.BytesIO(data))
    return Package(path, opened, {name.lower(): name for name in opened.namelist()})


def _calculated(book: _Book) -> _Values:
    """What formualizer works out for each formula; _RefusedError where it can't, or would get it wrong."""
    if not book.formulas:
        return {}
    try:
        worked_out = _worked_out(zip_bytes(book.package))
    except _RefusedError as refused:
        if _TOO_MANY in str(refused):
            raise  # a copy has as many formulas
        worked_out = _worked_out(_plain_copy(book))
    if lacking := _lacking_functions(book.functions()):
        raise _RefusedError(f"a function is used that can't be worked out here: {', '.join(lacking)}")
    calculated = _Book(_opened(book.package.path, worked_out), book.workbook).stored()
    values: _Values = {}
    for name, sheet in book.sheets.items():
        found = calculated.get(name, {})
        values[name] = {cell: found[cell] for cell in sheet.names if cell in found}
        if any(cell not in found for cell in sheet.formula_names):
            raise _RefusedError("a formula came back without a value")
    return values


def _worked_out(data: bytes) -> bytes:
    """The whole file, worked out by the engine."""
    try:
        result: bytes = formualizer.recalculate_xlsx_bytes(data)["bytes"]
    except (KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except BaseException as error:  # a panic of the engine is no Exception
        raise _RefusedError(_in_short(error)) from error
    return result


def _plain_copy(book: _Book) -> bytes:
    """The file for the engine's eyes only, without what it stumbles over and what no result hangs on.

    Gnumeric adds fields of its own to the zip, and LibreOffice leaves out how many tables a sheet has.
    """
    held = io.BytesIO()
    sheets = {book.package.names[part.lower()] for part in book.parts.values()}
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as copy:
        for name in book.package.names.values():
            content = book.package.read(name)
            copy.writestr(name, _UNCOUNTED.sub(_counted, content) if name in sheets else content)
    return held.getvalue()


def _counted(match: re.Match[bytes]) -> bytes:
    return b'<tableParts count="%d">%s' % (match[1].count(b"<tablePart "), match[1])


def _lacking_functions(names: Iterable[str]) -> list[str]:
    """Those functions that formualizer does not have. It says so of some, but not within IFERROR."""
    asked = sorted(set(names) - FUNCTIONS)
    if not asked:
        return []
    probe = formualizer.Workbook()
    probe.add_sheet("Probe")
    lacking = []
    for row, name in enumerate(asked, 1):
        try:
            probe.set_formula("Probe", row, 1, f"={name}()")
            value = probe.evaluate_cell("Probe", row, 1)
        except Exception:
            value = {"kind": "Name"}
        if isinstance(value, dict) and value.get("kind") == "Name":
            lacking.append(name)
    return lacking


def _in_short(error: BaseException) -> str:
    """The engine's reason in one line that is not too long."""
    words = " ".join(str(error).split()).removeprefix("recalculate XLSX failed: ")
    return words if len(words) <= 160 else words[:157] + "..."


def _agree(one: CellValue, other: CellValue) -> bool:
    """Equal to nine digits; a blank and an empty text are the same."""
    if type(one) is float and type(other) is float:
        return math.isclose(one, other, rel_tol=_CLOSE, abs_tol=_CLOSE)
    one, other = (None if value == "" else value for value in (one, other))
    if isinstance(one, bool | str | CellError | None) or isinstance(other, bool | str | CellError | None):
        return type(one) is type(other) and one == other
    return math.isclose(one, other, rel_tol=_CLOSE, abs_tol=_CLOSE)


def _typed_over(book: _Book, expected: _Values) -> list[Difference]:
    """Cells of which a value is known, but that hold something else and no formula.

    What follows from them is not what the caller knows either.
    """
    found = []
    for sheet, cells in expected.items():
        plain = cells.keys() - book.names.get(sheet, set())
        there = book.typed_in(sheet, plain) if plain else {}
        found += [
            Difference(sheet, cell, cells[cell], there.get(cell))
            for cell in sorted(plain, key=cell_place)
            if not _agree(cells[cell], there.get(cell))
        ]
    return found


def _differences(book: _Book, expected: _Values, values: _Values) -> list[Difference]:
    return [
        Difference(sheet, cell, value, values[sheet].get(cell))
        for sheet, cells in expected.items()
        if sheet in book.names
        for cell, value in cells.items()
        if cell in book.names[sheet] and not _agree(value, values[sheet].get(cell))
    ]


def _prove(package: Package, workbook: str, values: _Values) -> None:
    """Read the new file back: it must hold these values beside formulas and no others."""
    for sheet, stored in _Book(package, workbook).stored().items():
        wanted = values.get(sheet, {})
        if stored == wanted:
            continue
        odd = {
            cell
            for cell, value in wanted.items()
            if value != (found := stored.get(cell, value)) and not _agree(found, value)
        }
        for cell in (stored.keys() ^ wanted.keys()) | odd:
            difference = Difference(sheet, cell, wanted.get(cell), stored.get(cell))
            raise package.damaged(f"can't be given its values ({difference})")
