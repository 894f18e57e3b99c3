"""Charts from their declarations.

Titles are fixed words, categories carry their amount as text where the sheet wants it, and every chart has
a text for those who can't see it. Fills are told apart by lightness as well as by hue, and have a dark
outline.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from meltbook.errors import DeclarationError
from meltbook.sheets.kernel import Picture, Span
from meltbook.workbook.placement import Placement, unknown_name
from meltbook.workbook.style import DATA, GREY, GRID, INK, NAVY

_TYPES: Mapping[str, dict[str, str]] = {
    "bar": {"type": "bar"},
    "stacked bar": {"type": "bar", "subtype": "stacked"},
    "waterfall": {"type": "bar", "subtype": "stacked"},
    "column": {"type": "column"},
    "stacked column": {"type": "column", "subtype": "stacked"},
    "line": {"type": "line"},
}

_FEW_POINTS = 15
_NAMES, _TITLE, _AXIS, _LEGEND = 150, 38, 28, 42
"""Room beside and above lying bars, and below them, in pixels."""

Range = list[str | int]
"""A range as XlsxWriter takes it: sheet, first row, first column, last row, last column."""


def chart_range(span: Span, placement: Placement, rows: int | None = None) -> Range:
    """The cells of a span: the data rows of a column, or named cells that stand next to one another."""
    if isinstance(span, str):
        if span not in placement.columns:
            raise unknown_name(span, placement.columns, "a chart")
        column = placement.columns[span]
        last = column.first + (min(rows, column.rows) if rows else column.rows) - 1
        return [column.sheet, column.first, column.col, last, column.col]
    for name in span:
        if name not in placement.scalars:
            raise unknown_name(name, placement.scalars, "a chart")
    spots = [placement.scalars[name] for name in span]
    first, last_spot = spots[0], spots[-1]
    down = [(first.sheet, first.row + step, first.col) for step in range(len(spots))]
    across = [(first.sheet, first.row, first.col + step) for step in range(len(spots))]
    if [(spot.sheet, spot.row, spot.col) for spot in spots] not in (down, across):
        raise DeclarationError(f"a chart's cells must stand next to one another, in order: {', '.join(span)}")
    return [first.sheet, first.row, first.col, last_spot.row, last_spot.col]


def _cells(span: Range) -> int:
    _, top, left, bottom, right = span
    return int(bottom) - int(top) + int(right) - int(left) + 1


def make_chart(book: Any, picture: Picture, placement: Placement, width: int, height: int) -> Any:
    """A chart of the workbook ``book``, not yet put on a sheet."""
    chart = book.add_chart(dict(_TYPES[picture.kind]))
    categories = chart_range(picture.categories, placement, picture.rows)
    shown = 0
    for series in picture.series:
        colour = series.colour or DATA[shown % len(DATA)]
        shown += not series.hidden
        options: dict[str, Any] = {
            "name": series.label,
            "categories": categories,
            "values": chart_range(series.values, placement, picture.rows),
        }
        if series.hidden:
            options |= {"fill": {"none": True}, "border": {"none": True}}
        elif picture.kind == "line":
            options |= _line(colour, shown, _cells(options["values"]))
        else:
            options |= {"fill": {"color": colour}, "border": {"color": INK, "width": 0.5}}
        if picture.kind != "line":
            options["gap"] = 40
        if picture.kind == "waterfall" and not series.hidden:
            # The last bar is what the others come to.
            count = _cells(options["values"])
            last = {"fill": {"color": NAVY}, "border": {"color": INK, "width": 0.5}}
            options["points"] = [None] * (count - 1) + [last]
        chart.add_series(options)
    _dress(chart, picture, width, height, shown)
    return chart


def _line(colour: str, number: int, points: int) -> dict[str, Any]:
    """How a line is drawn: the second one dashed, so that they are told apart without colour."""
    line: dict[str, Any] = {"color": colour, "width": 2.25}
    if number > 1:
        line["dash_type"] = "dash"
    if points > _FEW_POINTS:  # marks that touch one another hide the line
        return {"line": line, "marker": {"type": "none"}}
    mark = {"type": "circle", "size": 4, "fill": {"color": colour}, "border": {"color": colour}}
    return {"line": line, "marker": mark}


def _dress(chart: Any, picture: Picture, width: int, height: int, shown: int) -> None:
    font = {"name": "Arial", "size": 10, "color": INK}
    chart.set_title(
        {
            "name": picture.title,
            "name_font": {"name": "Arial", "size": 11, "bold": True, "color": NAVY},
            "overlay": False,
        }
    )
    lying = picture.kind in ("bar", "stacked bar", "waterfall")
    names = {
        "num_font": font,
        "num_format_linked": True,
        "line": {"color": GREY, "width": 0.75},
        "major_gridlines": {"visible": False},
        "major_tick_mark": "none",
    }
    amounts = {
        "num_font": font,
        "num_format": "General",
        "line": {"none": True},
        "major_gridlines": {"visible": True, "line": {"color": GRID, "width": 0.5}},
    }
    if picture.percent:
        names |= {"num_format": "0%", "num_format_linked": False}
    if picture.axis:
        amounts |= {"name": picture.axis, "name_font": {**font, "bold": False}}
    if lying:
        # The first category on top, and each of them named: a program may leave names out that seem too close.
        names |= {"reverse": True, "interval_unit": 1}
        amounts |= {"label_position": "high"}
        # Left to themselves, programs cut the last number of the axis off, or shrink the bars.
        plot = height - _TITLE - _AXIS - (_LEGEND if shown > 1 else 0)
        room = {"x": _NAMES / width, "y": _TITLE / height, "width": 0.95 - _NAMES / width, "height": plot / height}
        chart.set_plotarea({"layout": room, "fill": {"none": True}})
        chart.set_y_axis(names)  # XlsxWriter turns the axes of a bar chart with the bars
        chart.set_x_axis(amounts)
    else:
        chart.set_plotarea({"fill": {"none": True}})
        chart.set_x_axis(names)
        chart.set_y_axis(amounts)
    if shown > 1:
        hidden = [place for place, series in enumerate(picture.series) if series.hidden]
        legend: dict[str, Any] = {"position": "bottom", "font": font}
        chart.set_legend(legend | ({"delete_series": hidden} if hidden else {}))
    else:
        chart.set_legend({"none": True})
    chart.set_chartarea({"border": {"none": True}, "fill": {"none": True}})
    chart.set_size({"width": width, "height": height})
