"""The cost of glass as a ladder: what happened in each period, step by step, per weight charged.

Each step is a column of the periods' table. The rows for all time and for the owner's dates are repeated as
single figures, which stand side by side with what to price with on the sheet that people read.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Item, Shape

PER_WEIGHT = "{currency}/{weight}"

STEPS: tuple[tuple[str, str, str], ...] = (
    ("charge", "step_charge", "One more charge, energy"),
    ("melt", "step_melt", "Melting and blowing days"),
    ("hot", "step_hot", "Every hot day"),
    ("standing", "step_standing", "Service and demand"),
    ("wear", "step_wear", "Pots and elements"),
    ("glass", "step_glass", "Raw glass"),
    ("own", "step_own", "The furnace itself"),
    ("line_standing", "line_standing", "With service and demand"),
    ("line_wear", "line_wear", "With pots and elements"),
    ("line_glass", "line_glass", "With raw glass"),
    ("line_own", "line_own", "Everything"),
    ("line_sold", "line_sold", "In pieces that sell"),
)
"""Each step: the last part of its figures' names, its column, and what it is called."""


def columns() -> tuple[Figure, ...]:
    """The columns of the periods' table that make the ladder, and the figures beside it."""
    return (*_energy_steps(), *_other_steps(), *_lines(), *_beside(), *_shares())


def _step(
    name: str,
    label: str,
    note: str,
    formula: str,
    *,
    needs: tuple[str, ...] = (),
    over: str = "period_weight",
) -> Figure:
    return Figure(
        name,
        label,
        Shape.RATE,
        unit=PER_WEIGHT,
        note=note,
        formula=formula,
        needs=needs,
        nonzero=(over,),
        blank_if="period_label",
    )


def _energy_steps() -> tuple[Figure, ...]:
    return (
        Figure(
            "idle_use_day",
            "Use an idle day",
            Shape.ENERGY,
            unit="{energy}",
            note="Energy of an idle day of the period, or of all time where it has none of its own.",
            formula='IF(own_idle_days>0,own_idle_use/own_idle_days,IF(own_idle_days.1>0,own_idle_use.1/own_idle_days.1,""))',
            blank_if="period_label",
        ),
        _step(
            "step_charge",
            "One more charge",
            "The extra energy of one more charge in a furnace that is hot anyway, at today's price. Blank "
            "where the log can't tell a Charge day's use from an Idle day's.",
            "(own_charge_use-own_charge_days*idle_use_day)*price_now/own_charge_weight",
            needs=("price_now", "idle_use_day"),
            over="own_charge_weight",
        ),
        _step(
            "step_melt",
            "Melting and blowing days",
            "Energy of the days on which glass was charged or worked.",
            "(charge_cost+blow_cost)/period_weight",
        ),
        _step(
            "step_hot",
            "Every hot day",
            "Energy of all hot days, heat-ups and idle days too.",
            "period_cost/period_weight",
        ),
    )


def _other_steps() -> tuple[Figure, ...]:
    return (
        _step(
            "step_standing",
            "Service and demand",
            "Charges on the bill that come whatever is used.",
            "period_standing/period_weight",
        ),
        _step(
            "step_wear",
            "Pots and elements",
            "What was used up of the parts, or paid for them.",
            "period_wear/period_weight",
            needs=("period_wear",),
        ),
        _step(
            "step_glass",
            "Raw glass",
            "The glass itself; blank until every glass charged has a price.",
            'IF(raw_glass_known=1,period_glass/period_weight,"")',
        ),
        _step(
            "step_own",
            "The furnace itself",
            "The furnace's yearly cost over the days of the period.",
            "own_yearly*period_days/days_in_year/period_weight",
            needs=("own_yearly",),
        ),
    )


def _lines() -> tuple[Figure, ...]:
    def line(name: str, label: str, note: str, formula: str, *needs: str) -> Figure:
        return Figure(name, label, Shape.RATE, unit=PER_WEIGHT, note=note, formula=formula, needs=needs)

    return (
        line(
            "line_standing",
            "With service and demand",
            "Every hot day with service and demand.",
            "step_hot+step_standing",
            "step_hot",
        ),
        line(
            "line_wear",
            "With pots and elements",
            "The line before with pots and elements, where they are known.",
            "line_standing+SUM(step_wear)",
            "line_standing",
        ),
        line(
            "line_glass",
            "With raw glass",
            "The line before with raw glass, where it is known.",
            "line_wear+SUM(step_glass)",
            "line_wear",
        ),
        line(
            "line_own",
            "Everything",
            "The line before with the furnace itself, where it is known.",
            "line_glass+SUM(step_own)",
            "line_glass",
        ),
        Figure(
            "line_sold",
            "In pieces that sell",
            Shape.RATE,
            unit=PER_WEIGHT,
            note="Everything ÷ the share that ends in pieces ÷ the share good: to read, never used for pieces.",
            formula="line_own/ends_share/share_good",
            needs=("line_own", "ends_share", "share_good"),
            nonzero=("ends_share", "share_good"),
        ),
    )


def _beside() -> tuple[Figure, ...]:
    def ratio(name: str, label: str, shape: Shape, unit: str, note: str, over: str, under: str) -> Figure:
        return Figure(
            name,
            label,
            shape,
            unit=unit,
            note=note,
            formula=f"{over}/{under}",
            nonzero=(under,),
            blank_if="period_label",
        )

    return (
        ratio(
            "use_a_weight",
            "Energy per weight",
            Shape.FACTOR,
            "{energy}/{weight}",
            "Energy of all hot days for each weight of glass charged.",
            "period_use",
            "period_weight",
        ),
        ratio(
            "use_a_day",
            "Energy a hot day",
            Shape.ENERGY,
            "{energy}",
            "Energy of an average hot day.",
            "period_use",
            "period_hot_days",
        ),
        ratio(
            "cost_a_day",
            "Cost a hot day",
            Shape.MONEY,
            "{currency}",
            "What the energy of an average hot day cost.",
            "period_cost",
            "period_hot_days",
        ),
        ratio(
            "cost_a_charge",
            "Cost a charge",
            Shape.MONEY,
            "{currency}",
            "The energy of all hot days for each charge.",
            "period_cost",
            "period_charges",
        ),
    )


def _shares() -> tuple[Figure, ...]:
    return tuple(
        Figure(
            f"share_{kind}",
            f"{word} share",
            Shape.SHARE,
            note=f"The part of the energy that {word} days took.",
            formula=f"{kind}_use/period_use",
            nonzero=("period_use",),
            blank_if="period_label",
        )
        for kind, word in (("heatup", "Heat-up"), ("charge", "Charge"), ("blow", "Blow"), ("idle", "Idle"))
    )


def scalars() -> tuple[Item, ...]:
    """The ladder of all time and of the owner's dates, figure by figure."""
    happened = tuple(
        Figure(
            f"happened_{step}",
            label,
            Shape.RATE,
            unit=PER_WEIGHT,
            note="What happened, over all measured rows.",
            formula=f"{column}.1",
        )
        for step, column, label in STEPS
    )
    chosen = tuple(
        Figure(
            f"chosen_{step}",
            f"{label}, dates",
            Shape.RATE,
            unit=PER_WEIGHT,
            note="What happened between your dates; blank where none is typed.",
            formula=f'IF(COUNT(period_from,period_to)=0,"",{column}.2)',
        )
        for step, column, label in STEPS
    )
    return (*happened, *chosen)
