"""The furnace's meter and its connected load.

An hour meter counts hours, which the connected kW turns into energy. That kW is taken from the first of
these that is complete: as typed; amps and volts as an electrician measured them; the nameplate at the
supply's volts.
"""

from __future__ import annotations

from meltbook.fields import furnace_steps
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.units import BILLED_KILOJOULES, HEAT_KILOJOULES, kwh_in


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What is typed about the meter and the load, and what follows from it."""
    return (*_meter(), *_load(), *_figures(), *_heat(ctx), *furnace_steps.scalars(ctx))


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The units that a bill may give the heat content in, and what each kind of meter asks for."""
    return (
        *furnace_steps.tables(ctx),
        Table(
            "heat_units",
            "Units of heat",
            (
                Fixed(
                    "heat_unit",
                    "Unit",
                    Shape.TEXT,
                    note="What gas bills give the heat of a volume in.",
                    values=tuple(HEAT_KILOJOULES),
                ),
                Fixed(
                    "heat_unit_kwh",
                    "In kWh",
                    Shape.FACTOR,
                    note="Exact by definition, or as NIST SP 811 has it.",
                    values=tuple(kwh_in(unit, HEAT_KILOJOULES) for unit in HEAT_KILOJOULES),
                ),
            ),
            rows=len(HEAT_KILOJOULES),
        ),
    )


def _heat(ctx: BookContext) -> tuple[Item, ...]:
    return (
        Fixed(
            "unit_in_kwh",
            "kWh in one {energy}",
            Shape.FACTOR,
            note="NIST SP 811. 0 where it depends on the gas and the heat content is to be typed.",
            values=(kwh_in(ctx.energy_unit, BILLED_KILOJOULES),),
        ),
        Figure(
            "heat_factor",
            "kWh in its unit",
            Shape.FACTOR,
            note="Of the unit that the heat content is given in.",
            formula="IFERROR(INDEX(heat_unit_kwh.all,MATCH(heat_content_in,heat_unit.all,0)),1)",
        ),
        Figure(
            "heat_in_unit",
            "Heat in one {energy}",
            Shape.FACTOR,
            unit="kWh",
            note="Fixed for kWh and therms, else by the heat content.",
            formula='IF(unit_in_kwh>0,unit_in_kwh,IF(ISNUMBER(heat_content),heat_content*heat_factor,""))',
        ),
    )


def _meter() -> tuple[Item, ...]:
    return (
        Input(
            "meter_kind",
            "Meter",
            Shape.TEXT,
            note="Hour meter: counts the hours that the elements are on. kWh meter: counts the energy "
            "itself, a Gas meter gas. No meter: you type a use a day for each kind of day.",
            typed=Typed(choices=("Hour meter", "kWh meter", "Gas meter", "No meter")),
        ),
        Input(
            "opening_reading",
            "Opening reading",
            Shape.READING,
            note="What the furnace's meter showed on the morning of the first row of the log. Blank is 0.",
            typed=Typed(minimum=0),
        ),
        Input(
            "billing_factor",
            "Billing factor",
            Shape.FACTOR,
            unit="{energy} a count",
            note="What the bill multiplies the difference of two readings by, for a kWh meter or a gas meter. "
            "Blank is 1.",
            typed=Typed(minimum=0),
        ),
        Input(
            "heat_content",
            "Heat content",
            Shape.FACTOR,
            unit="in one {energy}",
            note="For a gas meter only, from the gas bill: the heat in one {energy}. It changes each month and "
            "moves no cost; "
            "only the share of heat in the glass goes by it. Not needed for kWh or therms.",
            typed=Typed(minimum=0),
        ),
        Input(
            "heat_content_in",
            "Heat content is in",
            Shape.TEXT,
            note="As the bill gives it. Blank is kWh.",
            typed=Typed(choices=tuple(HEAT_KILOJOULES)),
        ),
        Input("heat_content_on", "Heat content as of", Shape.DATE, note="The date of that bill."),
    )


