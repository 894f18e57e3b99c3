"""Bill check: what the utility billed against what the book knows of.

Bills are read on other days than the log, so a row of the log counts for a bill by its days, and here alone. What
other equipment used is typed: by its own meters, or estimated; else it is taken from Equipment by the days. The rest
of the bill is unexplained; the sheet says how large a part that is and what usually explains it. Nothing outside this
chapter reads any of it.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.fields.words import whole_words

ENERGY = "{energy}"
WAITS = "Rows of the log wait for a reading"
EXPLAINED = "Explained"
MORE_BILLED = "More billed than you know of"
MORE_COUNTED = "You count more than was billed"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """All bills together."""
    return (*_limit(), *_together())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """One row a bill."""
    return (
        Table(
            "bills",
            "Bills",
            (*_typed(), *_furnace(), *_answer()),
            rows=ctx.capacity.bills,
            capacity="bills",
        ),
    )


def _typed() -> tuple[Item, ...]:
    some = Typed(minimum=0)
    return (
        Input("bill_start", "From", Shape.DATE, note="The first day billed: the day after the reading before."),
        Input("bill_end", "To", Shape.DATE, note="The last day billed: the day of the reading."),
        Input("bill_use", "Billed", Shape.ENERGY, unit=ENERGY, note="Use on the bill, not money.", typed=some),
        Input(
            "bill_metered",
            "Other meters",
            Shape.ENERGY,
            unit=ENERGY,
            note="What meters of other equipment counted in these days.",
            typed=some,
        ),
        Input(
            "bill_estimated",
            "Estimated",
            Shape.ENERGY,
            unit=ENERGY,
            note="All else that you know of: hours × kW, lights, fans. Blank: taken from Equipment by the days.",
            typed=some,
        ),
        Input("bill_ref", "Bill", Shape.TEXT, note="Its number or month, so that you find it again."),
    )


def _furnace() -> tuple[Item, ...]:
    def whole(day: str) -> str:
        return f'SUMIFS(energy_used.all,row_measured.all,1,row_days.all,">0",next_day.all,"<="&{day})'

    def part(day: str) -> str:
        return (
            f"SUMPRODUCT((first_day.all<{day})*(next_day.all>{day})*row_measured.all*energy_used.all"
            f"*({day}-first_day.all)/(row_days.all+(row_days.all=0)))"
        )

    def summed(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.ENERGY, unit=ENERGY, note=note, formula=formula, nonzero=("bill_given",))

    rows, days = "Of rows that had ended.", "Of the row under way, by its days."
    return (
        Figure(
            "bill_given",
            "Is complete",
            Shape.COUNT,
            note="1 once both days and the use are typed, in order.",
            formula="IF(COUNT(bill_start,bill_end,bill_use)=bill_cells,IF(bill_end>=bill_start,1,0),0)",
        ),
        Figure(
            "bill_close",
            "Day after",
            Shape.DATE,
            note="The day after the last one billed.",
            formula="bill_end+1",
            nonzero=("bill_given",),
        ),
        summed("bill_before_rows", "Furnace before, rows", rows, whole("bill_start")),
        summed("bill_before_days", "Furnace before, days", days, part("bill_start")),
        summed("bill_until_rows", "Furnace until then, rows", rows, whole("bill_close")),
        summed("bill_until_days", "Furnace until then, days", days, part("bill_close")),
        Figure(
            "bill_furnace",
            "Furnace",
            Shape.ENERGY,
            unit=ENERGY,
            note="By the log, a row counted by its days.",
            formula="bill_until_rows+bill_until_days-bill_before_rows-bill_before_days",
            nonzero=("bill_given",),
        ),
    )


def _answer() -> tuple[Item, ...]:
    return (
        Figure(
            "bill_estimate_used",
            "Taken as",
            Shape.ENERGY,
            unit=ENERGY,
            note="As typed; else what Equipment uses in so many days, without what has meters where these are typed.",
            formula="IF(ISNUMBER(bill_estimated),bill_estimated,IF(ISNUMBER(bill_metered),machines_year_unmetered,"
            "machines_year_use)*(bill_close-bill_start)/days_in_year)",
            nonzero=("bill_given",),
        ),
        Figure(
            "bill_known",
            "Known of",
            Shape.ENERGY,
            unit=ENERGY,
            note="Furnace, other meters and estimates.",
            formula="bill_furnace+SUM(bill_metered)+bill_estimate_used",
            needs=("bill_furnace",),
        ),
        Figure(
            "bill_unexplained",
            "Unexplained",
            Shape.ENERGY,
            unit=ENERGY,
            note="Billed less known of.",
            formula="bill_use-bill_known",
            needs=("bill_known",),
        ),
        Figure(
            "bill_share",
            "Share unexplained",
            Shape.SHARE,
            note="Of what was billed.",
            formula="bill_unexplained/bill_use",
            needs=("bill_unexplained",),
            nonzero=("bill_use",),
        ),
        Figure(
            "bill_waiting",
            "Waiting rows",
            Shape.COUNT,
            note="Rows of the log in these days that no reading has closed.",
            formula='COUNTIFS(row_days.all,">0",row_measured.all,0,'
            'first_day.all,"<="&bill_end,next_day.all,">"&bill_start)',
            needs=("bill_furnace",),
        ),
        Figure(
            "bill_side",
            "Which side is more",
            Shape.TEXT,
            formula=f'IF(ROUND(bill_share,6)>0,"{MORE_BILLED}","{MORE_COUNTED}")',
            needs=("bill_share",),
        ),
        Figure(
            "bill_word",
            "Says",
            Shape.TEXT,
            note="What the bill tells.",
            formula=f'IF(bill_waiting>0,"{WAITS}",'
            f'IF(ABS(SUM(bill_share))<=unexplained_used+close_enough,"{EXPLAINED}",bill_side))',
            needs=("bill_share", "bill_waiting"),
        ),
    )


def _limit() -> tuple[Item, ...]:
    return (
        Input(
            "unexplained_limit",
            "May stay unexplained",
            Shape.SHARE,
            note="Lights, fans and tools that you don't estimate. Blank is 10 %.",
            typed=Typed(minimum=0, maximum=1),
        ),
        Fixed(
            "default_unexplained",
            "May stay unexplained, if blank",
            Shape.SHARE,
            note="So much of a bill needs no explaining.",
            values=(0.1,),
        ),
        Fixed("bill_cells", "Cells of a bill", Shape.COUNT, note="Both days and the use make a bill.", values=(3,)),
        Figure(
            "unexplained_used",
            "May stay unexplained, used",
            Shape.SHARE,
            note="As typed, else 10 %.",
            formula="IF(ISNUMBER(unexplained_limit),unexplained_limit,default_unexplained)",
        ),
    )


def _together() -> tuple[Item, ...]:
    def energy(name: str, label: str, note: str, column: str) -> Figure:
        formula = f"SUMIFS({column}.all,bill_given.all,1)"
        return Figure(name, label, Shape.ENERGY, unit=ENERGY, note=note, formula=formula, nonzero=("bills_given",))

    return (
        Figure("bills_given", "Bills", Shape.COUNT, note="Complete ones.", formula="SUM(bill_given.all)"),
        energy("bills_use", "Billed, all bills", "All bills together.", "bill_use"),
        energy("bills_furnace", "Furnace, all bills", "In the days of the bills.", "bill_furnace"),
        energy("bills_known", "Known of, all bills", "Furnace, other meters and estimates.", "bill_known"),
        Figure(
            "bills_share",
            "Share unexplained, all bills",
            Shape.SHARE,
            note="Below 0 you count more than was billed.",
            formula="1-bills_known/bills_use",
            needs=("bills_use", "bills_known"),
            nonzero=("bills_use",),
        ),
        Figure(
            "bills_sentence",
            "The answer",
            Shape.TEXT,
            formula='IF(bills_percent>100,"You count "&bills_percent&" % of all that was billed.",'
            '"Of all that was billed you know of "&bills_percent&" %.")',
            needs=("bills_share",),
        ),
        Figure(
            "bills_percent",
            "Known of, in percent",
            Shape.COUNT,
            unit="%",
            note="For the sentence.",
            formula=whole_words("100*bills_known/bills_use"),
            needs=("bills_share",),
        ),
    )
