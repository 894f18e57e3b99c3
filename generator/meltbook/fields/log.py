"""The furnace log: what is typed on a row, which days it stands for, and what those days cost.

A row is a stretch of days of one kind. Rows run in sheet order: a row without a date follows on from the
row above. The columns of other chapters are put together here, since they share the rows of the log:
readings and energy from ``energy``, campaigns from ``campaigns``, what is wrong with a row from
``log_status``, what a letter changes on days already logged from ``late``.

Only carrying from row to row and look-ups in small tables happen here. Sums over the log belong to the
periods, so that a log of a thousand rows stays quick.
"""

from __future__ import annotations

from meltbook.fields import campaigns, check_twins, energy, late, log_status
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed

MOST_DAYS = 3660
"""A row of more days than ten years have was meant as something else."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Figures over the whole log."""
    return (*_scalars(), *campaigns.log_scalars(), *late.scalars())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The log itself, and the words that it says about its rows."""
    columns = (
        *_typed(),
        *log_status.shown_columns(),
        *_days(),
        *energy.log_columns(),
        *_prices(),
        *campaigns.log_columns(),
        *_glass(),
        *_wear(),
        *late.log_columns(),
        *log_status.working_columns(),
        *check_twins.log_columns(),
    )
    log = Table(
        "log",
        "Furnace log",
        columns,
        rows=ctx.capacity.log,
        capacity="log",
        seeded=True,
        grows=True,
    )
    return (log, *log_status.word_lists())


def _typed() -> tuple[Item, ...]:
    return (
        Input(
            "log_date",
            "First day",
            Shape.DATE,
            note="The first day of the stretch. Blank follows on from the row above. A row of 0 days is read "
            "at the close of this date.",
        ),
        Input(
            "log_kind",
            "Kind of day",
            Shape.TEXT,
            note="Heat-up: coming up from cold. Charge: glass goes in. Blow: you work, nothing goes in. "
            "Idle: hot, nobody works it. Cold: off. New meter: a new meter's first reading.",
            typed=Typed(choices_from="kind_name"),
        ),
        Input(
            "log_days",
            "Days",
            Shape.DAYS,
            unit="days",
            note="How many days the stretch lasts, from your diary. Blank is 1; 0 is for a reading alone.",
            typed=Typed(minimum=0, maximum=MOST_DAYS, whole=True),
        ),
        Input(
            "log_charges",
            "Charges",
            Shape.COUNT,
            note="How many times the furnace was charged in these days. Blank is 1 on a Charge row, 0 on others.",
            typed=Typed(minimum=0, whole=True),
        ),
        Input(
            "log_reading",
            "Meter reading",
            Shape.READING,
            note="What the furnace's meter shows when the stretch is over. Leave it blank on days you don't read it.",
            typed=Typed(minimum=0),
        ),
        Input(
            "log_new_kw",
            "New kW",
            Shape.KILOWATTS,
            unit="kW",
            note="Only on a New meter row: the new kW, measured by a licensed electrician; never open the "
            "panel yourself. Blank keeps the old one.",
            typed=Typed(minimum=0),
        ),
        Input(
            "log_weight",
            "Glass charged",
            Shape.WEIGHT,
            unit="{weight}",
            note="Weighed before it went in, all of the stretch together, your own cullet included.",
            typed=Typed(minimum=0),
        ),
        Input(
            "log_glass",
            "Glass",
            Shape.TEXT,
            note="Which glass, as named on Shop. Blank is the first one.",
            typed=Typed(choices_from="glass_name"),
        ),
        Input(
            "log_gathers",
            "Gathers taken",
            Shape.COUNT,
            note="Counted at the furnace, all of the stretch together. Needed only if pieces share the "
            "furnace by gathers, or if no weight of a gather is typed.",
            typed=Typed(minimum=0),
        ),
        Input("log_note", "Note", Shape.TEXT, note="Anything you want to remember of these days.", typed=Typed()),
    )


def _days() -> tuple[Figure, ...]:
    return (
        Figure(
            "row_kind",
            "Kind by number",
            Shape.COUNT,
            note="The place of the kind in the list of kinds; 0 where none, or an unknown one, is typed.",
            formula='IF(log_kind="",0,IFERROR(MATCH(log_kind,kind_name.all,0),0))',
            seed=0,
            end=0,
        ),
        Figure(
            "row_days",
            "Days counted",
            Shape.DAYS,
            note="The days of the row: as typed, 1 where left blank, 0 for a new meter.",
            formula="IF(OR(row_kind=0,row_kind=new_meter_kind),0,IF(ISNUMBER(log_days),log_days,1))",
        ),
        Figure(
            "first_day",
            "First day counted",
            Shape.DATE,
            note="The date typed, or the day after the row above; a row of 0 days is on the last day of the row above.",
            formula="IF(row_kind=0,0,IF(ISNUMBER(log_date),log_date,MAX(0,next_day.prev-(row_days=0))))",
        ),
        Figure(
            "next_day",
            "Next row starts",
            Shape.DATE,
            note="The day on which a row without a date would go on.",
            formula="IF(row_kind=0,next_day.prev,IF(first_day=0,0,first_day+MAX(1,row_days)))",
            seed=0,
        ),
        Figure(
            "row_hot_days",
            "Hot days",
            Shape.DAYS,
            note="The days of the row on which the furnace is hot.",
            formula="IF(row_kind=0,0,row_days*INDEX(kind_hot.all,row_kind))",
        ),
        Figure(
            "row_charge_default",
            "One charge assumed",
            Shape.COUNT,
            note="1 on a Charge row whose charges are left blank.",
            formula="IF(AND(row_kind=charge_kind,row_days>0,COUNT(log_charges)=0),1,0)",
        ),
        Figure(
            "row_charges",
            "Charges counted",
            Shape.COUNT,
            note="As typed, else 1 on a Charge row and 0 on others.",
            formula="IF(row_kind=0,0,SUM(log_charges)+row_charge_default)",
        ),
    )


def _prices() -> tuple[Figure, ...]:
    return (
        Figure(
            "tariff_first",
            "Letter at first",
            Shape.COUNT,
            note="The place in the tariffs, counted from the row above the first, of the price on the first day.",
            formula='IF(row_kind=0,1,MAX(1,COUNTIF(tariff_key.all,"<="&first_day)))',
        ),
        Figure(
            "tariff_last",
            "Letter at last",
            Shape.COUNT,
            note="The same for the last day.",
            formula='IF(row_kind=0,1,MAX(1,COUNTIF(tariff_key.all,"<="&(first_day+MAX(1,row_days)-1))))',
        ),
        Figure(
            "row_priced",
            "Has a price",
            Shape.COUNT,
            note="1 if a price is in force on the first day.",
            formula="IF(row_kind=0,0,IF(INDEX(tariff_key.all,tariff_first)>0,1,0))",
        ),
        *_running("price", "Price", "tariff_all_in", "tariff_integral", "{currency}/{energy} × days"),
        Figure(
            "mean_price",
            "Mean price",
            Shape.RATE,
            unit="{currency}/{energy}",
            note="The all-in price over the days of the row; where it changes within the row, day by day.",
            formula="IF(tariff_first=tariff_last,INDEX(tariff_all_in.all,tariff_first),"
            "(price_to_next-price_to_first)/row_days)",
        ),
        Figure(
            "energy_cost",
            "Energy cost",
            Shape.MONEY,
            unit="{currency}",
            note="Energy used × mean price.",
            formula="energy_used*mean_price",
            seed=0,
            end=0,
        ),
        *_running("standing", "Standing charges", "tariff_standing", "tariff_standing_integral", "{currency}"),
        Figure(
            "row_standing",
            "Service and demand",
            Shape.MONEY,
            unit="{currency}",
            note="The row's part of the charges that come whatever is used.",
            formula="IF(tariff_first=tariff_last,INDEX(tariff_standing.all,tariff_first)*row_days,"
            "standing_to_next-standing_to_first)",
        ),
    )


def _running(prefix: str, label: str, height: str, integral: str, unit: str) -> tuple[Figure, ...]:
    """Two columns: ``height`` summed over all days before the row, and over all days up to its end."""

    def until(letter: str, day: str) -> str:
        start = f"INDEX(tariff_key.all,{letter})"
        return f"INDEX({integral}.all,{letter})+INDEX({height}.all,{letter})*({day}-{start})"

    return (
        Figure(
            f"{prefix}_to_first",
            f"{label} up to it",
            Shape.MONEY,
            unit=unit,
            note="Summed day by day over all days before this row.",
            formula=until("tariff_first", "first_day"),
        ),
        Figure(
            f"{prefix}_to_next",
            f"{label} up to its end",
            Shape.MONEY,
            unit=unit,
            note="Summed day by day over all days up to this row's last one.",
            formula=f"IF(row_priced=0,0,{until('tariff_last', 'first_day+row_days')})",
        ),
    )


def _glass() -> tuple[Figure, ...]:
    return (
        Figure(
            "row_glass",
            "Glass by number",
            Shape.COUNT,
            note="The place of the glass in the list on Shop; 0 without a weight, or if the glass isn't listed.",
            formula="IF(OR(row_kind=0,COUNT(log_weight)=0),0,"
            'IF(log_glass="",1,IFERROR(MATCH(log_glass,glass_name.all,0),0)))',
        ),
        Figure(
            "glass_charged_cost",
            "Raw glass",
            Shape.MONEY,
            unit="{currency}",
            note="The weight charged × the price of its glass.",
            formula="IF(row_glass=0,0,log_weight*INDEX(glass_price_known.all,row_glass))",
        ),
    )


def _wear() -> tuple[Figure, ...]:
    per = (
        ("wear_a_charge", "Wear a charge", "part_rate_charges", "a charge"),
        ("wear_a_day", "Wear a hot day", "part_rate_days", "a hot day"),
        ("wear_a_start", "Wear a heat-up", "part_rate_starts", "a heat-up"),
    )
    return (
        *(
            Figure(
                name,
                label,
                Shape.RATE,
                unit="{currency}",
                note=f"What {word} wears off all the parts that were in the furnace on the row's first day.",
                formula=f'IF(row_kind=0,0,SUMIFS({rate}.all,part_from.all,"<="&first_day,part_end.all,">"&first_day))',
            )
            for name, label, rate, word in per
        ),
        Figure(
            "row_wear",
            "Wear",
            Shape.MONEY,
            unit="{currency}",
            note="Charges, hot days and heat-ups of the row × what each wears.",
            formula="row_charges*wear_a_charge+row_hot_days*wear_a_day+row_starts*wear_a_start",
            seed=0,
            end=0,
        ),
    )


def _scalars() -> tuple[Item, ...]:
    return (
        Figure(
            "log_rows_used",
            "Rows used",
            Shape.COUNT,
            note="Rows of the log with a kind of day.",
            formula='COUNTIF(row_kind.all,">0")',
        ),
        Figure(
            "log_rows_free",
            "Rows left",
            Shape.COUNT,
            note="Rows prepared, those inserted since included, less rows used.",
            formula="log_cells-2-log_rows_used",
        ),
        Figure(
            "log_last_day",
            "Last day logged",
            Shape.DATE,
            note="The last day that any row of the log reaches.",
            formula='IF(MAX(next_day.all)=0,"",MAX(next_day.all)-1)',
        ),
        Figure(
            "last_measured_day",
            "Measured up to",
            Shape.DATE,
            note="The last day that a good reading and a price cover.",
            formula='IF(MAX(measured_to.all)=0,"",MAX(measured_to.all))',
        ),
    )
