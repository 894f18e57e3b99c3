"""A printed page of feedback for each student: what stood in each step, how it was marked, and what may help.

No answer is told: the note names the slip where it is a usual one, and the hint names the idea.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.gathering import ClassMarks, Kind, StudentMarks
from meltbook.classroom.marking import GUESS_NOTE, Mark, State, asked_steps, points_of
from meltbook.classroom.pages import SHEET_NAMES
from meltbook.classroom.vocabulary import PERCENT, decimals, in_units
from meltbook.workbook.listing import FIRST_ROW, Entry, Row, Tab, heads, row_pixels

if TYPE_CHECKING:
    from meltbook.classroom.handout import Handout
    from meltbook.workbook.paper import Paper

FEEDBACK = "Feedback"
WIDTHS = (32.0, 24.0, 14.5, 7.5, 41.0)
"""Step, what stood there, state, points, words. Not wider than what is printed upright at 8 points."""
MANNERS = {
    State.RIGHT: "sample_good",
    State.METHOD: "sample_good",
    State.TYPED: "sample_note",
    State.WRONG: "sample_look",
    State.BLANK: "working",
    State.GUESS: "working",
}
POINTS = "0.##;-0.##;0"
METHOD_NOTE = "The right method, on a figure of your own that was not right yet. The slip is in an earlier step."
_LONGEST_FORMULA, _SHORT, _LONGEST_NAME = 70, 20, 50
_SIGNS = re.compile(r"\s*[-+*/,]\s*")
_LARGEST, _SMALLEST = 80, 62
_ROW_PIXELS = 20
_PAGE_PIXELS: dict[Paper, int] = {"Letter": 930, "A4": 1000}
"""Room for rows on an upright page, in pixels of 1/96 inch."""


@dataclass(frozen=True, slots=True)
class Pages:
    """The sheet, and the row (as the sheet counts, from 1) at which each student's page begins."""

    tab: Tab
    starts: dict[int, int]


def feedback_pages(marks: ClassMarks, paper: Paper) -> Pages:
    """The sheet with a page for each student of whom something was marked."""
    rows: list[Row] = []
    breaks: list[int] = []
    starts: dict[int, int] = {}
    tallest = 1
    for one in marks.marked:
        page = list(_page(marks.some, one))
        if rows:
            breaks.append(len(rows))
        starts[one.student.number] = FIRST_ROW + len(rows) + 1
        rows += page
        tallest = max(tallest, sum(row_pixels(row, WIDTHS) or _ROW_PIXELS for row in page))
    if not rows:
        rows.append((Entry("Nothing was marked.", manner="body", ruled=False),))
    # The title stands above the first page alone.
    room = _PAGE_PIXELS[paper] - FIRST_ROW * (_ROW_PIXELS + 5)
    tab = Tab(
        FEEDBACK,
        f"Feedback: {in_units(marks.some, marks.some.exercise.title)}",
        "A page for each student, to print and hand out. It tells no answer.",
        WIDTHS,
        rows,
        scale=max(_SMALLEST, min(_LARGEST, 100 * room // tallest)),
        breaks=tuple(breaks),
    )
    return Pages(tab, starts)


def _page(some: Handout, one: StudentMarks) -> Iterator[Row]:
    assert one.marked is not None
    total = sum(points_of(step) for _, step in asked_steps(some.exercise))
    earned = one.marked.points
    share = f" ({100 * earned / total:.0f} %)" if total else ""
    points = f"{number_words(earned)} of {number_words(total)} points{share}"
    yield (Entry(shortened(one.student.name), manner="heading", ruled=False),)
    yield (Entry(f"{in_units(some, some.exercise.title)}: {points}", manner="label", ruled=False),)
    if Kind.CHANGED in one.told:
        says = "Given numbers were changed in this workbook. It was marked with the numbers that were handed out."
        yield (Entry(says, manner="label", ruled=False),)
    for stage in names.ASKING:
        steps = [mark for mark in one.marked.marks if mark.stage == stage]
        if not steps:
            continue
        yield ()
        yield heads((SHEET_NAMES[stage], "You had", "State", "Points", "What to look at"), left=(0, 1, 2, 4))
        for mark in steps:
            yield (
                Entry(in_units(some, mark.step.label), manner="question", wraps=True),
                Entry(had_words(mark), manner="measure", wraps=True),
                Entry(mark.state.value, manner=MANNERS[mark.state], wraps=True),
                Entry(mark.points, number=POINTS) if mark.out_of else Entry("–", manner="unit", right=True),
                Entry(words_for(some, mark), manner="question", wraps=True),
            )
    yield ()


def words_for(some: Handout, mark: Mark) -> str:
    """What a student reads beside a step."""
    if mark.state is State.GUESS:
        return GUESS_NOTE
    if mark.state is State.RIGHT:
        return mark.note
    if mark.state is State.METHOD:
        return mark.note or METHOD_NOTE
    if mark.state is State.TYPED:
        return mark.note
    hint = in_units(some, names.hint_text(mark.step)) if mark.step.hints else ""
    return " ".join(filter(None, (mark.note, hint)))


def shortened(name: str) -> str:
    """A name as it is shown; the CSV file has it whole."""
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"


def had_words(mark: Mark) -> str:
    """What stood in the cell: the formula and what it comes to, the number, or the text."""
    had = mark.had
    if had.is_blank:
        return "–"
    typed = f"‘{had.text.strip()[:40]}’" if had.text else ""
    shown = value_words(had.value, mark) if had.value is not None else ""
    if had.formula is not None:
        formula = f"={had.formula}"
        if len(formula) > _LONGEST_FORMULA:
            formula = formula[: _LONGEST_FORMULA - 1] + "…"
        return f"{_breakable(formula)} gives {shown or typed or 'nothing that can be told'}"
    return typed or shown


def value_words(value: float | str, mark: Mark) -> str:
    """A figure with a digit more than was asked; a percentage as one."""
    if isinstance(value, str):
        return value
    nearest = mark.step.nearest or 1
    places = decimals(nearest) + 1
    if mark.step.unit == PERCENT:
        return f"{number_words(value * 100, max(0, places - 2))} %"
    return number_words(value, places)


def number_words(value: float, places: int = 4) -> str:
    """A number without needless zeros."""
    if abs(value) >= 1e12:
        return f"{value:.4g}"
    text = f"{value:,.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def _breakable(formula: str) -> str:
    """A long formula with spaces at its signs, so that it breaks into lines."""
    return _SIGNS.sub(lambda sign: f" {sign[0].strip()} ", formula) if len(formula) > _SHORT else formula
