"""The numbers behind the pictures: one row a bar, with where it starts and a label that carries its amount."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import amount_words, whole_words

LADDER: tuple[tuple[str, str], ...] = (
    ("Every hot day", "price_hot"),
    ("Service and demand", "price_standing"),
    ("Pots and elements", "price_wear"),
    ("Raw glass", "price_glass"),
    ("The furnace itself", "price_own"),
    ("Everything", "price_line_own"),
)
KINDS: tuple[tuple[str, str], ...] = (
    ("Heat-up", "heatup_use.1"),
    ("Charge", "charge_use.1"),
    ("Blow", "blow_use.1"),
    ("Idle", "idle_use.1"),
)
SLICES: tuple[tuple[str, str], ...] = (
    ("Raw glass", "slice_glass"),
    ("Furnace", "slice_furnace"),
    ("Colour", "slice_colour"),
    ("Labour", "slice_labour"),
    ("Equipment", "slice_equipment"),
    ("Materials", "slice_materials"),
    ("Overhead", "slice_overhead"),
    ("Losses", "slice_losses"),
    ("Packing", "slice_packing"),
    ("Way of selling", "slice_channel"),
    ("Left after costs", "slice_left"),
    ("Sales tax", "slice_tax"),
    ("Tag", "slice_tag"),
)


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """No single figures: the sentences beside the pictures belong to the start chapter."""
    return ()


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Three small tables. In the two that add up, each bar starts where the one before ended; the last is whole."""
    return (
        Table(
            "ladder_bars",
            "The ladder as bars",
            _stacked("ladder", "Step", "{currency}/{weight}", LADDER),
            rows=len(LADDER),
        ),
        Table(
            "kind_bars",
            "Energy by kind of day",
            (
                Fixed("kind_bar_name", "Kind of day", Shape.TEXT, values=tuple(name for name, _ in KINDS)),
                Figure(
                    "kind_bar_amount",
                    "Energy",
                    Shape.ENERGY,
                    unit="{energy}",
                    note="All measured rows; blank while there is none.",
                    formulas=tuple(f'IF(period_rows.1=0,"",{source})' for _, source in KINDS),
                ),
                Figure(
                    "kind_bar_label",
                    "Label",
                    Shape.TEXT,
                    formula="IF(COUNT(kind_bar_amount)=0,kind_bar_name,"
                    f'kind_bar_name&" "&{whole_words("kind_bar_amount")}&" "&energy_unit)',
                ),
            ),
            rows=len(KINDS),
        ),
        Table(
            "slice_bars",
            "One price as bars",
            _stacked("slice", "Part of the tag", "{currency}", SLICES),
            rows=len(SLICES),
        ),
    )


def _stacked(prefix: str, label: str, unit: str, bars: tuple[tuple[str, str], ...]) -> tuple[Item, ...]:
    amount, start = f"{prefix}_bar_amount", f"{prefix}_bar_start"
    last = len(bars)
    below = ("0", f"SUM({amount}.1)", *(f"SUM({amount}.1:{amount}.{row})" for row in range(2, last - 1)), "0")
    starts = tuple(f'IF(COUNT({amount})=0,"",{sum_below})' for sum_below in below)
    return (
        Fixed(f"{prefix}_bar_name", label, Shape.TEXT, values=tuple(name for name, _ in bars)),
        Figure(
            amount,
            "Amount",
            Shape.MONEY,
            unit=unit,
            note="Blank where it isn't known yet.",
            formulas=tuple(source for _, source in bars),
        ),
        Figure(start, "Starts at", Shape.MONEY, unit=unit, note="Where its bar begins.", formulas=starts),
        Figure(
            f"{prefix}_bar_words",
            "In words",
            Shape.TEXT,
            note="The amount as a text with two digits.",
            formula=amount_words(amount),
            needs=(amount,),
        ),
        Figure(
            f"{prefix}_bar_label",
            "Label",
            Shape.TEXT,
            note="The name with its amount, so that the picture needs no numbers drawn on it.",
            formula=f'IF(COUNT({amount})=0,{prefix}_bar_name,{prefix}_bar_name&" "&{prefix}_bar_words)',
        ),
    )
