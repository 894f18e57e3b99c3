"""Decisions about the furnace: what they share.

Each decision has a module: ``idle_cold`` weighs idling against going cold, ``campaign_length`` how many charges
to melt before the furnace goes cold and how full to charge, ``pot_life`` how long pots live, ``pot_ages`` when
to change one. Here is what more than one of them needs: what an idle day, a heat-up and a lost pot cost.
Nothing outside this chapter reads any of it; no price depends on a decision that was not taken.
"""

from __future__ import annotations

from meltbook.fields import campaign_length, idle_cold, pot_ages, pot_life
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed

MONEY = "{currency}"
ENERGY = "{energy}"
_AT_LEAST_NOTHING = Typed(minimum=0)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What the owner types, what days cost, and all single figures of the decisions."""
    return (
        *_typed(),
        *_pot(),
        *_days(),
        *idle_cold.scalars(),
        *campaign_length.scalars(),
        *pot_life.scalars(),
        *pot_ages.scalars(),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The tables behind the pictures. The lives stand in the ledger itself."""
    return (*idle_cold.tables(), *campaign_length.tables(), *pot_life.tables(), *pot_ages.tables())


def _input(name: str, label: str, shape: Shape, unit: str, note: str, typed: Typed = _AT_LEAST_NOTHING) -> Input:
    return Input(name, label, shape, unit=unit, note=note, typed=typed)


def _typed() -> tuple[Item, ...]:
    share = Typed(minimum=0, maximum=1)
    return (
        _input(
            "pot_kind",
            "Which part is the pot",
            Shape.TEXT,
            "",
            "One of your kinds of part. Blank is the first of them.",
            Typed(choices_from="kind_of_part_name"),
        ),
        _input(
            "gap_days",
            "Days until you melt again",
            Shape.DAYS,
            "days",
            "From the last use to the next one, with cooling and heating up inside. Blank only shows the table.",
        ),
        _input(
            "idle_day_typed",
            "Energy of an idle day, typed",
            Shape.ENERGY,
            ENERGY,
            "Blank goes by the log's idle days, or by its mean hot day where they can't be told apart.",
        ),
        _input("cooling_days", "Days to cool down", Shape.DAYS, "days", "Until it is cold. Blank is 0."),
        _input(
            "cooling_use",
            "Energy of a cooling day",
            Shape.ENERGY,
            ENERGY,
            "What slow cooling takes. Blank is 0: it is switched off.",
        ),
        _input(
            "heatup_days_typed",
            "Days of a heat-up, typed",
            Shape.DAYS,
            "days",
            "Blank goes by the log: its mean heat-up.",
        ),
        _input(
            "heatup_use_typed",
            "Energy of a heat-up, typed",
            Shape.ENERGY,
            ENERGY,
            "The whole of it. Blank goes by the log.",
        ),
        _input(
            "crack_chance",
            "Chance that the pot cracks",
            Shape.SHARE,
            "",
            "Each time it cools and heats up again. Of ten such trips, the part that cost you a pot. Blank is 0.",
            share,
        ),
        _input("glass_worth", "Glass lost with a pot", Shape.MONEY, MONEY, "What is in it, at your cost. Blank is 0."),
        _input("cold_labour", "Work of going cold", Shape.MONEY, MONEY, "Emptying, watching, wages. Blank is 0."),
        _input(
            "day_value",
            "What a lost day costs you",
            Shape.MONEY,
            "{currency} a day",
            "What you would earn on a day that the furnace is not ready. Blank is 0.",
        ),
        _input(
            "saving_share",
            "Worth one more charge",
            Shape.SHARE,
            "",
            "A charge more is worth it if it takes this much off the cost of glass. Blank is 1 %.",
            share,
        ),
        _input(
            "full_charge",
            "A full charge",
            Shape.WEIGHT,
            "{weight}",
            "What the pot takes. Blank is the mean charge of the log.",
        ),
        _input(
            "shape_typed",
            "How lives spread, typed",
            Shape.FACTOR,
            "",
            "Weibull's shape, used until the ledger can tell: 1 fails at any age alike, 2 when it gets old, "
            "4 nearly all at one age. Blank is 2.",
            Typed(minimum=0.2, maximum=20),
        ),
        _input(
            "planned_typed",
            "A planned change, typed",
            Shape.MONEY,
            MONEY,
            "Pot, freight, fitting, in your own time. Blank is what the kind costs now.",
        ),
        _input("repair_cost", "Repair after a failure", Shape.MONEY, MONEY, "Floor, elements, brick. Blank is 0."),
        _input("lost_days", "Days lost by a failure", Shape.DAYS, "days", "Until you melt again. Blank is 0."),
    )


