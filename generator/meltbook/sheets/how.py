"""How the workbook works, in plain words."""

from __future__ import annotations

import tomllib
from importlib import resources

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Sheet, Words

CAUTIONS: tuple[str, ...] = (
    "hot_unattended",
    "cracked_pot",
    "wiring",
    "gas",
    "annealing",
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
        ),
    )
