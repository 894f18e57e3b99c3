"""What to price with: expected use at the price on the pricing date, and an ordinary year's ownership.

Pieces read only this side of the ladder, so that one bad pot or a slow year doesn't move every tag. Use,
units of wear and the mix of glasses come from the pricing window, the third row of the periods.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Item, Shape
from meltbook.fields.ladder import PER_WEIGHT

_WEIGHT = "period_weight.3"


def scalars() -> tuple[Item, ...]:
    """The steps of the priced ladder, its lines, and how far what happened differs."""
    return (*_amounts(), *_energy(), *_wear(), *_other(), *_lines(), *_gaps())


def _rate(
    name: str,
    label: str,
    note: str,
    formula: str,
    *,
    needs: tuple[str, ...] = (),
    nonzero: tuple[str, ...] = (),
) -> Figure:
    return Figure(name, label, Shape.RATE, unit=PER_WEIGHT, note=note, formula=formula, needs=needs, nonzero=nonzero)


def _amounts() -> tuple[Item, ...]:
    return (
        Figure(
            "year_weight",
            "Glass in an ordinary year, used",
            Shape.WEIGHT,
            unit="{weight}",
            note="As typed on {Shop}, else what the pricing window comes to in a year.",
            formula="IF(ISNUMBER(ordinary_weight),ordinary_weight,"
            f'IF(period_days.3=0,"",{_WEIGHT}*days_in_year/period_days.3))',
        ),
        Figure(
            "starts_a_weight",
            "Heat-ups per weight",
            Shape.FACTOR,
            unit="1/{weight}",
            note="Heat-ups for each weight of glass charged; over all time where the window holds none.",
            formula=f"IF(period_starts.3>0,period_starts.3/{_WEIGHT},period_starts.1/period_weight.1)",
            nonzero=(_WEIGHT,),
        ),
        Figure(
            "charges_a_weight",
            "Charges per weight",
            Shape.FACTOR,
            unit="1/{weight}",
            note="Charges for each weight of glass charged.",
            formula=f"period_charges.3/{_WEIGHT}",
            nonzero=(_WEIGHT,),
        ),
        Figure(
            "days_a_weight",
            "Hot days per weight",
            Shape.FACTOR,
            unit="1/{weight}",
            note="Hot days for each weight of glass charged.",
            formula=f"period_hot_days.3/{_WEIGHT}",
            nonzero=(_WEIGHT,),
        ),
    )


def _energy() -> tuple[Item, ...]:
    return (
        _rate(
            "price_charge",
            "One more charge, energy",
            "The extra energy of one more charge, from the pricing window.",
            "step_charge.3",
        ),
        _rate(
            "price_melt",
            "Melting and blowing days",
            "Energy of Charge and Blow days per weight × today's price.",
            f"(charge_use.3+blow_use.3)/{_WEIGHT}*price_now",
            needs=("price_now",),
            nonzero=(_WEIGHT,),
        ),
        _rate(
            "price_hot",
            "Every hot day",
            "Energy of all hot days per weight × today's price.",
            f"period_use.3/{_WEIGHT}*price_now",
            needs=("price_now",),
            nonzero=(_WEIGHT,),
        ),
        _rate(
            "price_standing",
            "Service and demand",
            "A year of today's service and demand charges ÷ the glass of an ordinary year.",
            "standing_now*days_in_year/year_weight",
            needs=("year_weight", "price_hot"),
            nonzero=("year_weight",),
        ),
    )


def _wear() -> tuple[Item, ...]:
    per = (
        ("price_wear_charge", "Wear by charges", "part_now_charges", "charges_a_weight", "charges"),
        ("price_wear_day", "Wear by hot days", "part_now_days", "days_a_weight", "hot days"),
        ("price_wear_start", "Wear by heat-ups", "part_now_starts", "starts_a_weight", "heat-ups"),
    )
    return (
        *(
            _rate(
                name,
                label,
                f"Of the parts whose life counts in {word}: cost now ÷ expected life × {word} per weight.",
                f'IF(wear_counted="None",0,IF(wear_now_known=0,"",SUM({rate}.all)*{units}))',
                needs=(units,),
            )
            for name, label, rate, units, word in per
        ),
        _rate(
            "price_wear",
            "Pots and elements",
            "All three together; blank until every part's cost and life is known, 0 if wear is not counted.",
            "price_wear_charge+price_wear_day+price_wear_start",
            needs=("price_wear_charge",),  # each of the three is known when the others are
        ),
    )


def _other() -> tuple[Item, ...]:
    return (
        _rate(
            "price_glass",
            "Raw glass",
            "The glasses of the pricing window in their mix, at their prices on Shop.",
            f'IF(raw_glass_known=1,SUMPRODUCT(glass_window_weight.all,glass_price_known.all)/{_WEIGHT},"")',
            nonzero=(_WEIGHT,),
        ),
        _rate(
            "price_own",
            "The furnace itself",
            "The furnace's yearly cost ÷ the glass of an ordinary year.",
            "own_yearly/year_weight",
            needs=("own_yearly", "year_weight"),
            nonzero=("year_weight",),
        ),
    )


def _lines() -> tuple[Item, ...]:
    steps = (
        ("line_standing", "price_hot", "standing", "With service and demand"),
        ("line_wear", "price_line_standing", "wear", "With pots and elements"),
        ("line_glass", "price_line_wear", "glass", "With raw glass"),
        ("line_own", "price_line_glass", "own", "Everything"),
    )
    return (
        *(
            _rate(
                f"price_{line}",
                label,
                "The line before with this step, where it is known.",
                f"{before}+SUM(price_{step})",
                needs=(before,),
            )
            for line, before, step, label in steps
        ),
        _rate(
            "price_line_sold",
            "In pieces that sell",
            "Everything ÷ the share that ends in pieces ÷ the share good: to read, never used for pieces.",
            "price_line_own/ends_share/share_good",
            needs=("price_line_own", "ends_share", "share_good"),
            nonzero=("ends_share", "share_good"),
        ),
    )


def _gaps() -> tuple[Item, ...]:
    steps = (
        ("charge", "One more charge"),
        ("melt", "Melting and blowing days"),
        ("hot", "Every hot day"),
        ("standing", "Service and demand"),
        ("wear", "Pots and elements"),
        ("glass", "Raw glass"),
        ("own", "The furnace itself"),
    )
    return tuple(
        _rate(
            f"gap_{step}",
            f"{label}, gap",
            "What happened over all time less what to price with.",
            f"step_{step}.1-price_{step}",
            needs=(f"step_{step}.1", f"price_{step}"),
        )
        for step, label in steps
    )
