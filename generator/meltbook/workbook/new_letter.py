"""A letter from the utility, laid over a workbook that its owner has filled in.

First :func:`preview`: the letter, what the studio's figures and tags are under it, and what there is to be
careful about; the workbook is only read. Then, if the owner wants it, :func:`apply`: the letter becomes a row
of the tariff table, the suggested tags go to the pieces if asked for, and the stored values of all formulas
are brought up to date, in one write. What stands on the sheet for letters is left as it is.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from meltbook.errors import UsageError
from meltbook.method import retagged, taken_over
from meltbook.method.arithmetic import serial
from meltbook.method.constants import CLOSENESS, JUMP_LIMIT, LETTER_WORDS
from meltbook.method.letter import (
    JUMPS,
    NOT_TYPED,
    NOTHING_IN_FORCE,
    OUT_OF_ORDER,
    TABLE_FULL,
    LetterRates,
    read_letter,
)
from meltbook.method.results import Results, Value
from meltbook.method.tariff import read_tariff
from meltbook.studio.billing import OTHER, Billing, billed, on_source, rebilled
from meltbook.studio.expect import input_name
from meltbook.studio.furnaces import SOURCE_ENDS, Source
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.tariff import TariffRow
from meltbook.workbook.address import cell_address
from meltbook.workbook.amend import AmendReport, amend
from meltbook.workbook.audit_formulas import formula_problems
from meltbook.workbook.differences import figure_runs, figure_values, reference
from meltbook.workbook.edited import EditedBook
from meltbook.workbook.known import Known, Runs
from meltbook.workbook.sheet_edit import New

SHARES_MISS = 1e-6
"""Shares of the use that miss the whole by more than this don't make one."""

RATES = (
    "price",
    "price_two",
    "price_three",
    "share_one",
    "share_two",
    "share_three",
    "surcharge",
    "tax",
    "service",
    "service_per",
    "demand",
    "demand_kw",
    "all_in",
    "standing",
)
"""What a letter can change, and what that comes to: the lines of the sheet's table."""

_WITHOUT_CHANGE = ("share_one", "share_two", "share_three", "tax", "service_per", "demand_kw")


def _new(rate: str) -> str:
    """The name of the cell that has a rate from the letter's first day on."""
    return "letter_tax_new" if rate == "tax" else f"new_{rate}"


FIGURES = (
    "letter_state",
    *(f"base_{rate}" for rate in RATES),
    *(_new(rate) for rate in RATES),
    *(f"change_{rate}" for rate in RATES if rate not in _WITHOUT_CHANGE),
    "price_before",
    "price_after",
    "standing_day_before",
    "standing_day_after",
    "hot_before",
    "hot_after",
    "standing_before",
    "standing_after",
    "effect_energy",
    "effect_standing",
    "effect_year",
    "effect_energy_month",
    "effect_standing_month",
    "effect_month",
    "effect_equipment",
    "effect_equipment_month",
    "effect_note",
    "retag_tolerance_used",
    "retag_list_count",
    "retag_count",
    "short_count",
    "keep_count",
    "late_rows",
    "late_waiting",
    "late_energy",
    "late_standing",
    "late_note",
    "retag_sentence",
)
"""The single figures of a preview, by the names of their cells."""

ADDED_UP = (
    *("effect_energy", "effect_standing", "effect_year", "effect_month"),
    *("late_rows", "late_waiting", "late_energy", "late_standing"),
)
"""What the names of figures begin with that are a furnace's own and that furnaces on one source add up to.

What a letter does to the machines on Equipment is not among them: these are no furnace's.
"""

PIECE_FIGURES = (
    "after_tag_now",
    "after_cost_now",
    "after_margin_now",
    "cost_after",
    "margin_after",
    "tag_after",
    "tag_change",
    "tag_new",
    "tag_rise",
    "tag_verdict",
)
"""The figures of each piece, by the names of their columns: before, after, and what to do."""

SHOWN_FIGURES = tuple(name for name in PIECE_FIGURES if name not in ("tag_after", "tag_change"))
"""Those that a table of pieces shows: a new tag stands in it only where the tag is to be changed."""


@dataclass(frozen=True, slots=True)
class PieceChange:
    """A piece before and after; ``row`` is its row in the table of pieces, counted from 1."""

    row: int
    name: str
    size: str
    figures: dict[str, Value]


