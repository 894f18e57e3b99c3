"""Type into a workbook that an owner has filled in, without losing anything of theirs.

Libraries that load and save a workbook drop what they do not know: sparklines, data bars, text boxes,
pictures. So here the file is opened as what it is, a zip of XML parts. In the sheets named, the bytes of
the cells named are replaced; every other byte of every part stays.

The values that formulas show are then out of date: :func:`meltbook.workbook.amend.amend` edits, brings them
up to date, and writes once.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Set
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path

from meltbook.errors import Problem, StudioError, UsageError
from meltbook.workbook.address import cell_address
from meltbook.workbook.cell_xml import text_fault
from meltbook.workbook.cells import CellValue, read_strings
from meltbook.workbook.package import Package, open_package, zip_bytes
from meltbook.workbook.repack import repacked
from meltbook.workbook.save import check_target, write_result
from meltbook.workbook.sheet_edit import Kept, New, Place, edit_sheet
from meltbook.workbook.sheet_xml import Area, SheetXmlError, area, cell_place

Edits = Mapping[tuple[str, str], New]
"""New values by sheet and cell, such as ``("Log", "C7")``: a number, a text, a day number, or None to
clear.
"""


@dataclass(frozen=True, slots=True)
class CellChange:
    """One cell: what stood there, and what stands there now."""

    sheet: str
    cell: str
    before: CellValue
    after: New


@dataclass(frozen=True, slots=True)
class EditReport:
    """What was changed, where it was written, and where the old file is kept if the new one replaced it."""

    target: Path
    changes: tuple[CellChange, ...]
    backup: Path | None = None


def edit_cells(
    source: Path, target: Path, edits: Edits, *, overwrite: bool = False, today: dt.date | None = None
) -> EditReport:
    """Set cells of a workbook and write it to ``target``.

    Where ``target`` is the source itself, a copy of the old file with the date in its name is kept beside
    it. ``overwrite`` allows another file to be written over. A cell that can't be typed into (a formula, a
    part of merged cells, the heading of a table) ends in a StudioError that lists all such cells, and
    nothing is written.
    """
    check_target(source, target, overwrite=overwrite)
    package, workbook = open_package(source)
    data, changes = edited(package, workbook, edits)
    backup = write_result(source, target, data, zip_bytes(package), overwrite=overwrite, today=today)
    return EditReport(target, changes, backup)


def edited(package: Package, workbook: str, edits: Edits) -> tuple[bytes, tuple[CellChange, ...]]:
    """The whole file with the cells set, in memory. ``workbook`` is the part that lists the sheets."""
    if any(name.startswith("_xmlsignatures/") for name in package.names):
        raise package.damaged("is signed, and any change would break the signature")
    settings = package.xml(workbook).find("workbookPr")
    if settings is not None and settings.get("date1904", "0") in ("1", "true"):
        raise package.damaged("counts its dates from 1904, so that a date typed here would be another day")
    parts = sheet_parts(package, workbook)
    problems = _bad_texts(edits)
    bad = {(problem.sheet, problem.column) for problem in problems}
    by_sheet = _by_sheet(edits, parts, leave_out=bad)
    strings = cache(lambda: read_strings(package, strings_part(package, workbook)))
    contents: dict[str, bytes] = {}
    before: dict[tuple[str, Place], CellValue] = {}
    for sheet, cells in by_sheet.items():
        part = parts[sheet]
        try:
            result = edit_sheet(package.read(part), cells, strings, _kept(package, part))
        except SheetXmlError as error:
            raise package.damaged(f"{error} ({sheet})") from error
        contents[part] = result.data
        before |= {(sheet, place): value for place, value in result.before.items()}
        problems += (
            Problem(sheet, place[0] + 1, cell_address(*place), found, "a cell to type into", do)
            for place, (found, do) in result.refused.items()
        )
    if problems:
        raise StudioError(
            f"{package.path.name} is left as it was: {len(problems)} of the cells can't be set.", problems
        )
    changes = tuple(
        CellChange(sheet, cell, before[sheet, cell_place(cell)], _plain(value))
        for (sheet, cell), value in edits.items()
    )
    return repacked(package, contents), changes


def sheet_parts(package: Package, workbook: str) -> dict[str, str]:
    """The part of each sheet of cells, by the sheet's name, in the order of the tabs."""
    related = package.related(workbook)
    parts = {}
    for sheet in package.xml(workbook).iter("sheet"):
        name = sheet.get("name", "")
        ids = [value for key, value in sheet.attrib.items() if key.rpartition("}")[2] == "id"]
        kind, part = related.get(ids[0] if ids else "", ("", ""))
        if kind == "worksheet" and package.has(part):
            parts[name] = part
    if len({part.lower() for part in parts.values()}) != len(parts):
        raise package.damaged("has two sheets in one part")
    return parts


