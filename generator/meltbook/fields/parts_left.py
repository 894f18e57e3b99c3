"""How long the parts in service have left, in a sentence for each kind.

Of several parts of a kind in service the one that was fitted last speaks for the kind; of two that were fitted on
one day the lower row does. What is left is a plan for buying the next one in time, and says nothing about safety.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Item, Shape
from meltbook.fields.words import whole_words

_ALIKE = "part_kind_row.all,part_kind_row,part_serving.all,1"
_SPEAKS = "part_speaks.all,kind_of_part_position"


def ledger_columns() -> tuple[Figure, ...]:
    """Which part speaks for its kind."""
    return (
        Figure(
            "part_later_serving",
            "Later in service",
            Shape.COUNT,
            note="Parts of its kind in service that were fitted on a later day.",
            formula=f'COUNTIFS({_ALIKE},part_from.all,">"&part_from)',
        ),
        Figure(
            "part_below_serving",
            "Lower in service",
            Shape.COUNT,
            note="Parts of its kind in service that were fitted on the same day and stand lower in the ledger.",
            formula=f'COUNTIFS({_ALIKE},part_from.all,part_from,part_order.all,">"&part_order)',
        ),
        Figure(
            "part_speaks",
            "Speaks for kind",
            Shape.COUNT,
            note="The number of its kind, if it is the newest in service; else 0.",
            formula="IF(AND(part_serving=1,part_later_serving+part_below_serving=0),part_kind_row,0)",
        ),
    )


def kind_columns() -> tuple[Item, ...]:
    """What each kind has gone through, and the sentence about it."""
    return (
        Figure(
            "kind_of_part_again",
            "Kind of part",
            Shape.TEXT,
            note="Repeated from the block above.",
            formula="kind_of_part_name",
            blank_if="kind_of_part_name",
        ),
        Figure(
            "kind_of_part_word",
            "Counted in",
            Shape.TEXT,
            note="What its life is counted in.",
            formula='IF(kind_of_part_basis="Hot days","hot days",'
            'IF(kind_of_part_basis="Heat-ups","heat-ups","charges"))',
            blank_if="kind_of_part_name",
        ),
        Figure(
            "kind_of_part_speaking",
            "Has one in service",
            Shape.COUNT,
            note="1 if a part of the kind is in service on the pricing date.",
            formula=f"COUNTIFS({_SPEAKS})",
        ),
        Figure(
            "kind_of_part_since",
            "In service since",
            Shape.DATE,
            note="The day the one in service was installed.",
            formula=f"SUMIFS(part_from.all,{_SPEAKS})",
            nonzero=("kind_of_part_speaking",),
        ),
        Figure(
            "kind_of_part_next_cost",
            "The next one costs",
            Shape.MONEY,
            unit="{currency}",
            note="Cost now as typed, else the newest one's.",
            formula="kind_of_part_cost_used",
            nonzero=("kind_of_part_speaking",),
        ),
        Figure(
            "kind_of_part_through",
            "Uses so far",
            Shape.COUNT,
            note="Of the one in service, those before the log included.",
            formula=f"SUMIFS(part_uses.all,{_SPEAKS})",
            nonzero=("kind_of_part_speaking",),
        ),
        Figure(
            "kind_of_part_of",
            "Expected",
            Shape.FACTOR,
            note="The life expected of it. A cost estimate, never a safety limit.",
            formula=f'IF(COUNTIFS({_SPEAKS},part_expected.all,">=0")=0,"",SUMIFS(part_expected.all,{_SPEAKS}))',
        ),
        Figure(
            "kind_of_part_to_go",
            "Left",
            Shape.FACTOR,
            note="Expected less so far; below 0 it has outlived what was expected.",
            formula="kind_of_part_of-kind_of_part_through",
            needs=("kind_of_part_of",),
        ),
        *_words(),
    )


def _words() -> tuple[Figure, ...]:
    so_far, whole = whole_words("kind_of_part_through"), whole_words("kind_of_part_of")
    left, past = (whole_words(f"MAX(0,{sign}kind_of_part_to_go)") for sign in ("", "-"))

    def said(name: str, label: str, note: str, formula: str, *needs: str) -> Figure:
        return Figure(f"kind_of_part_{name}", label, Shape.TEXT, note=note, formula=formula, needs=needs)

    return (
        said(
            "left_words",
            "If some are left",
            "What is said while some are left.",
            f'"About "&{left}&" of "&{whole}&" "&kind_of_part_word&" left."',
            "kind_of_part_to_go",
        ),
        said(
            "past_words",
            "If none are",
            "What is said once none are.",
            f'"Past its "&{whole}&" "&kind_of_part_word&" by "&{past}&": have the next one ready."',
            "kind_of_part_to_go",
        ),
        said(
            "so_far_words",
            "If its life isn't known",
            "What is said while no life is expected.",
            f'"Used so far, in "&kind_of_part_word&": "&{so_far}&". Type the life that you expect."',
            "kind_of_part_through",
        ),
        said(
            "says",
            "What is left of it",
            "For planning only: stop using a cracked or leaking pot at once.",
            "IF(COUNT(kind_of_part_to_go)=0,kind_of_part_so_far_words,"
            f"IF({past}>0,kind_of_part_past_words,kind_of_part_left_words))",
        ),
    )
