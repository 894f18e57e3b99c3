"""A workbook that somebody has worked in, understood: where every field is, and the studio that it holds.

The names in the file say where each field is now. From the areas of the columns follows how many rows each
table has, from that the vocabulary, and from the input cells the studio. All that is in the way is collected
as problems; a cell that can't be used counts as not typed, and ``usable`` is then False, since the workbook's
own formulas may have read more into it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from meltbook.errors import BookFileError, Problem, StudioError
from meltbook.fields import build
from meltbook.fields.constants import BOOK_VERSION
from meltbook.fields.kernel import Item, Table, Vocabulary
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import STATE_PREFIX
from meltbook.studio.base import WeightUnit
from meltbook.studio.capacity import Capacity
from meltbook.studio.complaints import shown
from meltbook.studio.currency import is_currency
from meltbook.studio.furnaces import MOST_FURNACES, SECOND_SOURCE, name_ends
from meltbook.studio.model import Studio
from meltbook.units import BILLED_KILOJOULES, money_digits
from meltbook.workbook.cells import EMPTY, Cell
from meltbook.workbook.gather import gather
from meltbook.workbook.place import place
from meltbook.workbook.placement import ColumnSpot, Placement, Spot
from meltbook.workbook.read import Area, BookFile, read_file

BEFORE_CAMPAIGNS = Capacity().periods - Capacity().campaigns
"""Rows of the table of periods that are not campaigns."""

FEW = 8
"""Up to so many lost names of a sheet are told one by one; more are told in one sentence."""


@dataclass(slots=True)
class EditedBook:
    """An edited workbook, ready to be computed and compared."""

    file: BookFile
    vocabulary: Vocabulary
    placement: Placement
    capacity: Capacity
    studio: Studio
    log_rows_made: tuple[int, ...]
    """How many rows each furnace's log was made with."""
    problems: list[Problem] = field(default_factory=list)
    usable: bool = True

    def ends(self) -> tuple[str, ...]:
        """What the names of each furnace's own fields end in: nothing for the first."""
        return name_ends(len(self.studio.places))

    def refuse(self, said: str) -> None:
        """Raise, with what was found, where cells can't be used: what is worked out from them is not the workbook's."""
        if not self.usable:
            hint = f"Correct that first; `meltbook check {self.file.path}` tells the rest."
            raise StudioError(said, self.problems, hint=hint)

    def rows_deleted(self, place: int) -> int:
        """How many rows the log of a furnace has lost since it was made."""
        return max(0, self.log_rows_made[place] - self.capacity.of_furnace(place).log)

    def item(self, name: str) -> Item:
        """The declaration of a field."""
        if name in self.vocabulary.scalars:
            return self.vocabulary.scalars[name]
        return self.vocabulary.columns[name][1]

    def cell(self, name: str, row: int = 0) -> Cell:
        """The cell of a single figure, or of a data row of a column counted from 0; empty where its name is lost."""
        scalar = self.placement.scalars.get(name)
        if scalar is not None:
            return self.file.cell(scalar.sheet, scalar.row, scalar.col)
        spot = self.placement.columns.get(name)
        return EMPTY if spot is None else self.file.cell(spot.sheet, spot.first + row, spot.col)

    def problem(self, name: str, row: int | None, found: str, expected: str, do: str) -> Problem:
        """A problem at a field; ``row`` is a data row counted from 0, or ``None`` for a single figure."""
        sheet, number = "", None
        scalar, column = self.placement.scalars.get(name), self.placement.columns.get(name)
        if scalar is not None:
            sheet, number = scalar.sheet, scalar.row + 1
        elif column is not None:
            sheet, number = column.sheet, column.first + (row or 0) + 1
        return Problem(sheet, number, self.label(name), found, expected, do)

    def label(self, name: str) -> str:
        """What the sheet calls a field."""
        return "State of all checks" if name.startswith(STATE_PREFIX) else self.item(name).label


