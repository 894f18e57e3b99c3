"""The values stored beside formulas: right, or not there at all.

Some programs show what the file has stored for a formula and work nothing out when they open it. So after
every edit each stored value must be right or absent; a program that finds none works it out.

formualizer works the whole workbook out where it can. It is only used as a calculator: the values are then
put into the file here, cell by cell, so that no other byte changes. Where it refuses (more than 100,000
formulas, a what-if table, a function that it lacks), the values that the caller knows are stored, and every
other formula is left to the program that opens the file next.

Where every formula is the book's own, as the caller vouches, nothing needs to be worked out a second time: the
known values are stored column by column (:mod:`meltbook.workbook.fill_columns`).
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

import formualizer

from meltbook.workbook.book_formulas import BookFormulas
from meltbook.workbook.cache_cells import formula_cells
from meltbook.workbook.fill_columns import ColumnFill, column_fill
from meltbook.workbook.formulas import FUNCTIONS
from meltbook.workbook.known import BySheet, Difference, Known, Runs, agree, by_sheet
from meltbook.workbook.package import Package, open_package, zip_bytes
from meltbook.workbook.plain_formulas import PlainFormulas
from meltbook.workbook.proof import opened, read_back
from meltbook.workbook.repack import repacked
from meltbook.workbook.save import check_target, save
from meltbook.workbook.sheet_xml import cell_place

_UNCOUNTED = re.compile(rb"<tableParts>((?:\s*<tablePart [^>]*>)*)")

MOST_FORMULAS = 100_000
"""So many formulas on a sheet the engine takes. It looks through the whole file before it says so."""

_TOO_MANY = "cell count limit"
"""How the engine says that a sheet has more formulas than it takes."""


class Method(StrEnum):
    """Where the stored values come from."""

    RECALCULATED = "recalculated"
    FILLED = "filled"
    DROPPED = "dropped"


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


def refreshed(
    package: Package,
    workbook: str,
    known: Known | Runs,
    *,
    recalculate: bool = True,
    vouched: bool = False,
    read: Mapping[str, PlainFormulas] | None = None,
) -> tuple[bytes, CacheReport]:
    """The whole file with its stored values up to date, in memory.

    Where the caller has ``vouched`` for each formula that stands beside a known value, and there are no others, the
    workbook isn't worked out a second time. ``read`` are sheets of the package that were taken apart already.
    """
    book = BookFormulas(package, workbook, read)
    fill = None if isinstance(known, Mapping) or book.rounds_to_what_it_shows else column_fill(book, known)
    if fill is not None and vouched and fill.is_complete:
        return _filled(fill)
    values: BySheet = {}
    method, reason = Method.FILLED if known else Method.DROPPED, ""
    if book.rounds_to_what_it_shows:
        method, reason = Method.DROPPED, "the workbook is set to calculate with rounded figures"
    elif recalculate:
        try:
            values = _calculated(book)
            method = Method.RECALCULATED
        except _RefusedError as refused:
            reason = str(refused)
    if fill is not None and method is Method.FILLED:
        return _filled(fill, reason)
    return _cell_by_cell(book, by_sheet(known), values, method, reason)


def _filled(fill: ColumnFill, reason: str = "") -> tuple[bytes, CacheReport]:
    """The file with the values that are known by columns, and no others."""
    data = _written(fill.book, fill.contents())
    return data, CacheReport(
        Method.FILLED,
        formulas=fill.book.formulas,
        stored=fill.known,
        verified=fill.known,
        reason=reason,
        on_opening=fill.book.asks_for_recalculation,
    )


def _cell_by_cell(
    book: BookFormulas, expected: BySheet, values: BySheet, method: Method, reason: str
) -> tuple[bytes, CacheReport]:
    """The file with the values that were worked out, or with those that are known."""
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
    changed = book.with_values(values)
    _prove(book, changed, values)
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
    return _written(book, changed), report


def _written(book: BookFormulas, changed: Mapping[str, bytes]) -> bytes:
    """The whole file with these parts changed, as it is read back."""
    data = repacked(book.package, changed)
    read_back(book.package, data, changed)
    return data


class _RefusedError(Exception):
    pass


def _calculated(book: BookFormulas) -> BySheet:
    """What formualizer works out for each formula; _RefusedError where it can't, or would get it wrong."""
    if not book.formulas:
        return {}
    if any(len(sheet.formula_names) > MOST_FORMULAS for sheet in book.sheets.values()):
        raise _RefusedError(f"a sheet has more than {MOST_FORMULAS:,} formulas")
    try:
        worked_out = _worked_out(zip_bytes(book.package))
    except _RefusedError as refused:
        if _TOO_MANY in str(refused):
            raise  # a copy has as many formulas
        worked_out = _worked_out(_plain_copy(book))
    if lacking := _lacking_functions(book.functions()):
        raise _RefusedError(f"a function is used that can't be worked out here: {', '.join(lacking)}")
    calculated = BookFormulas(opened(book.package.path, worked_out), book.workbook).stored()
    values: BySheet = {}
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


def _plain_copy(book: BookFormulas) -> bytes:
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


def _typed_over(book: BookFormulas, expected: BySheet) -> list[Difference]:
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
            if not agree(cells[cell], there.get(cell))
        ]
    return found


def _differences(book: BookFormulas, expected: BySheet, values: BySheet) -> list[Difference]:
    return [
        Difference(sheet, cell, value, values[sheet].get(cell))
        for sheet, cells in expected.items()
        if sheet in book.names
        for cell, value in cells.items()
        if cell in book.names[sheet] and not agree(value, values[sheet].get(cell))
    ]


def _prove(book: BookFormulas, changed: Mapping[str, bytes], values: BySheet) -> None:
    """Read the new sheets: they must hold these values beside formulas and no others."""
    after = BookFormulas(
        book.package,
        book.workbook,
        {
            name: formula_cells(changed[part]) if (part := book.parts[name]) in changed else sheet
            for name, sheet in book.sheets.items()
        },
    )
    for sheet, stored in after.stored().items():
        wanted = values.get(sheet, {})
        if stored == wanted:
            continue
        odd = {
            cell
            for cell, value in wanted.items()
            if value != (found := stored.get(cell, value)) and not agree(found, value)
        }
        for cell in (stored.keys() ^ wanted.keys()) | odd:
            difference = Difference(sheet, cell, wanted.get(cell), stored.get(cell))
            raise book.package.damaged(f"can't be given its values ({difference})")
