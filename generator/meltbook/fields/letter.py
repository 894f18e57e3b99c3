"""A letter from the utility: what it says, what is in force that it would change, and what holds from then on.

The owner copies the letter as it is written: in money or in cents, with tax or without, as new prices or as one
change in percent. A blank is no change. The row of Tariffs that would be in force on the letter's first day says
what it changes from; ``letter_base_row`` is the row in which those rates were typed, since the rows below it that
are blank only carry them.
"""

from __future__ import annotations

from meltbook.fields import letter_rates
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed
from meltbook.fields.letter_rates import PER_KW
from meltbook.fields.words import date_words

AMOUNT = Typed(minimum=0)
SHARE = Typed(minimum=0, maximum=1)
AS_PRINTED = "{currency} or cents a {energy}"
"""The unit of a price in the letter: which of the two, *Prices are in* says."""

_PRICES = (
    ("price", "Price", "the unit price, or the first period's"),
    ("price_two", "Second price", "the second period's price"),
    ("price_three", "Third price", "the third period's price"),
)
_SHARES = (("one", "First share"), ("two", "Second share"), ("three", "Third share"))
_SHARES_TYPED = ",".join(f"letter_share_{word}" for word, _ in _SHARES)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """The letter, the letter in force before it, what holds from then on, and the changes between them."""
    return (*_typed(), *_given(), *letter_rates.rates())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """A letter is single cells; it becomes a row of Tariffs when the owner takes it over."""
    return ()


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
            note="Money or Cents, as the letter prints the price of a {energy}. Blank is Money.",
            typed=Typed(choices=("Money", "Cents")),
        ),
        Input(
            "letter_tax_in",
            "Tax in the prices",
            Shape.TEXT,
            note="Whether the letter's prices have the tax in them. Blank is without.",
            typed=Typed(choices=("Without tax", "With tax")),
        ),
        Input(
            "letter_change",
            "Change in percent",
            Shape.SHARE,
            note="If the letter names one change for all prices of a {energy}: 8 % is 8 % more. It moves no surcharge "
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
                unit=AS_PRINTED,
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
                unit="of the use",
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
            unit=AS_PRINTED,
            note="New: fuel adjustment, levies and the like per {energy}; below 0 for a rebate. Blank if it stays.",
        ),
        Input(
            "letter_tax",
            "Tax on the bill",
            Shape.SHARE,
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
            "Service charge per",
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
            "letter_day",
            "Its date in words",
            Shape.TEXT,
            note="Blank while no letter is typed.",
            formula=date_words("letter_start"),
            nonzero=("letter_given",),
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
            note="The date of the next letter on {Tariffs}, or no end.",
            formula="IF(letter_position<COUNT(tariff_key.all),INDEX(tariff_key.all,letter_position+1),far_date)",
            needs=("letter_position",),
        ),
    )
