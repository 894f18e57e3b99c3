"""A letter from the utility: what it says, what is in force that it would change, and what holds from then on.

The owner copies the letter as it is written: in money or in cents, with tax or without, as new prices or as one
change in percent. A blank is no change. The row of Tariffs that would be in force on the letter's first day says
what it changes from; ``letter_base_row`` is the row in which those rates were typed, since the rows below it that
are blank only carry them.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Input, Item, Shape, Typed

PER_KWH = "{currency}/kWh"
PER_DAY = "{currency}/day"
PER_KW = "{currency}/kW-month"
AMOUNT = Typed(minimum=0)
SHARE = Typed(minimum=0, maximum=1)

_PRICES = (("price", "Price", "the unit price"), ("price_two", "Second price", "the second period's price"))
_PRICES = (*_PRICES, ("price_three", "Third price", "the third period's price"))
_SHARES = (("one", "First share"), ("two", "Second share"), ("three", "Third share"))
_SHARES_TYPED = ",".join(f"letter_share_{word}" for word, _ in _SHARES)
_MONTHLY = "months_in_year/days_in_year"


def scalars() -> tuple[Item, ...]:
    """The letter, the letter in force before it, what holds from then on, and the changes between them."""
    return (*_typed(), *_given(), *_base(), *_new(), *_changes())


# ---------------------------------------------------------------------------------------------- what is typed


def _typed() -> tuple[Input, ...]:
    return (
        Input(
            "letter_start",
            "New prices hold from",
            Shape.DATE,
            note="The date in the utility's letter from which they hold.",
        ),
        Input("letter_reference", "Which letter", Shape.TEXT, note="Its date or number, so that you find it again."),
        Input(
            "letter_in",
            "Prices are in",
            Shape.TEXT,
            note="Money or Cents, as the letter prints the price of a kWh. Blank is Money. Service and demand "
            "charges are always in money.",
            typed=Typed(choices=("Money", "Cents")),
        ),
        Input(
            "letter_tax_in",
            "Prices are",
            Shape.TEXT,
            note="Whether the letter's prices have the tax in them. Blank is without.",
            typed=Typed(choices=("Without tax", "With tax")),
        ),
        Input(
            "letter_change",
            "Change in percent",
            Shape.SHARE,
            unit="of the unit prices",
            note="If the letter names one change for all prices of a kWh: 8 % is 8 % more. It moves no surcharge "
            "and no service or demand charge.",
            typed=Typed(minimum=-0.99, maximum=100),
        ),
        *_typed_prices(),
        *_typed_standing(),
        Input(
            "retag_tolerance",
            "Margin may miss by",
            Shape.SHARE,
            unit="of what you get",
            note="A tag is kept while its margin misses the one wanted by no more than this. Blank is 1 %.",
            typed=SHARE,
        ),
    )


def _typed_prices() -> tuple[Input, ...]:
    return (
        *(
            Input(
                f"letter_{word}",
                label,
                Shape.RATE,
                unit=PER_KWH,
                note=f"New: {what}, as the letter prints it. Blank if it stays, or moves by the percentage.",
                typed=AMOUNT,
            )
            for word, label, what in _PRICES
        ),
        *(
            Input(
                f"letter_share_{word}",
                label,
                Shape.SHARE,
                unit="of the furnace's use",
                note="Only if the times of use change: the part of the furnace's energy in this period. Then type "
                "all of them.",
                typed=SHARE,
            )
            for word, label in _SHARES
        ),
        Input(
            "letter_surcharge",
            "Surcharge",
            Shape.RATE,
            unit=PER_KWH,
            note="New: fuel adjustment, levies and the like per kWh; below 0 for a rebate. Blank if it stays.",
        ),
        Input(
            "letter_tax",
            "Tax on it",
            Shape.SHARE,
            unit="of the bill",
            note="New: tax on the energy bill that you can't reclaim. Blank if it stays.",
            typed=SHARE,
        ),
    )


def _typed_standing() -> tuple[Input, ...]:
    return (
        Input(
            "letter_service",
            "Service charge",
            Shape.MONEY,
            unit="{currency}",
            note="New: the charge for having a connection, in money. Blank if it stays.",
            typed=AMOUNT,
        ),
        Input(
            "letter_service_per",
            "Service per",
            Shape.TEXT,
            note="Day or Month, if the letter has it another way than before. Blank is as before.",
            typed=Typed(choices=("Day", "Month")),
        ),
        Input(
            "letter_demand",
            "Demand charge",
            Shape.MONEY,
            unit=PER_KW,
            note="New: per kW of the month's highest load, in money. Blank if it stays.",
            typed=AMOUNT,
        ),
        Input(
            "letter_demand_kw",
            "Billed kW",
            Shape.KILOWATTS,
            unit="kW",
            note="New: the kW that the bill will charge for. Blank if they stay.",
            typed=AMOUNT,
        ),
    )


# ------------------------------------------------------------------------------------- which letter it follows


def _given() -> tuple[Figure, ...]:
    return (
        Figure(
            "letter_shares",
            "Shares in the letter",
            Shape.COUNT,
            note="How many shares of times of use are typed.",
            formula=f"COUNT({_SHARES_TYPED})",
        ),
        Figure(
            "letter_figures",
            "Figures in the letter",
            Shape.COUNT,
            note="How many changes are typed.",
            formula="letter_shares+COUNT(letter_change,letter_price,letter_price_two,letter_price_three,"
            "letter_surcharge,letter_tax,letter_service,letter_demand,letter_demand_kw)",
        ),
        Figure(
            "letter_given",
            "A letter is typed",
            Shape.COUNT,
            note="1 once there is a date and something that changes.",
            formula="IF(AND(ISNUMBER(letter_start),letter_figures>0),1,0)",
        ),
        Figure(
            "letter_position",
            "In force before it",
            Shape.COUNT,
            note="The place in the tariffs, counted from the row above the first, of what it would take over from.",
            formula='MAX(1,COUNTIF(tariff_key.all,"<="&letter_start))',
            nonzero=("letter_given",),
        ),
        Figure(
            "letter_base_from",
            "Prices before hold since",
            Shape.DATE,
            note="The date of the letter that it would take over from.",
            formula='IF(INDEX(tariff_key.all,letter_position)=0,"",INDEX(tariff_key.all,letter_position))',
            needs=("letter_position",),
        ),
        Figure(
            "letter_base_row",
            "Row of those prices",
            Shape.COUNT,
            note="Where in the tariffs that letter's prices were typed, counted from the row above the first.",
            formula="MATCH(letter_base_from,tariff_key.all,0)",
            needs=("letter_base_from",),
        ),
        Figure(
            "letter_until",
            "It holds until",
            Shape.DATE,
            note="The date of the next letter on Tariffs, or no end.",
            formula="IF(letter_position<COUNT(tariff_key.all),INDEX(tariff_key.all,letter_position+1),far_date)",
            needs=("letter_position",),
        ),
    )


# ------------------------------------------------------------------------------------------ what is in force


def _there(name: str, label: str, shape: Shape, unit: str, formula: str, note: str = "") -> Figure:
    return Figure(
        name,
        label,
        shape,
        unit=unit,
        note=note or "As typed on Tariffs; 0 where nothing is.",
        formula=formula,
        needs=("letter_base_row",),
    )


def _typed_there(word: str, label: str, shape: Shape, unit: str = "") -> Figure:
    return _there(f"base_{word}", f"{label} before", shape, unit, f"SUM(INDEX(tariff_{word}.all,letter_base_row))")


def _share_there(word: str, label: str) -> Figure:
    column = f"INDEX(tariff_{word}.all,letter_base_row)"
    return _there(
        f"base_{word}",
        label,
        Shape.SHARE,
        "",
        f"IF(COUNT({column})=1,SUM({column}),1)",
        "As typed on Tariffs; all of it where nothing is.",
    )


def _base() -> tuple[Figure, ...]:
    return (
        *(_typed_there(word, label, Shape.RATE, PER_KWH) for word, label, _ in _PRICES),
        *(_typed_there(f"share_{word}", label, Shape.SHARE) for word, label in _SHARES),
        _there(
            "base_shares",
            "Shares before",
            Shape.COUNT,
            "",
            "INDEX(tariff_shares.all,letter_base_row)",
            "How many shares of times of use are typed there.",
        ),
        _typed_there("surcharge", "Surcharge", Shape.RATE, PER_KWH),
        _typed_there("tax", "Tax", Shape.SHARE),
        _typed_there("service", "Service charge", Shape.MONEY, "{currency}"),
        _there(
            "base_service_daily",
            "Service by the day before",
            Shape.COUNT,
            "",
            'IF(INDEX(tariff_service_per.all,letter_base_row)="Day",1,0)',
            "1 if the service charge is for a day, 0 if for a month.",
        ),
        _service_per("base", "before"),
        _share_there("service_share", "Furnace's share of service"),
        _typed_there("demand", "Demand charge", Shape.MONEY, PER_KW),
        _typed_there("demand_kw", "Billed kW", Shape.KILOWATTS, "kW"),
        _share_there("demand_share", "Furnace's share of demand"),
        _there(
            "base_all_in",
            "All-in price before",
            Shape.RATE,
            PER_KWH,
            "INDEX(tariff_all_in.all,letter_base_row)",
            "What a kWh costs until then, surcharge and tax included.",
        ),
        _there(
            "base_standing",
            "Service and demand before",
            Shape.RATE,
            PER_DAY,
            "INDEX(tariff_standing.all,letter_base_row)",
            "The furnace's share of them a day until then, with tax.",
        ),
    )


def _service_per(which: str, when: str) -> Figure:
    daily = f"{which}_service_daily"
    return Figure(
        f"{which}_service_per",
        f"Service per, {when}",
        Shape.TEXT,
        note="Day or Month.",
        formula=f'IF({daily}=1,"Day","Month")',
        needs=(daily,),
    )


# --------------------------------------------------------------------------------------- what holds from then on


def _then(
    name: str, label: str, shape: Shape, unit: str, note: str, formula: str, need: str = "letter_base_row"
) -> Figure:
    return Figure(name, label, shape, unit=unit, note=note, formula=formula, needs=(need,))


def _new() -> tuple[Figure, ...]:
    return (*_reading_it(), *_new_prices(), *_new_standing())


def _reading_it() -> tuple[Figure, ...]:
    return (
        _then(
            "letter_tax_new",
            "Tax from then on",
            Shape.SHARE,
            "of the bill",
            "As the letter has it, else as before.",
            "IF(ISNUMBER(letter_tax),letter_tax,base_tax)",
        ),
        _then(
            "letter_untax",
            "Takes the tax out",
            Shape.FACTOR,
            "",
            "1 ÷ (1 + tax) where the letter's prices have it in them, else 1.",
            'IF(letter_tax_in="With tax",1/(1+letter_tax_new),1)',
            "letter_tax_new",
        ),
        _then(
            "letter_scale",
            "Makes it money",
            Shape.FACTOR,
            "",
            "What a price of a kWh in the letter is multiplied by: a hundredth for cents, and the tax taken out.",
            'IF(letter_in="Cents",1/100,1)*letter_untax',
            "letter_untax",
        ),
    )


def _new_prices() -> tuple[Figure, ...]:
    return (
        *(
            _then(
                f"new_{word}",
                f"{label} from then on",
                Shape.RATE,
                PER_KWH,
                "The letter's price in money without tax; else the one before, moved by the percentage.",
                f"IF(ISNUMBER(letter_{word}),letter_{word}*letter_scale,base_{word}*(1+SUM(letter_change)))",
                "letter_scale",
            )
            for word, label, _ in _PRICES
        ),
        *(
            _then(
                f"new_share_{word}",
                f"{label} from then on",
                Shape.SHARE,
                "",
                "The letter's shares if it has any, else those before.",
                f"IF(letter_shares>0,SUM(letter_share_{word}),base_share_{word})",
            )
            for word, label in _SHARES
        ),
        _then(
            "new_shares",
            "Shares from then on",
            Shape.COUNT,
            "",
            "How many shares of times of use count.",
            "IF(letter_shares>0,letter_shares,base_shares)",
        ),
        _then(
            "new_surcharge",
            "Surcharge from then on",
            Shape.RATE,
            PER_KWH,
            "The letter's in money without tax, else the one before.",
            "IF(ISNUMBER(letter_surcharge),letter_surcharge*letter_scale,base_surcharge)",
            "letter_scale",
        ),
        _then(
            "new_mix",
            "Mean of the times of use",
            Shape.RATE,
            PER_KWH,
            "The new prices by their shares; the one price where there are no shares.",
            "IF(new_shares=0,new_price,"
            "new_share_one*new_price+new_share_two*new_price_two+new_share_three*new_price_three)",
        ),
        _then(
            "new_all_in",
            "All-in price from then on",
            Shape.RATE,
            PER_KWH,
            "What a kWh will cost, surcharge and tax included.",
            "(new_mix+new_surcharge)*(1+letter_tax_new)",
        ),
    )


def _new_standing() -> tuple[Figure, ...]:
    return (
        _then(
            "new_service",
            "Service charge from then on",
            Shape.MONEY,
            "{currency}",
            "The letter's without tax, else the one before.",
            "IF(ISNUMBER(letter_service),letter_service*letter_untax,base_service)",
            "letter_untax",
        ),
        _then(
            "new_service_daily",
            "Service by the day from then on",
            Shape.COUNT,
            "",
            "1 if the service charge will be for a day, 0 if for a month.",
            'IF(letter_service_per="",base_service_daily,IF(letter_service_per="Day",1,0))',
        ),
        _service_per("new", "from then on"),
        _then(
            "new_demand",
            "Demand charge from then on",
            Shape.MONEY,
            PER_KW,
            "The letter's without tax, else the one before.",
            "IF(ISNUMBER(letter_demand),letter_demand*letter_untax,base_demand)",
            "letter_untax",
        ),
        _then(
            "new_demand_kw",
            "Billed kW from then on",
            Shape.KILOWATTS,
            "kW",
            "The letter's, else those before.",
            "IF(ISNUMBER(letter_demand_kw),letter_demand_kw,base_demand_kw)",
        ),
        _then(
            "new_standing",
            "Service and demand from then on",
            Shape.RATE,
            PER_DAY,
            "The furnace's share of them a day, with tax.",
            "(new_service*base_service_share*IF(new_service_daily=1,days_in_year,months_in_year)"
            "+new_demand*new_demand_kw*base_demand_share*months_in_year)/days_in_year*(1+letter_tax_new)",
        ),
    )


# ------------------------------------------------------------------------------------------------ the changes


def _changes() -> tuple[Figure, ...]:
    def change(word: str, label: str, formula: str = "", *needs: str) -> Figure:
        return Figure(
            f"change_{word}",
            f"Change in {label}",
            Shape.SHARE,
            unit="of what it was",
            note="In percent of what it was.",
            formula=formula or f"new_{word}/base_{word}-1",
            needs=(f"new_{word}", f"base_{word}", *needs),
            nonzero=(f"base_{word}",),
        )

    by_day = "new_service*IF(new_service_daily=1,1,{0})/base_service/IF(base_service_daily=1,1,{0})-1"
    return (
        change("price", "price"),
        change("price_two", "second price"),
        change("price_three", "third price"),
        change("surcharge", "surcharge"),
        change("service", "service charge", by_day.format(_MONTHLY)),
        change("demand", "demand charge"),
        change("all_in", "all-in price"),
        change("standing", "service and demand"),
    )
