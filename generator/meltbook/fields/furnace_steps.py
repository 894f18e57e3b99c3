"""The first steps with a furnace: what its kind of meter asks for, its first days, and its opening reading.

They belong to the chapter on the meter. Each furnace has them as its own, so that Start can lead through every one.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table

METERS: tuple[tuple[str, str, str], ...] = (
    ("Hour meter", "Type the connected kW", "The furnace and its meter"),
    ("kWh meter", "Nothing to type for a kWh meter: no kW is needed", ""),
    ("Gas meter", "Type the billing factor (1 if there is none)", "The furnace and its meter"),
    ("No meter", "Type the use of a day of each kind", "How days share a reading"),
)
"""A kind of meter, what to type before its first day, and under which heading."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What to do in each step, and whether it is done."""
    one = (*_before_the_first_day(), *_first_days())
    return (*one, *_of_several()) if len(ctx.sources) > 1 else one


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """What each kind of meter asks for."""

    def words(name: str, label: str, column: int) -> Fixed:
        note = "For the first step on Start."
        return Fixed(name, label, Shape.TEXT, note=note, values=tuple(row[column] for row in METERS))

    return (
        Table(
            "meter_steps",
            "What a meter asks for",
            (
                words("meter_name", "Meter", 0),
                words("meter_asks", "Before the first day", 1),
                words("meter_under", "Under", 2),
            ),
            rows=len(METERS),
        ),
    )


def _done(name: str, label: str, formula: str) -> Figure:
    return Figure(name, label, Shape.COUNT, note="1 once it is done.", formula=formula)


def _says(name: str, label: str, formula: str) -> Figure:
    return Figure(name, label, Shape.TEXT, note="A line of the list on Start.", formula=formula)


def _before_the_first_day() -> tuple[Item, ...]:
    return (
        Figure(
            "meter_row",
            "Meter in that list",
            Shape.COUNT,
            note="Where no kind of meter is chosen, the second.",
            formula="IFERROR(MATCH(meter_kind,meter_name.all,0),2)",
        ),
        _says(
            "meter_step",
            "What the meter asks for",
            'INDEX(meter_asks.all,meter_row)&IF(meter_row=2,""," on {Shop}, under "&INDEX(meter_under.all,meter_row))',
        ),
        _done(
            "meter_done",
            "What the meter asks for is typed",
            'IF(meter_kind="Gas meter",COUNT(billing_factor),energy_known)',
        ),
        _says(
            "opening_step",
            "About the opening reading",
            'IF(meter_code=no_meter_code,"No opening reading is needed without a meter",'
            '"Type the opening reading on {Shop}, under The furnace and its meter (new: 0)")',
        ),
        _done("opening_done", "The opening reading is typed", "IF(meter_code=no_meter_code,1,COUNT(opening_reading))"),
    )


def _first_days() -> tuple[Item, ...]:
    return (
        _done(
            "charge_done",
            "A Charge day is logged",
            'IF(COUNTIFS(row_kind.all,charge_kind,log_weight.all,">0")>0,1,0)',
        ),
        _says(
            "reading_step",
            "About the first reading",
            'IF(meter_code=no_meter_code,"Log the days after it on {Furnace log}, too",'
            '"Log an Idle day, or any later row, with the meter\'s reading on {Furnace log}")',
        ),
        _done("reading_done", "Some glass is measured", "IF(period_weight.1>0,1,0)"),
    )


def _of_several() -> tuple[Item, ...]:
    """All of a furnace's steps in one line, for each further one."""
    return (
        _says(
            "furnace_waits",
            "What the furnace waits for",
            "IF(meter_done=0,meter_step,IF(opening_done=0,opening_step,log_waits))",
        ),
        _says(
            "log_waits",
            "What its log waits for",
            'IF(charge_done=0,"",IF(reading_done=0,reading_step,""))',
        ),
        _done("furnace_done", "All its steps are done", "MIN(meter_done,charge_done,reading_done,opening_done)"),
    )
