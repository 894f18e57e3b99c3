"""What energy costs, and from when.

Each row is one letter from the utility, in force until the next one. Blank rows and rows that can't be used
carry the key, the price and the running sum of the row above, so a look-up may land on any of them. The
running sum (price × days since the first letter) makes the mean price over any stretch of days the
difference of two look-ups: that is how a stretch that straddles a change is split by days.

Service and demand charges come by the day whatever is used; they have the same running sum of their own.
"""

from __future__ import annotations

from meltbook.fields import check_twins
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed

_PERIODS = (
    ("tariff_share_one", "tariff_price"),
    ("tariff_share_two", "tariff_price_two"),
    ("tariff_share_three", "tariff_price_three"),
)
_SHARES = ",".join(share for share, _ in _PERIODS)
_BY_SHARE = "+".join(f"SUM({share})*SUM({price})" for share, price in _PERIODS)

PER_KWH = "{currency}/{energy}"
PER_DAY = "{currency}/day"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """The pricing date and what is in force on it."""
    return (
        Input(
            "pricing_date",
            "Pricing date",
            Shape.DATE,
            note="The day whose energy price your tags are worked out with. Blank is the last day of the log.",
        ),
        Input(
            "price_limit",
            "Highest believable price",
            Shape.RATE,
            unit=PER_KWH,
            note="A unit price above this is reported as probably typed in cents. Blank switches it off.",
            typed=Typed(minimum=0),
        ),
        *_in_force(),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The dated letters."""
    return (
        Table(
            "tariffs",
            "Tariffs",
            (
                *_typed_prices(),
                *_typed_standing(),
                *_typed_marks(),
                *_prices(),
                *_standing(),
                *_faults(),
                *_lines(),
                *_dropped(),
                *check_twins.letter_columns(),
            ),
            rows=ctx.capacity.tariffs,
            capacity="tariffs",
            seeded=True,
            grows=True,
        ),
    )


def _typed_prices() -> tuple[Item, ...]:
    second_note = "Time of use: the price of the {} period. Leave it blank with one price all day."
    share_note = "Time of use: the part of the furnace's energy in the {} period, from the bill or the meter."
    return (
        Input(
            "tariff_start",
            "From",
            Shape.DATE,
            note="The date in the utility's letter from which these prices hold. The oldest letter comes first.",
        ),
        Input(
            "tariff_price",
            "Price",
            Shape.RATE,
            unit=PER_KWH,
            note="Per {energy}, in money and not in cents, from the letter or the bill; with several times of "
            "use, the first one's.",
            typed=Typed(minimum=0),
        ),
        *(
            Input(
                f"tariff_price_{word}",
                f"{label} price",
                Shape.RATE,
                unit=PER_KWH,
                note=second_note.format(label.lower()),
                typed=Typed(minimum=0),
            )
            for word, label in (("two", "Second"), ("three", "Third"))
        ),
        *(
            Input(
                f"tariff_share_{word}",
                f"{label} share",
                Shape.SHARE,
                note=share_note.format(label.lower()),
                typed=Typed(minimum=0, maximum=1),
            )
            for word, label in (("one", "First"), ("two", "Second"), ("three", "Third"))
        ),
        Input(
            "tariff_surcharge",
            "Surcharge",
            Shape.RATE,
            unit=PER_KWH,
            note="Fuel adjustment, levies and the like per {energy}, from the bill; below 0 for a rebate.",
        ),
        Input(
            "tariff_tax",
            "Tax on it",
            Shape.SHARE,
            note="Tax on the energy bill that you can't reclaim, as a share: 0.05 for 5 %.",
            typed=Typed(minimum=0, maximum=1),
        ),
    )


def _typed_standing() -> tuple[Item, ...]:
    return (
        Input(
            "tariff_service",
            "Service charge",
            Shape.MONEY,
            unit="{currency}",
            note="The charge for having a connection, from the bill, whatever is used.",
            typed=Typed(minimum=0),
        ),
        Input(
            "tariff_service_per",
            "Service per",
            Shape.TEXT,
            note="Day or Month, as the bill has it. Blank is Month.",
            typed=Typed(choices=("Day", "Month")),
        ),
        Input(
            "tariff_service_share",
            "Furnace's share of service",
            Shape.SHARE,
            note="The part of the service charge that the furnace bears. Blank is 1, all of it.",
            typed=Typed(minimum=0, maximum=1),
        ),
        Input(
            "tariff_demand",
            "Demand charge",
            Shape.MONEY,
            unit="{currency}/kW-month",
            note="Per kW of the month's highest load, from the bill. Blank if the bill has none.",
            typed=Typed(minimum=0),
        ),
        Input(
            "tariff_demand_kw",
            "Billed kW",
            Shape.KILOWATTS,
            unit="kW",
            note="The kW that the bill charges for.",
            typed=Typed(minimum=0),
        ),
        Input(
            "tariff_demand_share",
            "Furnace's share of demand",
            Shape.SHARE,
            note="The part of those kW that is the furnace's. Blank is 1, for a meter of its own.",
            typed=Typed(minimum=0, maximum=1),
        ),
    )


def _typed_marks() -> tuple[Item, ...]:
    return (
        Input(
            "tariff_block",
            "Block price",
            Shape.TEXT,
            note="Yes if the price depends on how much is used. Then type the price of the block that the "
            "furnace's use falls in.",
            typed=Typed(choices=("Yes", "No")),
        ),
        Input(
            "tariff_letter",
            "Letter",
            Shape.TEXT,
            note="Which letter or bill these figures are from, so that you find it again.",
        ),
    )


def _prices() -> tuple[Figure, ...]:
    return (
        Figure(
            "tariff_valid",
            "Usable",
            Shape.COUNT,
            note="1 if the row has a date and a price and is later than the rows above.",
            formula="IF(AND(COUNT(tariff_start,tariff_price)=2,SUM(tariff_start)>tariff_key.prev),1,0)",
        ),
        Figure(
            "tariff_shares",
            "Shares typed",
            Shape.COUNT,
            note="How many shares of times of use are typed.",
            formula=f"COUNT({_SHARES})",
        ),
        Figure(
            "tariff_by_share",
            "By times of use",
            Shape.RATE,
            unit=PER_KWH,
            note="Each price × its share, added up.",
            formula=_BY_SHARE,
        ),
        Figure(
            "tariff_mix",
            "Mean of the times of use",
            Shape.RATE,
            unit=PER_KWH,
            note="The prices by their shares; the one price where no share is typed.",
            formula="IF(tariff_valid=0,0,IF(tariff_shares=0,tariff_price,tariff_by_share))",
        ),
        Figure(
            "tariff_key",
            "In force since",
            Shape.DATE,
            note="The date of this letter, or of the last usable one above.",
            formula="IF(tariff_valid=1,tariff_start,tariff_key.prev)",
            seed=0,
            end="=tariff_key.prev",
        ),
        Figure(
            "tariff_all_in",
            "All-in price",
            Shape.RATE,
            unit=PER_KWH,
            note="Price and surcharge with tax.",
            formula="IF(tariff_valid=1,(tariff_mix+SUM(tariff_surcharge))*(1+SUM(tariff_tax)),tariff_all_in.prev)",
            seed=0,
            end="=tariff_all_in.prev",
        ),
        Figure(
            "tariff_change",
            "Change in price",
            Shape.RATE,
            unit=PER_KWH,
            note="The all-in price less the one above.",
            formula="tariff_all_in-tariff_all_in.prev",
        ),
        _integral("tariff_integral", "tariff_all_in", "{currency}/{energy} × days"),
    )


def _integral(name: str, height: str, unit: str) -> Figure:
    return Figure(
        name,
        "Summed by days",
        Shape.MONEY,
        unit=unit,
        note="Summed day by day from the first letter to this one.",
        formula=f"{name}.prev+{height}.prev*(tariff_key-tariff_key.prev)",
        seed=0,
        end=f"={name}.prev",
    )


def _standing() -> tuple[Figure, ...]:
    share = "IF(ISNUMBER({0}),{0},1)"
    return (
        Figure(
            "tariff_service_day",
            "Service a day",
            Shape.RATE,
            unit=PER_DAY,
            note="The furnace's share of the service charge by the day; a monthly one × 12 ÷ 365.",
            formula=f"IF(tariff_valid=0,0,SUM(tariff_service)*{share.format('tariff_service_share')}"
            '*IF(tariff_service_per="Day",1,months_in_year/days_in_year))',
        ),
        Figure(
            "tariff_demand_day",
            "Demand a day",
            Shape.RATE,
            unit=PER_DAY,
            note="The furnace's share of the demand charge by the day.",
            formula="IF(tariff_valid=0,0,SUM(tariff_demand)*SUM(tariff_demand_kw)"
            f"*{share.format('tariff_demand_share')}*months_in_year/days_in_year)",
        ),
        Figure(
            "tariff_standing",
            "Service and demand",
            Shape.RATE,
            unit=PER_DAY,
            note="Both with tax, by the day.",
            formula="IF(tariff_valid=1,(tariff_service_day+tariff_demand_day)*(1+SUM(tariff_tax)),"
            "tariff_standing.prev)",
            seed=0,
            end="=tariff_standing.prev",
        ),
        Figure(
            "tariff_standing_change",
            "Change in it",
            Shape.RATE,
            unit=PER_DAY,
            note="Service and demand less the ones above.",
            formula="tariff_standing-tariff_standing.prev",
        ),
        _integral("tariff_standing_integral", "tariff_standing", "{currency}"),
    )


def _faults() -> tuple[Figure, ...]:
    return (
        Figure(
            "tariff_used",
            "Something typed",
            Shape.COUNT,
            note="1 if the row has a date or a price; 0 throughout until a first price is typed.",
            formula="IF(COUNT(tariff_price.all)=0,0,MIN(1,COUNT(tariff_start,tariff_price)))",
        ),
        Figure(
            "tariff_bad_order",
            "Not usable",
            Shape.COUNT,
            note="1 if something is typed but the date or the price is missing, or an earlier row has a later date.",
            formula="IF(AND(tariff_used=1,tariff_valid=0),1,0)",
        ),
        Figure(
            "tariff_bad_share",
            "Shares don't add up",
            Shape.COUNT,
            note="1 if shares are typed that don't make 1.",
            formula=f"IF(AND(tariff_valid=1,tariff_shares>0,ABS(SUM({_SHARES})-1)>close_enough),1,0)",
        ),
        Figure(
            "tariff_jump",
            "Hard to believe",
            Shape.COUNT,
            note="1 if the price rose more than three-fold at once, or is above the highest believable one.",
            formula="IF(tariff_all_in>MIN(price_limit,IF(tariff_all_in.prev>close_enough,"
            "jump_limit*tariff_all_in.prev,tariff_all_in))+close_enough,tariff_valid,0)",
        ),
    )


def _lines() -> tuple[Figure, ...]:
    return (
        Figure(
            "tariff_no",
            "Line",
            Shape.COUNT,
            note="Its number among the lines, also where it is blank.",
            formula="tariff_no.prev+1",
            seed=0,
        ),
        Figure(
            "tariff_line",
            "Line if used",
            Shape.COUNT,
            note="The line's number if a date or a price is typed in it, else 0.",
            formula="IF(tariff_used=1,tariff_no,0)",
        ),
    )


def _dropped() -> tuple[Figure, ...]:
    """What the letter before a row has, and the row has blank: it counts as nothing from then on."""

    def gone(word: str, label: str) -> Figure:
        before = f"SUM(INDEX(tariff_{word}.all,tariff_kept.prev+1))"
        return Figure(
            f"{word}_dropped",
            f"{label} dropped",
            Shape.COUNT,
            note="1 if the letter before has it, and here it is blank. A 0 that is typed is meant.",
            formula=f"IF(COUNTA(tariff_{word})=1,0,IF({before}>0,tariff_valid,0))",
        )

    return (
        Figure(
            "tariff_kept",
            "Line of the last letter",
            Shape.COUNT,
            note="This line if its letter can be used, else that of the last one above that can.",
            formula="IF(tariff_valid=1,tariff_no,tariff_kept.prev)",
            seed=0,
        ),
        gone("tax", "Tax"),
        gone("service", "Service charge"),
        gone("demand", "Demand charge"),
    )


def _in_force() -> tuple[Item, ...]:
    def there(column: str) -> str:
        return f'IF(INDEX(tariff_key.all,pricing_row)=0,"",INDEX({column}.all,pricing_row))'

    return (
        Figure(
            "pricing_date_used",
            "Pricing date used",
            Shape.DATE,
            note="The date typed on Shop, or the last day of the log.",
            formula="IF(ISNUMBER(pricing_date),pricing_date,log_last_day)",
        ),
        Figure(
            "pricing_row",
            "Letter on that date",
            Shape.COUNT,
            note="Its place in the tariffs, counted from the row above the first.",
            formula='MAX(1,COUNTIF(tariff_key.all,"<="&pricing_date_used))',
            needs=("pricing_date_used",),
        ),
        Figure(
            "price_now",
            "All-in price",
            Shape.RATE,
            unit=PER_KWH,
            note="What a {energy} costs on the pricing date, surcharge and tax included.",
            formula=there("tariff_all_in"),
            needs=("pricing_row",),
        ),
        Figure(
            "price_now_from",
            "In force since",
            Shape.DATE,
            note="The date of that letter.",
            formula=there("tariff_key"),
            needs=("pricing_row",),
        ),
        Figure(
            "standing_now",
            "Service and demand",
            Shape.RATE,
            unit=PER_DAY,
            note="The furnace's share of them a day, on the pricing date.",
            formula=there("tariff_standing"),
            needs=("pricing_row",),
        ),
        Figure(
            "tariff_newest",
            "Newest letter",
            Shape.DATE,
            note="The date of the last usable row, whether in force yet or not.",
            formula='IF(MAX(tariff_key.all)=0,"",MAX(tariff_key.all))',
        ),
        Figure(
            "price_lacks",
            "Why there is no price",
            Shape.TEXT,
            note="What to type, where no letter is in force on the pricing date.",
            formula='IF(COUNT(tariff_newest)=0,"Type a tariff first.",price_lacks_day)',
        ),
        Figure(
            "price_lacks_day",
            "Why there is none with a tariff",
            Shape.TEXT,
            note="There is no day to price by, or the letters are all later than it.",
            formula='IF(COUNT(pricing_date_used)=0,"Log a day first, or type a pricing date on Shop.",'
            '"No tariff is in force on the pricing date: see {Tariffs}.")',
        ),
    )
