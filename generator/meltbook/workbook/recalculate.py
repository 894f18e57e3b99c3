"""What the cells of an untrusted workbook come to, worked out from what is typed and the formulas.

The values that the file stores beside its formulas are never looked at: they may be stale, or a lie. Only the
cells that are asked for and those they rest on are worked out, so that an odd formula elsewhere does no harm.
Each formula is rewritten with plain addresses in place of names and sheets, given to an engine as the only
formula it has to work out, and its outcome put in its place: what a formula can cost is bounded, however the
cells hang together. A formula that can't be worked out here is told, with the reason, and shows as an error.

Some cells may be given another value than the file's (``instead``): the numbers that a student had to begin
with, or a figure in place of a text. What rests on them is worked out from that.
"""

from __future__ import annotations

import math
import re
import time
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import formualizer

from meltbook.workbook.a_one import FormulaError, Token, tokens
from meltbook.workbook.address import cell_address
from meltbook.workbook.cells import CellError, CellValue, column_number
from meltbook.workbook.read import Area, BookFile, parse_area

Spot = tuple[str, int, int]
"""A cell: the tab name that its sheet has now, the row and the column, both from 0."""

MOST_CELLS = 100_000
"""Cells that one question may rest on."""
WIDEST = 50_000
"""Cells in all ranges of one formula, and in the range that they would span together."""
_LARGE = 1_000
LONGEST = 2_000
LONGEST_TEXT = 1_000
"""Letters of a formula, and of a text that formulas see: a range of long texts can be multiplied."""
DEEPEST = 5
"""How often a name may stand for another."""
MILLISECONDS = 1_000
"""What one formula may take."""
SECONDS = 10.0
"""What one question may take, with all that it rests on."""

_KNOWN = """
    ABS AND AVERAGE AVERAGEIF AVERAGEIFS CEILING CEILING.MATH CHOOSE CONCAT CONCATENATE COUNT COUNTA COUNTBLANK
    COUNTIF COUNTIFS DATE DAY DAYS EOMONTH EVEN EXACT EXP FALSE FIND FLOOR FLOOR.MATH HLOOKUP IF IFERROR IFNA IFS INDEX
    INT ISBLANK ISERR ISERROR ISNA ISNUMBER ISTEXT LARGE LEFT LEN LN LOG LOG10 LOOKUP LOWER MATCH MAX MAXIFS MEDIAN MID
    MIN MINIFS MOD MONTH MROUND N NA NOT ODD OR PI POWER PRODUCT QUOTIENT RIGHT ROUND ROUNDDOWN ROUNDUP ROWS COLUMNS
    SEARCH SIGN SMALL SQRT SUM SUMIF SUMIFS SUMPRODUCT SUMSQ SWITCH T TEXT TRIM TRUE TRUNC UPPER VALUE
    VLOOKUP WEEKDAY XLOOKUP XMATCH XOR YEAR
"""
KNOWN = frozenset(_KNOWN.split())
"""Functions that are worked out here. The others can't be, give another value each time, or look elsewhere."""

_ERRORS = {
    "Div": "#DIV/0!",
    "Na": "#N/A",
    "Name": "#NAME?",
    "Num": "#NUM!",
    "Ref": "#REF!",
    "Value": "#VALUE!",
    "Null": "#NULL!",
    "Circ": "#CIRCULAR!",
}
_CIRCULAR = CellError("#CIRCULAR!")
_UNKNOWN = CellError("#UNKNOWN!")
"""Stands in a cell whose formula can't be worked out here."""
_OF_COLUMN = re.compile(r"\$([A-Za-z]{1,3})(?=\s*(?:[:,;)+*/&<>=^-]|$))")
"""A whole column, as in ``$A:$A``."""
_OPERANDS = ("text", "cell", "number", "name", "error")


@dataclass(frozen=True, slots=True)
class Worked:
    """What a cell comes to. ``reason`` says why it, or a cell that it rests on, can't be worked out here."""

    value: CellValue
    reason: str = ""


class _CannotError(Exception):
    """A formula that can't be worked out here, and why."""


@dataclass(frozen=True, slots=True)
class Rewritten:
    """A formula in addresses that the engine knows, and the areas that it looks at."""

    text: str
    areas: tuple[Area, ...]


