"""Equipment in detail: what each machine uses, what it costs to own, and what a minute or a load of it costs.

A machine is counted by the hour, by the day or by the load. What it feeds is the equipment as which pieces pay for
it; one that feeds nothing is known to the bill check alone. Several machines that feed the same share the pieces by
their turns: of all pieces so many go through this one. What burns all day counts whole, since every piece uses it.
What each row says, and how complete it is, stands in ``machine_words``; what a letter and a bill have to do with it, in
``machine_use``.
"""

from __future__ import annotations

from meltbook.fields import machine_use, machine_words
from meltbook.fields.context import BookContext
from meltbook.fields.equipment import NAMES
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed
from meltbook.fields.machine_row import AS_BILLED, always, row

SOME = Typed(minimum=0)
A_RUN = "{currency} a run"
A_MINUTE = "{currency} a minute"
A_LOAD = "{currency} a load"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What all machines come to."""
    return (*machine_words.scalars(), *machine_use.scalars())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """One row a machine."""
    return (
        Table(
            "machines",
            "Equipment",
            (
                *_typed(),
                *_used(),
                *_cost(),
                *_shared(),
                *_paid(),
                *machine_use.columns(),
                *machine_words.columns(),
            ),
            rows=ctx.capacity.machines,
            capacity="machines",
        ),
    )


def _typed() -> tuple[Item, ...]:
    return (*_uses(), *_owning())


def _uses() -> tuple[Item, ...]:
    return (
        Input("machine_name", "Machine", Shape.TEXT, note="Your word for it. A row without a name is not counted."),
        Input(
            "machine_feeds",
            "Pieces pay as",
            Shape.TEXT,
            note="As which line of a piece's cost. Blank: no piece pays for it, only Bill check knows of it.",
            typed=Typed(choices=NAMES),
        ),
        Input(
            "machine_use",
            "Energy each",
            Shape.ENERGY,
            unit=AS_BILLED,
            note="Of an hour, a day or a load: kW on its plate × hours, or burner by its plate; by a gas meter "
            "m³ × billing factor, where the bill is in kWh.",
            typed=SOME,
        ),
        Input(
            "machine_per",
            "Per",
            Shape.TEXT,
            note="Hour, Day or Load. What burns all day: Day. An annealer: Load, or Hour with the hours of a load.",
            typed=Typed(choices=("Hour", "Day", "Load")),
        ),
        Input(
            "machine_hours",
            "Hours a load",
            Shape.HOURS,
            unit="hours",
            note="Only per Hour, for something that runs a load: from its programme.",
            typed=SOME,
        ),
        Input(
            "machine_metered",
            "Its meter",
            Shape.ENERGY,
            unit=AS_BILLED,
            note="What its own meter counted. It goes before the energy typed.",
            typed=SOME,
        ),
        Input(
            "machine_metered_runs",
            "In so many",
            Shape.FACTOR,
            note="Hours, days or loads in which its meter counted that.",
            typed=SOME,
        ),
        Input(
            "machine_price",
            "Own price",
            Shape.RATE,
            unit="{currency} a unit",
            note="Of a unit of energy, where the tariff isn't its own: bottled gas, another meter. Blank: the tariff.",
            typed=SOME,
        ),
    )


def _owning() -> tuple[Item, ...]:
    def money(name: str, label: str, note: str) -> Input:
        return Input(name, label, Shape.MONEY, unit="{currency}", note=note, typed=SOME)

    return (
        Input(
            "machine_runs",
            "Runs a year",
            Shape.FACTOR,
            note="Hours, days or loads in an ordinary year.",
            typed=SOME,
        ),
        money(
            "machine_purchase", "Bought for", "What it cost, set up, or would cost today. Blank: nothing to earn back."
        ),
        money("machine_worth_end", "Worth at end", "What you would get for it at the end of its life."),
        Input("machine_life", "Life", Shape.YEARS, unit="years", note="Years until it is replaced.", typed=SOME),
        money("machine_upkeep", "Upkeep a year", "Liners, elements, thermocouples, service in an ordinary year."),
    )


def _used() -> tuple[Item, ...]:
    return (
        always("machine_named", "Has a name", "1 if the row has a name.", 'IF(machine_name="",0,1)'),
        always(
            "machine_feeds_row",
            "Feeds, by number",
            "Which row of Other equipment on Shop; 0 for none.",
            'IF(OR(machine_name="",machine_feeds=""),0,IFERROR(MATCH(machine_feeds,equipment_name.all,0),0))',
        ),
        row(
            "machine_use_used",
            "Energy each, used",
            Shape.ENERGY,
            AS_BILLED,
            "By its meter, else as typed.",
            "IF(AND(ISNUMBER(machine_metered),SUM(machine_metered_runs)>0),machine_metered/machine_metered_runs,"
            'IF(ISNUMBER(machine_use),machine_use,""))',
        ),
        row(
            "machine_price_used",
            "Price, used",
            Shape.RATE,
            "{currency} a unit",
            "Its own, else that of the tariff on the pricing date.",
            "IF(ISNUMBER(machine_price),machine_price,price_now)",
        ),
        row(
            "machine_price_after",
            "Price after",
            Shape.RATE,
            "{currency} a unit",
            "The same under the letter on New tariff.",
            "IF(ISNUMBER(machine_price),machine_price,IF(ISNUMBER(new_all_in),new_all_in,price_now))",
        ),
    )


def _cost() -> tuple[Item, ...]:
    return (
        row(
            "machine_energy",
            "Energy",
            Shape.MONEY,
            A_RUN,
            "What the energy of an hour, a day or a load costs.",
            "machine_use_used*machine_price_used",
            "machine_use_used",
            "machine_price_used",
        ),
        row(
            "machine_own_year",
            "Owning it, a year",
            Shape.MONEY,
            "{currency} a year",
            "What it loses in a year of its life, and upkeep.",
            "IF(SUM(machine_life)>0,(SUM(machine_purchase)-SUM(machine_worth_end))/machine_life,0)+SUM(machine_upkeep)",
        ),
        row(
            "machine_own",
            "Owning it",
            Shape.MONEY,
            A_RUN,
            "The part of that which an hour, a day or a load carries.",
            'IF(machine_own_year=0,0,IF(SUM(machine_runs)>0,machine_own_year/machine_runs,""))',
        ),
        row(
            "machine_cost",
            "Cost each",
            Shape.MONEY,
            A_RUN,
            "What an hour, a day or a load costs.",
            "machine_energy+machine_own",
            "machine_energy",
            "machine_own",
        ),
    )


def _shared() -> tuple[Item, ...]:
    return (
        always(
            "machine_way",
            "Runs by",
            "1 by the day, 2 by the hour as pieces need it, 3 by the load; 0 if not chosen.",
            'IF(machine_name="",0,IF(machine_per="Day",1,0)+IF(machine_per="Hour",2+COUNT(machine_hours),0)'
            '+IF(machine_per="Load",1+2,0))',
        ),
        always(
            "machine_turns",
            "Turns a year",
            "Hours or loads in a year, by which machines that feed the same share the pieces.",
            "IF(OR(machine_way<2,machine_feeds_row=0),0,IF(SUM(machine_runs)>0,machine_runs,1)"
            '/IF(AND(machine_per="Hour",SUM(machine_hours)>0),machine_hours,1))',
        ),
        always(
            "machine_group_turns",
            "Turns together",
            "Of all that feed the same and run by the same.",
            "SUMIFS(machine_turns.all,machine_feeds_row.all,machine_feeds_row,machine_way.all,machine_way)",
        ),
        row(
            "machine_part",
            "Part of the pieces",
            Shape.SHARE,
            "",
            "So many of them go through this one. All that burn by the day count whole.",
            "IF(machine_turns>0,machine_turns/machine_group_turns,IF(machine_way*machine_feeds_row>0,1,0))",
        ),
        row(
            "machine_a_minute",
            "Part of a minute",
            Shape.FACTOR,
            "",
            "How many of its days or hours a minute of a piece takes.",
            "machine_part*IF(machine_way=1,IF(SUM(minutes_a_day)>0,1/minutes_a_day,0),IF(machine_way=2,1/60,0))",
        ),
        row(
            "machine_a_load",
            "Part of a load",
            Shape.FACTOR,
            "",
            "How many of its hours or loads a load takes.",
            'IF(machine_way>2,machine_part*IF(machine_per="Hour",SUM(machine_hours),1),0)',
        ),
    )


def _paid() -> tuple[Item, ...]:
    def each(end: str, of: str, what: str, source: str) -> tuple[Figure, Figure]:
        return (
            row(
                f"machine_{end}minute",
                f"{what}, of a minute",
                Shape.RATE,
                A_MINUTE,
                f"{of}, of a minute of a piece.",
                f"{source}*machine_a_minute",
                source,
            ),
            row(
                f"machine_{end}load",
                f"{what}, of a load",
                Shape.MONEY,
                A_LOAD,
                f"{of}, of a load.",
                f"{source}*machine_a_load",
                source,
            ),
        )

    return (
        *each("", "Energy and owning it", "Cost", "machine_cost"),
        row(
            "machine_driven_minute",
            "Driven, a minute",
            Shape.RATE,
            A_MINUTE,
            "Its energy, where a piece drives it: 0 for what burns all day.",
            "IF(machine_way=2,machine_energy*machine_a_minute,0)",
            "machine_energy",
        ),
        row(
            "machine_driven_load",
            "Driven, a load",
            Shape.MONEY,
            A_LOAD,
            "Its energy.",
            "machine_energy*machine_a_load",
            "machine_energy",
        ),
        row(
            "machine_more",
            "More under the letter",
            Shape.MONEY,
            A_RUN,
            "What the letter on New tariff adds to an hour, a day or a load.",
            "machine_use_used*(machine_price_after-machine_price_used)",
            "machine_use_used",
            "machine_price_after",
            "machine_price_used",
        ),
        *each("more_", "What the letter adds", "More", "machine_more"),
    )