def read_book(path: Path) -> EditedBook:
    """Read an edited workbook. Raises only where it can't be read as a workbook of meltbook at all."""
    file = read_file(path)
    _check_version(file)
    problems: list[Problem] = []
    unit, energy, currency = _choices(file)
    sources, second = _sources(file)
    vocabulary = _vocabulary(unit, energy, currency, Capacity(), sources, second)
    capacity = _capacities(file, vocabulary, sources)
    vocabulary = _vocabulary(unit, energy, currency, capacity, sources, second)
    problems.extend(_changed_choices(file, vocabulary))
    placement = _placement(file, vocabulary, problems)
    _report_lost(file, vocabulary, placement, problems)
    gathered = gather(file, vocabulary, placement, {"weight_unit": unit, "energy_unit": energy, "currency": currency})
    problems.extend(gathered.problems)
    return EditedBook(
        file,
        vocabulary,
        placement,
        capacity,
        gathered.studio,
        tuple(_log_rows_made(file, capacity, place, end) for place, end in enumerate(name_ends(len(sources)))),
        problems,
        usable=not problems,
    )


def _sources(file: BookFile) -> tuple[tuple[str, ...], str]:
    """The source of each furnace in the file, and what the second source bills in, if there is one."""
    area = file.names.areas.get("furnace_source")
    if area is None:
        return ("First",), ""
    cells = (file.cell(area.sheet, row, area.left).value for row in range(area.top, area.bottom + 1))
    unit = _named_value(file, f"energy_unit_{SECOND_SOURCE}")
    known = unit in BILLED_KILOJOULES
    sources = tuple("Second" if value == "Second" and known else "First" for value in cells)
    return sources[:MOST_FURNACES], str(unit) if known else ""


def _vocabulary(
    unit: WeightUnit, energy: str, currency: str, capacity: Capacity, sources: tuple[str, ...], second: str
) -> Vocabulary:
    return build(
        weight_unit=unit,
        currency=currency,
        money_digits=money_digits(currency),
        capacity=capacity,
        energy_unit=energy,
        sources=sources,
        second_unit=second,
    )


def _named_value(file: BookFile, name: str) -> float | str | None:
    area = file.names.areas.get(name)
    if area is None:
        return None
    value = file.cell(area.sheet, area.top, area.left).value
    return value if isinstance(value, float | str) else None


def _check_version(file: BookFile) -> None:
    ours = {"book_version", "log_date", "log_kind", "tariff_start", "piece_name", "checks_state"}
    if not ours.intersection(file.names.areas):
        if ours.intersection(file.names.broken):
            what, hint = (
                "has lost the cells that its names stand for",
                "Sheets of it were deleted; take an older copy.",
            )
        else:
            what = "is a workbook, but none that meltbook made, or its names are gone"
            hint = "Make one with `meltbook new BOOK.xlsx`. A copy of single sheets can't be read."
        raise BookFileError(f"{file.path.name} {what}.", hint=hint)
    version = _named_value(file, "book_version")
    if isinstance(version, float) and version > BOOK_VERSION:
        raise BookFileError(
            f"{file.path.name} is arranged in a newer way ({version:g}) than this meltbook knows.",
            hint="Install a newer meltbook.",
        )
    if isinstance(version, str) or (version is not None and version != BOOK_VERSION):
        raise BookFileError(
            f"{file.path.name} gives {version!r} as its arrangement, which meltbook doesn't know.",
            hint="The cell named book_version was changed: set it back to 1.",
        )


def _choices(file: BookFile) -> tuple[WeightUnit, str, str]:
    """The units of weight and energy and the currency that the book was made for; usual ones where they are gone."""
    unit, energy, currency = (_named_value(file, name) for name in ("weight_unit", "energy_unit", "currency_code"))
    known = isinstance(currency, str) and is_currency(currency)
    billed = str(energy) if energy in BILLED_KILOJOULES else "kWh"
    return "kg" if unit == "kg" else "lb", billed, str(currency) if known else "USD"


