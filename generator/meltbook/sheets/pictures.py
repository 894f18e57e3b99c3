"""Five pictures, each with the sentence that says what it shows: four on a page, and one price."""

from __future__ import annotations

from meltbook.sheets.kernel import Picture, Rows, Series, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="pictures",
        name="Pictures",
        title="Pictures",
        purpose="Where the money goes: in glass, in the furnace's days, in one price, in each campaign and in pots.",
        role="read",
        landscape=True,
        blocks=(
            Picture(
                kind="waterfall",
                title="What a weight of glass costs, step by step",
                heading="The ladder, to price with",
                categories="ladder_bar_label",
                series=(
                    Series("Starts at", "ladder_bar_start", hidden=True),
                    Series("Cost", "ladder_bar_amount"),
                ),
                sentence="ladder_sentence",
                alt="Bars for each step of the cost of a weight of glass; the last bar is all of them together.",
            ),
            Picture(
                kind="bar",
                title="Energy by kind of day, {energy}",
                heading="Where the energy went",
                categories="kind_bar_label",
                series=(Series("Energy", "kind_bar_amount"),),
                sentence="kinds_sentence",
                alt="Bars for the energy used on heat-up, charge, blow and idle days.",
                beside=True,
            ),
            Picture(
                kind="stacked bar",
                title="What a weight of glass cost, by campaign",
                heading="The last campaigns",
                categories="recent_label",
                series=(
                    Series("Melting and blowing", "recent_melt"),
                    Series("Heat-ups and idle days", "recent_waiting"),
                    Series("Service and demand", "recent_standing"),
                    Series("Pots and elements", "recent_wear"),
                    Series("Raw glass", "recent_glass"),
                    Series("The furnace itself", "recent_own"),
                ),
                sentence="recent_sentence",
                alt="A bar for each of the last campaigns, stacked by what its glass cost was made of.",
                tall=True,
            ),
            Picture(
                kind="stacked bar",
                title="Lives of pots, in uses",
                heading="How long pots lived",
                categories="life_label",
                series=(
                    Series("Failed", "life_broke"),
                    Series("Taken out", "life_planned"),
                    Series("In service", "life_serving"),
                ),
                sentence="lives_sentence",
                alt="A bar for each of the last pots, as long as its life; its tint says how it ended.",
                tall=True,
                beside=True,
            ),
            Picture(
                kind="waterfall",
                title="What one piece's tag is made of",
                heading="One price",
                categories="slice_bar_label",
                series=(
                    Series("Starts at", "slice_bar_start", hidden=True),
                    Series("Amount", "slice_bar_amount"),
                ),
                sentence="piece_sentence",
                alt="Bars for each cost in one piece's tag, for selling and for what is left; the last is the tag.",
                tall=True,
                alone=True,
            ),
            Rows(
                heading="Numbers behind the ladder",
                table="ladder_bars",
                columns=("ladder_bar_name", "ladder_bar_amount", "ladder_bar_start", "ladder_bar_label"),
                workings=("ladder_bar_words",),
            ),
            Rows(
                heading="Numbers behind the energy",
                table="kind_bars",
                columns=("kind_bar_name", "kind_bar_amount", "kind_bar_label"),
            ),
            Rows(
                heading="Numbers behind the price",
                intro="Choose the piece on Shop, under Rounding, checks and choices.",
                table="slice_bars",
                columns=("slice_bar_name", "slice_bar_amount", "slice_bar_start", "slice_bar_label"),
                workings=("slice_bar_words",),
            ),
            Rows(
                heading="Numbers behind the campaigns",
                table="recent_campaigns",
                columns=(
                    "recent_label",
                    "recent_melt",
                    "recent_waiting",
                    "recent_standing",
                    "recent_wear",
                    "recent_glass",
                    "recent_own",
                    "recent_total",
                ),
                workings=("recent_no", "recent_campaign", "recent_row"),
            ),
            Rows(
                heading="Numbers behind the lives",
                intro="Which part is the pot is chosen on {Idle or cold}.",
                table="life_bars",
                columns=("life_label", "life_broke", "life_planned", "life_serving"),
                workings=("life_place", "life_at", "life_from"),
            ),
        ),
    )
