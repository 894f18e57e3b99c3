"""What pieces and bills read of several furnaces: a piece its own, a bill all that run on its source."""

from __future__ import annotations

from meltbook.fields.furnaces import PER_WEIGHT, Many
from meltbook.fields.kernel import Figure, Input, Shape, Table, Typed
from meltbook.fields.machine_row import AS_BILLED

BY_PIECE: tuple[tuple[str, str, Shape, str], ...] = (
    ("furnace_rate", "Furnace rate", Shape.RATE, "{currency} each"),
    ("gather_weight_used", "Glass in one gather", Shape.WEIGHT, "{weight}"),
    ("low_rate", "One more weight drawn", Shape.RATE, PER_WEIGHT),
    ("price_wear", "Pots and elements", Shape.RATE, PER_WEIGHT),
    ("own_known", "Ownership is known", Shape.COUNT, ""),
    ("rate_after", "Furnace rate after", Shape.RATE, "{currency} each"),
)
"""What a piece reads of its furnace."""

_BLANK = '""'
_NOWHERE = {"own_known": "0"}
"""What is read of a furnace that there isn't, where that is not nothing at all."""


def by_piece(rows: int) -> Table:
    """The furnace of each piece, and what the piece reads of it."""
    return Table(
        "piece_furnaces",
        "Furnaces of the pieces",
        (
            Figure(
                "piece_furnace_row",
                "Furnace by number",
                Shape.COUNT,
                note="The first where none is named; 0 if none is called so.",
                formula='IF(piece_furnace="",1,IFERROR(MATCH(piece_furnace,furnace_called.all,0),0))',
            ),
            *(
                Figure(
                    f"here_{name}",
                    label,
                    shape,
                    unit=unit,
                    note="Of the piece's furnace.",
                    formula=f"IF(piece_furnace_row=0,{_NOWHERE.get(name, _BLANK)},"
                    f"INDEX(each_{name}.all,piece_furnace_row))",
                )
                for name, label, shape, unit in BY_PIECE
            ),
            Figure(
                "here_gathered",
                "Gathered",
                Shape.WEIGHT,
                unit="{weight}",
                note="Gathers × the weight of one, where the glass drawn is not typed. For Checks.",
                formula="(1-COUNT(piece_drawn))*SUM(piece_gathers)*SUM(here_gather_weight_used)",
            ),
        ),
        rows=rows,
        aligned="pieces",
    )


def piece_furnace() -> Input:
    """What a piece is drawn from."""
    return Input(
        "piece_furnace",
        "Furnace",
        Shape.TEXT,
        note="The name of the furnace that it is drawn from. Empty: the first one.",
        typed=Typed(choices_from="furnace_called"),
    )


def of_bills(many: Many, rows: int, *besides: Figure) -> Table:
    """What the furnaces on a bill's source used; ``besides`` is what else differs by it."""

    def together(name: str, label: str, shape: Shape, unit: str) -> Figure:
        first = "+".join(many.on("First", name))
        second = "+".join(many.on("Second", name))
        return Figure(
            f"all_{name}",
            label,
            shape,
            unit=unit,
            note="Of all furnaces on the source of the bill.",
            formula=f'IF(bill_source="Second",{second},{first})' if second else first,
            nonzero=("bill_given",),
        )

    return Table(
        "bill_furnaces",
        "Furnaces of the bills",
        (
            together("bill_furnace", "Furnaces", Shape.ENERGY, AS_BILLED),
            together("bill_waiting", "Waiting rows", Shape.COUNT, ""),
            together("bill_unlogged", "Days past the logs", Shape.DAYS, "days"),
            *besides,
        ),
        rows=rows,
        aligned="bills",
    )


def bill_source(second_unit: str) -> Input:
    """Whose bill it is, where there are two sources."""
    return Input(
        "bill_source",
        "Source",
        Shape.TEXT,
        note=f"First is billed in {{energy}}, Second in {second_unit}. Blank is First.",
        typed=Typed(choices=("First", "Second")),
    )