def _changed_choices(file: BookFile, vocabulary: Vocabulary) -> Iterator[Problem]:
    unit, energy, currency = (_named_value(file, name) for name in ("weight_unit", "energy_unit", "currency_code"))
    for name, found, fine, expected in (
        ("weight_unit", unit, unit in ("lb", "kg"), "lb or kg"),
        ("energy_unit", energy, energy in BILLED_KILOJOULES, f"one of {', '.join(BILLED_KILOJOULES)}"),
        (
            "currency_code",
            currency,
            isinstance(currency, str) and is_currency(currency),
            "a currency (ISO 4217)",
        ),
    ):
        area = file.names.areas.get(name)
        if area is not None and not fine:
            yield Problem(
                area.sheet,
                area.top + 1,
                vocabulary.scalars[name].label,
                shown(found),
                expected,
                "It was chosen when the book was made and can't be changed in it: set it back.",
            )


def _rows(area: Area, table: Table) -> int:
    return area.bottom - area.top + 1 - table.seeded - table.grows


def _table_rows(file: BookFile, vocabulary: Vocabulary, table: Table) -> int | None:
    """How many data rows most of a table's columns have in the file."""
    areas = [file.names.areas[item.name] for item in table.columns if item.name in file.names.areas]
    counts = Counter(_rows(area, table) for area in areas)
    counts = Counter({rows: count for rows, count in counts.items() if rows > 0})
    return counts.most_common(1)[0][0] if counts else None


def _capacities(file: BookFile, vocabulary: Vocabulary, sources: tuple[str, ...]) -> Capacity:
    """The rows of every table, those of further furnaces and of the second source too."""
    if len(sources) == 1:
        return _capacity(file, vocabulary)
    more = tuple(_capacity(file, vocabulary, end) for end in name_ends(len(sources))[1:])
    tariffs = vocabulary.tables.get(f"tariffs_{SECOND_SOURCE}")
    second = _table_rows(file, vocabulary, tariffs) if tariffs is not None else None
    return replace(_capacity(file, vocabulary), more=more, second=second or 0)


def _capacity(file: BookFile, vocabulary: Vocabulary, end: str = "") -> Capacity:
    found: dict[str, Any] = {}
    for part in fields(Capacity):
        table = vocabulary.tables.get(part.name + end, vocabulary.tables.get(part.name))
        rows = _table_rows(file, vocabulary, table) if table is not None else None
        if rows is not None:
            found[part.name] = rows
    periods = vocabulary.tables.get("periods" + end)
    rows = _table_rows(file, vocabulary, periods) if periods is not None else None
    if rows is not None and rows > BEFORE_CAMPAIGNS:
        found["campaigns"] = rows - BEFORE_CAMPAIGNS
    for fixed in ("day_kinds", "people", "equipment", "channels"):
        found.pop(fixed, None)
    return replace(Capacity(), **found)


def _placement(file: BookFile, vocabulary: Vocabulary, problems: list[Problem]) -> Placement:
    scalars: dict[str, Spot] = {}
    columns: dict[str, ColumnSpot] = {}
    for name, area in file.names.areas.items():
        if name in vocabulary.columns:
            table = vocabulary.columns[name][0]
            rows = _rows(area, table)
            if rows < 1 or area.left != area.right:
                problems.append(_misplaced(name, vocabulary.columns[name][1].label, area, "the rows of one column"))
            if rows >= 1:
                columns[name] = ColumnSpot(
                    area.sheet, area.left, area.top + table.seeded, rows, table.seeded, table.grows
                )
        elif name in vocabulary.scalars or name.startswith(STATE_PREFIX):
            if (area.top, area.left) != (area.bottom, area.right):
                label = vocabulary.scalars[name].label if name in vocabulary.scalars else name
                problems.append(_misplaced(name, label, area, "a single cell"))
            scalars[name] = Spot(area.sheet, area.top, area.left)
    _check_rows(vocabulary, columns, problems)
    problems.extend(_on_one_cell(vocabulary, scalars))
    return Placement(scalars, columns)


def _on_one_cell(vocabulary: Vocabulary, scalars: Mapping[str, Spot]) -> Iterator[Problem]:
    """Cells with two names: one of the names belongs to another cell."""
    names: dict[Spot, list[str]] = {}
    for name, spot in scalars.items():
        names.setdefault(spot, []).append(name)
    for spot, both in names.items():
        if len(both) > 1:
            labels = [vocabulary.scalars[name].label if name in vocabulary.scalars else name for name in both]
            yield Problem(
                spot.sheet,
                spot.row + 1,
                " and ".join(labels),
                f"the names {' and '.join(both)} on one cell",
                "a cell for each",
                "Set the wrong one right in the program's list of names, or take an older copy.",
            )


