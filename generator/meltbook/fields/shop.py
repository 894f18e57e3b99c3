"""The shop: who works there, what it costs to be open, and how its tags are written.

Everything here is typed once and looked at a few times a year. The furnace, its glass and its dates belong to
other chapters, even where they stand on the same sheet.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed

SHARE = Typed(minimum=0, maximum=1)
AMOUNT = Typed(minimum=0)
YES_OR_NO = Typed(choices=("Yes", "No"))

ROLES = ("Gaffer", "Assistant one", "Assistant two", "Off-bench work")
CATEGORIES = (
    "Rent",
    "Insurance",
    "Energy elsewhere",
    "Office",
    "Repairs",
    "Tools",
    "Selling",
    "Vehicle",
    "Other",
)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What is typed about the shop as a whole, and the rates that come of it."""
    return (*_choices(ctx), *_bench(), *_tags(), *_rates(), *_overhead())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Who is paid what, and what it costs to be open."""
    return (_people(ctx), _overheads(ctx))


def _choices(ctx: BookContext) -> tuple[Item, ...]:
    return (
        Input("studio_name", "Studio", Shape.TEXT, note="As it should stand above the price list."),
        Fixed(
            "weight_unit",
            "Weights are in",
            Shape.TEXT,
            note="Chosen when the book was made. To change it, make a new book.",
            values=(ctx.weight_unit,),
        ),
        Fixed(
            "energy_unit",
            "The furnace's energy is in",
            Shape.TEXT,
            note="As its tariff bills it. Chosen when the book was made. To change it, make a new book.",
            values=(ctx.energy_unit,),
        ),
        Fixed(
            "currency_code",
            "Money is in",
            Shape.TEXT,
            note="Chosen when the book was made. Type all money without any sales tax that you reclaim.",
            values=(ctx.currency,),
        ),
        Input(
            "sales_tax",
            "Sales tax",
            Shape.SHARE,
            unit="of the price",
            note="What your shop adds or must hand on; from your tax registration. Empty if you charge none.",
            typed=SHARE,
        ),
        Input(
            "tax_inside",
            "Tag includes tax",
            Shape.TEXT,
            note="Yes if the tag on the shelf is all that the buyer pays; No if tax comes on top at the till.",
            typed=YES_OR_NO,
        ),
    )


def _bench() -> tuple[Item, ...]:
    return (
        Input(
            "ordinary_hours",
            "Bench hours in an ordinary year",
            Shape.HOURS,
            unit="hours",
            note="Hours that the gaffer really blows in a year like most, from your diary; not a best year. "
            "Overheads are spread over these.",
            typed=AMOUNT,
        ),
        Input(
            "window_hours",
            "Bench hours, last 12 months",
            Shape.HOURS,
            unit="hours",
            note="Hours blown in the months that prices are taken from, from your diary. Empty: the ordinary hours.",
            typed=AMOUNT,
        ),
        Input(
            "paid_factor",
            "Paid hours per bench hour",
            Shape.FACTOR,
            note="Setting up, heating tools and cleaning are paid too: 6 paid hours for 5 at the bench is "
            "1.2. "
            "Empty counts as 1.",
            typed=AMOUNT,
        ),
        Input(
            "minutes_a_day",
            "Piece minutes in a day",
            Shape.MINUTES,
            unit="minutes",
            note="Minutes of a blowing day in which a piece is on the pipe, from a day that you timed. "
            "Equipment that burns all day is shared over these.",
            typed=AMOUNT,
        ),
        Input(
            "gather_weight",
            "Glass in one gather",
            Shape.WEIGHT,
            unit="{weight}",
            note="Weigh five gathers on cold punties and take the mean. Empty: worked out from the log's gathers.",
            typed=AMOUNT,
        ),
        Input(
            "furnace_by",
            "Furnace is shared by",
            Shape.TEXT,
            note="How a piece takes its part of the furnace. Each way brings in the same total: weight "
            "suits most; "
            "bench minutes suit slow, small work.",
            typed=Typed(choices=("Weight", "Gathers", "Bench minutes")),
        ),
    )


def _tags() -> tuple[Item, ...]:
    return (
        Input(
            "tag_step",
            "Tags go up in steps of",
            Shape.MONEY,
            unit="{currency}",
            note="1 for whole amounts, 5 for fives, 0.05 for five cents. A tag is always rounded up.",
            typed=Typed(minimum=0.001),
        ),
        Input(
            "tag_ending",
            "Tags end in",
            Shape.MONEY,
            unit="{currency}",
            note="0.95 with a step of 1 gives 24.95. It must be less than the step; if not, 0 is used.",
            typed=AMOUNT,
        ),
        Input(
            "made_when",
            "Pieces made were counted for",
            Shape.TEXT,
            note="Whether the counts on Pieces are for the whole log or for the two dates typed above.",
            typed=Typed(choices=("All time", "Between your dates")),
        ),
        Input(
            "recovery_tolerance",
            "Furnace recovered within",
            Shape.SHARE,
            unit="of its cost",
            note="Checks tells you when what your pieces paid towards the furnace is further than this from its cost.",
            typed=SHARE,
        ),
        Input(
            "rank_channel",
            "Rank pieces as sold through",
            Shape.TEXT,
            note="One of your ways of selling. Empty: the first.",
            typed=Typed(choices_from="channel_name"),
        ),
        Input(
            "picture_piece",
            "Piece in the picture",
            Shape.TEXT,
            note="One that is sold in the way that pieces are ranked by. Empty: the first.",
            typed=Typed(choices_from="piece_name"),
        ),
    )


def _rates() -> tuple[Item, ...]:
    def hired(name: str, row: int, who: str) -> Figure:
        return Figure(
            name,
            f"{who} paid by the hour",
            Shape.COUNT,
            note="1 if Yes stands beside the rate: then each piece must earn this pay at the least.",
            formula=f'IF(person_hired.{row}="Yes",1,0)',
        )

    def rate(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.MONEY, unit="{currency} an hour", note=note, formula=formula)

    return (
        rate(
            "gaffer_rate",
            "Gaffer's rate used",
            "As typed under People; nothing has a price before it is typed.",
            'IF(ISNUMBER(person_rate.1),person_rate.1,"")',
        ),
        rate("first_rate", "Assistant one's rate used", "As typed; 0 if empty.", "SUM(person_rate.2)"),
        rate("second_rate", "Assistant two's rate used", "As typed; 0 if empty.", "SUM(person_rate.3)"),
        rate(
            "off_rate",
            "Off-bench rate used",
            "As typed; if empty, the gaffer's.",
            "IF(ISNUMBER(person_rate.4),person_rate.4,SUM(person_rate.1))",
        ),
        hired("gaffer_hired", 1, "Gaffer"),
        hired("first_hired", 2, "Assistant one"),
        hired("second_hired", 3, "Assistant two"),
        hired("off_hired", 4, "Off-bench work"),
        Figure(
            "paid_used",
            "Paid hours per bench hour used",
            Shape.FACTOR,
            note="As typed; 1 if empty.",
            formula="IF(ISNUMBER(paid_factor),paid_factor,1)",
        ),
    )


def _overhead() -> tuple[Item, ...]:
    return (
        Figure(
            "overhead_total",
            "Overheads in a year",
            Shape.MONEY,
            unit="{currency} a year",
            note="All overhead lines, each brought to a year.",
            formula="SUM(overhead_yearly.all)",
        ),
        Figure(
            "overhead_lines",
            "Overhead lines typed",
            Shape.COUNT,
            note="Lines with an amount; a single line of 0 says that there are none.",
            formula="COUNT(overhead_yearly.all)",
        ),
        Figure(
            "overhead_known",
            "Overheads are known",
            Shape.COUNT,
            note="1 once there is a line, and the ordinary bench hours to spread it over.",
            formula="IF(overhead_lines>0,IF(OR(overhead_total=0,SUM(ordinary_hours)>0),1,0),0)",
        ),
        Figure(
            "overhead_hour",
            "Overhead per bench hour",
            Shape.RATE,
            unit="{currency} an hour",
            note="Spread over the bench hours of an ordinary year, so that a slow year does not raise every tag.",
            formula="IF(overhead_total=0,0,overhead_total/ordinary_hours)",
            nonzero=("overhead_known",),
        ),
    )


def _people(ctx: BookContext) -> Table:
    return Table(
        "people",
        "People",
        (
            Fixed("person_role", "Who", Shape.TEXT, values=ROLES),
            Input(
                "person_rate",
                "Rate an hour",
                Shape.MONEY,
                unit="{currency} an hour",
                note="With what the employer pays on top. For yourself: what you would have to pay somebody as good.",
                typed=AMOUNT,
            ),
            Input(
                "person_hired",
                "Paid by the hour",
                Shape.TEXT,
                note="Yes if somebody gets this pay for each hour worked; No or empty for the owner's own time.",
                typed=YES_OR_NO,
            ),
        ),
        rows=ctx.capacity.people,
        capacity="people",
    )


def _overheads(ctx: BookContext) -> Table:
    return Table(
        "overheads",
        "Overheads",
        (
            Input(
                "overhead_name",
                "What",
                Shape.TEXT,
                note="One line for each bill that comes whether you blow or not.",
            ),
            Input(
                "overhead_category",
                "Kind",
                Shape.TEXT,
                note="Only to sort by. Leave out the furnace's energy: it is counted in the glass.",
                typed=Typed(choices=CATEGORIES),
            ),
            Input(
                "overhead_amount",
                "Amount",
                Shape.MONEY,
                unit="{currency}",
                note="From the bill or the lease, without tax that you reclaim. Type 0 on one line if there are none.",
                typed=AMOUNT,
            ),
            Input(
                "overhead_per",
                "Per",
                Shape.TEXT,
                note="Whether the amount is for a month or for a year; empty counts as a year.",
                typed=Typed(choices=("Month", "Year")),
            ),
            Figure(
                "overhead_yearly",
                "In a year",
                Shape.MONEY,
                unit="{currency} a year",
                note="The amount brought to a year.",
                formula='overhead_amount*IF(overhead_per="Month",months_in_year,1)',
                needs=("overhead_amount",),
            ),
        ),
        rows=ctx.capacity.overheads,
        capacity="overheads",
    )