@dataclass(slots=True)
class Recalculation:
    """Works out cells of one file, as often as it is asked."""

    file: BookFile
    _rewritten: dict[Spot, Rewritten | str] = field(default_factory=dict)
    _sheets: dict[str, str] = field(default_factory=dict)
    _extent: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        self._sheets = {name.casefold(): name for name in self.file.sheet_names}

    def refers(self, spot: Spot) -> bool:
        """Whether the formula in a cell points at any other cell, by its address or by a name."""
        found = self._formula(spot)
        return isinstance(found, Rewritten) and any(
            not (area.sheet == spot[0] and area.top == area.bottom == spot[1] and area.left == area.right == spot[2])
            for area in found.areas
        )

    def values(self, asked: Iterable[Spot], instead: Mapping[Spot, CellValue] | None = None) -> dict[Spot, Worked]:
        """What each of these cells comes to, some other cells having the values that ``instead`` gives them."""
        return _Run(self, instead or {}).values(list(asked))

    # ------------------------------------------------------------------------------------------- formulas

    def _formula(self, spot: Spot) -> Rewritten | str | None:
        """The formula of a cell, rewritten; the reason if that can't be; None where there is no formula."""
        if spot not in self._rewritten:
            formula = self.file.cell(*spot).formula
            if formula is None:
                return None
            try:
                self._rewritten[spot] = self._rewrite(formula, spot[0])
            except _CannotError as error:
                self._rewritten[spot] = str(error)
        return self._rewritten[spot]

    def _rewrite(self, formula: str, sheet: str, depth: int = 0) -> Rewritten:
        if len(formula) > LONGEST:
            raise _CannotError("the formula is too long")
        try:
            words = tokens(_OF_COLUMN.sub(r"\1", formula), "")
        except FormulaError as error:
            raise _CannotError("the formula is written in a way that is not understood") from error
        parts: list[str] = []
        areas: list[Area] = []
        at = 0
        while at < len(words):
            word = words[at]
            if parts and word.kind in (*_OPERANDS, "sheet", "call") and words[at - 1].kind in _OPERANDS:
                raise _CannotError("the formula lets two ranges cross")
            if word.kind == "call":
                name = word.text[:-1]
                if name not in KNOWN:
                    raise _CannotError(f"the function {name} can't be worked out here")
                parts.append(word.text)
            elif reference := self._reference(words, at, sheet):
                area, at = reference
                areas.append(self._clipped(area))
                parts.append(self._address(areas[-1]))
            elif word.kind in ("name", "sheet"):
                inner = self._named(word, sheet, depth)
                areas += inner.areas
                parts.append(inner.text)
            else:
                parts.append(word.text)
            at += 1
        heights = [area.bottom - area.top + 1 for area in areas]
        widths = [area.right - area.left + 1 for area in areas]
        together = sum(height * width for height, width in zip(heights, widths, strict=True))
        if max(together, max(heights, default=0) * max(widths, default=0)) > WIDEST:
            raise _CannotError("the formula looks at too many cells")
        return Rewritten("".join(parts), tuple(areas))

    def _reference(self, words: tuple[Token, ...], at: int, sheet: str) -> tuple[Area, int] | None:
        """The cells that a reference beginning at a word stands for, and its last word."""
        first, at = self._end(words, at, sheet)
        if first is None:
            return None
        if at + 2 < len(words) and words[at + 1].text == ":":
            last, end = self._end(words, at + 2, first.sheet)
            if last is None or last.sheet != first.sheet:
                raise _CannotError("the formula has a range that is not understood")
            tops, lefts = (first.top, last.top), (first.left, last.left)
            return Area(
                first.sheet, min(tops), min(lefts), max(first.bottom, last.bottom), max(first.right, last.right)
            ), end
        return first, at

    def _end(self, words: tuple[Token, ...], at: int, sheet: str) -> tuple[Area | None, int]:
        """One end of a range: a cell, a name of cells, or, beside a colon, a whole column."""
        if words[at].kind == "sheet" and at + 1 < len(words):
            named = self._sheets.get(words[at].text)
            if named is None:
                raise _CannotError("the formula points at a sheet that is not there")
            sheet, at = named, at + 1
        word = words[at]
        if word.kind == "cell":
            letters = word.text.rstrip("0123456789")
            row, col = int(word.text[len(letters) :]) - 1, column_number(letters)
            return Area(sheet, row, col, row, col), at
        if word.kind != "name":
            return None, at
        area = self._area_named(word.text, sheet)
        if area is None and _is_column(words, at):
            col = column_number(word.text.upper())
            return Area(sheet, 0, col, self._used()[0], col), at
        return area, at

    def _area_named(self, name: str, sheet: str) -> Area | None:
        area = self.file.names.areas.get(name)
        if area is None:
            text = self._defined(name, sheet)
            area = parse_area(text, self._sheets) if text is not None else None
        return area

    def _defined(self, name: str, sheet: str) -> str | None:
        return self.file.defined.get((sheet.casefold(), name), self.file.defined.get(("", name)))

    def _named(self, word: Token, sheet: str, depth: int) -> Rewritten:
        """What a name that stands for no cells stands for."""
        if word.text in ("TRUE", "FALSE"):
            return Rewritten(word.text, ())
        text = self._defined(word.text, sheet) if word.kind == "name" else None
        if text is None or depth == DEEPEST or "#REF!" in text:
            raise _CannotError(f"there is no name {word.text}")
        inner = self._rewrite(text.removeprefix("="), sheet, depth + 1)
        return Rewritten(f"({inner.text})", inner.areas)

    # ---------------------------------------------------------------------------------------------- ranges

    def _used(self) -> tuple[int, int]:
        """The last row and column in which any sheet has something."""
        if self._extent is None:
            spots = [spot for name in self.file.sheet_names for spot in self.file.sheet(name).cells]
            self._extent = (max((row for row, _ in spots), default=0), max((col for _, col in spots), default=0))
        return self._extent

    def _clipped(self, area: Area) -> Area:
        """A large range without the empty rows and columns beyond everything in the file."""
        if (area.bottom - area.top + 1) * (area.right - area.left + 1) <= _LARGE:
            return area
        row, col = self._used()
        return Area(
            area.sheet, area.top, area.left, max(area.top, min(area.bottom, row)), max(area.left, min(area.right, col))
        )

    def _address(self, area: Area) -> str:
        sheet = f"S{self.file.sheet_names.index(area.sheet)}!"
        first, last = cell_address(area.top, area.left), cell_address(area.bottom, area.right)
        return f"{sheet}{first}" if first == last else f"{sheet}{first}:{last}"