def _by_sheet(edits: Edits, parts: Mapping[str, str], leave_out: Set[tuple[str, str]]) -> dict[str, dict[Place, New]]:
    found: dict[str, dict[Place, New]] = {}
    for (sheet, cell), value in edits.items():
        if sheet not in parts:
            near = get_close_matches(sheet, parts, n=1, cutoff=0.4)
            hint = f"Did you mean {near[0]!r}?" if near else f"Its sheets are: {', '.join(parts)}."
            raise UsageError(f"The workbook has no sheet {sheet!r} with cells.", hint=hint)
        try:
            place = cell_place(cell)
        except ValueError:
            raise UsageError(f"{cell!r} is not the name of a cell.", hint="Such as C7.") from None
        if isinstance(value, bool) or not isinstance(value, int | float | str | None):
            raise UsageError(f"{sheet}!{cell}: {value!r} is neither a number nor a text.")
        if isinstance(value, int | float) and not _is_finite(value):
            raise UsageError(f"{sheet}!{cell}: {value!r} is not a number that a cell can hold.")
        if (sheet, cell) not in leave_out:
            found.setdefault(sheet, {})[place] = _plain(value)
    return found


def _is_finite(number: float) -> bool:
    try:
        return math.isfinite(float(number))
    except OverflowError:
        return False


def _plain(value: New) -> New:
    """An empty text clears the cell: a cell with an empty text in it would look blank and not be."""
    return None if value == "" else value


def _bad_texts(edits: Edits) -> list[Problem]:
    return [
        Problem(
            sheet,
            None,
            cell,
            fault,
            "a text that a cell can hold",
            "Type the text again, without pasting it.",
        )
        for (sheet, cell), value in edits.items()
        if isinstance(value, str) and (fault := text_fault(value))
    ]


def strings_part(package: Package, workbook: str) -> str:
    """The part with the texts that cells refer to by number, or nothing."""
    return next((part for kind, part in package.related(workbook).values() if kind == "sharedStrings"), "")


def _kept(package: Package, part: str) -> list[Kept]:
    """The cells of a sheet that belong to a table's frame or to a pivot table."""
    kept = []
    for kind, related in package.related(part).values():
        if kind not in ("table", "pivotTable") or not package.has(related):
            continue
        root = package.xml(related)
        try:
            if kind == "pivotTable":
                places = [area(place.get("ref", "")) for place in root.iter("location")]
                kept += [Kept(place, "a pivot table", "Change what the pivot table is made from.") for place in places]
                continue
            whole = area(root.get("ref", ""))
            heads, totals = int(root.get("headerRowCount", 1)), int(root.get("totalsRowCount", 0))
        except ValueError as error:
            raise package.damaged(f"is damaged in {related}") from error
        do = "Change it in a spreadsheet program, which keeps the table in step."
        if heads:
            kept.append(
                Kept(
                    Area(whole.top, whole.left, whole.top + heads - 1, whole.right),
                    "the heading of a table",
                    do,
                )
            )
        if totals:
            top = whole.bottom - totals + 1
            kept.append(Kept(Area(top, whole.left, whole.bottom, whole.right), "the total row of a table", do))
    return kept