@dataclass(frozen=True, slots=True)
class Preview:
    """What a letter does to a workbook. Nothing has been changed."""

    book: EditedBook
    studio: Studio
    """The workbook's studio with the letter on the table."""
    results: Results
    row: TariffRow
    line: int
    jumps: bool
    """Whether the letter is so dear that cents were probably typed as money."""
    full: bool
    warnings: tuple[str, ...]
    source: Source = "First"
    """Whose letter it is."""

    @property
    def billing(self) -> Billing:
        """The source that the letter is about, with the letter on the table."""
        return billed(self.studio, self.source)

    @property
    def sheet_of_tariffs(self) -> str:
        """The sheet that the letter is taken over to."""
        return self.book.placement.columns[f"tariff_start{SOURCE_ENDS[self.source]}"].sheet

    @property
    def figures(self) -> dict[str, Value]:
        """The single figures by name. What a letter adds up to is that of all furnaces on its source together."""
        ends = _furnace_ends(self.book, self.source)
        return {name: self._figure(name, ends) for name in FIGURES}

    def _figure(self, name: str, ends: tuple[str, ...]) -> Value:
        scalars = self.results.scalars
        if name.startswith(ADDED_UP) and len(ends) > 1:
            known = [value for end in ends if isinstance(value := scalars[name + end], int | float)]
            return sum(known) if known else None
        return scalars[cell_of_figure(self.book, name, self.source)]

    @property
    def effect_notes(self) -> list[str]:
        """On how many days of the log the effect on a year's energy rests; with several furnaces of each log."""
        ends = _furnace_ends(self.book, self.source)
        told = "effect_told" if "effect_told" in self.results.scalars else "effect_note"
        return [note for end in ends if isinstance(note := self.results.scalars[f"{told}{end}"], str)]

    @property
    def moves_equipment(self) -> bool:
        """Whether there are machines that the letter makes dearer or cheaper."""
        return bool(self.results.scalars["effect_equipment"])

    @property
    def pieces(self) -> list[PieceChange]:
        """Every piece that has a name."""
        return [
            PieceChange(
                row, piece.name, piece.size or "", {name: self.results.value(name, row) for name in PIECE_FIGURES}
            )
            for row, piece in enumerate(self.studio.pieces, start=1)
            if piece.name
        ]


@dataclass(frozen=True, slots=True)
class Applied:
    """What was written, and what stood in the way of checking the stored values."""

    report: AmendReport
    tags: int
    formulas_changed: bool
    """Whether formulas of the workbook are no longer the book's own, so that no value of theirs is vouched for."""


def _furnace_ends(book: EditedBook, source: Source) -> tuple[str, ...]:
    """What the names of the fields of a source's furnaces end in."""
    ends = book.ends()
    return tuple(ends[place] for place in on_source(book.studio, source))


def cell_of_figure(book: EditedBook, name: str, source: Source) -> str:
    """The name of the cell that has a figure of a source: its own, its first furnace's, or else the shop's."""
    for end in (SOURCE_ENDS[source], *_furnace_ends(book, source)[:1]):
        if f"{name}{end}" in book.vocabulary.scalars:
            return f"{name}{end}"
    return name


def preview(book: EditedBook, letter: Letter, source: Source = "First") -> Preview:
    """Lay a letter of one of its sources over a workbook. Its tolerance is that of the workbook.

    Raises:
        StudioError: cells of the workbook can't be used, so that its figures are not those worked out here.
        UsageError: the letter says nothing, or its date fits nowhere.
    """
    count = "A thing" if len(book.problems) == 1 else f"{len(book.problems)} things"
    book.refuse(f"{count} in {book.file.path.name} can't be used.")
    tolerance = billed(book.studio, source).letter.retag_tolerance
    studio = rebilled(book.studio, source, letter=letter.model_copy(update={"retag_tolerance": tolerance}))
    billing = billed(studio, source)
    room = book.capacity.of_source(source)
    rates = read_letter(billing.letter, read_tariff(billing.tariffs, room.tariffs, billing.price_limit))
    for case in (NOT_TYPED, NOTHING_IN_FORCE, OUT_OF_ORDER):
        if rates.cases[case - 1]:
            raise UsageError(LETTER_WORDS[case - 1], hint=_dates(billing))
    if rates.row is None:
        raise UsageError(LETTER_WORDS[NOTHING_IN_FORCE - 1], hint=_dates(billing))
    _check_shares(rates.row)
    limit = billing.price_limit
    dear = limit is not None and rates.new_all_in is not None and rates.new_all_in > limit + CLOSENESS
    full = bool(rates.cases[TABLE_FULL - 1])
    results = reference(replace(book, studio=studio))
    found = Preview(
        book,
        studio,
        results,
        rates.row,
        rates.letter_line,
        bool(rates.letter_jump) or dear,
        full,
        warnings=(),
        source=source,
    )
    return replace(found, warnings=tuple(_warnings(found, rates, dear=dear)))


def _dates(billing: Billing) -> str:
    starts = [row.start for row in billing.tariffs if row.start is not None and row.price is not None]
    if not starts:
        return "Tariffs has no row with a date and a price."
    return f"The first tariff holds from {min(starts)}, the newest from {max(starts)}."


def _check_shares(row: TariffRow) -> None:
    shares = [share for share in (row.share_one, row.share_two, row.share_three) if share is not None]
    if shares and abs(sum(shares) - 1) > SHARES_MISS:
        raise UsageError(
            f"The shares of the use make {sum(shares) * 100:.10g} % together, not 100 %.",
            hint="Give all the shares that the letter has; a period that is gone has none.",
        )


