"""The page that hangs in the shop."""

from __future__ import annotations

from meltbook.sheets.kernel import Rows, Sheet, Words


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="price_list",
        name="Price list",
        title="Price list",
        purpose="Only pieces whose cost is complete, in your shelf order. Print it as it is.",
        role="print",
        one_page=True,
        blocks=(
            Words(heading="list_studio", lines=("list_from", "list_tax_note")),
            Rows(
                heading="",
                table="price_list",
                columns=("list_name", "list_size", "list_tag"),
                workings=("list_no", "list_row"),
            ),
        ),
    )
