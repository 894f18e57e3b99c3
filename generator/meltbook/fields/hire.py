"""Bench hire and classes: what an open hour costs, what to ask for a hired one, and what a seat in a class has to cost.

An open hour is one in which somebody can work at the bench. Whatever burns all day is spread over the open hours of
that day, the furnace above all; what runs only while somebody works is counted by the hour. An hour that is sold
carries those that stay empty. Classes take their hours from the same shop; they stand in ``courses``.

The chapter belongs to the shop, which has one bench to let however many furnaces it has. No price of a piece reads it.
"""

from __future__ import annotations

from meltbook.fields import courses
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed
from meltbook.fields.prices import AMOUNT, AN_HOUR, AT_A_LOSS, NO_TAG, SHARE
from meltbook.fields.tags import to_the_cent
from meltbook.fields.words import in_words


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What is typed, what an open hour costs, and what to ask for it."""
    return (
        *_typed(),
        *_open_hour(),
        *_missing(),
        *_hired(),
        *_now(),
        *_words(),
        *courses.scalars(),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The classes, and what the checks count of them again."""
    return courses.tables(ctx)


def _typed() -> tuple[Item, ...]:
    def typed(name: str, label: str, shape: Shape, unit: str, note: str, limits: Typed = AMOUNT) -> Input:
        return Input(name, label, shape, unit=unit, note=note, typed=limits)

    return (
        typed(
            "hire_day_typed",
            "A hot day of the furnace",
            Shape.MONEY,
            "{currency} a day",
            "Blank: by the log, of the first furnace. Where several are hot, type what they cost together.",
        ),
        typed(
            "hire_open_hours",
            "Hours open on a hot day",
            Shape.HOURS,
            "hours",
            "In which somebody can work at the bench. Nothing is worked out without them.",
        ),
        typed(
            "hire_sold",
            "Part of them sold",
            Shape.SHARE,
            "of open hours",
            "Of the open hours, those that somebody pays for: from last season's calendar. Blank counts as all.",
            SHARE,
        ),
        typed(
            "hire_attendant",
            "Attendant",
            Shape.MONEY,
            AN_HOUR,
            "Pay of whoever is there while others work, you too if you want it paid. 0 if nobody is paid for it.",
        ),
        typed(
            "hire_loads",
            "Annealer loads on an open day",
            Shape.FACTOR,
            "loads",
            "At the cost of a load on Shop or Equipment. 0 if you ask for annealing by itself.",
        ),
        typed(
            "hire_margin",
            "Margin wanted",
            Shape.SHARE,
            "of net price",
            "Of what is left to you, the part that should stay after all costs. Blank is none.",
            SHARE,
        ),
        typed(
            "hire_price",
            "You ask now",
            Shape.MONEY,
            AN_HOUR,
            "As you quote it, with tax where your tags include it.",
        ),
    )


def _hourly(
    name: str, label: str, note: str, formula: str, *needs: str, nonzero: tuple[str, ...] = (), unit: str = AN_HOUR
) -> Figure:
    return Figure(name, label, Shape.MONEY, unit=unit, note=note, formula=formula, needs=needs, nonzero=nonzero)


_OPEN = ("hire_open_hours",)


def _open_hour() -> tuple[Item, ...]:
    return (
        _hourly(
            "hire_day",
            "A hot day",
            "As typed, else the first furnace's cost of the last 12 months over its hot days.",
            "IF(ISNUMBER(hire_day_typed),hire_day_typed,"
            'IF(COUNT(furnace_pool)*SUM(period_hot_days.3)=0,"",furnace_pool/period_hot_days.3))',
            unit="{currency} a day",
        ),
        _hourly(
            "hire_furnace",
            "The furnace",
            "A hot day spread over its open hours.",
            "hire_day/hire_open_hours",
            "hire_day",
            *_OPEN,
            nonzero=_OPEN,
        ),
        _hourly(
            "hire_equipment",
            "Glory hole and other equipment",
            "What burns all day is spread over the open hours, the rest burns while somebody works.",
            "SUM(equipment_open_hour.all)",
            *_OPEN,
            nonzero=_OPEN,
        ),
        _hourly(
            "hire_overhead",
            "Rent and other overheads",
            "Of a bench hour, as on What each costs.",
            "overhead_hour",
        ),
        _hourly(
            "hire_shop_hour",
            "An open hour, without attendant and annealing",
            "What an hour of a class is counted at: it pays its own people and its own loads.",
            "hire_furnace+hire_equipment+SUM(hire_overhead)",
            "hire_furnace",
        ),
        _hourly(
            "hire_annealing",
            "Annealing",
            "The loads of an open day, spread over its hours.",
            "SUM(hire_loads)*SUM(equipment_load.all)/hire_open_hours",
            *_OPEN,
            nonzero=_OPEN,
        ),
        _hourly(
            "hire_open_hour",
            "An open hour",
            "With annealing and the attendant.",
            "hire_shop_hour+hire_annealing+SUM(hire_attendant)",
            "hire_shop_hour",
        ),
    )


