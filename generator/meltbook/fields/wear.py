"""Pots, elements and what else wears out.

A part's life is counted in charges, hot days or heat-ups, by its kind. Cost ÷ life is its rate; the log
adds up the rates of the parts that were in the furnace on each row's first day. What to price with takes
instead the cost now ÷ expected life of the parts in service, or of the last of a kind that has none in
service.
"""

from __future__ import annotations

from meltbook.fields import ledger, parts_left, pot_life
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.fields.ledger import UNITS


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """How wear is counted, and whether it is known."""
    return (
        Input(
            "wear_counted",
            "Count wear",
            Shape.TEXT,
            note="Count: pots and elements are part of the cost of glass. None: they are left out on purpose.",
            typed=Typed(choices=("Count", "None")),
        ),
        Input(
            "wear_method",
            "In what happened, show",
            Shape.TEXT,
            note="Used up: the life that was taken off the parts. Paid: what was fitted in the period. "
            "Prices always go by expected life.",
            typed=Typed(choices=("Used up", "Paid")),
        ),
        Figure(
            "parts_used",
            "Parts in the ledger",
            Shape.COUNT,
            note="Rows of the ledger with a known kind and a date.",
            formula="SUM(part_used.all)",
        ),
        Figure(
            "wear_known",
            "Wear is known",
            Shape.COUNT,
            note="1 if the ledger has parts and each has a cost and a life.",
            formula="IF(AND(parts_used>0,SUM(part_unknown.all)=0),1,0)",
        ),
        Figure(
            "wear_now_known",
            "Wear to price with is known",
            Shape.COUNT,
            note="1 if the ledger has parts and each part that prices go by has an expected life.",
            formula="IF(AND(parts_used>0,SUM(part_now_unknown.all)=0),1,0)",
        ),
        Figure(
            "lost_early_total",
            "Lost early, in all",
            Shape.MONEY,
            unit="{currency}",
            note="What cracked and leaking parts took with them before their expected life. Not in any price.",
            formula="SUM(part_lost_early.all)",
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The kinds of part, and the ledger of every part fitted."""
    return (
        Table(
            "part_kinds",
            "Kinds of part",
            (*_typed_kinds(), *_kind_figures(ctx), *parts_left.kind_columns()),
            rows=ctx.capacity.part_kinds,
            capacity="part_kinds",
        ),
        Table(
            "ledger",
            "Ledger of parts",
            (*_typed_parts(), *ledger.columns(), *parts_left.ledger_columns(), *pot_life.ledger_columns()),
            rows=ctx.capacity.ledger,
            capacity="ledger",
            seeded=True,
            grows=True,
        ),
    )


def _typed_kinds() -> tuple[Item, ...]:
    return (
        Input(
            "kind_of_part_name",
            "Kind of part",
            Shape.TEXT,
            note="Your own word: Pot, Elements, Floor, Burner, Thermocouple.",
        ),
        Input(
            "kind_of_part_basis",
            "Life counts in",
            Shape.TEXT,
            note="What wears it most: charges for a pot, hot days or heat-ups for elements. Blank is Charges.",
            typed=Typed(choices=("Charges", "Hot days", "Heat-ups")),
        ),
        Input(
            "kind_of_part_life",
            "Life you expect",
            Shape.COUNT,
            unit=UNITS,
            note="From what you have seen, or the maker's word. The ledger's own mean takes over once three "
            "of the kind are retired. Not a safety limit.",
            typed=Typed(minimum=0),
        ),
        Input(
            "kind_of_part_cost_now",
            "Cost now",
            Shape.MONEY,
            unit="{currency}",
            note="What the next one will cost, with freight and fitting, from a quotation. Blank is the "
            "newest one's cost.",
            typed=Typed(minimum=0),
        ),
        Input(
            "kind_of_part_gone",
            "Gone for good",
            Shape.TEXT,
            note="Yes if you won't fit this kind again, so that prices leave it out.",
            typed=Typed(choices=("Yes", "No")),
        ),
    )


def _kind_figures(ctx: BookContext) -> tuple[Item, ...]:
    same = "part_kind_row.all,kind_of_part_position"
    return (
        Fixed(
            "kind_of_part_position",
            "Number",
            Shape.COUNT,
            note="The kind's number in the workings.",
            values=tuple(range(1, ctx.capacity.part_kinds + 1)),
        ),
        Figure(
            "kind_of_part_retired",
            "Retired",
            Shape.COUNT,
            note="How many of the kind are retired.",
            formula=f"COUNTIFS({same},part_is_retired.all,1)",
        ),
        Figure(
            "kind_of_part_uses",
            "Uses of all",
            Shape.COUNT,
            unit=UNITS,
            note="Uses of all parts of the kind, retired and in service.",
            formula=f"SUMIFS(part_uses.all,{same})",
        ),
        Figure(
            "kind_of_part_mean",
            "Expected life",
            Shape.FACTOR,
            unit=UNITS,
            note="Uses of all ÷ how many are retired; your own figure until three are.",
            formula="IF(kind_of_part_retired>=lives_needed,kind_of_part_uses/kind_of_part_retired,"
            'IF(ISNUMBER(kind_of_part_life),kind_of_part_life,""))',
        ),
        Figure(
            "kind_of_part_newest",
            "Newest one's cost",
            Shape.MONEY,
            unit="{currency}",
            note="What the newest of the kind cost; 0 if there is none.",
            formula=f"SUMIFS(part_cost.all,{same},part_newest.all,1)",
        ),
        Figure(
            "kind_of_part_cost_used",
            "Cost to price with",
            Shape.MONEY,
            unit="{currency}",
            note="Cost now as typed, else the newest one's.",
            formula="IF(ISNUMBER(kind_of_part_cost_now),kind_of_part_cost_now,kind_of_part_newest)",
        ),
        Figure(
            "kind_of_part_in_service",
            "In service",
            Shape.COUNT,
            note="How many of the kind are in the furnace on the pricing date.",
            formula=f"COUNTIFS({same},part_serving.all,1)",
        ),
    )


def _typed_parts() -> tuple[Item, ...]:
    return (
        Input(
            "part_name",
            "Part",
            Shape.TEXT,
            note="Which kind, as named in the list of kinds above.",
            typed=Typed(choices_from="kind_of_part_name"),
        ),
        Input(
            "part_installed",
            "Installed",
            Shape.DATE,
            note="The day from which it served, from your diary or the invoice.",
        ),
        Input(
            "part_retired",
            "Retired",
            Shape.DATE,
            note="The first day without it. Blank while it is in use. Stop a cracked or leaking pot at once, "
            "whatever its row says.",
        ),
        Input(
            "part_cost",
            "Cost",
            Shape.MONEY,
            unit="{currency}",
            note="From the invoice, with freight and fitting.",
            typed=Typed(minimum=0),
        ),
        Input(
            "part_uses_before",
            "Uses before the log",
            Shape.COUNT,
            unit=UNITS,
            note="For a part that served before this log began: its uses until then. They belong to its "
            "life, not to any period.",
            typed=Typed(minimum=0),
        ),
        Input(
            "part_life",
            "Life of this one",
            Shape.COUNT,
            unit=UNITS,
            note="Only if you expect another life of it than of its kind.",
            typed=Typed(minimum=0),
        ),
        Input(
            "part_why",
            "Why it went",
            Shape.TEXT,
            note="Cracked and Leaking are failures; Eroded, Planned and Other are not. Stop using a cracked "
            "or leaking pot at once.",
            typed=Typed(choices=("Cracked", "Leaking", "Eroded", "Planned", "Other")),
        ),
        Input("part_note", "Note", Shape.TEXT, note="Anything you want to remember of it."),
    )