def _pot() -> tuple[Figure, ...]:
    return (
        Figure(
            "pot_row",
            "Row of the pot's kind",
            Shape.COUNT,
            note="Its row among the kinds of part; 0 if there is none of that name.",
            formula='IF(pot_kind="",1,IFERROR(MATCH(pot_kind,kind_of_part_name.all,0),0))',
        ),
        Figure(
            "pot_name",
            "The pot",
            Shape.TEXT,
            note="The kind of part that is meant.",
            formula='IF(pot_row=0,"",INDEX(kind_of_part_name.all,pot_row)&"")',
        ),
        Figure(
            "pot_cost",
            "A pot costs now",
            Shape.MONEY,
            unit=MONEY,
            note="From {Pots and elements}; blank while nothing is typed there.",
            formula='IF(INDEX(kind_of_part_cost_used.all,pot_row)=0,"",INDEX(kind_of_part_cost_used.all,pot_row))',
            blank_if="pot_name",
        ),
        Figure(
            "planned_cost",
            "A planned change",
            Shape.MONEY,
            unit=MONEY,
            note="As typed, else what a pot costs now.",
            formula="IF(ISNUMBER(planned_typed),planned_typed,pot_cost)",
        ),
        Figure(
            "failure_cost",
            "A failure",
            Shape.MONEY,
            unit=MONEY,
            note="A change, the glass, the repair and the days lost.",
            formula="planned_cost+SUM(glass_worth)+SUM(repair_cost)+SUM(lost_days)*SUM(day_value)",
            needs=("planned_cost",),
        ),
    )


def _days() -> tuple[Figure, ...]:
    def wear(name: str, label: str, unit: str, source: str) -> Figure:
        note = "Of the parts that prices go by, at what they cost now; 0 while none are known."
        formula = f'IF(wear_counted="None",0,SUM({source}.all))'
        return Figure(name, label, Shape.MONEY, unit=unit, note=note, formula=formula)

    def a_start(name: str, label: str, shape: Shape, unit: str, typed: str, source: str) -> Figure:
        formula = f'IF(ISNUMBER({typed}),{typed},IF(SUM(period_starts.1)=0,"",{source}.1/period_starts.1))'
        return Figure(name, label, shape, unit=unit, note="As typed, else the log's mean.", formula=formula)

    return (
        wear("decide_wear_charge", "Wear of a charge", "{currency} a charge", "part_now_charges"),
        wear("decide_wear_day", "Wear of a hot day", "{currency} a day", "part_now_days"),
        wear("decide_wear_start", "Wear of a heat-up", "{currency} a heat-up", "part_now_starts"),
        Figure(
            "idle_day_use",
            "Energy of an idle day",
            Shape.ENERGY,
            unit=ENERGY,
            note="As typed, else the log's idle days, else its mean hot day of the last 12 months.",
            formula="IF(ISNUMBER(idle_day_typed),idle_day_typed,"
            "IF(ISNUMBER(idle_use_day.3),idle_use_day.3,use_a_day.3))",
        ),
        a_start("heatup_use_one", "Energy of a heat-up", Shape.ENERGY, ENERGY, "heatup_use_typed", "heatup_use"),
        a_start("heatup_days_one", "Days of a heat-up", Shape.DAYS, "days", "heatup_days_typed", "heatup_days"),
        Figure(
            "idle_day_cost",
            "An idle day costs",
            Shape.MONEY,
            unit=MONEY,
            note="Its energy at today's all-in price, and the wear of a hot day.",
            formula="idle_day_use*price_now+decide_wear_day",
            needs=("idle_day_use", "price_now"),
        ),
        Figure(
            "heatup_cost_one",
            "A heat-up costs",
            Shape.MONEY,
            unit=MONEY,
            note="Its energy, the wear of a heat-up and of its hot days.",
            formula="heatup_use_one*price_now+decide_wear_start+heatup_days_one*decide_wear_day",
            needs=("heatup_use_one", "heatup_days_one", "price_now"),
        ),
    )
