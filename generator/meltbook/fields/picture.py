"""One piece's tag, taken apart: what goes where, and what is left.

The slices of a tag add up to it: each line of the good piece's cost, what the way of selling takes, what is
left, and the tax that may be in it.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table

A_PIECE = "{currency} a piece"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Which piece, and its slices."""
    return (*_chosen(), *_cost_slices(), *_price_slices())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """No tables: the picture is of one piece."""
    return ()


def _at(column: str) -> str:
    return f"INDEX({column}.all,picture_row)"


def _chosen() -> tuple[Item, ...]:
    return (
        Figure(
            "picture_row",
            "Row of the piece",
            Shape.COUNT,
            note="The piece chosen on Shop; the first if none is chosen or the name is not there.",
            formula='IF(picture_piece="",1,IFERROR(MATCH(picture_piece,piece_name.all,0),1))',
        ),
        Figure(
            "picture_name",
            "Piece",
            Shape.TEXT,
            note="Its name.",
            formula=f'IF({_at("piece_name")}="","",{_at("piece_name")})',
        ),
        Figure(
            "picture_plain",
            "Tag before tax",
            Shape.MONEY,
            unit=A_PIECE,
            note="Its tag in force without the tax that may be in it.",
            formula=_at("tag_plain"),
        ),
        Figure(
            "picture_cost",
            "Cost of a good one",
            Shape.MONEY,
            unit=A_PIECE,
            note="All its costs.",
            formula=_at("cost_good"),
        ),
        Figure(
            "picture_net",
            "You get",
            Shape.MONEY,
            unit=A_PIECE,
            note="What the way of selling that pieces are ranked by leaves of it; blank where it isn't sold so.",
            formula=f'IF({_at("rank_sold")}=0,"",picture_plain*rank_factor-rank_costs-rank_replaced*picture_cost)',
            needs=("picture_plain", "picture_cost"),
        ),
    )


def _slice(name: str, label: str, note: str, formula: str) -> Figure:
    return Figure(f"slice_{name}", label, Shape.MONEY, unit=A_PIECE, note=note, formula=formula, needs=("picture_net",))


def _cost_slices() -> tuple[Item, ...]:
    return (
        _slice(
            "glass",
            "Raw glass",
            "0 where its price is not known yet.",
            f"IF(ISNUMBER({_at('cost_glass')}),{_at('cost_glass')},0)",
        ),
        _slice("furnace", "Furnace", "Energy, standing charges, wear, the furnace itself.", _at("cost_furnace")),
        _slice("colour", "Colour", "With what is wasted.", _at("cost_colour")),
        _slice("labour", "Labour", "Gaffer, assistants and off-bench work.", _at("cost_labour")),
        _slice(
            "equipment",
            "Equipment",
            "Glory hole, annealing and other.",
            "+".join(
                f"SUMIF(piece_position.all,picture_row,{line}.all)"
                for line in ("cost_glory", "cost_anneal", "cost_other")
            ),
        ),
        _slice("materials", "Materials", "Fittings and such.", _at("cost_materials")),
        _slice("overhead", "Overhead", "Rent and all that comes whether you blow or not.", _at("cost_overhead")),
        _slice("losses", "Losses", "What the lost ones add.", _at("cost_loss")),
        _slice("packing", "Packing", "Box and paper.", _at("cost_packing")),
    )


def _price_slices() -> tuple[Item, ...]:
    return (
        _slice(
            "channel",
            "Way of selling",
            "Commission, fees, postage and what does not arrive.",
            "picture_plain-picture_net",
        ),
        _slice("left", "Left after costs", "What the studio earns with it.", "picture_net-picture_cost"),
        _slice("tax", "Sales tax", "The tax in the tag.", "slice_tag-picture_plain"),
        _slice("tag", "Tag", "All of it.", _at("tag_in_force")),
    )
