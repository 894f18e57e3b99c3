"""The pieces, as the owner types them."""

from __future__ import annotations

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Rows, Sheet
from meltbook.studio.capacity import CHANNEL_SLOTS


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="pieces",
        name="Pieces",
        title="Pieces",
        purpose="What you make: its glass, its time, its losses and its tag. One line a piece, in four parts.",
        role="type",
        landscape=True,
        blocks=(
            Rows(
                heading="1. Name and glass",
                intro="Type the weight drawn, or the gathers. Colour, materials and the finished weight may wait.",
                caution=caution("batch_dust"),
                table="pieces",
                columns=(
                    "piece_name",
                    "piece_size",
                    "piece_glass",
                    "piece_drawn",
                    "piece_gathers",
                    "piece_finished",
                    "piece_recovered",
                    "piece_colour_weight",
                    "piece_colour_price",
                    "piece_colour_waste",
                    "piece_materials",
                ),
            ),
            Rows(
                heading="2. Time and kiln",
                intro="Minutes for one piece started. Off-bench is cold work, finishing, photographs.",
                table="piece_labels",
                columns=(
                    "name_time",
                    "piece_minutes",
                    "piece_first_minutes",
                    "piece_second_minutes",
                    "piece_off_minutes",
                    "piece_glory_minutes",
                    "piece_other_minutes",
                    "piece_per_load",
                    "piece_load_share",
                ),
            ),
            Rows(
                heading="3. Losses, packing and tag",
                intro="Type 0 where nothing is lost. Losses are shares of what was started.",
                table="piece_labels",
                columns=(
                    "name_loss",
                    "piece_loss",
                    "piece_seconds",
                    "piece_second_value",
                    "piece_loss_after",
                    "piece_seconds_after",
                    "piece_second_value_after",
                    "piece_packing",
                    "piece_made",
                    "piece_tag",
                    "piece_order",
                    "piece_listed",
                ),
                workings=("piece_position",),
            ),
            Rows(
                heading="4. Where it is sold",
                intro="Empty counts as Yes. Type No where a piece isn't sold: its tag then asks for no margin there.",
                legend="ways_legend",
                table="piece_labels",
                columns=("name_sold", *(f"piece_sold_{slot}" for slot in CHANNEL_SLOTS)),
            ),
        ),
    )
