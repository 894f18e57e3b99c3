"""The sums over the log for each period: all time, the owner's dates, the pricing window, each campaign.

One form serves them all. A period is a range of campaigns and a range of days, either of them open; a row
of the log counts whole where its first day lies, and only if it is measured. So use, weight and charges of
a period belong together, and campaigns add up to all time.
"""

from __future__ import annotations

from collections.abc import Iterable

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table

TITLES: tuple[str, ...] = ("All time", "Between your dates", "Last 12 months")

_RANGE = 'campaign_no.all,campaign_test,first_day.all,">="&day_from,first_day.all,"<="&day_to'
_PART_RANGE = '{0}.all,">="&period_part_from,{0}.all,"<="&period_part_to'

_HOT_KINDS = (("heatup", "Heat-up"), ("charge", "Charge"), ("blow", "Blow"), ("idle", "Idle"))
_KINDS = (*_HOT_KINDS, ("cold", "Cold"))


def table(ctx: BookContext, steps: Iterable[Figure]) -> Table:
    """The periods with their sums; ``steps`` are the columns that the ladder makes of them."""
    return Table(
        "periods",
        "Periods",
        (*_which(ctx.capacity.campaigns), *_sums(), *_kind_sums(), *_own_sums(), *_shown(), *_wear(), *steps),
        rows=ctx.capacity.periods,
    )


def total(source: str, *criteria: str, rows: str = "row_measured") -> str:
    """The sum of a log column over those rows of the period that are marked 1 and meet the criteria."""
    return f"SUMIFS({','.join((f'{source}.all', f'{rows}.all,1', *criteria, _RANGE))})"


def _which(campaigns: int) -> tuple[Item, ...]:
    codes = len(TITLES)
    return (
        Fixed(
            "period_code",
            "Sort of period",
            Shape.COUNT,
            note="1 all time, 2 between your dates, 3 the pricing window, 4 a campaign.",
            values=(*range(1, codes + 1), *(codes + 1,) * campaigns),
        ),
        Fixed(
            "period_number",
            "Campaign number",
            Shape.COUNT,
            note="Which campaign; 0 for the other periods.",
            values=(*(0,) * codes, *range(1, campaigns + 1)),
        ),
        Fixed(
            "period_title",
            "Title",
            Shape.TEXT,
            note="What the period is called, campaigns apart.",
            values=(*TITLES, *("",) * campaigns),
        ),
        Figure(
            "period_label",
            "Period",
            Shape.TEXT,
            note="All time, your dates, the last 12 months, then each campaign that the log holds.",
            formula='IF(period_code<campaign_code,period_title&IF(period_code=2,dates_words,""),'
            'IF(period_number<=campaign_count,"Campaign "&period_number,""))',
        ),
        Figure(
            "campaign_from",
            "First campaign",
            Shape.COUNT,
            note="Rows from this campaign on count.",
            formula="IF(period_number=1,0,period_number)",
        ),
        Figure(
            "campaign_to",
            "Last campaign",
            Shape.COUNT,
            note="Rows up to this campaign count.",
            formula="IF(period_code<campaign_code,far_campaign,period_number)",
        ),
        Figure(
            "campaign_test",
            "Campaigns that count",
            Shape.TEXT,
            note="The same as a condition: one campaign, or all up to a number.",
            formula='IF(campaign_from=campaign_to,"="&campaign_to,"<="&campaign_to)',
        ),
        Figure(
            "day_from",
            "From day",
            Shape.DATE,
            note="Rows that begin on or after this day count.",
            formula="IF(period_code=2,chosen_from,IF(period_code=window_code,window_low,0))",
        ),
        Figure(
            "day_to",
            "To day",
            Shape.DATE,
            note="Rows that begin on or before this day count.",
            formula="IF(period_code=2,chosen_to,IF(period_code=window_code,window_high,far_date))",
        ),
    )


