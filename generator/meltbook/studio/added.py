"""A studio with more furnaces than it had: what a shop is once a second furnace is bought.

A furnace that is added has nothing typed but what every blank book has: the weighting of its days, kinds of part, and
a meter that fits what its source bills in.
"""

from __future__ import annotations

from meltbook.errors import UsageError
from meltbook.studio.base import EnergyUnit
from meltbook.studio.energy import fitting_meter
from meltbook.studio.furnaces import FURNACE_TABLES, MOST_FURNACES, MoreFurnace, SecondSource, Source, SourceLimit
from meltbook.studio.model import Studio
from meltbook.studio.starts import DEFAULT_START, load_start


def with_furnaces(studio: Studio, furnaces: int, second_energy: EnergyUnit | None = None) -> Studio:
    """The studio with so many furnaces in all.

    ``second_energy`` is the unit of a second source of energy, on which the furnaces that are added run; without it
    they run on the first.

    Raises:
        UsageError: there are more already, there can't be so many, or the second source bills in another unit.
    """
    have = len(studio.places)
    if not 1 <= furnaces <= MOST_FURNACES:
        raise UsageError(f"A book can't have {furnaces} furnaces.", hint=f"Give 1 to {MOST_FURNACES}.")
    if furnaces < have:
        raise UsageError(
            f"The studio has {have} furnaces, more than the {furnaces} asked for.", hint=f"Give at least {have}."
        )
    blank = load_start(DEFAULT_START).studio
    if second_energy is None:
        return _added(studio, furnaces - have, "First", blank)
    if furnaces == have:
        raise UsageError(
            "No furnace is added that could run on a second source.", hint=f"Give more furnaces than {have}, too."
        )
    if studio.second_source is None:
        limit = SourceLimit(price_limit=blank.shop.price_limit)
        second = SecondSource(energy_unit=second_energy, limit=limit, tariffs=blank.tariffs)
        studio = studio.model_copy(update={"second_source": second})
    elif studio.second_source.energy_unit != second_energy:
        raise UsageError(
            f"The studio's second source bills in {studio.second_source.energy_unit}, not in {second_energy}.",
            hint="A studio has two sources of energy at the most.",
        )
    return _added(studio, furnaces - have, "Second", blank)


def _added(studio: Studio, more: int, source: Source, blank: Studio) -> Studio:
    parts = {name: getattr(blank, name) for name in ("wear", "decisions", *FURNACE_TABLES)}
    unit = studio.second_source.energy_unit if source == "Second" and studio.second_source else studio.shop.energy_unit
    meter = blank.furnace.model_copy(update={"meter_kind": fitting_meter(unit)})
    furnace = MoreFurnace(source=source, furnace=meter, **parts)
    return studio.model_copy(update={"more_furnaces": (*studio.more_furnaces, *(furnace for _ in range(more)))})
