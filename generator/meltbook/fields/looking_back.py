"""The numbers behind two pictures of the past: the last campaigns by what they cost, and the lives of pots."""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import amount_words, date_words

CAMPAIGNS = 8
LIVES = 10
CAUSES: tuple[tuple[str, str, str], ...] = (
    ("recent_melt", "Melting and blowing", "step_melt"),
    ("recent_standing", "Service and demand", "step_standing"),
    ("recent_wear", "Pots and elements", "step_wear"),
    ("recent_glass", "Raw glass", "step_glass"),
    ("recent_own", "The furnace itself", "step_own"),
)
"""What a campaign's glass cost is made of, besides heat-ups and idle days: what is left of every hot day."""


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What the two pictures say."""
    return (
        Figure(
            "recent_last",
            "Last campaign drawn",
            Shape.COUNT,
            note="The newest that has a row on {Cost of glass}.",
            formula="MIN(campaign_count,MAX(period_number.all))",
        ),
        Figure(
            "recent_dearest",
            "Dearest of them",
            Shape.RATE,
            unit="{currency}/{weight}",
            note="The highest cost of a weight of glass among the campaigns drawn.",
            formula="MAX(recent_total.all)",
        ),
        Figure(
            "recent_words",
            "The same in words",
            Shape.TEXT,
            formula=amount_words("recent_dearest"),
        ),
        Figure(
            "recent_name",
            "Which it is",
            Shape.TEXT,
            formula='"Campaign "&INDEX(recent_campaign.all,MATCH(recent_dearest,recent_total.all,0))',
            nonzero=("recent_dearest",),
        ),
        Figure(
            "recent_sentence",
            "What it shows",
            Shape.TEXT,
            formula='recent_name&IF(COUNT(recent_total.all)=1," cost "," was the dearest: ")'
            '&recent_words&" for each "&weight_unit&"."',
            nonzero=("recent_dearest",),
        ),
        Figure(
            "lives_sentence",
            "What it shows",
            Shape.TEXT,
            formula='IF(lives_counted=0,"",lives_counted&IF(lives_counted=1," life"," lives")&" in the ledger, "'
            '&IF(lives_failed=0,"none",lives_failed)&" ended by failing.")',
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The last campaigns, and the last lives, the oldest first."""
    return (_recent(), _lives())


def _recent() -> Table:
    def amount(name: str, label: str, formula: str, *needs: str) -> Figure:
        note = "For a weight of glass; blank while it isn't known."
        nonzero = ("recent_row",)
        unit = "{currency}/{weight}"
        return Figure(name, label, Shape.RATE, unit=unit, note=note, formula=formula, needs=needs, nonzero=nonzero)

    def of(step: str) -> str:
        return f"INDEX({step}.all,recent_row)"

    first, *others = (amount(name, label, f'IF(COUNT({of(step)})=1,{of(step)},"")') for name, label, step in CAUSES)
    waiting = amount("recent_waiting", "Heat-ups and idle days", f"{of('step_hot')}-recent_melt", "recent_melt")
    names = (first.name, waiting.name, *(other.name for other in others))
    return Table(
        "recent_campaigns",
        "The last campaigns",
        (
            Fixed("recent_no", "Number", Shape.COUNT, values=tuple(range(1, CAMPAIGNS + 1))),
            Figure(
                "recent_campaign",
                "Campaign",
                Shape.COUNT,
                note="0 where there are fewer.",
                formula="IF(recent_no>recent_last,0,MAX(0,recent_last-COUNT(recent_no.all))+recent_no)",
            ),
            Figure(
                "recent_label",
                "Label",
                Shape.TEXT,
                formula='IF(recent_campaign=0,"","Campaign "&recent_campaign)',
            ),
            Figure(
                "recent_row",
                "Its row on {Cost of glass}",
                Shape.COUNT,
                note="0 where there are fewer.",
                formula="IF(recent_campaign=0,0,MATCH(recent_campaign,period_number.all,0))",
            ),
            first,
            waiting,
            *others,
            amount("recent_total", "All that is known", f"SUM({','.join(names)})", "recent_melt"),
        ),
        rows=CAMPAIGNS,
    )


def _lives() -> Table:
    def uses(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.COUNT, unit="uses", note=note, formula=formula, nonzero=("life_at",))

    def of(column: str) -> str:
        return f"INDEX({column}.all,life_at)"

    return Table(
        "life_bars",
        "Lives of pots",
        (
            Fixed("life_place", "Number", Shape.COUNT, values=tuple(range(1, LIVES + 1))),
            Figure(
                "life_at",
                "Row of the ledger",
                Shape.COUNT,
                note="Where that life stands; 0 where there are fewer.",
                formula="IF(life_place>lives_counted,0,"
                "MATCH(MAX(0,lives_counted-COUNT(life_place.all))+life_place,life_no.all,0))",
            ),
            Figure(
                "life_from",
                "Fitted on",
                Shape.DATE,
                note="Blank where there are fewer.",
                formula=f'IF(life_at=0,"",{of("part_from")})',
            ),
            Figure("life_label", "Label", Shape.TEXT, formula=date_words("life_from"), needs=("life_from",)),
            uses("life_broke", "Failed", "It cracked or leaked.", f"{of('life_uses')}*{of('life_failed')}"),
            uses(
                "life_planned",
                "Taken out",
                "For another reason, before it failed.",
                f"{of('life_uses')}*({of('part_is_retired')}-{of('life_failed')})",
            ),
            uses(
                "life_serving",
                "In service",
                "So far.",
                f"{of('life_uses')}*(1-{of('part_is_retired')})",
            ),
        ),
        rows=LIVES,
    )