def _sum(name: str, label: str, shape: Shape, unit: str, note: str, source: str, *criteria: str) -> Figure:
    return Figure(
        name,
        label,
        shape,
        unit=unit,
        note=note,
        formula=total(source, *criteria),
        blank_if="period_label",
    )


def _sums() -> tuple[Figure, ...]:
    money = "{currency}"
    return (
        Figure(
            "period_rows",
            "Rows",
            Shape.COUNT,
            note="Measured rows of the log in the period.",
            formula=f"COUNTIFS(row_measured.all,1,{_RANGE})",
            blank_if="period_label",
        ),
        _sum(
            "period_weight",
            "Glass charged",
            Shape.WEIGHT,
            "{weight}",
            "Weight of glass charged.",
            "log_weight",
        ),
        _sum("period_charges", "Charges", Shape.COUNT, "", "How many times glass went in.", "row_charges"),
        _sum("period_gathers", "Gathers", Shape.COUNT, "", "Gathers taken, as logged.", "log_gathers"),
        _sum("period_days", "Days", Shape.DAYS, "days", "Days of the rows, cold ones too.", "row_days"),
        _sum("period_hot_days", "Hot days", Shape.DAYS, "days", "Days with the furnace hot.", "row_hot_days"),
        _sum("period_starts", "Heat-ups", Shape.COUNT, "", "Times it came up from cold.", "row_starts"),
        _sum(
            "period_standing",
            "Service and demand",
            Shape.MONEY,
            money,
            "Charges that come whatever is used, over these days.",
            "row_standing",
        ),
        _sum(
            "period_glass",
            "Raw glass",
            Shape.MONEY,
            money,
            "The glass charged, at its price on Shop.",
            "glass_charged_cost",
        ),
        _sum(
            "period_row_wear",
            "Wear of the rows",
            Shape.MONEY,
            money,
            "What charges, hot days and heat-ups wore off the parts.",
            "row_wear",
        ),
    )


def _shown() -> tuple[Figure, ...]:
    """What the owner reads of the sums: blank while no measured row is in the period."""
    return tuple(
        Figure(
            f"{name}_shown",
            label,
            shape,
            unit=unit,
            note=note,
            formula=f"period_{name}",
            nonzero=("period_rows",),
        )
        for name, label, shape, unit, note in (
            ("weight", "Glass charged", Shape.WEIGHT, "{weight}", "All glass charged in the period."),
            ("charges", "Charges", Shape.COUNT, "", "Charges in the period."),
            ("hot_days", "Hot days", Shape.DAYS, "days", "Days with the furnace hot."),
            ("use", "Energy", Shape.ENERGY, "{energy}", "Energy used on all hot days."),
        )
    )


def _kind_sums() -> tuple[Figure, ...]:
    hot = [kind for kind, _ in _HOT_KINDS]
    return (
        *(
            _sum(
                f"{kind}_days",
                f"{word} days",
                Shape.DAYS,
                "days",
                f"Days of {word} rows.",
                "row_days",
                f"row_kind.all,{kind}_kind",
            )
            for kind, word in _KINDS
        ),
        *(
            _sum(
                f"{kind}_use",
                f"{word} energy",
                Shape.ENERGY,
                "{energy}",
                f"Energy used on {word} rows.",
                "energy_used",
                f"row_kind.all,{kind}_kind",
            )
            for kind, word in _HOT_KINDS
        ),
        *(
            _sum(
                f"{kind}_cost",
                f"{word} cost",
                Shape.MONEY,
                "{currency}",
                f"What the energy of {word} rows cost.",
                "energy_cost",
                f"row_kind.all,{kind}_kind",
            )
            for kind, word in _HOT_KINDS
        ),
        Figure(
            "period_use",
            "Energy",
            Shape.ENERGY,
            unit="{energy}",
            note="Energy used on all hot days.",
            formula="+".join(f"{kind}_use" for kind in hot),
            blank_if="period_label",
        ),
        Figure(
            "period_cost",
            "Energy cost",
            Shape.MONEY,
            unit="{currency}",
            note="What that energy cost at the prices then in force.",
            formula="+".join(f"{kind}_cost" for kind in hot),
            blank_if="period_label",
        ),
    )


