"""What melted glass costs: which glass, which period, what the furnace itself costs a year.

The sums over the log stand in ``periods``, the steps that they make in ``ladder`` and what to price with in
``pricing``; this module holds what those three share. The pricing window is the 12 months up to the pricing
date, or up to the last measured day if that is earlier. Where nothing was charged in it, all measured rows
stand in.
"""

from __future__ import annotations

from meltbook.fields import ladder, periods, pricing
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed

_IN_YEAR = 'first_day.all,">="&window_start,first_day.all,"<="&window_end'
_IN_WINDOW = 'first_day.all,">="&window_low,first_day.all,"<="&window_high'


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """Shares, the owner's dates, the window, the furnace's own cost, and all single figures of the ladder."""
    return (
        *_shares(),
        *_dates(),
        *_window(),
        *_furnace_itself(),
        *_heat(),
        *ladder.scalars(),
        *pricing.scalars(),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """The raw glasses, and the periods with their sums and ladder."""
    return (_glasses(ctx), periods.table(ctx, ladder.columns()))


def _shares() -> tuple[Item, ...]:
    return (
        Input(
            "share_drawn",
            "Share gathered",
            Shape.SHARE,
            note="The part of the glass charged that leaves the furnace on the iron. Weigh a day's gathers "
            "against the charge; 1 if nothing is left over.",
            typed=Typed(minimum=0, maximum=1),
        ),
        Input(
            "share_in_pieces",
            "Share that ends in pieces",
            Shape.SHARE,
            note="Weigh a week's finished pieces against the glass charged. Blank is the share gathered. "
            "Only to read: pieces are priced by what they draw.",
            typed=Typed(minimum=0, maximum=1),
        ),
        Input(
            "share_good",
            "Share good",
            Shape.SHARE,
            note="Of ten pieces that you start, the part that can be sold. Only for the last line of the "
            "ladder: each piece has losses of its own.",
            typed=Typed(minimum=0, maximum=1),
        ),
        Input(
            "ordinary_weight",
            "Glass in an ordinary year",
            Shape.WEIGHT,
            unit="{weight}",
            note="What you charge in a year that is neither slow nor rushed. Yearly costs are spread over "
            "it. Blank goes by the last 12 months.",
            typed=Typed(minimum=0),
        ),
        Figure(
            "ends_share",
            "Share that ends in pieces, used",
            Shape.SHARE,
            note="As typed, else the share gathered.",
            formula='IF(ISNUMBER(share_in_pieces),share_in_pieces,IF(ISNUMBER(share_drawn),share_drawn,""))',
        ),
    )


def _dates() -> tuple[Item, ...]:
    return (
        Input(
            "period_from",
            "Your dates, from",
            Shape.DATE,
            note="To look back at a stretch of time, its first day. Blank is from the beginning.",
        ),
        Input(
            "period_to",
            "Your dates, to",
            Shape.DATE,
            note="Its last day. A row of the log counts whole where its first day lies. Blank is up to the end.",
        ),
        Figure(
            "chosen_from",
            "Your dates from, used",
            Shape.DATE,
            note="The first date; the far date where none of the two is typed, so that nothing lies between them.",
            formula="IF(COUNT(period_from,period_to)=0,far_date,SUM(period_from))",
        ),
        Figure(
            "chosen_to",
            "Your dates to, used",
            Shape.DATE,
            note="The far date where no date is typed.",
            formula="IF(ISNUMBER(period_to),period_to,far_date)",
        ),
        Figure(
            "dates_words",
            "Whether dates are typed",
            Shape.TEXT,
            note="What the period between them says besides.",
            formula='IF(COUNT(period_from,period_to)=0,", none typed","")',
        ),
        Figure(
            "period_overrun",
            "Days past your dates",
            Shape.DAYS,
            note="How many days rows that begin between your dates run on after them.",
            formula='IF(COUNT(period_from,period_to)=0,"",MAX(row_past.all))',
            nonzero=("period_rows.2",),
        ),
    )


def _window() -> tuple[Item, ...]:
    return (
        Figure(
            "window_end",
            "Twelve months, to",
            Shape.DATE,
            note="The pricing date, or the last measured day if that is earlier.",
            formula="MIN(pricing_date_used,last_measured_day)",
            needs=("last_measured_day",),
        ),
        Figure(
            "window_start",
            "Twelve months, from",
            Shape.DATE,
            note="A year and a day earlier.",
            formula="DATE(YEAR(window_end)-1,MONTH(window_end),DAY(window_end)+1)",
            needs=("window_end",),
        ),
        Figure(
            "window_year_weight",
            "Glass in the twelve months",
            Shape.WEIGHT,
            unit="{weight}",
            note="Charged on measured rows of the twelve months.",
            formula=f"SUMIFS(log_weight.all,row_measured.all,1,{_IN_YEAR})",
            needs=("window_end",),
        ),
        Figure(
            "window_low",
            "Window from",
            Shape.DATE,
            note="The first of the twelve months, or 0 where nothing was charged in them and all rows count.",
            formula="IF(SUM(window_year_weight)>0,window_start,0)",
        ),
        Figure(
            "window_high",
            "Window to",
            Shape.DATE,
            note="The last of the twelve months, or the far date where all rows count.",
            formula="IF(SUM(window_year_weight)>0,window_end,far_date)",
        ),
        Figure(
            "window_first",
            "Priced from rows since",
            Shape.DATE,
            note="The first of the twelve months. Blank where all measured rows count.",
            formula='IF(SUM(window_year_weight)>0,window_start,"")',
        ),
        Figure(
            "window_last",
            "Priced from rows up to",
            Shape.DATE,
            note="The last of the twelve months. Blank where all measured rows count.",
            formula='IF(SUM(window_year_weight)>0,window_end,"")',
        ),
    )


def _furnace_itself() -> tuple[Item, ...]:
    return (
        Input(
            "furnace_purchase",
            "Purchase",
            Shape.MONEY,
            unit="{currency}",
            note="What the furnace cost you, with freight and setting up, without the pots and elements of "
            "the ledger. Type 0 if it isn't to be counted.",
            typed=Typed(minimum=0),
        ),
        Input(
            "furnace_worth_end",
            "Worth at the end",
            Shape.MONEY,
            unit="{currency}",
            note="What you will get for it when you give it up (residual value). Blank is 0.",
            typed=Typed(minimum=0),
        ),
        Input(
            "furnace_life",
            "Life",
            Shape.YEARS,
            unit="years",
            note="How many years you expect to use it.",
            typed=Typed(minimum=0),
        ),
        Input(
            "furnace_maintenance",
            "Upkeep a year",
            Shape.MONEY,
            unit="{currency}",
            note="Repairs and service in an ordinary year, from your bills, without what stands in the ledger.",
            typed=Typed(minimum=0),
        ),
        Figure(
            "own_known",
            "Ownership is known",
            Shape.COUNT,
            note="1 once the purchase is typed (0 counts) and, above 0, a life with it.",
            formula="IF(ISNUMBER(furnace_purchase),IF(OR(furnace_purchase=0,SUM(furnace_life)>0),1,0),0)",
        ),
        Figure(
            "own_yearly",
            "The furnace itself, a year",
            Shape.MONEY,
            unit="{currency}",
            note="Purchase less worth at the end, spread over its life (depreciation), and upkeep.",
            formula='IF(own_known=0,"",IF(furnace_purchase>0,(furnace_purchase-SUM(furnace_worth_end))/furnace_life,0)'
            "+SUM(furnace_maintenance))",
        ),
    )


def _heat() -> tuple[Item, ...]:
    return (
        Input(
            "cullet_share",
            "Cullet in the charge",
            Shape.SHARE,
            note="The part of the charge that is glass already: cullet or nuggets. Blank counts as all raw batch.",
            typed=Typed(minimum=0, maximum=1),
        ),
        Figure(
            "heat_to_melt",
            "Heat that melting takes",
            Shape.FACTOR,
            unit="kWh/{weight}",
            note="What the glass itself takes up by physics, at your share of cullet.",
            formula="(melt_heat+(1-SUM(cullet_share))*batch_heat)/kilojoules_in_kwh*weight_in_kg",
        ),
        Figure(
            "furnace_efficiency",
            "Share of heat in the glass",
            Shape.SHARE,
            note="That heat ÷ what the furnace used; the rest keeps it hot. A few percent is usual in a small studio.",
            formula="heat_to_melt/(use_a_weight.1*heat_in_unit)",
            needs=("use_a_weight.1", "heat_in_unit"),
            nonzero=("use_a_weight.1", "heat_in_unit"),
        ),
        Figure(
            "glass_gap",
            "Raw glass not known",
            Shape.COUNT,
            note="Glasses charged without a price on Shop, and rows with a glass that isn't listed.",
            formula='COUNTIF(glass_used_weight.all,">0")-COUNTIFS(glass_used_weight.all,">0",glass_price.all,">=0")'
            "+COUNTIF(row_fault.all,fault_code.3)",
        ),
        Figure(
            "raw_glass_known",
            "Raw glass is known",
            Shape.COUNT,
            note="1 if glass was charged on measured rows and all of it has a price.",
            formula='IF(AND(COUNTIFS(row_glass.all,">0",row_measured.all,1)>0,glass_gap=0),1,0)',
        ),
    )


def _glasses(ctx: BookContext) -> Table:
    return Table(
        "glasses",
        "Raw glass",
        (
            Input(
                "glass_name",
                "Glass",
                Shape.TEXT,
                note="Your own word for it. The first one is meant wherever a glass is left blank.",
            ),
            Input(
                "glass_price",
                "Price",
                Shape.RATE,
                unit="{currency}/{weight}",
                note="From the supplier's invoice, freight included. For your own cullet type what you "
                "credit it at; 0 if it is free.",
                typed=Typed(minimum=0),
            ),
            Fixed(
                "glass_position",
                "Number",
                Shape.COUNT,
                note="The glass's number in the workings.",
                values=tuple(range(1, ctx.capacity.glasses + 1)),
            ),
            Figure(
                "glass_price_known",
                "Price counted",
                Shape.RATE,
                unit="{currency}/{weight}",
                note="The price, 0 where none is typed.",
                formula="SUM(glass_price)",
            ),
            Figure(
                "glass_used_weight",
                "Charged",
                Shape.WEIGHT,
                unit="{weight}",
                note="Charged of this glass on all measured rows.",
                formula="SUMIFS(log_weight.all,row_measured.all,1,row_glass.all,glass_position)",
            ),
            Figure(
                "glass_window_weight",
                "Charged lately",
                Shape.WEIGHT,
                unit="{weight}",
                note="The same on the rows that prices are worked out from.",
                formula=f"SUMIFS(log_weight.all,row_measured.all,1,row_glass.all,glass_position,{_IN_WINDOW})",
            ),
        ),
        rows=ctx.capacity.glasses,
        capacity="glasses",
    )
