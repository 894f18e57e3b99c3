"""What energy costs, and from when."""

from __future__ import annotations

from meltbook.sheets.kernel import Fields, Rows, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="tariffs",
        name="Tariffs",
        title="Tariffs",
        purpose="One row for every letter from the utility, the oldest first. A price holds until the next row's date.",
        role="type",
        landscape=True,
        blocks=(
            Fields(
                heading="In force on the pricing date",
                names=("pricing_date_used", "price_now", "price_now_from", "standing_now"),
            ),
            Rows(
                heading="Prices, one letter a row",
                intro="The first date may stay: type your price beside it. Money, not cents. Time of use: up to three.",
                table="tariffs",
                columns=(
                    "tariff_start",
                    "tariff_price",
                    "tariff_price_two",
                    "tariff_price_three",
                    "tariff_share_one",
                    "tariff_share_two",
                    "tariff_share_three",
                    "tariff_surcharge",
                    "tariff_tax",
                    "tariff_block",
                    "tariff_letter",
                ),
                workings=(
                    "tariff_valid",
                    "tariff_by_share",
                    "tariff_shares",
                    "tariff_mix",
                    "tariff_key",
                    "tariff_all_in",
                    "tariff_change",
                    "tariff_integral",
                    "tariff_used",
                    "tariff_bad_order",
                    "tariff_bad_share",
                    "tariff_jump",
                    "tariff_no",
                    "tariff_line",
                    "tariff_kept",
                    "tax_dropped",
                ),
                line_numbers=True,
            ),
            Rows(
                heading="Service and demand, the same letters",
                intro="Charges that come whatever the furnace uses. Leave them blank if the bill has none.",
                table="tariffs",
                columns=(
                    "start_again",
                    "tariff_service",
                    "tariff_service_per",
                    "tariff_service_share",
                    "tariff_demand",
                    "tariff_demand_kw",
                    "tariff_demand_share",
                ),
                workings=(
                    "tariff_service_day",
                    "tariff_demand_day",
                    "tariff_standing",
                    "tariff_standing_change",
                    "tariff_standing_integral",
                    "service_in_year",
                    "demand_in_month",
                    "service_dropped",
                    "demand_dropped",
                ),
            ),
        ),
    )
