"""Pots, elements and what else wears out."""

from __future__ import annotations

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Rows, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="pots",
        name="Pots and elements",
        title="Pots and elements",
        purpose="Every part that wears out: when it went in, what it cost, how long it lasted.",
        role="type",
        landscape=True,
        blocks=(
            Fields(
                heading="How wear is counted",
                caution=caution("cracked_pot"),
                names=("wear_counted", "wear_method", "parts_used", "lost_early_total"),
            ),
            Rows(
                heading="Kinds of part",
                intro="Your own figure for the life is used until three of a kind are retired; then the ledger's.",
                table="part_kinds",
                columns=(
                    "kind_of_part_name",
                    "kind_of_part_basis",
                    "kind_of_part_life",
                    "kind_of_part_cost_now",
                    "kind_of_part_gone",
                    "kind_of_part_mean",
                    "kind_of_part_cost_used",
                ),
                workings=(
                    "kind_of_part_position",
                    "kind_of_part_retired",
                    "kind_of_part_uses",
                    "kind_of_part_newest",
                    "kind_of_part_in_service",
                ),
            ),
            Rows(
                heading="Ledger",
                intro="One row for every part fitted. Leave the retired date blank while it is in use.",
                caution=caution("fibre_dust"),
                table="ledger",
                columns=(
                    "part_name",
                    "part_installed",
                    "part_retired",
                    "part_cost",
                    "part_uses_before",
                    "part_life",
                    "part_why",
                    "part_note",
                    "part_uses",
                    "part_expected",
                    "part_left",
                    "part_used_up",
                    "part_lost_early",
                ),
                workings=(
                    "part_order",
                    "part_kind_row",
                    "part_used",
                    "part_from",
                    "part_end",
                    "part_is_retired",
                    "part_basis_code",
                    "part_log_charges",
                    "part_log_days",
                    "part_log_starts",
                    "part_log_uses",
                    "part_life_used",
                    "part_rate",
                    "part_rate_charges",
                    "part_rate_days",
                    "part_rate_starts",
                    "part_unused_cost",
                    "part_unknown",
                    "part_serving",
                    "part_tied",
                    "part_newest",
                    "part_prices",
                    "part_now_rate",
                    "part_now_charges",
                    "part_now_days",
                    "part_now_starts",
                    "part_now_unknown",
                    "part_fault",
                    "life_counts",
                    "life_failed",
                    "life_no",
                    "life_uses",
                    "life_ratio",
                    "life_log",
                    "life_now",
                ),
            ),
        ),
    )
