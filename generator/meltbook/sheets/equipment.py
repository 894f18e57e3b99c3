"""Equipment in detail, for a shop that wants a machine's cost worked out rather than typed on Shop."""

from __future__ import annotations

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Rows, Sheet, Words


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="equipment",
        name="Equipment",
        title="Equipment",
        purpose="What each machine beside the furnace costs to run and to own. Only if one figure on Shop won't do.",
        role="type",
        landscape=True,
        blocks=(
            Words(heading="The answer", lines=("machines_sentence",)),
            Rows(
                heading="What it uses",
                intro="One row a machine. Pieces pay for it on the line that you choose, once no cost is typed for "
                "that on Shop.",
                caution=caution("gas", "wiring"),
                table="machines",
                columns=(
                    "machine_name",
                    "machine_feeds",
                    "machine_use",
                    "machine_per",
                    "machine_hours",
                    "machine_metered",
                    "machine_metered_runs",
                    "machine_price",
                    "machine_energy",
                ),
                workings=(
                    "machine_named",
                    "machine_feeds_row",
                    "machine_use_used",
                    "machine_price_used",
                    "machine_price_after",
                    "machine_way",
                    "machine_turns",
                    "machine_group_turns",
                    "machine_part",
                    "machine_a_minute",
                    "machine_a_load",
                    "machine_more",
                    "machine_more_minute",
                    "machine_more_load",
                    "machine_year_use",
                    "machine_on_bill",
                    "machine_unmetered",
                    "machine_year_more",
                    "machine_typed_use",
                    "machine_typed_own",
                    "machine_nameless",
                ),
                widths={"machine_name": 22, "machine_feeds": 17, "machine_use": 12, "machine_hours": 11},
            ),
            Rows(
                heading="What it costs to own",
                intro="Leave out what you don't want to earn back. Runs: hours, days or loads, as typed above.",
                caution=caution("hot_unattended", "annealing"),
                table="machines",
                columns=(
                    "name_machine",
                    "machine_runs",
                    "machine_purchase",
                    "machine_worth_end",
                    "machine_life",
                    "machine_upkeep",
                    "machine_own",
                    "machine_cost",
                    "machine_minute",
                    "machine_load",
                    "machine_says",
                ),
                workings=(
                    "machine_own_year",
                    "machine_driven_minute",
                    "machine_driven_load",
                    "machine_ready",
                    "machine_runs_missing",
                    "machine_asks_use",
                    "machine_asks_own",
                    "machine_asks_feeds",
                    "machine_asks_runs",
                ),
                widths={"machine_says": 28},
                dashed=("machine_minute", "machine_load"),
            ),
            Fields(
                heading="For Bill check",
                intro="In an ordinary year, of machines whose energy the tariff sells.",
                names=("machines_year_use", "machines_year_unmetered"),
            ),
        ),
    )
