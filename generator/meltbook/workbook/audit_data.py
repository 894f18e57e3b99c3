"""What the data of a book is short of: the findings of the list of checks, row by row.

The reference engine says how many faults each check finds. For an owner the row matters more than the number,
so for every check that looks at rows this page says which figure marks them and which cell to look at.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from meltbook.errors import Problem
from meltbook.fields.kernel import Fixed
from meltbook.method.results import Results, Value
from meltbook.studio.complaints import shown
from meltbook.studio.furnaces import SECOND_SOURCE
from meltbook.workbook.edited import EditedBook
from meltbook.workbook.inputs import day_text

SEEN_IN_THE_FILE = frozenset({"log_formulas", "log_rows", "shop_numbers", "log_numbers", "below_last", "unknown_names"})
"""Checks whose cells the audit has looked at one by one already."""

SUMMED_UP = frozenset({"waiting"})
"""Checks whose rows follow from one another, so that the first says it all."""

Marks = Callable[[Mapping[str, list[Value]], int], bool]


@dataclass(frozen=True, slots=True)
class _Look:
    """Rows of one table that a check marks, and the field whose cell is to be looked at.

    ``said`` is what is found there, where it isn't what stands in that cell.
    """

    at: str
    marks: Marks
    said: str = ""


def _is(name: str, *values: Value) -> Marks:
    return lambda columns, row: columns[name][row] in values


def _all(*marks: Marks) -> Marks:
    return lambda columns, row: all(mark(columns, row) for mark in marks)


def _positive(name: str) -> Marks:
    def marks(columns: Mapping[str, list[Value]], row: int) -> bool:
        value = columns[name][row]
        return isinstance(value, int | float) and value > 0

    return marks


LOOKS: dict[str, tuple[_Look, ...]] = {
    "log_kinds": (_Look("log_kind", _is("row_fault", 1)),),
    "log_dates": (_Look("log_date", _is("row_flow_dates", 1, 2)),),
    "log_gaps": (_Look("log_date", _is("row_flow_dates", 3)),),
    "readings_back": (_Look("log_reading", _is("stretch_close", 2)),),
    "meter_change": (
        _Look("log_reading", _is("row_flow_reading", 5)),
        _Look("log_new_kw", _is("row_fault", 4)),
    ),
    "use_unplaced": (
        _Look("log_reading", _all(_is("stretch_close", 1), _is("days_since", 0), _positive("reading_use"))),
    ),
    "tariff_cover": (_Look("log_date", _all(_positive("row_kind"), _positive("first_day"), _is("row_priced", 0))),),
    "tariff_order": (_Look("tariff_start", _positive("tariff_bad_order")),),
    "tariff_shares": (_Look("tariff_share_one", _positive("tariff_bad_share")),),
    "tariff_size": (_Look("tariff_price", _positive("tariff_jump")),),
    "charges_asked": (_Look("log_charges", _is("row_flow_rest", 7)),),
    "waiting": (_Look("log_reading", _all(_positive("row_kind"), _is("stretch_state", 4))),),
    "glass_names": (
        _Look("log_glass", _is("row_fault", 3)),
        _Look("piece_glass", _is("piece_glass_row", 0)),
    ),
    "part_rows": (_Look("part_name", _positive("part_fault"), "a row with something missing or wrong"),),
    "piece_names": (
        _Look("piece_name", _positive("piece_twice")),
        _Look("piece_name", _positive("piece_nameless")),
    ),
}
"""By check: the rows it marks."""


@dataclass(slots=True)
class Findings:
    """What the checks find: faults, and notes that only remind."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)


def data_findings(book: EditedBook, results: Results) -> Findings:
    """The findings of all checks, each with its rows."""
    findings = Findings()
    source = (f"_{SECOND_SOURCE}",) if f"check_id_{SECOND_SOURCE}" in book.vocabulary.columns else ()
    for end in (*book.ends(), *source):
        _add_findings(findings, book, results, end)
    return findings


def _add_findings(findings: Findings, book: EditedBook, results: Results, end: str) -> None:
    """What one list of checks finds: the first furnace's and the shop's, or that whose names end so."""
    ids, titles, levels, doings = (
        _words(book, name + end) for name in ("check_id", "check_title", "check_level", "check_do")
    )
    columns = _Columns(results, end)
    for position, check in enumerate(ids):
        found = columns["check_found"][position]
        if not found or check in SEEN_IN_THE_FILE:
            continue
        title, do = str(titles[position]), str(doings[position])
        told = list(_rows(book, columns, str(check), title, do))
        if check in SUMMED_UP and told:
            told = [_summed(told[0], int(found))]
        if not told:
            told = (
                [
                    book.problem(
                        f"check_title{end}", position, _counted(found, columns["check_first"][position]), _so(title), do
                    )
                ]
                if isinstance(found, int | float)
                else []
            )
        (findings.problems if levels[position] else findings.notes).extend(told)


class _Columns(dict[str, list[Value]]):
    """The columns of one furnace or source by the names of the first; the shop's by their own."""

    def __init__(self, results: Results, end: str) -> None:
        super().__init__(results.columns)
        self.end = end
        if end:
            own = {name.removesuffix(end): values for name, values in results.columns.items() if name.endswith(end)}
            self.update(own)

    def field(self, name: str, book: EditedBook) -> str:
        """The name of this furnace's or source's field, or the shop's where it has none of its own."""
        return name + self.end if name + self.end in book.vocabulary.columns else name


def _words(book: EditedBook, name: str) -> tuple[float | int | str, ...]:
    item = book.item(name)
    return item.values if isinstance(item, Fixed) else ()


def _rows(book: EditedBook, columns: _Columns, check: str, title: str, do: str) -> Iterator[Problem]:
    for look in LOOKS.get(check, ()):
        at = columns.field(look.at, book)
        if columns.end and at == look.at:
            continue  # what is the shop's was looked at with the first furnace
        table = book.vocabulary.columns[at][0]
        for row in range(table.rows):
            if look.marks(columns, row):
                yield book.problem(at, row, look.said or _found(book, columns, at, row), _so(title), do)


def _so(title: str) -> str:
    """What should be so, as a message goes on with it."""
    return f"that {title[:1].lower()}{title[1:]}"


def _counted(found: float, where: Value) -> str:
    """How many faults a check finds, and where, if it says so."""
    return f"{found:g} to look at" + (f" ({where})" if where else "")


def _found(book: EditedBook, columns: _Columns, at: str, row: int) -> str:
    """What stands in the cell, and on a row of the log what the row says about itself and when it is."""
    cell = book.cell(at, row)
    value = cell.value
    if isinstance(value, float) and book.item(at).shape.name == "DATE":
        text = day_text(value)
    else:
        text = "an empty cell" if value is None or value == "" else shown(value)
    if at.startswith("log_"):
        day, status = columns["first_day"][row], columns["log_status"][row]
        if status:
            text += f" ({status})"
        if not at.startswith("log_date") and isinstance(day, int | float) and day:
            text += f" on {day_text(day)}"
    return text


def _summed(first: Problem, count: int) -> Problem:
    rows = "1 row" if count == 1 else f"{count} rows"
    return Problem(first.sheet, first.row, first.column, f"{rows} from here on", first.expected, first.do)
