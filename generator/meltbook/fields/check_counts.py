"""What the checks count with: texts where numbers belong, what a book needs, faults of single pieces.

Which cells ask for a number is not written down here a second time: it follows from the inputs that the other
chapters declare, so that a new input is watched from its first day.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from types import ModuleType

from meltbook.fields import (
    bills,
    decisions,
    energy,
    equipment,
    hire,
    letter,
    machines,
    melt,
    meter,
    pieces,
    prices,
    shop,
    tariff,
    wear,
)
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.fields.sheet_names import marked
from meltbook.studio.capacity import CHANNEL_SLOTS

WATCHED: tuple[ModuleType, ...] = (
    shop,
    meter,
    energy,
    melt,
    equipment,
    prices,
    tariff,
    wear,
    pieces,
    letter,
    decisions,
    bills,
    machines,
    hire,
)
"""Chapters whose numbers are typed. The log is not among them: it says on each row what is wrong with it."""

ON_OTHER_SHEETS: dict[ModuleType, str] = {
    letter: "New tariff",
    decisions: "Decisions",
    bills: "Bill check",
    hire: "Hire and classes",
}
"""Where a chapter's single figures are typed, if it isn't Shop, as ``sheet_names`` has it."""

LONGEST_FORMULA = 160
ROWS_BELOW = 60
"""How far below the log's last row something typed by mistake is looked for."""

NEEDS: tuple[tuple[str, str], ...] = (
    ("Connected kW or the use of each kind of day, on {Shop}", "IF(AND(log_rows_used>0,energy_known=0),1,0)"),
    ("A date and a price, on {Tariffs}", "IF(AND(log_rows_used>0,COUNT(tariff_newest)=0),1,0)"),
    ("The gaffer's rate, on Shop", "IF(AND(pieces_named>0,COUNT(gaffer_rate)=0),1,0)"),
    ("A way of selling that must earn its margin, on Shop", "IF(AND(pieces_named>0,must_count=0),1,0)"),
    ("The share of the charge that is drawn, on {Shop}", "IF(AND(pieces_named>0,SUM(share_drawn)=0),1,0)"),
    ("The step that tags go up in, on Shop", "IF(AND(pieces_named>0,SUM(tag_step)<=0),1,0)"),
    ("The weight charged, on {Furnace log}", "IF(AND(charge_days.1>0,period_weight.1=0),1,0)"),
)
"""What is missing, and where; 1 once the book is used far enough to need it."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Counts over the log that a single check needs."""
    return (
        Fixed(
            "columns_watched",
            "Log columns watched",
            Shape.COUNT,
            note="So many columns of the log are watched for formulas that are gone.",
            values=(5,),
        ),
        _unknown("rank_unknown", "Way of selling not found", "rank_channel", "channel_name"),
        _unknown("picture_unknown", "Piece not found", "picture_piece", "piece_name"),
        Figure(
            "new_meter_unread",
            "New meters unread",
            Shape.COUNT,
            note="New meter rows without the new meter's first reading.",
            formula="COUNTIFS(row_kind.all,new_meter_kind)"
            '-COUNTIFS(row_kind.all,new_meter_kind,log_reading.all,">=0")'
            '-COUNTIFS(row_kind.all,new_meter_kind,log_reading.all,"<0")',
        ),
    )