def _warnings(found: Preview, rates: LetterRates, *, dear: bool) -> Iterator[str]:
    book, billing = found.book, found.billing
    if rates.letter_jump:
        yield LETTER_WORDS[JUMPS - 1]
    elif dear:
        yield f"The price is above the highest that is expected, {billing.price_limit:g}: was it typed in cents?"
    elif _far_cheaper(rates):
        yield "Less than a third of the price in force: is every figure as the letter has it?"
    if found.full:
        yield LETTER_WORDS[TABLE_FULL - 1]
    for place in on_source(book.studio, found.source):
        note = found.results.scalars[f"late_note{book.ends()[place]}"]
        if isinstance(note, str):
            yield f"Furnace {place + 1}: {note}" if place else note
    row = found.row
    if row.share_one is row.share_two is row.share_three is None:
        said = (billing.letter.letter_price_two, billing.letter.letter_price_three)
        if any(price is not None for price in said):
            yield "A second or third price counts only with the shares of the use, and none are given."
    if _other_letter(book.studio, found.source):
        yield "A letter of the other source is typed as well: costs and tags then are those under both."
    if not any(piece.name for piece in book.studio.pieces):
        yield "The workbook has no pieces yet, so there are no tags to look at."


def is_typed(letter: Letter) -> bool:
    """Whether anything of a letter is typed on its sheet; the tolerance for margins is none of it."""
    return letter != Letter(retag_tolerance=letter.retag_tolerance)


def _other_letter(studio: Studio, source: Source) -> bool:
    return studio.second_source is not None and is_typed(billed(studio, OTHER[source]).letter)


def _far_cheaper(rates: LetterRates) -> bool:
    old, new = rates.base_all_in or 0.0, rates.new_all_in or 0.0
    return old > 0 and new * JUMP_LIMIT < old


# --------------------------------------------------------------------------------------------- taking it over


def apply(
    found: Preview,
    target: Path,
    *,
    retag: bool = False,
    although_large: bool = False,
    overwrite: bool = False,
    today: dt.date | None = None,
) -> Applied:
    """Write the workbook with the letter in its tariff table to ``target``, which may be the workbook itself.

    Raises:
        UsageError: the letter is too dear to be meant and ``although_large`` doesn't say that it is, the table
            is full, or the file can't be written.
        StudioError: a cell can't be typed into. Nothing is written then.
    """
    book = found.book
    if found.full:
        raise UsageError(
            f"{LETTER_WORDS[TABLE_FULL - 1]} Nothing was changed.",
            hint=f"Insert rows above the last line of both tables on {found.sheet_of_tariffs}, formulas and all, then "
            "do this again.",
        )
    if found.jumps and not although_large:
        raise UsageError(
            f"{found.warnings[0]} Nothing was changed.", hint="If it is meant, add --although-large; for cents --cents."
        )
    after = taken_over(found.studio, book.capacity, though_it_jumps=True, source=found.source)
    if retag:
        after = retagged(after, found.results)
    after = rebilled(after, found.source, letter=billed(book.studio, found.source).letter)
    tags = _tag_edits(book, after)
    edits = {**_row_edits(found), **tags}
    changed = bool(formula_problems(book))

    def known() -> Runs:
        seen = replace(book, studio=after)
        return [] if changed else figure_runs(seen, reference(seen))

    names = book.file.names
    report = amend(
        book.file.path,
        target,
        edits,
        known,
        vouched=not names.local and not names.twice,  # where a name stands for one thing, wherever it is read
        read=book.file,
        overwrite=overwrite,
        today=today,
    )
    return Applied(report, len(tags), changed)


def values_of(book: EditedBook) -> Known:
    """What every formula cell shows once the workbook holds this studio, as long as the formulas are its own."""
    return figure_values(book, reference(book))


def _row_edits(found: Preview) -> dict[tuple[str, str], New]:
    """The cells of the table's line: what the letter amounts to, and nothing else that may have been left there."""
    edits: dict[tuple[str, str], New] = {}
    for key in TariffRow.model_fields:
        name = f"{input_name('tariffs', key)}{SOURCE_ENDS[found.source]}"
        spot = found.book.placement.columns[name]
        value = getattr(found.row, key)
        if value is None and found.book.cell(name, found.line - 1).is_empty:
            continue
        place = (spot.sheet, cell_address(spot.first + found.line - 1, spot.col))
        edits[place] = serial(value) if isinstance(value, dt.date) else value
    return edits


def _tag_edits(book: EditedBook, after: Studio) -> dict[tuple[str, str], New]:
    spot = book.placement.columns[input_name("pieces", "tag")]
    return {
        (spot.sheet, cell_address(spot.first + row, spot.col)): new.tag
        for row, (old, new) in enumerate(zip(book.studio.pieces, after.pieces, strict=True))
        if old.tag != new.tag
    }
