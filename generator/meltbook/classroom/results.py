"""The marks of a class as a workbook and as a CSV file.

``Marks`` has a line a student and a column a step; ``Steps`` how the class did at each; ``Files`` what the
teacher has to know; ``Feedback`` a page for each student. Names and whatever else students wrote stay text.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from meltbook.classroom.feedback import FEEDBACK, MANNERS, Pages, feedback_pages, number_words, shortened
from meltbook.classroom.gathering import ClassMarks, Kind, StudentMarks
from meltbook.classroom.marking import EARNS, Mark, State, asked_steps, points_of
from meltbook.classroom.names import cell_name
from meltbook.classroom.pages import SHEET_NAMES
from meltbook.classroom.vocabulary import in_units
from meltbook.fields.kernel import Shape
from meltbook.workbook.address import cell_address
from meltbook.workbook.listing import FIRST_ROW, Entry, Row, Tab, heads
from meltbook.workbook.write import listing_bytes

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Step
    from meltbook.classroom.names import Stage
    from meltbook.workbook.paper import Paper

MARKS, STEPS, FILES = "Marks", "Steps", "Files"
LETTERS = {State.RIGHT: "", State.METHOD: "m", State.TYPED: "t", State.WRONG: "w", State.BLANK: "–"}
"""What stands behind the points of a step, so that its state is not told by colour alone."""
_LEGEND = "m: right method on an own earlier figure. t: typed, not calculated. w: wrong. –: blank."
_SPREAD = (State.RIGHT, State.METHOD, State.TYPED, State.WRONG, State.BLANK)
_SHORT = {State.TYPED: "Typed"}
_NAME, _STEP, _SUM, _REMARK = 26.0, 5.4, 8.5, 34.0
_HEAD_PIXELS = 215
_FAILS = (State.WRONG, State.BLANK)
_HALF = 0.5
_REMARKS = {
    Kind.MISSING: "Nothing to mark",
    Kind.TWICE: "Two files",
    Kind.ANOTHERS: "Another student's numbers",
    Kind.OTHER_EXERCISE: "Another exercise",
    Kind.CHANGED: "Given numbers changed",
    Kind.GONE: "Cells gone",
    Kind.UNWORKED: "Look at a formula",
}
_GUARDED = ("=", "+", "-", "@", "\t", "\r", "\n")


def results_bytes(marks: ClassMarks, *, paper: Paper = "Letter") -> bytes:
    """The bytes of the workbook of results."""
    pages = feedback_pages(marks, paper)
    tabs = [_marks(marks, pages), _steps(marks), _files(marks), pages.tab]
    return listing_bytes(tabs, title=_title(marks), paper=paper)


def _title(marks: ClassMarks) -> str:
    return f"Marks: {in_units(marks.some, marks.some.exercise.title)}"


# -------------------------------------------------------------------------------------------------------- marks


def _marks(marks: ClassMarks, pages: Pages) -> Tab:
    asked = asked_steps(marks.some.exercise)
    rows: list[Row] = [_bands(asked), _mark_heads(marks, asked)]
    first, last = cell_address(0, 1), cell_address(0, len(asked))
    letters = first.rstrip("0123456789"), last.rstrip("0123456789")
    total_col, out_of_row = len(asked) + 1, FIRST_ROW + len(rows)
    out_of = [points_of(step) for _, step in asked]

    def total(row: int, value: float) -> Entry:
        formula = f"=SUM({letters[0]}{row + 1}:{letters[1]}{row + 1})"
        return Entry(value, manner="value", number="0.##", formula=formula)

    rows.append(
        (
            Entry("Points to be had", manner="unit"),
            *(Entry(points, manner="working", number=_number(points, ""), right=True) for points in out_of),
            total(out_of_row, sum(out_of)),
            None,
            None,
        )
    )
    best = cell_address(out_of_row, total_col).rstrip("0123456789")
    for one in marks.students:
        row = FIRST_ROW + len(rows)
        earned = one.marked.points if one.marked else 0.0
        share = f"=IF({best}${out_of_row + 1}=0,0,{best}{row + 1}/{best}${out_of_row + 1})"
        start = pages.starts.get(one.student.number)
        rows.append(
            (
                Entry(
                    shortened(one.student.name),
                    manner="label",
                    wraps=True,
                    link=f"'{FEEDBACK}'!A{start}" if start else "",
                ),
                *_points(one, asked),
                total(row, earned),
                Entry(earned / sum(out_of) if sum(out_of) else 0.0, Shape.SHARE, formula=share),
                Entry(_remark(one), manner="note", wraps=True),
            )
        )
    widths = (_NAME, *(_STEP for _ in asked), _SUM, _SUM, _REMARK)
    purpose = f"{_handed_in(marks)} {_LEGEND}"
    heights = {1: _HEAD_PIXELS}
    return Tab(MARKS, _title(marks), purpose, widths, rows, landscape=True, frozen=(3, 1), repeated=1, heights=heights)


def _bands(asked: Sequence[tuple[Stage, Step]]) -> Row:
    """The sheets' names above the steps on them."""
    cells: list[Entry | None] = [None]
    before = ""
    for stage, _ in asked:
        cells.append(Entry(SHEET_NAMES[stage], manner="heading", ruled=False) if stage != before else None)
        before = stage
    return tuple(cells)


