"""What a piece must bring at the least, what its maker earns with it, and what is not counted in it yet.

The lowest cost holds only what one more piece makes the studio spend: glass, colour, one more charge's energy
and wear, pay by the hour, equipment that the piece drives. Below it, each piece sold takes money out of the
shop.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table

A_PIECE = "{currency} a piece"
NOT_COUNTED = "Not counted yet: "


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """No single figures: all of it is per piece."""
    return ()


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The lowest cost, the maker's own time and the words for what is missing, in the rows of the pieces."""
    return (
        Table(
            "piece_low",
            "What a piece must bring at the least",
            (*_lowest_cost(), *_own_time(), *_missing()),
            rows=ctx.capacity.pieces,
            aligned="pieces",
        ),
    )


def _lowest_cost() -> tuple[Item, ...]:
    return (
        Figure(
            "low_hands",
            "Hired hands",
            Shape.MONEY,
            unit=A_PIECE,
            note="Labour at the bench that is paid by the hour.",
            formula="SUM(cost_gaffer)*gaffer_hired+cost_first*first_hired+cost_second*second_hired",
            blank_if="piece_name",
        ),
        Figure(
            "low_loads",
            "Driven loads",
            Shape.MONEY,
            unit=A_PIECE,
            note="The part of a load of glory hole and other equipment, where they go by loads.",
            formula="SUM(piece_load_part)*(equipment_driven_load.1+equipment_driven_load.3)",
            blank_if="piece_name",
        ),
        Figure(
            "low_equipment",
            "Driven equipment",
            Shape.MONEY,
            unit=A_PIECE,
            note="Glory hole and other equipment, where a piece drives them.",
            formula="piece_glory_used*equipment_driven_minute.1"
            "+SUM(piece_other_minutes)*equipment_driven_minute.3+low_loads",
            blank_if="piece_name",
        ),
        Figure(
            "low_hot",
            "Least at the bench",
            Shape.MONEY,
            unit=A_PIECE,
            note="One more charge's energy and wear, raw glass, colour, hired hands, driven equipment, materials.",
            formula="piece_drawn_used*low_rate+SUM(cost_glass,cost_colour,low_hands,low_equipment,cost_materials)",
            needs=("piece_drawn_used", "low_rate"),
        ),
        Figure(
            "low_kiln",
            "Least from the kiln on",
            Shape.MONEY,
            unit=A_PIECE,
            note="Annealing where a piece drives it, and off-bench work that is paid by the hour.",
            formula="SUM(piece_minutes)*equipment_driven_minute.2+SUM(piece_load_part)*equipment_driven_load.2"
            "+cost_off*off_hired",
            blank_if="piece_name",
        ),
        Figure(
            "low_good",
            "Least for a good one",
            Shape.MONEY,
            unit=A_PIECE,
            note="With the losses and packing: what one more good piece makes you spend.",
            formula="(low_hot+kiln_share*low_kiln-seconds_credit)/good_share+cost_packing",
            needs=("low_hot",),
            nonzero=("good_share",),
        ),
    )


def _own_time() -> tuple[Item, ...]:
    return (
        Figure(
            "own_cost_hot",
            "Own pay, bench",
            Shape.MONEY,
            unit=A_PIECE,
            note="The gaffer's line, where the gaffer is the owner.",
            formula="cost_gaffer*(1-gaffer_hired)",
            needs=("cost_gaffer",),
        ),
        Figure(
            "own_cost_kiln",
            "Own pay, off-bench",
            Shape.MONEY,
            unit=A_PIECE,
            note="The off-bench line, where the owner does it.",
            formula="cost_off*(1-off_hired)",
            blank_if="piece_name",
        ),
        Figure(
            "cost_not_own",
            "All but own pay",
            Shape.MONEY,
            unit=A_PIECE,
            note="The cost of a good one without the owner's own time.",
            formula="(spent_started-own_cost_hot-kiln_share*own_cost_kiln-seconds_credit)/good_share+cost_packing",
            needs=("spent_started",),
            nonzero=("good_share",),
        ),
        Figure(
            "bench_hours_good",
            "Bench hours",
            Shape.HOURS,
            unit="hours a good piece",
            note="Bench time for one good piece, the lost ones' time with it.",
            formula="piece_minutes/60/good_share",
            needs=("piece_minutes", "good_share"),
            nonzero=("good_share",),
        ),
        Figure(
            "own_hours_good",
            "Own hours",
            Shape.HOURS,
            unit="hours a good piece",
            note="The owner's hours for one good piece, off-bench too, with the paid hours around the bench.",
            formula="(piece_minutes/60*paid_used*(1-gaffer_hired)"
            "+kiln_share*SUM(piece_off_minutes)/60*(1-off_hired))/good_share",
            needs=("piece_minutes", "good_share"),
            nonzero=("good_share",),
        ),
    )


