"""What the furnace uses: its kinds of day, and how a reading is shared over days.

A reading may close one day or three years. The use between two readings is shared over the hot days since
the earlier one, in proportion to days × weight of their kind. Two things travel through the log for that:
the weighted days since the last reading, down from row to row, and the use per weighted day, back up from
the row whose reading closes the stretch. So one formula a cell is enough, however long the log is.

``use_pending`` is use that found no hot day to carry it; it waits for the next stretch. ``stretch_state``
says what closes the stretch that a row is part of: 1 a good reading, 2 a reading below the one before, 3 a
new meter, 4 nothing yet.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed

KINDS: tuple[tuple[str, int], ...] = (
    ("Heat-up", 1),
    ("Charge", 1),
    ("Blow", 1),
    ("Idle", 1),
    ("Cold", 0),
    ("New meter", 0),
)
"""The kinds of day, in the order of their numbers, and whether the furnace is hot (1) on such a day."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Figures over the whole log about energy and readings."""
    return (
        Figure(
            "waiting_rows",
            "Rows waiting for a reading",
            Shape.COUNT,
            note="Rows after the last reading. They count as soon as a later row has a reading.",
            formula='IF(meter_code=no_meter_code,0,COUNTIFS(row_kind.all,">0",stretch_state.all,waiting_stretch))',
            nonzero=("log_rows_used",),
        ),
        Figure(
            "use_not_placed",
            "Use not placed",
            Shape.ENERGY,
            unit="{energy}",
            note="Use between readings that no hot day in the log can carry.",
            formula="IF(meter_code=no_meter_code,0,ROUND(SUM(reading_use.all)-SUM(energy_used.all),6))",
            nonzero=("log_rows_used",),
        ),
        Figure(
            "log_cells",
            "Rows of the log's column",
            Shape.COUNT,
            note="Rows that the kinds of day stand in, filled or empty, with the one above and the one below.",
            formula="COUNTA(log_kind.all)+COUNTBLANK(log_kind.all)",
        ),
        Figure(
            "last_pending",
            "Use left at the end",
            Shape.ENERGY,
            unit="{energy}",
            note="What the last row of the log passes on.",
            formula="INDEX(use_pending.all,log_cells-1)",
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The six kinds of day; the log is put together in ``meltbook.fields.log``."""
    return (
        Table(
            "day_kinds",
            "Kinds of day",
            _kind_columns(),
            rows=len(KINDS),
        ),
    )


def _kind_columns() -> tuple[Item, ...]:
    return (
        Fixed(
            "kind_name",
            "Kind of day",
            Shape.TEXT,
            note="The words that the log takes.",
            values=tuple(name for name, _ in KINDS),
        ),
        Input(
            "kind_weighting",
            "Counts as, in a reading",
            Shape.FACTOR,
            unit="days",
            note="How much one such day takes of a reading next to the others. Blank is 1. If an idle day "
            "takes 0.6 of a working day's energy, type 0.6 for Idle.",
            typed=Typed(minimum=0),
        ),
        Input(
            "kind_use",
            "Use a day",
            Shape.ENERGY,
            unit="{energy}",
            note="Only for a furnace without a meter: what such a day takes, from a meter borrowed for a "
            "week or from the bill.",
            typed=Typed(minimum=0),
        ),
        Fixed(
            "kind_hot",
            "Hot",
            Shape.COUNT,
            note="1 if the furnace is hot on such a day.",
            values=tuple(hot for _, hot in KINDS),
        ),
        Figure(
            "kind_weight",
            "Weight in a reading",
            Shape.FACTOR,
            note="What a day of this kind weighs when a reading is shared; 0 where the furnace is off.",
            formula="IF(kind_hot=0,0,IF(ISNUMBER(kind_weighting),kind_weighting,1))",
        ),
        Figure(
            "kind_day_use",
            "Use a day counted",
            Shape.ENERGY,
            unit="{energy}",
            note="The typed use a day, 0 where none is typed or the furnace is off.",
            formula="kind_hot*SUM(kind_use)",
        ),
    )


def log_columns() -> tuple[Figure, ...]:
    """The log's columns that turn readings into energy used."""
    return (*_readings(), *_sharing(), *_stretch_kinds())


def _readings() -> tuple[Figure, ...]:
    return (
        Figure(
            "weighted_days",
            "Weighted days",
            Shape.DAYS,
            note="Hot days × the weight of their kind in a reading.",
            formula="IF(row_kind=0,0,row_hot_days*INDEX(kind_weight.all,row_kind))",
        ),
        Figure(
            "reading_factor",
            "Energy a count",
            Shape.FACTOR,
            note="What one count of the meter is in {energy} on this row; a new kW goes with a new meter.",
            formula="IF(AND(row_kind=new_meter_kind,meter_code=1,ISNUMBER(log_new_kw)),log_new_kw,reading_factor.prev)",
            seed="=starting_factor",
        ),
        Figure(
            "reading_base",
            "Last reading",
            Shape.READING,
            note="The newest reading up to this row, which the next one is compared with.",
            formula="IF(AND(row_kind>0,ISNUMBER(log_reading)),log_reading,"
            "IF(row_kind=new_meter_kind,0,reading_base.prev))",
            seed="=starting_reading",
        ),
        Figure(
            "stretch_close",
            "Closes a stretch",
            Shape.COUNT,
            note="1 if a good reading closes the stretch here, 2 if it is below the one before, 3 if a new "
            "meter comes, else 0.",
            formula="IF(row_kind=new_meter_kind,lost_stretch,"
            "IF(AND(row_kind>0,ISNUMBER(log_reading)),1+(log_reading<reading_base.prev),0))",
            seed=0,
        ),
        Figure(
            "days_since",
            "Weighted days since",
            Shape.DAYS,
            note="Weighted days since the last reading, this row's included.",
            formula="weighted_days+IF(stretch_close.prev=0,days_since.prev,0)",
            seed=0,
        ),
        Figure(
            "hot_since",
            "Hot days since",
            Shape.DAYS,
            note="Hot days since the last reading, this row's included.",
            formula="row_hot_days+IF(stretch_close.prev=0,hot_since.prev,0)",
            seed=0,
        ),
        Figure(
            "hours_over",
            "Too many hours",
            Shape.COUNT,
            note="1 if an hour meter counted more than 24 hours for each hot day; one day more is let pass, since "
            "readings are taken at odd hours.",
            formula="IF(meter_code*stretch_close=1,"
            "IF(log_reading-reading_base.prev>hours_in_day*(hot_since+1)+close_enough,1,0),0)",
        ),
        Figure(
            "reading_use",
            "Use by the reading",
            Shape.ENERGY,
            unit="{energy}",
            note="This reading less the one before, in {energy}; 0 where no good reading stands.",
            formula="IF(stretch_close=1,(log_reading-reading_base.prev)*reading_factor,0)",
        ),
    )


def _sharing() -> tuple[Figure, ...]:
    return (
        Figure(
            "use_to_share",
            "Use to share",
            Shape.ENERGY,
            unit="{energy}",
            note="This reading's use with what earlier readings could not place.",
            formula="use_pending.prev+reading_use",
        ),
        Figure(
            "use_pending",
            "Use not placed yet",
            Shape.ENERGY,
            unit="{energy}",
            note="Use that no hot day could carry so far; it goes to the next stretch.",
            formula="IF(AND(stretch_close=1,days_since>0),0,use_to_share)",
            seed=0,
            end="=use_pending.prev",
        ),
        Figure(
            "stretch_state",
            "How the stretch ends",
            Shape.COUNT,
            note="1 with a good reading, 2 with one below the one before, 3 lost to a new meter, 4 still waiting.",
            formula="IF(stretch_close>0,stretch_close,stretch_state.next)",
            end="=waiting_stretch",
        ),
        Figure(
            "use_per_day",
            "Use a weighted day",
            Shape.ENERGY,
            unit="{energy}",
            note="The stretch's use ÷ its weighted days, carried back up to its rows.",
            formula="IF(stretch_close=1,IF(days_since>0,use_to_share/days_since,0),"
            "IF(stretch_close=0,use_per_day.next,0))",
            end=0,
        ),
        Figure(
            "energy_used",
            "Energy used",
            Shape.ENERGY,
            unit="{energy}",
            note="What the days of this row used.",
            formula="IF(row_kind=0,0,IF(meter_code=no_meter_code,row_days*INDEX(kind_day_use.all,row_kind),"
            "weighted_days*use_per_day))",
            seed=0,
            end=0,
        ),
    )


def _stretch_kinds() -> tuple[Figure, ...]:
    return (
        Figure(
            "stretch_mix",
            "Kinds so far",
            Shape.COUNT,
            note="The one kind of hot day in this stretch so far, 0 for none, 9 for more than one.",
            formula="IF(row_hot_days=0,stretch_mix.prev*(stretch_close.prev=0),"
            "IF(OR(stretch_close.prev>0,stretch_mix.prev=0,stretch_mix.prev=row_kind),row_kind,mixed_kinds))",
            seed=0,
        ),
        Figure(
            "stretch_kind",
            "Kind of the stretch",
            Shape.COUNT,
            note="The one kind of hot day in the whole stretch, carried back up to its rows; 9 if it is mixed.",
            formula="IF(stretch_close>0,stretch_mix,stretch_kind.next)",
            end=0,
        ),
    )
