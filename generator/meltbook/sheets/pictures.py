"""Three pictures, each with the sentence that says what it shows."""

from __future__ import annotations

from meltbook.sheets.kernel import Picture, Rows, Series, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="pictures",
        name="Pictures",
        title="Pictures",
        purpose="Where the money goes: in a weight of glass, in the furnace's days, and in one piece's price.",
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
                title="Energy by kind of day, kWh",
                heading="Where the energy went",
                categories="kind_bar_label",
                series=(Series("Energy", "kind_bar_amount"),),
                sentence="kinds_sentence",
                alt="Bars for the energy used on heat-up, charge, blow and idle days.",
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
        ),
    )
