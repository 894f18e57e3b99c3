"""A printed page for each student: that student's numbers, and lines to write the answers on.

For a room without a computer at every bench. The numbers are those of the workbook: of First steps and of On
your own, beside one another. Each student has a sheet of its own, so that every program prints one page each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.pages import SHEET_NAMES
from meltbook.classroom.vocabulary import column_shape, given_shape, in_units, nearest_text
from meltbook.fields.kernel import Shape
from meltbook.workbook.listing import Entry, Row, Tab, heads, tab_name
from meltbook.workbook.write import listing_bytes

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Column, GivenTable, Step
    from meltbook.classroom.handout import Handout
    from meltbook.classroom.names import Stage
    from meltbook.workbook.paper import Paper

SHEETS_NAME = "data-sheets.xlsx"
_LABEL, _NUMBER, _UNIT = 38.0, 15.0, 24.0
_LINE_PIXELS = 30
"""Room to write in."""


def data_sheets_bytes(handouts: Sequence[Handout], *, paper: Paper = "Letter") -> bytes:
    """The bytes of a workbook with one page for each student."""
    taken: set[str] = set()
    tabs = [_page(handout, taken) for handout in handouts]
    return listing_bytes(tabs, title=f"Data sheets: {in_units(handouts[0], handouts[0].exercise.title)}", paper=paper)


def _page(handout: Handout, taken: set[str]) -> Tab:
    exercise = handout.exercise
    stages = [stage for stage in names.ASKING if names.blank_steps(exercise, stage)]
    heights: dict[int, int] = {}
    rows: list[Row] = [(Entry(handout.student.name, manner="heading", ruled=False),), ()]
    if exercise.given:
        rows.append(heads(("Given", *(SHEET_NAMES[stage] for stage in stages), "Unit"), left=(0, len(stages) + 1)))
        rows += (_given(handout, stages, place) for place in range(len(exercise.given)))
        rows.append(())
    for table in exercise.tables:
        for stage in stages:
            rows += _table(handout, stage, table)
    titles = ("Write your answers here", *(SHEET_NAMES[stage] for stage in stages), "Unit, how near")
    rows.append(heads(titles, left=(0, len(stages) + 1)))
    for step in exercise.steps:
        heights[len(rows)] = _LINE_PIXELS
        rows.append(_line(handout, stages, step))
    columns = max([0, *(len(table.columns) for table in exercise.tables)])
    widths = [_LABEL, *(_NUMBER for _ in stages), _UNIT]
    widths += [_NUMBER] * (columns - len(widths))
    return Tab(
        tab_name(handout.student.name, taken),
        in_units(handout, exercise.title),
        "Your own numbers. The worked example is in your workbook.",
        tuple(widths),
        rows,
        one_page=True,
        heights=heights,
    )


def _given(handout: Handout, stages: Sequence[Stage], place: int) -> Row:
    given = handout.exercise.given[place]
    unit = in_units(handout, given.unit)
    values = [handout.stages[stage].values[given.name] for stage in stages]
    shape = given_shape(handout, given, *values)
    return (
        Entry(in_units(handout, given.label), manner="question", wraps=True),
        *(Entry(value, shape) for value in values),
        Entry(unit, manner="unit"),
    )


def _table(handout: Handout, stage: Stage, table: GivenTable) -> Iterator[Row]:
    yield (Entry(f"{in_units(handout, table.label)}: {SHEET_NAMES[stage]}", manner="heading", ruled=False),)
    worded = tuple(place for place, column in enumerate(table.columns) if column.words)
    titles = ("\n".join(filter(None, (column.label, column.unit))) for column in table.columns)
    yield heads([in_units(handout, title) for title in titles], left=worded)
    values = [handout.stages[stage].columns[f"{table.name}_{column.name}"] for column in table.columns]
    for row in range(table.rows):
        yield tuple(_cell(handout, column, found[row]) for column, found in zip(table.columns, values, strict=True))
    yield ()


def _cell(handout: Handout, column: Column, value: float | str | None) -> Entry:
    if isinstance(value, str):
        return Entry(value, manner="label")
    return Entry(value, column_shape(handout, column))


def _line(handout: Handout, stages: Sequence[Stage], step: Step) -> Row:
    """A step, and for each stage a line to write on where it is asked for."""
    unit = in_units(handout, step.unit)
    if step.by == "choice":
        about = " / ".join(in_units(handout, word) for word in step.choices)
    else:
        about = ", ".join(filter(None, (unit, "a guess" if step.by == "guess" else nearest_text(step))))
    asked = [step in names.blank_steps(handout.exercise, stage) for stage in stages]
    return (
        Entry(in_units(handout, step.label), manner="question", wraps=True),
        *(
            Entry(None if is_asked else "–", Shape.TEXT, "line" if is_asked else "unit", right=True)
            for is_asked in asked
        ),
        Entry(about, manner="measure", wraps=True),
    )