def _missing() -> tuple[Item, ...]:
    def text(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.TEXT, note=note, formula=formula)

    return (
        text(
            "hire_lacks_equipment",
            "Equipment not in it",
            "Each with a comma before it.",
            'IF(equipment_known.1=0,", glory hole","")'
            '&IF(OR(COUNT(hire_loads)=0,AND(SUM(hire_loads)>0,equipment_known.2=0)),", annealing","")',
        ),
        text(
            "hire_lacks_rest",
            "Else not in it",
            "Each with a comma before it.",
            'IF(COUNT(overhead_hour)=0,", rent and other overheads","")&IF(COUNT(hire_attendant)=0,", attendant","")',
        ),
        text(
            "hire_lacks",
            "All that is not in it",
            "Each with a comma before it.",
            "hire_lacks_equipment&hire_lacks_rest",
        ),
        Figure(
            "hire_missing",
            "Not in it yet",
            Shape.TEXT,
            note="What an open hour leaves out so far. Type 0 where it is none.",
            formula='IF(hire_lacks="","","Not in it yet: "&RIGHT(hire_lacks,LEN(hire_lacks)-2)&".")',
            needs=("hire_open_hour",),
        ),
    )


def _hired() -> tuple[Item, ...]:
    return (
        _hourly(
            "hire_hour",
            "A sold hour has to carry",
            "An open hour over the part of them that is sold.",
            'IF(ISNUMBER(hire_sold),IF(hire_sold=0,"",hire_open_hour/hire_sold),hire_open_hour)',
            "hire_open_hour",
        ),
        _hourly(
            "hire_needed",
            "With the margin, before tax",
            "What a sold hour has to bring.",
            f'IF(SUM(hire_margin)>=1,"{NO_TAG}",hire_hour/(1-SUM(hire_margin)))',
            "hire_hour",
        ),
        _hourly(
            "hire_ask",
            "Ask at least",
            "As quoted: with tax where your tags include it, rounded up to the cent.",
            f"IF(ISNUMBER(hire_needed),{to_the_cent('hire_needed')},hire_needed)",
        ),
    )


def _now() -> tuple[Item, ...]:
    return (
        _hourly(
            "hire_net",
            "You get now",
            "What you ask now, without the tax that may be in it.",
            "hire_price/tag_factor",
            "hire_price",
        ),
        _hourly(
            "hire_left",
            "Each sold hour leaves",
            "What you get less what a sold hour has to carry.",
            "hire_net-hire_hour",
            "hire_net",
            "hire_hour",
        ),
        Figure(
            "hire_margin_now",
            "Margin now",
            Shape.SHARE,
            unit="of net price",
            note="Of what you get, the part that stays.",
            formula=f'IF(hire_net>close_enough,(hire_net-hire_hour)/hire_net,"{AT_A_LOSS}")',
            needs=("hire_net", "hire_hour"),
        ),
        Figure(
            "hire_glass",
            "Their glass, raw",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="The first glass on Shop, by weight drawn. Melting it is in the furnace's hour.",
            formula="glass_price_known.1",
            nonzero=("glass_price_known.1",),
        ),
    )


def _words() -> tuple[Item, ...]:
    return (
        in_words("hire_open_words", "An open hour, in words", "hire_open_hour"),
        in_words("hire_needed_words", "What a sold hour has to bring, in words", "hire_needed"),
        Figure(
            "hire_sentence",
            "The answer",
            Shape.TEXT,
            note="What an open hour costs, and what one that is sold has to bring.",
            formula='"An open hour costs "&hire_open_words&"; an hour that is sold has to bring "'
            '&hire_needed_words&" before tax."',
            needs=("hire_needed",),
        ),
    )
