"""What a studio is billed by: the tariffs of one of its sources of energy, and the letter that would change them.

The first source's stand among the studio's own sections, the second's in ``second_source``. Whoever is handed a
letter need not know which: :func:`billed` reads either, :func:`rebilled` puts it back.
"""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.studio.base import EnergyUnit
from meltbook.studio.furnaces import SecondSource, Source
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.tariff import TariffRow

OTHER: dict[Source, Source] = {"First": "Second", "Second": "First"}
"""Of the two sources of energy, the other one."""


@dataclass(frozen=True, slots=True)
class Billing:
    """One source of energy: its unit, its tariffs, the letter on its sheet, the highest price to be believed."""

    energy_unit: EnergyUnit
    letter: Letter
    tariffs: tuple[TariffRow, ...]
    price_limit: float | None


def billed(studio: Studio, source: Source = "First") -> Billing:
    """The tariffs and the letter of a source.

    Raises:
        ValueError: the second source of a studio that has but one.
    """
    if source == "First":
        return Billing(studio.shop.energy_unit, studio.letter, studio.tariffs, studio.shop.price_limit)
    second = _second(studio)
    return Billing(second.energy_unit, second.letter, second.tariffs, second.limit.price_limit)


def _second(studio: Studio) -> SecondSource:
    if studio.second_source is None:
        raise ValueError("the studio has no second source of energy")
    return studio.second_source


def rebilled(
    studio: Studio,
    source: Source = "First",
    *,
    letter: Letter | None = None,
    tariffs: tuple[TariffRow, ...] | None = None,
) -> Studio:
    """The studio with another letter or other tariffs of a source; what is left out stays.

    Raises:
        ValueError: the second source of a studio that has but one.
    """
    old = billed(studio, source)
    new = {"letter": letter or old.letter, "tariffs": old.tariffs if tariffs is None else tariffs}
    if source == "First":
        return studio.model_copy(update=new)
    return studio.model_copy(update={"second_source": _second(studio).model_copy(update=new)})


def on_source(studio: Studio, source: Source) -> tuple[int, ...]:
    """The furnaces that are billed by a source, by their places; the first furnace has place 0."""
    return tuple(place for place, theirs in enumerate(studio.furnace_sources) if theirs == source)
