"""A new tariff: what a letter from the utility does to the studio and to its tags, before it is in force.

The letter itself is declared in ``letter``; what it does to rows that are logged already in ``late``, to each
piece in ``piece_after``, and the list of tags to change in ``retag``. Here is what it does to the whole studio:
the same use at the new prices, and the furnace's rate that pieces are then costed with. Nothing outside this
chapter reads any of it: the book goes on with the tariffs in force until the letter is typed into their table.
"""

from __future__ import annotations

from meltbook.fields import piece_after, retag
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table

PER_KWH = "{currency}/{energy}"
PER_DAY = "{currency}/day"
PER_WEIGHT = "{currency}/{weight}"
A_YEAR = "{currency} a year"
A_MONTH = "{currency} a month"

CASES: tuple[tuple[str, str], ...] = (
    ("Type the letter: from when, and what changes.", "IF(letter_given=0,1,0)"),
    ("No tariff is in force on that day yet; type one that is.", "IF(COUNT(letter_base_row)=0,1,0)"),
    ("More than three times the price in force: was it typed in cents?", "letter_jump"),
    ("The table of tariffs is full.", "IF(letter_line>tariff_rows_made,1,0)"),
    (
        "A letter taken over has this date or a later one; see that the dates stay in order.",
        "IF(COUNT(letter_start,tariff_newest)<2,0,IF(letter_start<=tariff_newest,1,0))",
    ),
    ("To take it over, type it into line", "1"),
)
"""What the sheet says about the letter, the first that applies, and when: 1 if it does."""
NO_LETTER_OF_IT = "No letter about this source is typed. If there is one, type from when, and what changes."
"""The first of them where there are two sources: the other one's letter may be typed."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Where the letter belongs on Tariffs, and what it does to the studio."""
    return (
        *_place(ctx),
        *_prices(),
        *_rate(),
        *_effect(),
        *piece_after.scalars(),
        *retag.scalars(),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """What the sheet says, the pieces after the change, and the list of tags to change."""
    return (_cases(two_sources=bool(ctx.second_unit)), *piece_after.tables(ctx), *retag.tables(ctx))


def _cases(*, two_sources: bool) -> Table:
    words = [words for words, _ in CASES]
    if two_sources:
        words[0] = NO_LETTER_OF_IT
    return Table(
        "letter_cases",
        "What New tariff says about the letter",
        (
            Fixed(
                "letter_word",
                "What it says",
                Shape.TEXT,
                note="The first that applies is shown.",
                values=tuple(words),
            ),
            Figure(
                "letter_case",
                "It applies",
                Shape.COUNT,
                note="1 if it does.",
                formulas=tuple(formula for _, formula in CASES),
            ),
        ),
        rows=len(CASES),
    )


def _place(ctx: BookContext) -> tuple[Item, ...]:
    return (
        Fixed(
            "tariff_rows_made",
            "Rows prepared on {Tariffs}",
            Shape.COUNT,
            note="As many rows as the tariffs had when this book was made.",
            values=(ctx.capacity.tariffs,),
        ),
        Figure(
            "letter_line",
            "Next free line of {Tariffs}",
            Shape.COUNT,
            note="The line below the last one in which a date or a price is typed.",
            formula="MAX(tariff_line.all)+1",
        ),
        Figure(
            "letter_jump",
            "Hard to believe",
            Shape.COUNT,
            note="1 if the all-in price would rise more than three-fold.",
            formula="IF(AND(SUM(base_all_in)>0,SUM(new_all_in)>jump_limit*SUM(base_all_in)),1,0)",
        ),
        Figure(
            "letter_code",
            "What to say",
            Shape.COUNT,
            note="The first sentence that applies to the letter.",
            formula="MATCH(1,letter_case.all,0)",
        ),
        Figure(
            "letter_state",
            "The letter",
            Shape.TEXT,
            note="What is still to be done with it.",
            formula="INDEX(letter_word.all,letter_code)"
            '&IF(letter_code=COUNT(letter_case.all)," "&letter_line&" of {Tariffs}.","")',
        ),
        Figure(
            "letter_rest",
            "The rest of that line",
            Shape.TEXT,
            note="On this sheet a blank stays as it is; on the sheet of tariffs it is nothing.",
            formula='IF(letter_code=COUNT(letter_case.all),"Copy the rest of the line above it too, in both tables '
            'there: what is blank there counts as none.","")',
        ),
    )


def _mirror(name: str, label: str, shape: Shape, unit: str, source: str, note: str) -> Figure:
    return Figure(name, label, shape, unit=unit, note=note, formula=source)


def _prices() -> tuple[Figure, ...]:
    before = "Repeated from where it is worked out: on the pricing date."
    after = "Repeated from above."
    return (
        _mirror("price_before", "All-in price now", Shape.RATE, PER_KWH, "price_now", before),
        _mirror("price_after", "All-in price after", Shape.RATE, PER_KWH, "new_all_in", after),
        _mirror("standing_day_before", "Service and demand now", Shape.RATE, PER_DAY, "standing_now", before),
        _mirror("standing_day_after", "Service and demand after", Shape.RATE, PER_DAY, "new_standing", after),
        _mirror("hot_before", "Every hot day now", Shape.RATE, PER_WEIGHT, "price_hot", before),
        Figure(
            "hot_after",
            "Every hot day after",
            Shape.RATE,
            unit=PER_WEIGHT,
            note="Energy of all hot days of the last 12 months at the new all-in price, for a weight of glass.",
            formula="period_use.3/period_weight.3*new_all_in",
            needs=("new_all_in",),
            nonzero=("period_weight.3",),
        ),
        Figure(
            "standing_before",
            "Service and demand now",
            Shape.RATE,
            unit=PER_WEIGHT,
            note=f"{before} Blank where there are no such charges.",
            formula="price_standing",
            nonzero=("price_standing",),
        ),
        Figure(
            "standing_after",
            "Service and demand after",
            Shape.RATE,
            unit=PER_WEIGHT,
            note="The new charges of a year over an ordinary year's glass; blank where there are none before or after.",
            formula='IF(AND(new_standing=0,SUM(standing_before)=0),"",new_standing*days_in_year/year_weight)',
            needs=("new_standing", "year_weight"),
            nonzero=("year_weight",),
        ),
    )


def _rate() -> tuple[Figure, ...]:
    return (
        Figure(
            "pool_after",
            "Furnace to recover after",
            Shape.MONEY,
            unit="{currency}",
            note="What the pieces of the last 12 months would have had to pay for the furnace at the new prices.",
            formula="(hot_after+IF(ISNUMBER(price_standing),SUM(standing_after),0)+SUM(price_wear)+SUM(price_own))"
            "*period_weight.3",
            needs=("hot_after",),
        ),
        Figure(
            "rate_after",
            "Furnace rate after",
            Shape.RATE,
            unit="{currency}",
            note="What a piece is charged for the furnace, by weight, gathers or bench minutes as chosen on Shop.",
            formula="furnace_rate*pool_after/furnace_pool",
            needs=("furnace_rate", "pool_after"),
            nonzero=("furnace_pool",),
        ),
    )


def _year() -> tuple[Figure, ...]:
    """A year's use: that of the last 12 months, or what fewer logged days come to in a year."""
    return (
        Figure(
            "year_logged",
            "Twelve months are logged",
            Shape.COUNT,
            note="1 if the log reaches back to the first day of the twelve months that prices are worked out from.",
            formula='MIN(1,COUNTIFS(row_measured.all,1,first_day.all,"<="&window_low))',
        ),
        Figure(
            "year_use",
            "Energy in a year",
            Shape.ENERGY,
            unit="{energy}",
            note="That of the last 12 months; where fewer are logged, or the last 12 have no glass, all of it × 365 ÷ "
            "its days.",
            formula="period_use.3*IF(year_logged=1,1,days_in_year/period_days.3)",
            nonzero=("period_days.3",),
        ),
        Figure(
            "effect_note",
            "What the effect rests on",
            Shape.TEXT,
            note="How many days of the log a year's use comes from.",
            formula='"A year\'s use: from "&effect_days&" logged day"&IF(effect_days=1,"","s")'
            '&IF(year_logged=1," of the last 12 months.",", × "&days_in_year&" ÷ "&effect_days&".")',
            nonzero=("effect_days",),
        ),
        Figure(
            "effect_days",
            "Days that it rests on",
            Shape.COUNT,
            note="Days of the measured rows that prices are worked out from, cold ones too.",
            formula="SUM(period_days.3)",
        ),
    )


def _effect() -> tuple[Figure, ...]:
    def money(name: str, label: str, unit: str, note: str, formula: str, *needs: str) -> Figure:
        return Figure(name, label, Shape.MONEY, unit=unit, note=note, formula=formula, needs=needs)

    def monthly(name: str, label: str, yearly: str) -> Figure:
        note = "A twelfth of the year's."
        return money(name, label, A_MONTH, note, f"{yearly}/months_in_year", yearly)

    return (
        *_year(),
        money(
            "effect_energy",
            "Energy, more in a year",
            A_YEAR,
            "A year's energy × the change in the all-in price.",
            "year_use*(new_all_in-price_now)",
            "year_use",
            "new_all_in",
            "price_now",
        ),
        money(
            "effect_standing",
            "Service and demand, more in a year",
            A_YEAR,
            "A year's days × the change in the charges by the day.",
            "(new_standing-standing_now)*days_in_year",
            "new_standing",
            "standing_now",
        ),
        money(
            "effect_year",
            "More in a year",
            A_YEAR,
            "Both together.",
            "effect_energy+effect_standing",
            "effect_energy",
        ),
        monthly("effect_energy_month", "Energy, more in a month", "effect_energy"),
        monthly("effect_standing_month", "Service and demand, more in a month", "effect_standing"),
        monthly("effect_month", "More in a month", "effect_year"),
    )
