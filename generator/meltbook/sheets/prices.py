"""What to charge: the tag, and what each way of selling leaves."""

from __future__ import annotations

from meltbook.sheets.kernel import Rows, Sheet, Words
from meltbook.studio.capacity import CHANNEL_SLOTS


def sheet() -> Sheet:
    """Declare the sheet."""
    channels = tuple(
        Rows(
            heading=f"channel_heading_{slot}",
            table=f"channel_{slot}",
            columns=(
                f"name_{slot}",
                f"tag_exact_{slot}",
                f"net_{slot}",
                f"margin_{slot}",
                f"lowest_{slot}",
                f"left_{slot}",
                f"earn_{slot}",
            ),
            workings=(f"sells_{slot}", f"must_tag_{slot}", f"must_margin_{slot}", f"losing_{slot}"),
        )
        for slot in CHANNEL_SLOTS
    )
    return Sheet(
        key="prices",
        name="Prices",
        title="Prices",
        purpose="What to charge, what is left, and which pieces pay best for an hour at the bench.",
        role="read",
        blocks=(
            Words(heading="", lines=("list_sentence",)),
            Rows(
                heading="Tags",
                intro="The suggested tag is the highest among the ways it is sold in that must earn their margin.",
                table="piece_prices",
                columns=(
                    "name_price",
                    "tag_suggested",
                    "tag_in_force",
                    "tag_gap",
                    "margin_worst",
                    "lowest_worst",
                    "loses_where",
                ),
                workings=(
                    "must_here",
                    "must_stuck",
                    "open_here",
                    "margin_lowest",
                    "tag_wanted",
                    "tag_cents",
                    "tag_plain",
                    "losing_ways",
                    "losing_way",
                ),
            ),
            Rows(
                heading="Ranking by what is left per bench hour",
                intro="The bench runs out first: the pieces that leave most for an hour of it stand on top.",
                table="ranking",
                columns=("ranking_no", "ranking_name", "ranking_left", "ranking_minutes", "ranking_tag"),
                workings=("ranking_row",),
            ),
            *channels,
        ),
    )
