"""The page that hangs in the shop."""

from __future__ import annotations

from meltbook.sheets.kernel import Fields, Rows, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="price_list",
        name="Price list",
        title="Price list",
        purpose="Only pieces whose cost is complete, in your shelf order. Print it as it is.",
        role="print",
        blocks=(
            Fields(heading="", names=("list_studio", "list_from", "list_tax_note", "list_sentence")),
            Rows(
                heading="",
                table="price_list",
                columns=("list_name", "list_size", "list_tag"),
                workings=("list_no", "list_row"),
            ),
            Fields(heading="Workings", names=("list_count", "list_held")),
        ),
    )