def _mark_heads(marks: ClassMarks, asked: Sequence[tuple[Stage, Step]]) -> Row:
    ends = heads(("Student", "Points", "Percent", "Remark"), left=(0, 3))
    labels = (in_units(marks.some, step.label) for _, step in asked)
    steps = (Entry(label, manner="head", ruled=False, wraps=True, turned=True) for label in labels)
    return (ends[0], *steps, *ends[1:])


def _points(one: StudentMarks, asked: Sequence[tuple[Stage, Step]]) -> Iterator[Entry]:
    found = {mark.cell: mark for mark in one.marked.marks} if one.marked else {}
    for stage, step in asked:
        mark = found.get(cell_name(stage, step.name))
        if mark is None:
            yield Entry(None)
        else:
            yield Entry(
                mark.points, manner=MANNERS[mark.state], number=_number(mark.points, LETTERS[mark.state]), right=True
            )


def _number(points: float, letter: str) -> str:
    """A number format for points: no point behind a whole number, and the letter of the state."""
    places = "0" if float(points).is_integer() else "0.0#"
    return f'{places}" {letter}"' if letter else f"{places}_ "


def _remark(one: StudentMarks) -> str:
    return "; ".join(dict.fromkeys(_REMARKS.get(kind, kind.value) for kind in one.told))


def _handed_in(marks: ClassMarks) -> str:
    return f"{len(marks.marked)} of {len(marks.students)} students are marked."


# -------------------------------------------------------------------------------------------------------- steps


def _steps(marks: ClassMarks) -> Tab:
    asked, count = asked_steps(marks.some.exercise), len(marks.marked)
    by_cell: dict[str, list[Mark]] = {cell_name(stage, step.name): [] for stage, step in asked}
    for one in marks.marked:
        for mark in one.marked.marks if one.marked else ():
            if mark.cell in by_cell:
                by_cell[mark.cell].append(mark)
    rows: list[Row] = [(Entry(sentence, manner="sentence", ruled=False),) for sentence in _sentences(marks, by_cell)]
    before = ""
    for stage, step in asked:
        if stage != before:
            rows += [(), _spread_heads(SHEET_NAMES[stage])]
            before = stage
        rows.append(_spread(marks, step, by_cell[cell_name(stage, step.name)]))
    purpose = f"How the class did at each step, counted over the {count} that are marked."
    widths = (40.0, 8.0, *(9.0 for _ in _SPREAD), 11.0, 56.0)
    return Tab(
        STEPS, f"Steps: {in_units(marks.some, marks.some.exercise.title)}", purpose, widths, rows, landscape=True
    )


def _spread_heads(sheet: str) -> Row:
    states = (_SHORT.get(state, state.value) for state in _SPREAD)
    titles = (sheet, "Points", *states, "Earned all the points", "The slip that was made most")
    return heads(titles, left=(0, len(titles) - 1))


def _spread(marks: ClassMarks, step: Step, found: Sequence[Mark]) -> Row:
    states = Counter(mark.state for mark in found)
    slips = Counter(mark.note for mark in found if mark.state is State.WRONG and mark.note and not mark.had.note)
    most = next(iter(slips.most_common(1)), None)
    said = f"{most[1]} ×: {most[0]}" if most else ""
    earned = sum(states[state] for state in EARNS)
    return (
        Entry(in_units(marks.some, step.label), manner="question", wraps=True),
        Entry(points_of(step), manner="working", number=_number(points_of(step), ""), right=True),
        *(_count(states[state], state) for state in _SPREAD),
        Entry(earned / len(found) if found else None, Shape.SHARE, "value"),
        Entry(said, manner="question", wraps=True),
    )


