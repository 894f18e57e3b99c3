"""Each of several furnaces by itself: as the only one of a studio that has its meter, its log and its parts."""

from __future__ import annotations

from dataclasses import dataclass, replace

from meltbook.method.arithmetic import calendar
from meltbook.method.called import Called, called
from meltbook.method.checks import SheetFacts
from meltbook.method.energy import last_day_logged
from meltbook.method.results import Results
from meltbook.method.shop_side import put_together
from meltbook.method.side import Side, furnace_side
from meltbook.studio.billing import billed
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import FURNACE_TABLES, SOURCE_NUMBERS, MoreFurnace, Place, Source, titles
from meltbook.studio.model import Studio
from meltbook.studio.tariff import TariffRow


@dataclass(frozen=True, slots=True)
class Furnace:
    """One of several: its place, its source, the part it carries of what comes whatever is used, and its studio."""

    title: str
    source: Source
    part: float
    studio: Studio
    capacity: Capacity
    sheets: Called


def pricing_day(studio: Studio) -> dict[str, object]:
    """The one day on which all furnaces are priced: as typed, else the last one that any log reaches."""
    if studio.shop.pricing_date is not None:
        return {}
    views = [studio, *(studio.model_copy(update=_own_parts(more)) for more in studio.more_furnaces)]
    last = max((day for view in views if (day := last_day_logged(view)) is not None), default=None)
    return {} if last is None else {"pricing_date": calendar(last)}


def _own_parts(more: MoreFurnace) -> dict[str, object]:
    """What a further furnace's studio has in place of the first one's."""
    return {name: getattr(more, name) for name in ("furnace", "wear", "decisions", *FURNACE_TABLES)}


def furnaces_of(studio: Studio, capacity: Capacity, day: dict[str, object]) -> list[Furnace]:
    """Each furnace with the studio that it is worked out in. ``day`` is the one day that all are priced on."""
    names = titles(studio.places)
    sources = studio.furnace_sources
    found = []
    for number, (place, source) in enumerate(zip(studio.places, sources, strict=True), start=1):
        part = 1 / sources.count(source) if place.standing_part is None else place.standing_part
        shop, parts = dict(day), dict[str, object]()
        if number > 1:
            more = studio.more_furnaces[number - 2]
            shop |= {key: getattr(more.melt, key) for key in type(more.melt).model_fields}
            parts = _own_parts(more)
        view = _on_source(studio, source, shop)
        rows = tuple(_carried(row, part) for row in view.tariffs)
        one = view.model_copy(update={**parts, "tariffs": rows})
        sheets = called(number, SOURCE_NUMBERS[source])
        found.append(Furnace(names[number - 1], source, part, one, _capacity_of(capacity, number, source), sheets))
    return found


def _capacity_of(capacity: Capacity, number: int, source: Source) -> Capacity:
    """The rows of a furnace's studio: its own tables, and its source's."""
    own = capacity.of_furnace(number - 1) if number > 1 else replace(capacity, more=())
    return replace(own, tariffs=capacity.of_second_source().tariffs) if source == "Second" else own


def _on_source(studio: Studio, source: Source, shop: dict[str, object]) -> Studio:
    """The studio with one of the two sources as its only one, and no further furnaces."""
    billing = billed(studio, source if studio.second_source else "First")
    shop = {**shop, "energy_unit": billing.energy_unit, "price_limit": billing.price_limit}
    return studio.model_copy(
        update={
            **{"more_furnaces": (), "second_source": None, "place": Place()},
            **{"tariffs": billing.tariffs, "letter": billing.letter},
            "shop": studio.shop.model_copy(update=shop),
        }
    )


def _carried(row: TariffRow, part: float) -> TariffRow:
    """A row of the tariff with a furnace's part of what comes whatever is used."""
    service = part * (1 if row.service_share is None else row.service_share)
    demand = part * (1 if row.demand_share is None else row.demand_share)
    return row.model_copy(update={"service_share": service, "demand_share": demand})


def source_side(studio: Studio, capacity: Capacity, source: Source, day: dict[str, object]) -> Side:
    """A source whole: the side of a studio on it that has its machines, and has logged nothing."""
    two = studio.second_source is not None
    theirs = tuple(row for row in studio.machines if not two or (row.source or "First") == source)
    bare = {"log": (), "ledger": (), "pieces": (), "bills": (), "machines": theirs}
    view = _on_source(studio, source, day).model_copy(update=bare)
    return furnace_side(view, _source_rows(capacity, source), sheets=called(1, SOURCE_NUMBERS[source]))


def of_its_own(source: Side, capacity: Capacity, name: Source) -> Results:
    """A source's own figures."""
    return put_together(source, _source_rows(capacity, name), SheetFacts())


def _source_rows(capacity: Capacity, source: Source) -> Capacity:
    return replace(capacity.of_source(source), log=1)


def sources_of(studio: Studio) -> tuple[Source, ...]:
    """The sources of energy that a studio has."""
    return ("First",) if studio.second_source is None else ("First", "Second")
