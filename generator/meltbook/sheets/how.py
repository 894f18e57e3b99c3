"""How the workbook works, in plain words."""

from __future__ import annotations

import tomllib
from importlib import resources

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Sheet, Words

CAUTIONS: tuple[str, ...] = (
    "hot_unattended",
    "cracked_pot",
    "wiring",
    "gas",
    "fibre_dust",
    "batch_dust",
    "local_codes",
    "estimates",
)
"""The topics of all cautions, in the order that they are read here."""


def sheet() -> Sheet:
    """Declare the sheet. Its words are data: ``how_it_works.toml`` in the templates."""
    text = resources.files("meltbook_templates").joinpath("how_it_works.toml").read_text(encoding="utf-8")
    sections = tomllib.loads(text)["sections"]
    return Sheet(
        key="how",
        name="How it works",
        title="How it works",
        purpose="What each figure means, how to keep the log, how to add rows, and what to be careful of.",
        role="read",
        blocks=(
            Words(heading="Be careful", lines=tuple(caution(topic) for topic in CAUTIONS)),
            *(Words(heading=section["heading"], lines=tuple(section["lines"])) for section in sections),
            Fields(
                heading="Fixed numbers",
                names=(
                    "book_version",
                    "weight_in_kg",
                    "money_digits",
                    "days_in_year",
                    "months_in_year",
                    "three_phase",
                    "watts_in_kilowatt",
                    "melt_heat",
                    "batch_heat",
                    "kilojoules_in_kwh",
                    "far_date",
                    "far_campaign",
                    "log_rows_made",
                    "jump_limit",
                    "rows_low",
                    "close_enough",
                    "lives_needed",
                    "mixed_kinds",
                    "tiny_share",
                    "heatup_kind",
                    "charge_kind",
                    "blow_kind",
                    "idle_kind",
                    "cold_kind",
                    "new_meter_kind",
                    "no_meter_code",
                    "lost_stretch",
                    "waiting_stretch",
                    "window_code",
                    "campaign_code",
                    "tax_base_code",
                ),
            ),
        ),
    )