def _unknown(name: str, label: str, chosen: str, among: str) -> Figure:
    formula = f'IF({chosen}="",0,IFERROR(0*MATCH({chosen},{among}.all,0),1))'
    return Figure(name, label, Shape.COUNT, note="1 if a name is chosen that isn't in the list.", formula=formula)


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Small tables of counts, and the rows below the log."""
    return (_number_watch(ctx), _needs(), _kind_sums(ctx), _piece_checks(ctx), _below())


def _number_watch(ctx: BookContext) -> Table:
    groups = tuple(_groups(ctx))
    return Table(
        "number_watch",
        "Where numbers belong",
        (
            Fixed("number_where", "Cells", Shape.TEXT, values=tuple(where for where, _ in groups)),
            Figure(
                "number_texts",
                "Texts found",
                Shape.COUNT,
                note="Cells that ask for a number and hold something else.",
                formulas=tuple(formula for _, formula in groups),
            ),
            Figure(
                "number_bad",
                "To look at",
                Shape.COUNT,
                note="1 if there is any.",
                formula="MIN(1,number_texts)",
            ),
        ),
        rows=len(groups),
    )


def _groups(ctx: BookContext) -> Iterator[tuple[str, str]]:
    """Cells that ask for numbers, as many together as one formula can count, with where they are."""
    for chapter in WATCHED:
        alone = (
            ON_OTHER_SHEETS.get(chapter, "Shop"),
            [(item.label, item.name) for item in _numbers(chapter.scalars(ctx))],
        )
        columns = [
            (table.label, [(item.label, f"{item.name}.all") for item in _numbers(table.columns)])
            for table in chapter.tables(ctx)
        ]
        for place, cells in (alone, *columns):
            yield from _packed(marked(place), cells)


def _numbers(items: Iterable[Item]) -> list[Item]:
    return [item for item in items if isinstance(item, Input) and item.shape is not Shape.TEXT]


def text_cells(cells: Iterable[str]) -> str:
    """The formula for how many of some cells hold a text."""
    names = ",".join(cells)
    return f"COUNTA({names})-COUNT({names})"


def _packed(place: str, cells: list[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """One formula for as many cells as fit: what is there at all less what is a number."""

    def formula(some: list[tuple[str, str]]) -> str:
        return text_cells(name for _, name in some)

    taken: list[tuple[str, str]] = []
    for cell in cells:
        if taken and len(formula([*taken, cell])) > LONGEST_FORMULA:
            yield f"{place}: {', '.join(label for label, _ in taken)}", formula(taken)
            taken = []
        taken.append(cell)
    if taken:
        yield f"{place}: {', '.join(label for label, _ in taken)}", formula(taken)


def _needs() -> Table:
    return Table(
        "need_list",
        "What the book can't do without",
        (
            Fixed("need_what", "What", Shape.TEXT, values=tuple(what for what, _ in NEEDS)),
            Figure(
                "need_missing",
                "Is missing",
                Shape.COUNT,
                note="1 if it is needed by now and isn't there.",
                formulas=tuple(formula for _, formula in NEEDS),
            ),
        ),
        rows=len(NEEDS),
    )


def _kind_sums(ctx: BookContext) -> Table:
    return Table(
        "kind_sums",
        "Days by kind",
        (
            Fixed(
                "kind_number",
                "Kind by number",
                Shape.COUNT,
                note="As the log numbers the kinds of day.",
                values=tuple(range(1, ctx.capacity.day_kinds + 1)),
            ),
            Figure(
                "kind_days_logged",
                "Days logged",
                Shape.DAYS,
                unit="days",
                note="Days of this kind in the whole log.",
                formula="SUMIFS(row_days.all,row_kind.all,kind_number)",
            ),
        ),
        rows=ctx.capacity.day_kinds,
        aligned="day_kinds",
    )


def _piece_checks(ctx: BookContext) -> Table:
    return Table(
        "piece_checks",
        "Checks of each piece",
        (
            Figure(
                "piece_twice",
                "Name twice",
                Shape.COUNT,
                note="1 if another row has the same name.",
                formula='IF(piece_name="",0,IF(SUMPRODUCT((piece_name.all=piece_name)*(piece_position.all>0))>1,1,0))',
            ),
            Figure(
                "piece_nameless",
                "No name",
                Shape.COUNT,
                note="1 if glass, minutes, a tag or the like is typed in a row without a name.",
                formula='IF(piece_name="",MIN(1,COUNTA(piece_size,piece_glass,piece_drawn,piece_gathers,'
                "piece_finished,piece_materials,piece_minutes,piece_loss,piece_made,piece_tag)),0)",
            ),
            Figure(
                "tag_losing",
                "Tag too low",
                Shape.COUNT,
                note="1 if the tag typed is below the lowest price.",
                formula="IF(COUNT(piece_tag,lowest_worst)<2,0,IF(piece_tag<lowest_worst-close_enough,1,0))",
            ),
            Figure(
                "sold_nowhere_row",
                "Sold nowhere",
                Shape.COUNT,
                note="1 if there are ways of selling and it is sold in none of them, nor kept off the list.",
                formula='IF(AND(piece_name<>"",piece_listed<>"No",SUM(channel_used.all)>0,'
                f"SUM({','.join(f'sells_{slot}' for slot in CHANNEL_SLOTS)})=0),1,0)",
            ),
        ),
        rows=ctx.capacity.pieces,
        aligned="pieces",
    )


def _below() -> Table:
    note = "Nothing belongs here: rows below the line are not counted."
    return Table(
        "log_below",
        "Below the log",
        (
            Input("log_below_date", "Below: first day", Shape.DATE, note=note, typed=Typed()),
            Input("log_below_kind", "Below: kind of day", Shape.TEXT, note=note, typed=Typed()),
        ),
        rows=ROWS_BELOW,
    )
