"""What one piece costs, line by line.

Everything is counted for a piece that is *started*: the losses then raise the cost of those that come out
good. What is spent at the kiln and after reaches only the pieces that get there, where losses before and
after it are told apart. Packing is spent on good pieces alone.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table

A_PIECE = "{currency} a piece"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """No single figures: all of it is per piece."""
    return ()


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The lines of a piece's cost, in the rows of the pieces."""
    return (
        Table(
            "piece_costs",
            "What each piece costs",
            (*_glass(), *_labour(), *_other_lines(), *_losses(), *_good_piece()),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
    )


def _line(name: str, label: str, note: str, formula: str, *needs: str) -> Figure:
    """A line that reads what is typed about the piece: blank in a row without a name."""
    return Figure(
        name, label, Shape.MONEY, unit=A_PIECE, note=note, formula=formula, needs=needs, blank_if="piece_name"
    )


def _built(name: str, label: str, note: str, formula: str, *needs: str) -> Figure:
    """A line that is built from other lines, and blank where they are."""
    return Figure(name, label, Shape.MONEY, unit=A_PIECE, note=note, formula=formula, needs=needs)


def _glass() -> tuple[Item, ...]:
    return (
        Figure(
            "piece_drawn_used",
            "Glass drawn used",
            Shape.WEIGHT,
            unit="{weight}",
            note="As typed, or gathers × the weight of one.",
            formula="IF(ISNUMBER(piece_drawn),piece_drawn,IF(COUNT(piece_gathers,gather_weight_used)<2,"
            '"",piece_gathers*gather_weight_used))',
            blank_if="piece_name",
        ),
        Figure(
            "piece_units_known",
            "Units are known",
            Shape.COUNT,
            note="1 if what the furnace is shared by is typed for this piece.",
            formula='IF(furnace_by="Gathers",COUNT(piece_gathers),'
            'IF(furnace_by="Bench minutes",COUNT(piece_minutes),COUNT(piece_drawn_used)))',
            blank_if="piece_name",
        ),
        Figure(
            "piece_furnace_units",
            "Units of furnace",
            Shape.FACTOR,
            note="The piece's weight drawn, gathers or bench minutes, whichever the furnace is shared by.",
            formula='IF(furnace_by="Gathers",piece_gathers,'
            'IF(furnace_by="Bench minutes",piece_minutes,piece_drawn_used))',
            needs=("piece_units_known",),
            nonzero=("piece_units_known",),
        ),
        _built(
            "cost_furnace",
            "Furnace",
            "The piece's part of hot days, standing charges, wear and the furnace itself.",
            "piece_furnace_units*furnace_rate",
            "piece_furnace_units",
            "furnace_rate",
        ),
        Figure(
            "piece_glass_row",
            "Row of its glass",
            Shape.COUNT,
            note="Which raw glass on Shop; 0 if the name is not there.",
            formula='IF(piece_glass="",1,IFERROR(MATCH(piece_glass,glass_name.all,0),0))',
            blank_if="piece_name",
        ),
        Figure(
            "piece_glass_price",
            "Price of its glass",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="From Raw glass on Shop.",
            formula='IF(ISNUMBER(INDEX(glass_price.all,piece_glass_row)),INDEX(glass_price.all,piece_glass_row),"")',
            nonzero=("piece_glass_row",),
        ),
        Figure(
            "piece_returned",
            "Goes back in",
            Shape.WEIGHT,
            unit="{weight}",
            note="Glass drawn less the finished piece, × the part of it that is kept as cullet.",
            formula="MAX(0,piece_drawn_used-IF(ISNUMBER(piece_finished),piece_finished,piece_drawn_used))"
            "*SUM(piece_recovered)",
            needs=("piece_drawn_used",),
        ),
        _built(
            "cost_glass",
            "Raw glass",
            "Glass drawn less what goes back in the pot, at the price of its glass.",
            "(piece_drawn_used-piece_returned)*piece_glass_price",
            "piece_drawn_used",
            "piece_glass_price",
        ),
        _line(
            "cost_colour",
            "Colour",
            "Its weight, with what is wasted, at its price; 0 if empty.",
            "SUM(piece_colour_weight)*(1+SUM(piece_colour_waste))*SUM(piece_colour_price)",
        ),
    )


def _labour() -> tuple[Item, ...]:
    return (
        _line(
            "cost_gaffer",
            "Gaffer",
            "Bench minutes at the gaffer's rate, with the paid hours around them.",
            "piece_minutes/60*gaffer_rate*paid_used",
            "piece_minutes",
            "gaffer_rate",
        ),
        _line(
            "cost_first",
            "Assistant one",
            "The first assistant's minutes, with the paid hours around them.",
            "SUM(piece_first_minutes)/60*first_rate*paid_used",
        ),
        _line(
            "cost_second",
            "Assistant two",
            "The second assistant's minutes, with the paid hours around them.",
            "SUM(piece_second_minutes)/60*second_rate*paid_used",
        ),
        _line(
            "cost_off",
            "Off-bench work",
            "Cold working and other minutes away from the bench, at their rate.",
            "SUM(piece_off_minutes)/60*off_rate",
        ),
        _line(
            "cost_labour",
            "All labour",
            "Gaffer, assistants and off-bench work together.",
            "SUM(cost_gaffer,cost_first,cost_second,cost_off)",
        ),
    )


def _other_lines() -> tuple[Item, ...]:
    return (
        Figure(
            "piece_load_part",
            "Part of a load",
            Shape.SHARE,
            unit="of a load",
            note="As typed, or 1 ÷ pieces a load.",
            formula="IF(ISNUMBER(piece_load_share),piece_load_share,"
            'IF(SUM(piece_per_load)>0,1/SUM(piece_per_load),""))',
            blank_if="piece_name",
        ),
        Figure(
            "piece_glory_used",
            "Glory hole used",
            Shape.MINUTES,
            unit="minutes",
            note="Its minutes as typed, else the bench minutes.",
            formula="IF(ISNUMBER(piece_glory_minutes),piece_glory_minutes,SUM(piece_minutes))",
            blank_if="piece_name",
        ),
        _line(
            "cost_glory",
            "Glory hole",
            "Its minutes (or the bench minutes) at its cost a minute, or the part of a load.",
            "piece_glory_used*equipment_minute.1+SUM(piece_load_part)*equipment_load.1",
            "equipment_counted.1",
        ),
        _line(
            "cost_anneal",
            "Annealing",
            "Its part of a load, or of a day's cost by bench minutes.",
            "SUM(piece_minutes)*equipment_minute.2+SUM(piece_load_part)*equipment_load.2",
            "equipment_counted.2",
        ),
        _line(
            "cost_other",
            "Other equipment",
            "Its minutes at the cost a minute, or the part of a load.",
            "SUM(piece_other_minutes)*equipment_minute.3+SUM(piece_load_part)*equipment_load.3",
            "equipment_counted.3",
        ),
        _line("cost_materials", "Materials", "As typed; 0 if empty.", "SUM(piece_materials)"),
        _line(
            "cost_overhead",
            "Overhead",
            "Bench minutes at the overhead per bench hour of an ordinary year.",
            "piece_minutes/60*overhead_hour",
            "piece_minutes",
            "overhead_hour",
        ),
    )


def _losses() -> tuple[Item, ...]:
    return (
        _built(
            "spent_hot",
            "Spent at the bench",
            "All lines but annealing and off-bench work, for one piece started.",
            "SUM(cost_furnace,cost_glass,cost_colour,cost_gaffer,cost_first,cost_second,"
            "cost_glory,cost_other,cost_materials,cost_overhead)",
            "cost_furnace",
            "cost_gaffer",
        ),
        _line("spent_kiln", "Spent from the kiln on", "Annealing and off-bench work.", "SUM(cost_anneal,cost_off)"),
        Figure(
            "kiln_share",
            "Reach the kiln",
            Shape.SHARE,
            unit="of those started",
            note="What gets as far as the annealer, if losses after it are told apart; else all.",
            formula="1-IF(ISNUMBER(piece_loss_after),SUM(piece_loss),0)",
            blank_if="piece_name",
        ),
        Figure(
            "good_share",
            "Come out good",
            Shape.SHARE,
            unit="of those started",
            note="After the losses at the bench and those after it.",
            formula="(1-SUM(piece_loss))*(1-SUM(piece_loss_after))",
            blank_if="piece_name",
        ),
        _line(
            "seconds_credit",
            "Seconds bring",
            "What the seconds among the lost bring, for each piece started.",
            "SUM(piece_loss)*SUM(piece_seconds)*SUM(piece_second_value)"
            "+(1-SUM(piece_loss))*SUM(piece_loss_after)*SUM(piece_seconds_after)*SUM(piece_second_value_after)",
        ),
    )


def _good_piece() -> tuple[Item, ...]:
    return (
        _built(
            "spent_started",
            "Spent on one started",
            "What one piece started costs; annealing and off-bench work only for those that get there.",
            "spent_hot+kiln_share*spent_kiln",
            "spent_hot",
        ),
        Figure(
            "cost_before_packing",
            "Before packing",
            Shape.MONEY,
            unit=A_PIECE,
            note="Spent on one started, less what seconds bring, carried by the good ones.",
            formula="(spent_started-seconds_credit)/good_share",
            needs=("spent_started",),
            nonzero=("good_share",),
        ),
        _built(
            "cost_loss",
            "Losses",
            "What the lost ones add to a good one.",
            'IF(COUNT(piece_loss,piece_loss_after)=0,"",cost_before_packing-spent_hot-spent_kiln)',
            "cost_before_packing",
        ),
        _line("cost_packing", "Packing", "As typed; 0 if empty.", "SUM(piece_packing)"),
        _built(
            "cost_good",
            "Cost of a good one",
            "All that a good piece has to bring in before anything is earned with it.",
            "cost_before_packing+cost_packing",
            "cost_before_packing",
        ),
        _built(
            "cost_lines",
            "Lines added up",
            "The same from its lines, for Checks.",
            "SUM(cost_furnace,cost_glass,cost_colour,cost_labour,cost_glory,cost_anneal,cost_other,"
            "cost_materials,cost_overhead,cost_loss,cost_packing)",
            "cost_good",
        ),
    )
