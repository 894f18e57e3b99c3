"""Numbers that never change while a book is used, each with a name, so that no formula holds a bare one.

They stand on a sheet of the book and can be looked up there. Some follow from how the book was made: its unit
of weight, its currency, how many rows were prepared. The numbers of kinds and states are names for what a
formula compares with: ``row_kind = idle_kind`` reads better than ``row_kind = 4``.
"""

from __future__ import annotations

from meltbook.errors import DeclarationError
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import FAR_FUTURE, Fixed, Item, Plain, Shape, Table
from meltbook.units import BATCH_HEAT, KILOJOULES_IN_KWH, MELT_HEAT, weight_in_kg

BOOK_VERSION = 1
"""The arrangement of the book. It goes up when a book made before can no longer be read as one made now."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """All constants: of the calendar, of physics, of this book, of its checks, and the numbers of kinds."""
    return (*_calendar(), *_physics(ctx), *_book(ctx), *_limits(), *_codes())


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Constants are single cells."""
    return ()


def _fixed(name: str, label: str, value: Plain, note: str, *, shape: Shape = Shape.FACTOR, unit: str = "") -> Fixed:
    if not note.endswith("."):
        raise DeclarationError(f"the note of {name} is not a sentence")
    return Fixed(name, label, shape, unit=unit, note=note, values=(value,))


def _calendar() -> tuple[Item, ...]:
    return (
        _fixed(
            "days_in_year",
            "Days in a year",
            365,
            "Turns a yearly amount into an amount a day.",
            shape=Shape.DAYS,
        ),
        _fixed(
            "hours_in_day",
            "Hours in a day",
            24,
            "An hour meter can't count more than these in a day.",
            shape=Shape.HOURS,
        ),
        _fixed(
            "months_in_year",
            "Months in a year",
            12,
            "Turns a monthly charge into a yearly one.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "far_date",
            "No end date",
            FAR_FUTURE,
            "The last date that a spreadsheet knows; it stands where something has no end yet.",
            shape=Shape.DATE,
        ),
        _fixed(
            "far_campaign",
            "No last campaign",
            999999,
            "Stands where campaigns are not limited.",
            shape=Shape.COUNT,
        ),
    )


def _physics(ctx: BookContext) -> tuple[Item, ...]:
    return (
        _fixed(
            "three_phase",
            "Three-phase factor",
            1.732,
            "Amps × volts × this gives the power of a balanced three-phase load (the square root of 3).",
        ),
        _fixed(
            "watts_in_kilowatt",
            "Watts in a kilowatt",
            1000,
            "Turns watts into kilowatts.",
        ),
        _fixed(
            "weight_in_kg",
            f"Kilograms in one {ctx.weight_unit}",
            float(weight_in_kg(ctx.weight_unit)),
            "Exact by definition (NIST SP 811).",
        ),
        _fixed(
            "melt_heat",
            "Heat of the melt",
            float(MELT_HEAT),
            "Heat of glass melt at 1300 °C above 25 °C (Encyclopedia of Glass Science, Wiley 2021).",
            unit="kJ/kg",
        ),
        _fixed(
            "batch_heat",
            "Heat that batch takes up",
            float(BATCH_HEAT),
            "What raw batch takes up besides, as it turns into glass; cullet doesn't (same source).",
            unit="kJ/kg",
        ),
        _fixed(
            "kilojoules_in_kwh",
            "Kilojoules in a kWh",
            float(KILOJOULES_IN_KWH),
            "Turns heat into electricity.",
        ),
    )


def _book(ctx: BookContext) -> tuple[Item, ...]:
    return (
        _fixed(
            "book_version",
            "Arrangement of this book",
            BOOK_VERSION,
            "Tells a later release of the generator how this book is laid out.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "money_digits",
            "Digits of money",
            ctx.money_digits,
            "How many digits stand behind the point in this currency; tags are rounded to them.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "log_rows_made",
            "Rows prepared in the log",
            ctx.capacity.log,
            "As many rows as the log had when this book was made.",
            shape=Shape.COUNT,
        ),
    )


def _limits() -> tuple[Item, ...]:
    return (
        _fixed(
            "jump_limit",
            "Jump in price, times",
            3,
            "A unit price that rises more than this many times at once was probably typed in cents.",
        ),
        _fixed(
            "rows_low",
            "Few rows left",
            20,
            "With fewer free rows than this the log counts as nearly full.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "close_enough",
            "Close enough",
            0.000001,
            "Two ways to the same figure agree if they differ by less than this part of it.",
        ),
        _fixed(
            "lives_needed",
            "Lives needed",
            3,
            "So many parts of a kind must be retired before their mean life replaces your own figure.",
            shape=Shape.COUNT,
        ),
    )


def _codes() -> tuple[Item, ...]:
    kinds = (
        ("heatup_kind", "Heat-up"),
        ("charge_kind", "Charge"),
        ("blow_kind", "Blow"),
        ("idle_kind", "Idle"),
        ("cold_kind", "Cold"),
        ("new_meter_kind", "New meter"),
    )
    return (
        *(
            _fixed(
                name,
                f"Number of {word}",
                number,
                "The number of this kind of day in the workings: its place in the list of kinds.",
                shape=Shape.COUNT,
            )
            for number, (name, word) in enumerate(kinds, start=1)
        ),
        _fixed(
            "mixed_kinds",
            "Number of mixed kinds",
            9,
            "Stands for a stretch between two readings that holds more than one kind of hot day.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "no_meter_code",
            "Number of No meter",
            3,
            "The number of a furnace without a meter; 1 is an hour meter, 2 a kWh meter.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "lost_stretch",
            "Number of a lost stretch",
            3,
            "A new meter came before the old one was read; 1 is a good reading, 2 one below the reading before.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "waiting_stretch",
            "Number of waiting",
            4,
            "No reading has closed this stretch yet.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "window_code",
            "Number of the pricing window",
            3,
            "The number of the last 12 months among the periods; 1 is all time, 2 between your dates.",
            shape=Shape.COUNT,
        ),
        _fixed(
            "campaign_code",
            "Number of a campaign",
            4,
            "Periods with this number are campaigns: from one heat-up to the next.",
            shape=Shape.COUNT,
        ),
    )