def _is_column(words: tuple[Token, ...], at: int) -> bool:
    text = words[at].text
    beside = [words[place].text for place in (at - 1, at + 1) if 0 <= place < len(words)]
    before = words[at - 2].text if at > 1 and words[at - 1].kind == "sheet" else ""
    return text.isalpha() and text.isascii() and len(text) <= 3 and ":" in (*beside, before)


class _Run:
    """One question: the cells it rests on, in the order in which they can be worked out."""

    def __init__(self, book: Recalculation, instead: Mapping[Spot, CellValue]) -> None:
        self.book = book
        self.instead = instead
        self.done: dict[Spot, Worked] = {}
        self.room = MOST_CELLS
        self.ends = time.monotonic() + SECONDS
        config = formualizer.EvaluationConfig()
        config.enable_parallel = False
        config.max_eval_time_ms = MILLISECONDS
        self.engine = formualizer.Workbook(config=formualizer.WorkbookConfig(eval_config=config))
        self.engine.set_temporal_egress("serial")
        for number in range(len(book.file.sheet_names)):
            self.engine.add_sheet(f"S{number}")

    def values(self, asked: list[Spot]) -> dict[Spot, Worked]:
        for spot in asked:
            self._settle(spot)
        return {spot: self.done[spot] for spot in asked}

    def _settle(self, asked: Spot) -> None:
        """Work out a cell after everything that it rests on, without recursion."""
        stack: list[tuple[Spot, Iterator[Spot] | None]] = [(asked, None)]
        open_cells: set[Spot] = set()
        while stack:
            spot, needs = stack[-1]
            if needs is None:
                if spot in self.done:
                    stack.pop()
                    continue
                if spot in open_cells:  # it rests on itself
                    self._put(spot, Worked(_CIRCULAR))
                    stack.pop()
                    continue
                if not self._begins(spot):
                    stack.pop()
                    continue
                open_cells.add(spot)
                needs = self._needs(spot)
                stack[-1] = (spot, needs)
            following = next(needs, None)
            if following is not None:
                stack.append((following, None))
                continue
            open_cells.discard(spot)
            if spot not in self.done:
                self._put(spot, self._evaluated(spot))
            stack.pop()

    def _begins(self, spot: Spot) -> bool:
        """Whether there is a formula to work out; any other cell is done with at once."""
        self.room -= 1
        if spot in self.instead:
            self._put(spot, Worked(self.instead[spot]))
            return False
        if self.room < 0 or time.monotonic() > self.ends:
            self._put(spot, Worked(_UNKNOWN, "it rests on too many cells" if self.room < 0 else "it takes too long"))
            return False
        formula = self.book._formula(spot)
        if formula is None:
            self._put(spot, Worked(self.book.file.cell(*spot).value))
        elif isinstance(formula, str):
            self._put(spot, Worked(_UNKNOWN, formula))
        return isinstance(formula, Rewritten)

    def _needs(self, spot: Spot) -> Iterator[Spot]:
        formula = self.book._formula(spot)
        assert isinstance(formula, Rewritten)
        for area in formula.areas:
            yield from self._filled(area)

    def _filled(self, area: Area) -> Iterator[Spot]:
        """The cells of an area that have something in them."""
        sheet = self.book.file.sheet(area.sheet)
        for row in range(area.top, area.bottom + 1):
            for col in range(area.left, area.right + 1):
                spot = (area.sheet, row, col)
                if not sheet.at(row, col).is_empty or spot in self.instead:
                    yield spot

    def _evaluated(self, spot: Spot) -> Worked:
        formula = self.book._formula(spot)
        assert isinstance(formula, Rewritten)
        unknown = next((self.done[need].reason for need in self._needs(spot) if self.done[need].reason), "")
        if unknown:  # whatever the formula makes of it would be a guess
            return Worked(_UNKNOWN, unknown)
        name, row, col = self._place(spot)
        try:
            self.engine.set_formula(name, row, col, f"={formula.text}")
            found = self.engine.evaluate_cell(name, row, col)
        except (KeyboardInterrupt, SystemExit, MemoryError):
            raise
        except BaseException as error:  # a panic of the engine is no Exception
            words = " ".join(str(error).split())[:120]
            return Worked(_UNKNOWN, f"the formula can't be worked out: {words}")
        return _worked(found)

    def _put(self, spot: Spot, worked: Worked) -> None:
        """Remember what a cell comes to, and let the formulas that look at it see just that."""
        self.done[spot] = worked
        value = worked.value
        name, row, col = self._place(spot)
        if isinstance(value, CellError):
            # The engine takes no error as a value. Each of these formulas looks at no cell.
            self.engine.set_formula(name, row, col, "=1/0" if value.code == "#DIV/0!" else "=NA()")
        else:
            self.engine.set_value(name, row, col, value[:LONGEST_TEXT] if isinstance(value, str) else value)

    def _place(self, spot: Spot) -> tuple[str, int, int]:
        return f"S{self.book.file.sheet_names.index(spot[0])}", spot[1] + 1, spot[2] + 1


def _worked(found: Any) -> Worked:
    while isinstance(found, list):  # a formula with many results shows the first
        found = found[0] if found else None
    if isinstance(found, dict):
        kind = str(found.get("kind"))
        if kind in _ERRORS:
            return Worked(CellError(_ERRORS[kind]))
        return Worked(_UNKNOWN, "the formula can't be worked out here")
    if isinstance(found, bool) or found is None:
        return Worked(found)
    if isinstance(found, int | float):
        return Worked(float(found)) if math.isfinite(found) else Worked(CellError("#NUM!"))
    if isinstance(found, str):
        return Worked(found[:LONGEST_TEXT])
    return Worked(_UNKNOWN, "the formula's outcome is no number and no text")
