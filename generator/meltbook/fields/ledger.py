"""The ledger of parts: what each row works out from what is typed on it and from the log.

A row counts once it has a known kind and a date. Its uses are what the log holds from the day it was
installed up to the day before it was retired, and what it had before the log. Whether a row is the newest
of its kind goes by date; of two parts that were fitted on one day, the lower row is the newer.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Shape

UNITS = "charges, days or heat-ups"
_TYPED = "part_name,part_installed,part_retired,part_cost,part_uses_before,part_life"


def columns() -> tuple[Figure, ...]:
    """The figures of each part."""
    return (*_identity(), *_uses(), *_life(), *_shown(), *_now(), *_fault())


def _identity() -> tuple[Figure, ...]:
    return (
        Figure(
            "part_order",
            "Order",
            Shape.COUNT,
            note="Counts the rows, so that of two parts fitted on one day the lower row is the newer.",
            formula="part_order.prev+1",
            seed=0,
        ),
        Figure(
            "part_kind_row",
            "Kind by number",
            Shape.COUNT,
            note="The place of its kind in the list of kinds; 0 if it isn't there.",
            formula='IF(part_name="",0,IFERROR(MATCH(part_name,kind_of_part_name.all,0),0))',
        ),
        Figure(
            "part_used",
            "Counts",
            Shape.COUNT,
            note="1 if the row has a known kind and a date.",
            formula="IF(AND(part_kind_row>0,ISNUMBER(part_installed)),1,0)",
        ),
        Figure(
            "part_from",
            "In service from",
            Shape.DATE,
            note="The date installed; 0 if the row doesn't count.",
            formula="IF(part_used=1,part_installed,0)",
        ),
        Figure(
            "part_end",
            "In service before",
            Shape.DATE,
            note="The date retired, or the far date while it is in use.",
            formula="IF(part_used=0,0,IF(ISNUMBER(part_retired),part_retired,far_date))",
        ),
        Figure(
            "part_is_retired",
            "Is retired",
            Shape.COUNT,
            note="1 if it is no longer in use.",
            formula="IF(AND(part_used=1,ISNUMBER(part_retired)),1,0)",
        ),
        Figure(
            "part_basis_code",
            "Counted in",
            Shape.COUNT,
            note="1 charges, 2 hot days, 3 heat-ups; 0 if the row doesn't count.",
            formula='IF(part_used=0,0,1+(INDEX(kind_of_part_basis.all,part_kind_row)="Hot days")'
            '+2*(INDEX(kind_of_part_basis.all,part_kind_row)="Heat-ups"))',
        ),
    )


def _uses() -> tuple[Figure, ...]:
    counts = (
        ("part_log_charges", "Charges in the log", "row_charges", "Charges"),
        ("part_log_days", "Hot days in the log", "row_hot_days", "Hot days"),
        ("part_log_starts", "Heat-ups in the log", "row_starts", "Heat-ups"),
    )
    served = 'row_kind.all,">0",first_day.all,">="&part_from,first_day.all,"<"&part_end'
    return (
        *(
            Figure(
                name,
                label,
                Shape.COUNT,
                note=f"{word} of the log while it was in the furnace, measured or not.",
                formula=f"IF(part_used=0,0,SUMIFS({source}.all,{served}))",
            )
            for name, label, source, word in counts
        ),
        Figure(
            "part_log_uses",
            "Uses in the log",
            Shape.COUNT,
            unit=UNITS,
            note="That count which its kind's life goes by.",
            formula="IF(part_basis_code=2,part_log_days,IF(part_basis_code>2,part_log_starts,part_log_charges))",
        ),
        Figure(
            "part_uses",
            "Uses",
            Shape.COUNT,
            unit=UNITS,
            note="Uses in the log and before it.",
            formula='IF(part_used=0,"",part_log_uses+SUM(part_uses_before))',
        ),
    )


def _life() -> tuple[Figure, ...]:
    rates = (
        ("part_rate_charges", "Rate a charge", "part_basis_code=1"),
        ("part_rate_days", "Rate a hot day", "part_basis_code=2"),
        ("part_rate_starts", "Rate a heat-up", "part_basis_code>2"),
    )
    return (
        Figure(
            "part_expected",
            "Expected life",
            Shape.FACTOR,
            unit=UNITS,
            note="This one's own, else its kind's. A cost estimate, never a safety limit.",
            formula='IF(part_used=0,"",IF(ISNUMBER(part_life),part_life,INDEX(kind_of_part_mean.all,part_kind_row)))',
        ),
        Figure(
            "part_life_used",
            "Life for sharing",
            Shape.FACTOR,
            unit=UNITS,
            note="What its cost is shared over: its uses once retired, else the greater of expected life and "
            "uses so far.",
            formula='IF(part_is_retired=1,part_uses,IF(ISNUMBER(part_expected),MAX(part_expected,part_uses),""))',
        ),
        Figure(
            "part_rate",
            "Rate a use",
            Shape.RATE,
            unit="{currency}",
            note="Cost ÷ that life.",
            formula="IF(SUM(part_life_used)=0,0,SUM(part_cost)/part_life_used)",
        ),
        *(
            Figure(
                name,
                label,
                Shape.RATE,
                unit="{currency}",
                note="The rate, if its life counts in this.",
                formula=f"IF({test},part_rate,0)",
            )
            for name, label, test in rates
        ),
        Figure(
            "part_unused_cost",
            "Retired unused",
            Shape.MONEY,
            unit="{currency}",
            note="The whole cost, if it was retired without a single use.",
            formula="IF(AND(part_is_retired=1,part_uses=0),SUM(part_cost),0)",
        ),
        Figure(
            "part_unknown",
            "Not known",
            Shape.COUNT,
            note="1 if its cost, or the life of a part in use, is missing.",
            formula="IF(AND(part_used=1,COUNT(part_cost,part_life_used)<2),1,0)",
        ),
    )


def _shown() -> tuple[Figure, ...]:
    return (
        Figure(
            "part_used_up",
            "Used up",
            Shape.MONEY,
            unit="{currency}",
            note="What the log has taken off its cost so far.",
            formula='IF(part_used=0,"",part_rate*part_log_uses+part_unused_cost)',
        ),
        Figure(
            "part_left",
            "Uses left",
            Shape.FACTOR,
            unit=UNITS,
            note="Expected life less uses, for planning only: stop using a cracked or leaking pot at once.",
            formula='IF(AND(part_used=1,part_is_retired=0),MAX(0,part_expected-part_uses),"")',
            needs=("part_expected",),
        ),
        Figure(
            "part_lost_early",
            "Lost early",
            Shape.MONEY,
            unit="{currency}",
            note="The part of its cost that a failure took before the expected life was over. Not in any price.",
            formula='IF(AND(part_is_retired=1,OR(part_why="Cracked",part_why="Leaking")),'
            'SUM(part_cost)*MAX(0,1-part_uses/part_expected),"")',
            needs=("part_expected",),
            nonzero=("part_expected",),
        ),
    )


def _now() -> tuple[Figure, ...]:
    newer = 'COUNTIFS(part_kind_row.all,part_kind_row,part_from.all,">"&part_from)'
    kind_empty = "INDEX(kind_of_part_in_service.all,part_kind_row)=0"
    kind_stays = 'INDEX(kind_of_part_gone.all,part_kind_row)<>"Yes"'
    bases = (
        ("part_now_charges", "Now, a charge", "part_basis_code=1"),
        ("part_now_days", "Now, a hot day", "part_basis_code=2"),
        ("part_now_starts", "Now, a heat-up", "part_basis_code>2"),
    )
    return (
        Figure(
            "part_serving",
            "In service",
            Shape.COUNT,
            note="1 if it is in the furnace on the pricing date.",
            formula="IF(AND(part_used=1,ISNUMBER(pricing_date_used),part_from<=pricing_date_used,"
            "part_end>pricing_date_used),1,0)",
        ),
        Figure(
            "part_tied",
            "Lower on that day",
            Shape.COUNT,
            note="Parts of its kind that were fitted on the same day and stand lower in the ledger.",
            formula='COUNTIFS(part_kind_row.all,part_kind_row,part_from.all,part_from,part_order.all,">"&part_order)',
        ),
        Figure(
            "part_newest",
            "Newest",
            Shape.COUNT,
            note="1 if it is the last of its kind that was fitted.",
            formula=f"IF(part_used=0,0,IF({newer}+part_tied=0,1,0))",
        ),
        Figure(
            "part_prices",
            "Prices go by it",
            Shape.COUNT,
            note="1 if it is in service, or the last of a kind that has none in service and isn't gone for good.",
            formula=f"IF(part_used=0,0,IF(part_serving=1,1,part_newest*({kind_empty})*({kind_stays})))",
        ),
        Figure(
            "part_now_rate",
            "Rate to price with",
            Shape.RATE,
            unit="{currency}",
            note="Cost now ÷ expected life.",
            formula='IF(part_prices=1,INDEX(kind_of_part_cost_used.all,part_kind_row)/part_expected,"")',
            needs=("part_expected",),
            nonzero=("part_expected",),
        ),
        *(
            Figure(
                name,
                label,
                Shape.RATE,
                unit="{currency}",
                note="The rate to price with, if its life counts in this.",
                formula=f"IF({test},SUM(part_now_rate),0)",
            )
            for name, label, test in bases
        ),
        Figure(
            "part_now_unknown",
            "Now not known",
            Shape.COUNT,
            note="1 if prices go by it but its expected life isn't known.",
            formula="IF(AND(part_prices=1,COUNT(part_now_rate)=0),1,0)",
        ),
    )


def _fault() -> tuple[Figure, ...]:
    return (
        Figure(
            "part_fault",
            "Something missing",
            Shape.COUNT,
            note="1 if something is typed but kind, date or cost is missing, or it was retired before it was "
            "installed.",
            formula=f"IF(AND(COUNTA({_TYPED})>0,OR(part_used=0,COUNT(part_cost)=0,part_end<part_from)),1,0)",
        ),
    )
