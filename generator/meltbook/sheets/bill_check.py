"""Bills against what the book knows of."""

from __future__ import annotations

from meltbook.fields.bills import ENDS, EXPLAINED, MORE_BILLED, MORE_COUNTED
from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Rows, Sheet, Words


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="bill_check",
        name="Bill check",
        title="Bill check",
        purpose="Type a bill and see how much of it you can explain. A gap that stays points to a wrong kW, factor or "
        "reading.",
        role="type",
        does="Type a bill and read",
        landscape=True,
        blocks=(
            Words(heading="The answer", lines=("bills_sentence",), caution=caution("estimates", "wiring", "gas_leak")),
            Fields(
                heading="All bills",
                names=(
                    "unexplained_limit",
                    "bills_given",
                    "bills_left",
                    "bills_use",
                    "bills_furnace",
                    "bills_known",
                    "bills_share",
                ),
            ),
            Words(
                heading="What usually explains it",
                lines=(
                    f"{EXPLAINED}: what is left is less than you allow.",
                    f"{MORE_BILLED}: annealer, kiln, glory hole, compressor, fans, heating, lights; a reading that the "
                    "utility estimated; a billing factor that isn't typed. With gas also a leak.",
                    f"{MORE_COUNTED}: nameplate kW where worn elements draw less, an hour meter that counts the "
                    "controller and not the elements, a billing factor typed too high, bill dates that differ from the "
                    "reading's.",
                    f"{ENDS}: log the days up to the end of the bill first; it is left out of the answer until then.",
                ),
            ),
            Rows(
                heading="Bills, one a row",
                intro="Only bills of the source that the furnace runs on, in the unit that its tariff has.",
                table="bills",
                columns=(
                    "bill_ref",
                    "bill_start",
                    "bill_end",
                    "bill_use",
                    "bill_metered",
                    "bill_estimated",
                    "bill_estimate_used",
                    "bill_furnace",
                    "bill_known",
                    "bill_unexplained",
                    "bill_share",
                    "bill_word",
                ),
                workings=(
                    "bill_given",
                    "bill_close",
                    "bill_before_rows",
                    "bill_before_days",
                    "bill_until_rows",
                    "bill_until_days",
                    "bill_waiting",
                    "bill_unlogged",
                    "bill_counted",
                    "bill_side",
                    "bill_verdict",
                ),
                widths={"bill_word": 26, "bill_ref": 14, "bill_estimate_used": 8.5},
            ),
        ),
    )