def _own_sums() -> tuple[Figure, ...]:
    """Over rows that tell their own use only: Charge rows, then Idle rows."""
    told = "rows that tell their own use"
    sums = (
        (
            "own_charge_use",
            "Charge energy, own",
            Shape.ENERGY,
            "{energy}",
            f"Energy of Charge {told}.",
            "energy_used",
        ),
        ("own_charge_days", "Charge days, own", Shape.DAYS, "days", f"Days of Charge {told}.", "row_days"),
        (
            "own_charge_weight",
            "Glass charged, own",
            Shape.WEIGHT,
            "{weight}",
            f"Glass of Charge {told}.",
            "log_weight",
        ),
        ("own_idle_use", "Idle energy, own", Shape.ENERGY, "{energy}", f"Energy of Idle {told}.", "energy_used"),
        ("own_idle_days", "Idle days, own", Shape.DAYS, "days", f"Days of Idle {told}.", "row_days"),
    )
    return tuple(
        Figure(
            name,
            label,
            shape,
            unit=unit,
            note=note,
            # A row that tells its own use is a measured one.
            formula=total(source, f"row_kind.all,{name.split('_')[1]}_kind", rows="row_own"),
            blank_if="period_label",
        )
        for name, label, shape, unit, note, source in sums
    )


def _wear() -> tuple[Figure, ...]:
    money = "{currency}"
    return (
        Figure(
            "campaign_first",
            "Campaign begins",
            Shape.DATE,
            note="The first day of the row that begins the campaign; 0 for the other periods.",
            formula="IF(period_number=0,0,IFERROR(INDEX(first_day.all,MATCH(period_number,campaign_no.all,0)),0))",
        ),
        Figure(
            "period_part_from",
            "Parts from",
            Shape.DATE,
            note="Parts fitted or retired on or after this day belong to the period.",
            formula="IF(period_code<campaign_code,day_from,IF(period_number=1,0,campaign_first))",
            blank_if="period_label",
        ),
        Figure(
            "period_part_to",
            "Parts to",
            Shape.DATE,
            note="Parts fitted or retired on or before this day belong to the period.",
            formula="IF(period_code<campaign_code,day_to,IF(period_number>=campaign_count,far_date,"
            "INDEX(first_day.all,MATCH(period_number+1,campaign_no.all,0))-1))",
            blank_if="period_label",
        ),
        Figure(
            "period_unused",
            "Retired unused",
            Shape.MONEY,
            unit=money,
            note="Cost of parts that went without a single use; it falls where they were retired.",
            formula=f"SUMIFS(part_unused_cost.all,{_PART_RANGE.format('part_retired')})",
            blank_if="period_label",
        ),
        Figure(
            "wear_used_up",
            "Used up",
            Shape.MONEY,
            unit=money,
            note="What the period took off the parts' lives.",
            formula="period_row_wear+period_unused",
            blank_if="period_label",
        ),
        Figure(
            "wear_paid",
            "Paid",
            Shape.MONEY,
            unit=money,
            note="Cost of the parts that were fitted in the period.",
            formula=f"SUMIFS(part_cost.all,{_PART_RANGE.format('part_installed')})",
            blank_if="period_label",
        ),
        Figure(
            "period_wear",
            "Pots and elements",
            Shape.MONEY,
            unit=money,
            note="Used up or paid, as chosen; 0 if wear is not counted; blank until every part's cost and "
            "life is known.",
            formula='IF(AND(wear_known=0,wear_counted<>"None"),"",'
            '(wear_counted<>"None")*IF(wear_method="Paid",wear_paid,wear_used_up))',
            blank_if="period_label",
        ),
    )