def _misplaced(name: str, label: str, area: Area, expected: str) -> Problem:
    return Problem(
        area.sheet,
        area.top + 1,
        label,
        f"the name {name} on {area}",
        expected,
        "Set the name right in the program's list of names, or take an older copy.",
    )


def _check_rows(vocabulary: Vocabulary, columns: Mapping[str, ColumnSpot], problems: list[Problem]) -> None:
    """All columns of a table, and of the tables that share its rows, must have the same number of rows."""
    wanted = {table.name: table.rows for table in vocabulary.tables.values()}
    told: set[tuple[str, str, int, int]] = set()
    for name, spot in columns.items():
        table = vocabulary.columns[name][0]
        if spot.rows == wanted[table.name]:
            continue
        block = (table.name, spot.sheet, spot.first, spot.rows)
        if block in told:
            continue
        told.add(block)
        problems.append(
            Problem(
                spot.sheet,
                spot.first + 1,
                vocabulary.columns[name][1].label,
                f"{spot.rows} rows",
                f"{wanted[table.name]} rows, as in the other parts of {table.label}",
                "A row was added or deleted in one part only: do the same in every part, at the same place.",
            )
        )


def _report_lost(file: BookFile, vocabulary: Vocabulary, placement: Placement, problems: list[Problem]) -> None:
    """Names that are gone, stand for nothing, or are there twice."""
    made = place(book_sheets(vocabulary), vocabulary, complete=False)
    homes = {name: spot.sheet for name, spot in made.scalars.items()}
    homes |= {name: column.sheet for name, column in made.columns.items()}
    lost = homes.keys() - placement.scalars.keys() - placement.columns.keys()
    by_sheet: dict[str, list[str]] = {}
    for name in sorted(lost):
        by_sheet.setdefault(homes[name], []).append(name)
    for sheet, names in by_sheet.items():
        whole = len(names) == sum(home == sheet for home in homes.values()) and len(names) > FEW
        if whole or len(names) > FEW:
            found = "none of its named cells" if whole else f"{len(names)} names fewer, such as {names[0]}"
            problems.append(
                Problem(
                    sheet,
                    None,
                    "",
                    found,
                    "all names of the sheet",
                    "Take an older copy, or undo the deletion.",
                )
            )
            continue
        problems.extend(_lost(file, vocabulary, sheet, name) for name in names)
    for name in sorted(homes.keys() & set(file.names.twice)):
        area = file.names.areas.get(name)
        problems.append(
            Problem(
                area.sheet if area else "",
                area.top + 1 if area else None,
                name,
                "the name more than once",
                "each name once",
                "Delete all but one in the program's list of names.",
            )
        )
    for tab, count in sorted(file.names.local.items()):
        problems.append(
            Problem(
                tab,
                None,
                "",
                f"a copy of a sheet, with {count} name{'' if count == 1 else 's'} of its own",
                "each sheet once",
                "Delete the copy: what is typed there reaches no formula outside it.",
            )
        )


def _lost(file: BookFile, vocabulary: Vocabulary, sheet: str, name: str) -> Problem:
    item = vocabulary.scalars.get(name) or (vocabulary.columns[name][1] if name in vocabulary.columns else None)
    text = file.names.broken.get(name)
    return Problem(
        sheet,
        None,
        item.label if item else name,
        f"the name {name} on no cell ({text})" if text else f"no name {name}",
        "the name on its cells",
        "Its cells or the name were deleted: undo that, or take an older copy.",
    )


def _log_rows_made(file: BookFile, capacity: Capacity, place: int, end: str) -> int:
    value = _named_value(file, f"log_rows_made{end}")
    made = isinstance(value, float) and value > 0 and value == int(value)
    return int(value) if made and isinstance(value, float) else capacity.of_furnace(place).log