def _load() -> tuple[Item, ...]:
    return (
        Input(
            "connected_kw",
            "Connected kW",
            Shape.KILOWATTS,
            unit="kW",
            note="What the elements draw while they are on. Measured by a licensed electrician; "
            "never open the panel yourself. Needed with an hour meter.",
            typed=Typed(minimum=0),
        ),
        Input(
            "measured_amps",
            "Measured amps",
            Shape.FACTOR,
            unit="A",
            note="In one line to the furnace with all elements on, from the electrician's sheet. "
            "Used when no connected kW is typed.",
            typed=Typed(minimum=0),
        ),
        Input(
            "measured_volts",
            "Measured volts",
            Shape.FACTOR,
            unit="V",
            note="Measured at the same time by the same electrician; on three phases from line to line.",
            typed=Typed(minimum=0),
        ),
        Input(
            "measured_phases",
            "Phases",
            Shape.COUNT,
            note="1 or 3, from the electrician's sheet. Blank is 1.",
            typed=Typed(choices=("1", "3")),
        ),
        Input(
            "measured_on",
            "Measured on",
            Shape.DATE,
            note="The day of the measurement. Have it repeated after new elements: they draw another current.",
        ),
        Input(
            "nameplate_kw",
            "Nameplate kW",
            Shape.KILOWATTS,
            unit="kW",
            note="From the furnace's nameplate. Used when nothing was measured; worn elements draw less.",
            typed=Typed(minimum=0),
        ),
        Input(
            "nameplate_volts",
            "Nameplate volts",
            Shape.FACTOR,
            unit="V",
            note="The volts that the nameplate gives that kW for.",
            typed=Typed(minimum=0),
        ),
        Input(
            "supply_volts",
            "Supply volts",
            Shape.FACTOR,
            unit="V",
            note="What your supply really has, from the utility or the electrician. Less than the "
            "nameplate's volts makes less heat.",
            typed=Typed(minimum=0),
        ),
    )


def _figures() -> tuple[Item, ...]:
    return (
        Figure(
            "kw_measured",
            "kW as measured",
            Shape.KILOWATTS,
            unit="kW",
            note="Amps × volts, and on three phases × 1.732.",
            formula="measured_amps*measured_volts*IF(SUM(measured_phases)>2,three_phase,1)/watts_in_kilowatt",
            needs=("measured_amps", "measured_volts"),
        ),
        Figure(
            "kw_nameplate",
            "kW by the nameplate",
            Shape.KILOWATTS,
            unit="kW",
            note="Nameplate kW at your supply's volts: it goes with the square of the volts.",
            formula="nameplate_kw*(supply_volts/nameplate_volts)^2",
            needs=("nameplate_kw", "supply_volts", "nameplate_volts"),
            nonzero=("nameplate_volts",),
        ),
        Figure(
            "kw_in_use",
            "kW in use",
            Shape.KILOWATTS,
            unit="kW",
            note="The kW that this book counts with: as typed, else as measured, else by the nameplate.",
            formula="IF(ISNUMBER(connected_kw),connected_kw,IF(ISNUMBER(kw_measured),kw_measured,kw_nameplate))",
        ),
        Figure(
            "meter_code",
            "Meter by number",
            Shape.COUNT,
            note="1 hour meter, 2 kWh or gas meter, 3 no meter.",
            formula='IF(meter_kind="Hour meter",1,IF(meter_kind="No meter",no_meter_code,2))',
        ),
        Figure(
            "energy_known",
            "Energy can be known",
            Shape.COUNT,
            note="1 once the book can turn the log into energy: a kW for an hour meter, a use a day without a meter.",
            formula="IF(meter_code=1,COUNT(kw_in_use),IF(meter_code=2,1,MIN(1,COUNT(kind_use.all))))",
        ),
        Figure(
            "starting_factor",
            "Energy a count at first",
            Shape.FACTOR,
            note="What one count of the first meter is in {energy}: the connected kW for an hour meter, else the "
            "billing factor.",
            formula="IF(meter_code=1,SUM(kw_in_use),IF(ISNUMBER(billing_factor),billing_factor,1))",
        ),
        Figure(
            "starting_reading",
            "Reading at first",
            Shape.READING,
            note="The opening reading, 0 where none is typed.",
            formula="SUM(opening_reading)",
        ),
        Figure(
            "weights_differ",
            "Charge and Idle differ",
            Shape.COUNT,
            note="1 if a Charge day and an Idle day have different weights in sharing a reading.",
            formula="IF(kind_weight.2=kind_weight.4,0,1)",
        ),
        Figure(
            "own_basis",
            "Kinds have a use of their own",
            Shape.COUNT,
            note="1 if every row tells its own kind's use: use is typed, or Charge and Idle have different "
            "weights. Else only a stretch of one kind alone does.",
            formula="IF(OR(meter_code=no_meter_code,weights_differ=1),1,0)",
        ),
    )