def _missing() -> tuple[Item, ...]:
    def word(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.TEXT, note=note, formula=formula, blank_if="piece_name")

    return (
        word(
            "miss_rent",
            "Rent missing",
            "Until there is an overhead line and the hours to spread it over.",
            'IF(overhead_known=0,", rent","")',
        ),
        word(
            "miss_losses",
            "Losses missing",
            "Until the share lost at the bench is typed, or 0.",
            'IF(ISNUMBER(piece_loss),"",", losses")',
        ),
        word(
            "miss_annealing",
            "Annealing missing",
            "Until the annealer's cost is typed, and the piece's part of a load where it goes by loads.",
            'IF(equipment_known.2=0,", annealing",'
            'IF(AND(equipment_load.2>0,COUNT(piece_load_part)=0),", annealing",""))',
        ),
        word(
            "miss_wear",
            "Wear missing",
            "Until pots and elements are known, or set to none.",
            'IF(ISNUMBER(price_wear),"",", wear")',
        ),
        word(
            "miss_glass",
            "Raw glass missing",
            "Until the piece's glass drawn and the price of its glass are known.",
            'IF(ISNUMBER(cost_glass),"",", raw glass")',
        ),
        word(
            "miss_own",
            "Ownership missing",
            "Until the furnace's own cost is typed, or 0.",
            'IF(own_known=0,", ownership","")',
        ),
        Figure(
            "piece_missing_list",
            "Missing words",
            Shape.TEXT,
            note="The words above, one after the other.",
            formula="miss_rent&miss_losses&miss_annealing&miss_wear&miss_glass&miss_own",
        ),
        word(
            "miss_furnace",
            "Furnace missing",
            "Until the furnace that the piece is drawn from has a cost.",
            'IF(ISNUMBER(furnace_rate),"",", furnace: no cost yet")',
        ),
        word(
            "miss_units",
            "Part of it missing",
            "Until what the furnace is shared by is typed for the piece.",
            'IF(OR(SUM(piece_units_known)>0,furnace_by="Bench minutes"),"",'
            'IF(furnace_by="Gathers",", gathers",", glass drawn"))',
        ),
        word(
            "miss_work",
            "Work missing",
            "Until the bench minutes and the gaffer's rate are typed.",
            'IF(ISNUMBER(cost_gaffer),"",IF(ISNUMBER(piece_minutes),", the gaffer\'s rate",", bench minutes"))',
        ),
        Figure(
            "piece_lacks",
            "Missing words used",
            Shape.TEXT,
            note="While there is no cost at all only what keeps it from being one.",
            formula="IF(ISNUMBER(cost_good),piece_missing_list,miss_furnace&miss_units&miss_work)",
        ),
        Figure(
            "piece_missing",
            "Not counted yet",
            Shape.TEXT,
            note="What to type, or to set to 0, before this cost is complete.",
            formula=f'"{NOT_COUNTED}"&RIGHT(piece_lacks,LEN(piece_lacks)-2)',
            blank_if="piece_lacks",
        ),
        Figure(
            "piece_final",
            "Cost is complete",
            Shape.COUNT,
            note="1 if nothing is missing; only such pieces are printed on the price list.",
            formula='IF(AND(ISNUMBER(cost_good),piece_missing_list=""),1,0)',
        ),
    )
