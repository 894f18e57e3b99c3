"""The sheets that sentences name: which one is meant, and for whom.

What a furnace or a source has as its own stands, for the first, on sheets such as Furnace log and Cost of glass, and
for another on sheets of its own. A text that may be copied for another names such a sheet in braces, as in "see
{Cost of glass}"; here the braces become the name of the sheet on which the own cells of that furnace or source stand.
A sheet that all share, as Shop is for Raw glass, is written without braces.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Fixed, Item, Plain, Table

_MARK = re.compile(r"\{([A-Z][^{}]*)\}")

OF_THE_FIRST: Mapping[str, str] = {
    "Shop": "Shop",
    "Tariffs": "Tariffs",
    "Furnace log": "Furnace log",
    "Pots and elements": "Pots and elements",
    "Cost of glass": "Cost of glass",
    "New tariff": "New tariff",
    "Idle or cold": "Idle or cold",
    "Decisions": "Idle or cold, Campaign length, Change the pot",
    "Workings": "Workings",
}
"""What stands in braces, and which sheet that is for the first furnace and the first source."""


def of_source(number: int) -> dict[str, str]:
    """The same for a further source, whose limit for a price stands with its tariffs."""
    return {
        "Tariffs": f"Tariffs {number}",
        "New tariff": f"New tariff {number}",
        "Shop": f"Tariffs {number}",
        "Workings": f"Workings, source {number}",
    }


def of_furnace(number: int, source: int = 1) -> dict[str, str]:
    """The same for a further furnace, which is billed by the first source or by another."""
    billed = {} if source == 1 else {name: of_source(source)[name] for name in ("Tariffs", "New tariff")}
    return billed | {
        "Shop": f"Furnace {number}",
        "Furnace log": f"Furnace log {number}",
        "Pots and elements": f"Furnace {number}",
        "Cost of glass": f"Cost of glass {number}",
        "Idle or cold": f"Decisions {number}",
        "Decisions": f"Decisions {number}",
        "Workings": f"Workings, furnace {number}",
    }


@dataclass(frozen=True, slots=True)
class SheetNames:
    """The sheets as one furnace or source has them; of those not told, the first's."""

    own: Mapping[str, str]

    def told(self, text: str) -> str:
        """A text with the names of sheets in place of what stands in braces."""
        return _MARK.sub(lambda mark: self._sheet(mark[1]), text)

    def item(self, item: Item) -> Item:
        """A field whose every text names the right sheets."""
        made = replace(item, label=self.told(item.label), unit=self.told(item.unit), note=self.told(item.note))
        if isinstance(made, Fixed):
            return replace(made, values=tuple(self._value(value) for value in made.values))
        if isinstance(made, Figure):
            formulas = tuple(self.told(formula) for formula in made.formulas)
            return replace(made, formula=self.told(made.formula), formulas=formulas)
        return made

    def table(self, table: Table) -> Table:
        """The same for each column."""
        return replace(table, columns=tuple(self.item(item) for item in table.columns))

    def _value(self, value: Plain) -> Plain:
        return self.told(value) if isinstance(value, str) else value

    def _sheet(self, name: str) -> str:
        if name not in OF_THE_FIRST:
            raise DeclarationError(f"{{{name}}} is no sheet of a furnace; known: {', '.join(OF_THE_FIRST)}")
        return self.own.get(name, OF_THE_FIRST[name])


FIRST = SheetNames({})
"""The sheets of the first furnace and source, and of a book with one."""


def marked(place: str) -> str:
    """A sheet's name in braces, where it may be another one for another furnace or source."""
    return f"{{{place}}}" if place in OF_THE_FIRST else place
