"""What each row of Equipment still asks for, whether it counts, and what is wrong with it."""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Item, Shape
from meltbook.fields.machine_row import always

COUNTED = "Counted"
IS, ARE = "machine is counted.", "machines are counted."

TYPED_USE = (
    "machine_feeds",
    "machine_use",
    "machine_per",
    "machine_hours",
    "machine_metered",
    "machine_metered_runs",
    "machine_price",
)
TYPED_OWN = ("machine_runs", "machine_purchase", "machine_worth_end", "machine_life", "machine_upkeep")
"""What may be typed in a row besides its name, as much at a time as one formula can count."""


def counted(names: tuple[str, ...]) -> str:
    """The formula for how many of these cells hold something."""
    return f"COUNTA({','.join(names)})"


def columns() -> tuple[Item, ...]:
    """Whether a row is ready, what it says, and what is wrong."""
    return (_ready(), *_says(), *_faults())


def _ready() -> Figure:
    return always(
        "machine_ready",
        "Is ready",
        "1 once its cost is known and pieces can pay it.",
        "IF(COUNT(machine_cost)=0,0,IF(AND(OR(machine_cost=0,machine_minute+machine_load>0),"
        "OR(SUM(machine_purchase)=0,SUM(machine_life)>0)),1,0))",
    )


def _says() -> tuple[Item, ...]:
    def asks(name: str, label: str, formula: str, note: str = "What to type next, if anything.") -> Figure:
        return Figure(name, label, Shape.TEXT, note=note, formula=formula, blank_if="machine_name")

    return (
        asks(
            "machine_asks_use",
            "Energy asked for",
            'IF(machine_per="","Choose hour, day or load.",IF(machine_use_used="","Type its energy, or 0.",""))',
        ),
        asks(
            "machine_asks_own",
            "Price or life asked for",
            'IF(machine_price_used="","Type a tariff first.",'
            'IF(AND(SUM(machine_purchase)>0,SUM(machine_life)=0),"Type its life.",""))',
        ),
        asks(
            "machine_asks_feeds",
            "Way to the pieces",
            f'IF(OR(machine_feeds_row=0,machine_ready=1),"{COUNTED}",'
            'IF(machine_way=1,"Type piece minutes a day on Shop.","Type the hours of a load."))',
        ),
        asks(
            "machine_asks_runs",
            "Runs asked for",
            'IF(machine_own="","Type how often it runs in a year.",machine_asks_feeds)',
        ),
        asks(
            "machine_says",
            "Says",
            'IF(machine_asks_use<>"",machine_asks_use,IF(machine_asks_own<>"",machine_asks_own,machine_asks_runs))',
            "What is still to be typed, or that it is counted.",
        ),
    )


def _faults() -> tuple[Item, ...]:
    return (
        always(
            "machine_typed_use",
            "Cells typed, use",
            "How many cells of the row are typed in the upper block, besides the name.",
            counted(TYPED_USE),
        ),
        always(
            "machine_typed_own",
            "Cells typed, owning",
            "How many are typed in the lower block.",
            counted(TYPED_OWN),
        ),
        always(
            "machine_nameless",
            "No name",
            "1 if something is typed in a row without a name.",
            'IF(machine_name="",MIN(1,machine_typed_use+machine_typed_own),0)',
        ),
        always(
            "machine_runs_missing",
            "Runs missing",
            "1 if others share the pieces with it, and nobody knows how often it runs.",
            "IF(AND(machine_turns>0,SUM(machine_runs)=0,"
            "COUNTIFS(machine_feeds_row.all,machine_feeds_row,machine_way.all,machine_way)>1),1,0)",
        ),
    )


def scalars() -> tuple[Item, ...]:
    """How many machines there are, how many are counted, and the sentence that says so."""
    return (
        always("machines_named", "Machines", "Rows with a name.", "SUM(machine_named.all)"),
        always(
            "machines_complete",
            "Machines counted",
            "Rows in which nothing is missing.",
            f'COUNTIF(machine_says.all,"{COUNTED}")',
        ),
        always(
            "machines_unknown",
            "What machines feed, not found",
            "Rows that feed something that isn't Other equipment on Shop.",
            'SUMPRODUCT((machine_named.all=1)*(machine_feeds.all<>"")*(machine_feeds_row.all=0))',
        ),
        Figure(
            "machines_words",
            "How many, in words",
            Shape.TEXT,
            note="For the sentence on Equipment.",
            formula='IF(machines_complete<machines_named,machines_complete&" of "&machines_named,'
            'IF(machines_named=1,"The one","All "&machines_named))',
            nonzero=("machines_named",),
        ),
        Figure(
            "machines_are",
            "One or several, in words",
            Shape.TEXT,
            note="For the sentence on Equipment.",
            formula=f'IF(AND(machines_named=1,machines_complete=1),"{IS}","{ARE}")',
        ),
        Figure(
            "machines_sentence",
            "The answer",
            Shape.TEXT,
            note="How many machines are counted, or that none is typed.",
            formula='IF(machines_named=0,"No machine typed: the single costs on Shop are used.",'
            'machines_words&" "&machines_are)',
        ),
    )