def _count(count: int, state: State) -> Entry:
    return Entry(count, Shape.COUNT, MANNERS[state], right=True) if count else Entry(None)


def _sentences(marks: ClassMarks, by_cell: dict[str, list[Mark]]) -> Iterator[str]:
    """How the class did as a whole, and the step that most of it failed."""
    yield _handed_in(marks)
    total = sum(points_of(step) for _, step in asked_steps(marks.some.exercise))
    if not marks.marked or not total:
        return
    mean = sum(one.marked.points for one in marks.marked if one.marked) / len(marks.marked)
    yield f"On average they earned {number_words(mean, 1)} of {number_words(total)} points."
    failed = {cell: [mark for mark in found if mark.state in _FAILS] for cell, found in by_cell.items()}
    worst = max(failed, key=lambda cell: len(failed[cell]))
    lost = failed[worst]
    if not lost:
        yield "No step was failed by anybody."
        return
    step, stage = lost[0].step, lost[0].stage
    name = f"‘{in_units(marks.some, step.label)}’ on {SHEET_NAMES[stage]}"
    blank = sum(mark.state is State.BLANK for mark in lost)
    of_them = f", {blank} of them with a blank" if blank else ""
    if len(lost) > _HALF * len(marks.marked):
        yield f"Most of the class failed {name}: {len(lost)} of {len(marks.marked)}{of_them}."
    else:
        yield f"No step was failed by more than half. Hardest was {name}: {len(lost)} of {len(marks.marked)}{of_them}."


# -------------------------------------------------------------------------------------------------------- files


def _files(marks: ClassMarks) -> Tab:
    rows: list[Row] = [heads(("What", "File", "Student", "More"), left=range(4))]
    for told in marks.told:
        rows.append(
            (
                Entry(told.kind.value, manner="sample_look", wraps=True),
                Entry(told.file or "–", manner="question", wraps=True),
                Entry(shortened(told.student) or "–", manner="question", wraps=True),
                Entry(told.says, manner="question", wraps=True),
            )
        )
    if not marks.told:
        rows.append((Entry("One file came back from each student, and each could be marked.", ruled=False),))
    files = f"{marks.files} files" if marks.files != 1 else "1 file"
    purpose = f"{files} came back. What could not be marked, or should be looked at, is named here."
    widths = (24.0, 38.0, 28.0, 66.0)
    return Tab(FILES, "Files", purpose, widths, rows, landscape=True, frozen=(1, 0), repeated=0)


# ---------------------------------------------------------------------------------------------------------- CSV


def results_csv(marks: ClassMarks) -> str:
    """The marks as CSV: points and state of each step by the names of their cells, total and percent."""
    asked = asked_steps(marks.some.exercise)
    held = io.StringIO()
    out = csv.writer(held, lineterminator="\r\n")
    cells = [cell_name(stage, step.name) for stage, step in asked]
    out.writerow(
        ["student", "file", "points", "out_of", "percent", *cells, *(f"{cell}_state" for cell in cells), "remark"]
    )
    total = sum(points_of(step) for _, step in asked)
    for one in marks.students:
        found = {mark.cell: mark for mark in one.marked.marks} if one.marked else {}
        earned = one.marked.points if one.marked else 0.0
        out.writerow(
            [
                guarded(one.student.name),
                guarded(one.file),
                _plain(earned),
                _plain(total),
                _plain(round(100 * earned / total, 1) if total else 0.0),
                *(_plain(found[cell].points) if cell in found else "" for cell in cells),
                *(found[cell].state.value if cell in found else "" for cell in cells),
                guarded(_remark(one)),
            ]
        )
    return held.getvalue()


def guarded(text: str) -> str:
    """A text that no spreadsheet program takes for a formula when it opens the CSV file."""
    return f"'{text}" if text.lstrip().startswith(_GUARDED) or text.startswith(_GUARDED) else text


def _plain(number: float) -> str:
    return f"{number:.6f}".rstrip("0").rstrip(".")
