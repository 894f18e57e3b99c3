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
ENDS = "Log ends before this bill does"
EXPLAINED = "Explained"
MORE_BILLED = "More billed than you know of"
MORE_COUNTED = "You count more than was billed"


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """All bills together."""
    return (*_limit(), *together())


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
            "bill_unlogged",
            "Days past the log",
            Shape.DAYS,
            unit="days",
            note="Days of the bill after the last one logged.",
            formula="MAX(0,bill_close-MAX(bill_start,SUM(log_last_day)+1))",
            nonzero=("bill_given",),
        ),
        Figure(
            "bill_counted",
            "Counts in all bills",
            Shape.COUNT,
            note="1 if it is complete and the log covers it to its end.",
            formula="IF(bill_given=1,IF(bill_unlogged=0,1,0),0)",
        ),
        Figure(
            "bill_side",
            "Which side is more",
            Shape.TEXT,
            formula=f'IF(ROUND(bill_share,6)>0,"{MORE_BILLED}","{MORE_COUNTED}")',
            needs=("bill_share",),
        ),
        Figure(
            "bill_verdict",
            "What it comes to",
            Shape.TEXT,
            note="Once all its days are known.",
            formula=f'IF(ABS(bill_share)<=unexplained_used+close_enough,"{EXPLAINED}",bill_side)',
            needs=("bill_share",),
        ),
        Figure(
            "bill_word",
            "Says",
            Shape.TEXT,
            note="What the bill tells.",
            formula=f'IF(bill_waiting>0,"{WAITS}",IF(bill_unlogged>0,"{ENDS}",bill_verdict))',
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


def together(
    end: str = "",
    whose: str = "",
    unit: str = ENERGY,
    summed: str = "SUMIFS({column}.all,bill_counted.all,1)",
    counted: str = "SUM({column}.all)",
) -> tuple[Figure, ...]:
    """All bills, or those of one source: ``end`` is put behind the names, ``whose`` in labels and sentences."""
    of = f", {whose} source" if whose else ""
    billed = f"what the {whose} source billed" if whose else "all that was billed"

    def energy(name: str, label: str, note: str, column: str) -> Figure:
        formula = summed.format(column=column)
        return Figure(
            f"{name}{end}", label + of, Shape.ENERGY, unit=unit, note=note, formula=formula, nonzero=(f"bills_in{end}",)
        )

    def count(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(f"{name}{end}", label + of, Shape.COUNT, note=note, formula=formula)

    return (
        count("bills_given", "Bills", "Complete ones.", counted.format(column="bill_given")),
        count("bills_in", "Bills counted", "Those that the log covers.", counted.format(column="bill_counted")),
        count("bills_left", "Bills left out", "The log ends before they do.", f"bills_given{end}-bills_in{end}"),
        energy("bills_use", "Billed", "All bills that count.", "bill_use"),
        energy("bills_furnace", "Furnace", "In the days of these bills.", "bill_furnace"),
        energy("bills_known", "Known of", "Furnace, other meters and estimates.", "bill_known"),
        Figure(
            f"bills_share{end}",
            f"Unexplained{of}",
            Shape.SHARE,
            note="Below 0 you count more than was billed.",
            formula=f"1-bills_known{end}/bills_use{end}",
            needs=(f"bills_use{end}", f"bills_known{end}"),
            nonzero=(f"bills_use{end}",),
        ),
        Figure(
            f"bills_main{end}",
            f"What is known{of}",
            Shape.TEXT,
            note="For the sentence.",
            formula=f'IF(bills_percent{end}>100,"You count "&bills_percent{end}&" % of {billed}.",'
            f'"Of {billed} you know of "&bills_percent{end}&" %.")',
            needs=(f"bills_share{end}",),
        ),
        Figure(
            f"bills_out{end}",
            f"What is left out{of}",
            Shape.TEXT,
            note="For the sentence.",
            formula=f'IF(bills_left{end}=0,"",IF(bills_left{end}=1,"1 bill is",bills_left{end}&" bills are")'
            '&" left out: the log ends before.")',
        ),
        Figure(
            f"bills_sentence{end}",
            f"The answer{of}",
            Shape.TEXT,
            note="Bills that reach past the log are left out, and named.",
            formula=f'bills_main{end}&IF(OR(bills_main{end}="",bills_out{end}=""),""," ")&bills_out{end}',
            nonzero=(f"bills_given{end}",),
        ),
        Figure(
            f"bills_percent{end}",
            f"Known of, in percent{of}",
            Shape.COUNT,
            unit="%",
            note="For the sentence.",
            formula=whole_words(f"100*bills_known{end}/bills_use{end}"),
            needs=(f"bills_share{end}",),
        ),
    )
