"""The prices that a letter from the utility changes: those in force before it, and those from then on.

Each figure before is read from the row of Tariffs in which it was typed; each one after is what the letter says,
in money without tax, or the one before where it says nothing.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Shape

PER_KWH = "{currency}/{energy}"
PER_DAY = "{currency}/day"
PER_KW = "{currency}/kW-month"

_PRICES = (("price", "Price"), ("price_two", "Second price"), ("price_three", "Third price"))
_SHARES = (("one", "First share"), ("two", "Second share"), ("three", "Third share"))
_MONTHLY = "months_in_year/days_in_year"


def rates() -> tuple[Figure, ...]:
    """What is in force, what holds from then on, and the changes between them."""
    return (*_base(), *_new(), *_changes())


# ------------------------------------------------------------------------------------------ what is in force


def _there(name: str, label: str, shape: Shape, unit: str, formula: str, note: str = "") -> Figure:
    return Figure(
        name,
        label,
        shape,
        unit=unit,
        note=note or "As typed on {Tariffs}; 0 where nothing is.",
        formula=formula,
        needs=("letter_base_row",),
    )


def _typed_there(word: str, label: str, shape: Shape, unit: str = "") -> Figure:
    """What is typed in that row: a text there counts as nothing, so it is added up and not looked up."""
    there = f"SUMIFS(tariff_{word}.all,tariff_no.all,letter_base_row-1)"
    return _there(f"base_{word}", f"{label} before", shape, unit, there)


def _share_there(word: str, label: str) -> Figure:
    column = f"INDEX(tariff_{word}.all,letter_base_row)"
    return _there(
        f"base_{word}",
        label,
        Shape.SHARE,
        "",
        f"IF(COUNT({column})=1,SUM({column}),1)",
        "As typed on {Tariffs}; all of it where nothing is.",
    )


def _base() -> tuple[Figure, ...]:
    return (
        *(_typed_there(word, label, Shape.RATE, PER_KWH) for word, label in _PRICES),
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
            "What a {energy} costs until then, surcharge and tax included.",
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
            "What a price of a {energy} in the letter is multiplied by: a hundredth for cents, and the tax taken out.",
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
            for word, label in _PRICES
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
            "What a {energy} will cost, surcharge and tax included.",
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
            "new_service_day",
            "Service a day from then on",
            Shape.RATE,
            PER_DAY,
            "The furnace's share of it by the day, before tax; a monthly one × 12 ÷ 365.",
            f"new_service*base_service_share*IF(new_service_daily=1,1,{_MONTHLY})",
        ),
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
            f"(new_service_day+new_demand*new_demand_kw*base_demand_share*{_MONTHLY})*(1+letter_tax_new)",
        ),
    )


# ------------------------------------------------------------------------------------------------ the changes


def _changes() -> tuple[Figure, ...]:
    def change(word: str, label: str, formula: str = "") -> Figure:
        return Figure(
            f"change_{word}",
            f"Change in {label}",
            Shape.SHARE,
            unit="of what it was",
            note="In percent of what it was.",
            formula=formula or f"new_{word}/base_{word}-1",
            needs=(f"base_{word}",),
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
