"""Classes taught in the shop: what a seat costs, what to ask for it, and with how many seats a class breaks even.

A session takes its hours from the open shop, as ``hire`` works them out, and pays its teachers; those costs are the
same for one student as for eight. Each student adds glass, material, a part of an annealer load and packing. The
melting of the glass is in the furnace's hour, so only its raw price is counted again.
"""

from __future__ import annotations

from dataclasses import replace

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed
from meltbook.fields.prices import AMOUNT, AN_HOUR, AT_A_LOSS, NO_TAG, SHARE
from meltbook.fields.tags import to_the_cent
from meltbook.fields.words import whole_words

A_SESSION = "{currency} a session"
A_STUDENT = "{currency} a student"
A_SEAT = "{currency} a seat"
NO_NUMBER = "No number can"

TYPED_SESSION = ("course_seats", "course_empty", "course_hours", "course_prep", "course_pay", "course_glass")
TYPED_STUDENT = ("course_materials", "course_load", "course_packing", "course_fee", "course_margin", "course_price")
"""What may be typed in a row besides its name, as much at a time as one formula can count."""


def scalars() -> tuple[Item, ...]:
    """What a bench hour brings otherwise."""
    return (
        Figure(
            "hire_own",
            "Your pieces leave a bench hour",
            Shape.MONEY,
            unit=AN_HOUR,
            note="The mean of those on Prices, to hold against what a class leaves an hour.",
            formula='IF(COUNT(left_ranked.all)=0,"",SUM(left_ranked.all)/COUNT(left_ranked.all))',
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """One row a class, and each counted again for Checks."""
    rows = ctx.capacity.courses
    columns = (*_typed(), *_named(), *_costs(), *_asked(), *_leaves(), *_says())
    return (
        Table("courses", "Classes", columns, rows=rows, capacity="courses"),
        Table("courses_again", "Classes, counted again", _again(), rows=rows, aligned="courses"),
    )


def _typed() -> tuple[Item, ...]:
    def typed(name: str, label: str, shape: Shape, unit: str, note: str, limits: Typed = AMOUNT) -> Input:
        return Input(name, label, shape, unit=unit, note=note, typed=limits)

    return (
        Input("course_name", "Class", Shape.TEXT, note="Your word for it. A row without a name is not counted."),
        typed("course_seats", "Seats", Shape.COUNT, "a session", "As many as you can teach at once."),
        typed(
            "course_hours",
            "Hours at the bench",
            Shape.HOURS,
            "a session",
            "Hours of the hot bench that a session takes.",
        ),
        typed(
            "course_prep",
            "Hours besides",
            Shape.HOURS,
            "a session",
            "Hours of the open shop to get ready and clear up, in which nobody else can work. Blank is none.",
        ),
        typed(
            "course_pay",
            "Pay",
            Shape.MONEY,
            A_SESSION,
            "Teacher and assistants for a session, also your own if you want it paid. Blank is none.",
        ),
        typed("course_glass", "Glass", Shape.WEIGHT, "{weight} a student", "Weight drawn by one student."),
        typed(
            "course_materials",
            "Materials",
            Shape.MONEY,
            A_STUDENT,
            "Colour, frit, and what they take home besides glass.",
        ),
        typed(
            "course_load",
            "Part of a load",
            Shape.SHARE,
            "a student",
            "Of an annealer load, what the work of one student takes: 1 ÷ students whose work fits in one.",
            SHARE,
        ),
        typed("course_packing", "Packing", Shape.MONEY, A_STUDENT, "Boxes, and postage if you send it."),
        typed(
            "course_empty",
            "Stay empty",
            Shape.SHARE,
            "of the seats",
            "Seats that nobody books, and those paid back: of all seats of last season. Blank is none.",
            SHARE,
        ),
        typed(
            "course_fee",
            "Payment fee",
            Shape.SHARE,
            "of the price",
            "What the card or booking company takes in percent. Blank is none.",
            SHARE,
        ),
        typed(
            "course_margin",
            "Margin wanted",
            Shape.SHARE,
            "of what you get",
            "Of what is left to you, the part that should stay after all costs. Blank is none.",
            SHARE,
        ),
        typed("course_price", "You ask now", Shape.MONEY, A_SEAT, "As quoted, with tax where your tags include it."),
    )


def _built(
    name: str, label: str, shape: Shape, unit: str, note: str, formula: str, *needs: str, nonzero: tuple[str, ...] = ()
) -> Figure:
    """A figure of a class that is built from others, and blank where they are."""
    return Figure(name, label, shape, unit=unit, note=note, formula=formula, needs=needs, nonzero=nonzero)


def _row(name: str, label: str, shape: Shape, unit: str, note: str, formula: str, *needs: str) -> Figure:
    """A figure that reads what is typed about the class: blank in a row without a name."""
    return replace(_built(name, label, shape, unit, note, formula, *needs), blank_if="course_name")


def _named() -> tuple[Item, ...]:
    def always(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.COUNT, note=note, formula=formula)

    return (
        always("course_named", "Has a name", "1 if the row has a name.", 'IF(course_name="",0,1)'),
        always(
            "course_typed_session",
            "Cells typed, session",
            "How many cells of the row are typed about a session and its glass, besides the name.",
            f"COUNTA({','.join(TYPED_SESSION)})",
        ),
        always(
            "course_typed_student",
            "Cells typed, student",
            "How many are typed about a student and the price.",
            f"COUNTA({','.join(TYPED_STUDENT)})",
        ),
        always(
            "course_nameless",
            "No name",
            "1 if something is typed in a row without a name.",
            'IF(course_name="",MIN(1,course_typed_session+course_typed_student),0)',
        ),
    )


def _costs() -> tuple[Item, ...]:
    return (
        _row(
            "course_paying",
            "Paying",
            Shape.FACTOR,
            "a session",
            "Seats that are paid for, on average.",
            "course_seats*(1-SUM(course_empty))",
            "course_seats",
        ),
        _row(
            "course_shop",
            "Open shop",
            Shape.MONEY,
            A_SESSION,
            "Its hours × an open shop's.",
            "(SUM(course_hours)+SUM(course_prep))*hire_shop_hour",
            "hire_shop_hour",
            "course_hours",
        ),
        _built(
            "course_fixed",
            "A session costs",
            Shape.MONEY,
            A_SESSION,
            "However many come: open shop and pay.",
            "course_shop+SUM(course_pay)",
            "course_shop",
        ),
        _row(
            "course_student",
            "One more costs",
            Shape.MONEY,
            A_STUDENT,
            "Raw glass, materials, annealing and packing of one student.",
            "SUM(course_glass)*glass_price_known.1+SUM(course_materials)+SUM(course_load)*equipment_load.2"
            "+SUM(course_packing)",
        ),
        _built(
            "course_cost",
            "Cost a seat",
            Shape.MONEY,
            A_SEAT,
            "The session over the seats that are paid for, and one student.",
            "course_fixed/course_paying+course_student",
            "course_fixed",
            "course_paying",
            nonzero=("course_paying",),
        ),
    )


def _asked() -> tuple[Item, ...]:
    return (
        _built(
            "course_needed",
            "Before tax",
            Shape.MONEY,
            A_SEAT,
            "What a seat has to cost for fee and margin, without tax.",
            f'IF(MAX(SUM(course_margin),SUM(course_fee))>=1,"{NO_TAG}",'
            "course_cost/((1-SUM(course_margin))*(1-SUM(course_fee))))",
            "course_cost",
        ),
        _built(
            "course_ask",
            "Ask at least",
            Shape.MONEY,
            A_SEAT,
            "As quoted: with tax where your tags include it, rounded up to the cent.",
            f"IF(ISNUMBER(course_needed),{to_the_cent('course_needed')},course_needed)",
        ),
    )


def _leaves() -> tuple[Item, ...]:
    return (
        _row(
            "course_net",
            "You get a seat",
            Shape.MONEY,
            A_SEAT,
            "What you ask now less tax and fee.",
            "course_price/tag_factor*(1-SUM(course_fee))",
            "course_price",
        ),
        _built(
            "course_over",
            "Each student leaves",
            Shape.MONEY,
            A_STUDENT,
            "What you get over what one more student costs.",
            "course_net-course_student",
            "course_net",
        ),
        _built(
            "course_leaves",
            "A session leaves",
            Shape.MONEY,
            A_SESSION,
            "What all that pay leave, less what a session costs.",
            "course_paying*course_over-course_fixed",
            "course_paying",
            "course_over",
            "course_fixed",
        ),
        _built(
            "course_margin_now",
            "Margin now",
            Shape.SHARE,
            "of what you get",
            "Of what you get, the part that stays after all costs.",
            f'IF(course_net>close_enough,(course_net-course_cost)/course_net,"{AT_A_LOSS}")',
            "course_net",
            "course_cost",
        ),
        _built(
            "course_even",
            "Seats to break even",
            Shape.COUNT,
            "seats",
            "So many seats must be paid for at what you ask now.",
            f'IF(course_fixed<=close_enough,0,IF(course_over<=close_enough,"{NO_NUMBER}",'
            "ROUNDUP(ROUND(course_fixed/course_over,6),0)))",
            "course_over",
            "course_fixed",
        ),
        _built(
            "course_hour",
            "Leaves a bench hour",
            Shape.MONEY,
            AN_HOUR,
            "For each hour of the shop that it takes, as Left per bench hour on Prices: the shop itself not taken off.",
            'IF(SUM(course_hours,course_prep)=0,"",'
            "(course_paying*course_over-SUM(course_pay))/(SUM(course_hours)+SUM(course_prep)))",
            "course_paying",
            "course_over",
        ),
    )


def _says() -> tuple[Item, ...]:
    def asks(name: str, label: str, note: str, formula: str) -> Figure:
        return _row(name, label, Shape.TEXT, "", note, formula)

    def says(name: str, label: str, note: str, formula: str, *needs: str) -> Figure:
        return _built(name, label, Shape.TEXT, "", note, formula, *needs)

    return (
        asks(
            "course_asks",
            "Seats or hours asked for",
            "What to type next, if anything.",
            'IF(SUM(course_seats)=0,"Type the seats.",IF(COUNT(course_hours)=0,"Type the hours.",""))',
        ),
        asks(
            "course_waits",
            "What it waits for",
            "What to type next, if anything.",
            'IF(COUNT(hire_shop_hour)=0,IF(SUM(hire_open_hours)=0,"Type hours open on a hot day.",'
            '"Type a hot day of the furnace."),IF(course_paying=0,"Nobody pays.",""))',
        ),
        says(
            "course_breaks",
            "Breaks even, in words",
            "Whether there are seats enough.",
            'IF(course_even>course_seats,"Needs "&course_even&" seats, has ","Breaks even with "&course_even&" of ")'
            f'&{whole_words("course_seats")}&"."',
            "course_even",
            "course_seats",
        ),
        asks(
            "course_verdict",
            "Of the price",
            "What it says of the price asked now.",
            'IF(COUNT(course_price)=0,"Type what you ask.",'
            'IF(ISNUMBER(course_even),course_breaks,"At this price no number of seats is enough."))',
        ),
        says(
            "course_says",
            "Says",
            "What is still to be typed, or with how many seats it breaks even.",
            'IF(course_asks<>"",course_asks,IF(course_waits<>"",course_waits,course_verdict))',
        ),
    )


def _again() -> tuple[Item, ...]:
    def again(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.MONEY, unit=A_SESSION, note=note, formula=formula)

    return (
        again(
            "course_brings",
            "A session brings",
            "What you get for the seats that are paid for; 0 while it isn't known what a session leaves.",
            "IF(COUNT(course_leaves)=0,0,course_paying*course_net)",
        ),
        again(
            "course_takes",
            "A session takes",
            "The cost of those seats; of a session that nobody pays for, all that it costs.",
            "IF(COUNT(course_leaves)=0,0,IF(course_paying=0,course_fixed,course_paying*course_cost))",
        ),
    )
