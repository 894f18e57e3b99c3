"""Machines, counted again by what is typed about them: columns that nothing but the checks needs."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Item, Shape, Table


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """No single figures: all of it is per machine or per equipment."""
    return ()


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """In the rows of the machines, and of what they feed."""
    rows = ctx.capacity
    return (
        Table("machines_again", "Machines, counted again", _machines(), rows=rows.machines, aligned="machines"),
        Table("equipment_again", "Equipment, counted again", _equipment(), rows=rows.equipment, aligned="equipment"),
    )


def _again(name: str, label: str, note: str, formula: str, *, shape: Shape = Shape.FACTOR) -> Figure:
    return Figure(name, label, shape, unit="{currency}" if shape is Shape.MONEY else "", note=note, formula=formula)


def _machines() -> tuple[Item, ...]:
    return (
        _again(
            "machine_run_count",
            "Runs of its meter",
            "So many that its meter counted; 1 without.",
            "IF(AND(COUNT(machine_metered)=1,SUM(machine_metered_runs)>0),machine_metered_runs,1)",
        ),
        _again(
            "machine_a_life",
            "A year of its life",
            "1 ÷ its life, if that is typed.",
            "machine_named*IF(SUM(machine_life)>0,1/machine_life,0)",
        ),
        _again(
            "machine_runs_again",
            "Runs, again",
            "Runs a year; 1 if they aren't typed.",
            "IF(SUM(machine_runs)>0,machine_runs,1)",
        ),
        _again(
            "machine_turns_shared",
            "Turns, shared",
            "Its turns × the rows that feed the same and run by the same.",
            "machine_turns*COUNTIFS(machine_feeds_row.all,machine_feeds_row,machine_way.all,machine_way)",
        ),
        _again(
            "machine_load_hours",
            "Hours of a load, again",
            "Hours a load per Hour, else 1.",
            'IF(machine_per="Hour",SUM(machine_hours),1)',
        ),
        _again(
            "machine_no_life",
            "Bought for no life",
            "1 if it was bought and its life isn't typed.",
            "IF(OR(SUM(machine_purchase)=0,SUM(machine_life)>0),0,1)",
            shape=Shape.COUNT,
        ),
    )


def _equipment() -> tuple[Item, ...]:
    def fed(column: str) -> str:
        return f"SUMIFS({column}.all,machine_feeds.all,equipment_name)"

    def way(criterion: str) -> str:
        return f"MIN(1,COUNTIFS(machine_feeds_row.all,equipment_no,machine_way.all,{criterion}))"

    return (
        _again(
            "equipment_fed",
            "Machines that feed it",
            "Rows of Equipment with this word.",
            "COUNTIFS(machine_feeds.all,equipment_name,machine_named.all,1)",
            shape=Shape.COUNT,
        ),
        _again(
            "equipment_fed_cost",
            "What they cost",
            "A minute and a load of each of them, added up.",
            f"{fed('machine_minute')}+{fed('machine_load')}",
            shape=Shape.MONEY,
        ),
        _again(
            "equipment_fed_low",
            "Energy that pieces drive",
            "A minute and a load of each of them, added up.",
            f"{fed('machine_driven_minute')}+{fed('machine_driven_load')}",
            shape=Shape.MONEY,
        ),
        _again(
            "equipment_fed_ready",
            "Of them ready",
            "Rows of Equipment with this word that are ready.",
            "COUNTIFS(machine_feeds.all,equipment_name,machine_ready.all,1)",
            shape=Shape.COUNT,
        ),
        _again(
            "equipment_ways",
            "Ways they run",
            "By the hour, by the load: how many of the two there are.",
            way("2") + "+" + way('">"&2'),
            shape=Shape.COUNT,
        ),
    )
