"""Equipment in a book with two sources of energy: which of them a machine runs on, and what that changes."""

from __future__ import annotations

from dataclasses import replace

from meltbook.fields import bills
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Typed
from meltbook.fields.machine_row import AS_BILLED
from meltbook.fields.machine_words import TYPED_USE, counted
from meltbook.fields.retag import NO_LETTER
from meltbook.studio.furnaces import SECOND_SOURCE

OF_MACHINE: dict[str, str] = {"price_now": "source_price_now", "new_all_in": "source_new_all_in"}
"""What a machine reads of its own source in place of the first one's."""
OF_BILL: dict[str, str] = {
    "machines_year_use": "bill_year_use",
    "machines_year_unmetered": "bill_year_unmetered",
}
"""What a bill reads of its own source."""

_OF_FIRST, _OF_SECOND = '(bill_source.all<>"Second")', '(bill_source.all="Second")'
"""Bills of each source: they are summed up apart, since each is billed in a unit of its own."""

_FIRST, _SECOND = "machine_second.all,0", "machine_second.all,1"
_USE = "SUMIFS(machine_year_use.all,machine_on_bill.all,1,{source})"
_UNMETERED = "SUMIFS(machine_year_use.all,machine_on_bill.all,1,machine_unmetered.all,1,{source})"

FORMULAS: dict[str, str] = {
    "retag_heading": 'IF(letters_typed=0,"","New tags for the tariff"&IF(letters_typed=2,"s","")&" of "&letter_day'
    f'&IF(letters_typed=2," and ","")&letter_day_{SECOND_SOURCE})',
    "retag_empty": f'IF(letters_typed=0,"{NO_LETTER}",IF(SUM(retag_list_count)=0,retag_none,""))',
    "effect_equipment": f'IF(COUNT(new_all_in,new_all_in_{SECOND_SOURCE})=0,"",SUM(machine_year_more.all))',
    "machines_year_use": _USE.format(source=_FIRST),
    "machines_year_unmetered": _UNMETERED.format(source=_FIRST),
    "machine_typed_use": counted((*TYPED_USE, "machine_source")),
}
"""Formulas that say something else with two sources; none of them needs anything."""

PRICES_OF_IT = (
    'SUM(machine_price_used.all)-SUMIFS(machine_on_bill.all,machine_source.all,"Second")'
    f"*(SUM(price_now_{SECOND_SOURCE})-SUM(price_now))"
)
"""One way of the pair that compares the prices of machines."""


def machine_source(second_unit: str) -> Input:
    """Which source a machine runs on."""
    return Input(
        "machine_source",
        "Source",
        Shape.TEXT,
        note=f"First is billed in {{energy}}, Second in {second_unit}. Blank is First.",
        typed=Typed(choices=("First", "Second")),
    )


def letters() -> tuple[Item, ...]:
    """What New tariff says of the second source's letter, which is counted in its pieces as well."""
    return (
        Figure(
            "letters_typed",
            "Letters typed",
            Shape.COUNT,
            note="Of both sources.",
            formula=f"letter_given+letter_given_{SECOND_SOURCE}",
        ),
        Figure(
            "letter_besides",
            "The other letter",
            Shape.TEXT,
            note="That of the second source, if one is typed.",
            formula=f'"The letter of "&letter_day_{SECOND_SOURCE}'
            '&" on New tariff 2 is counted in the pieces and tags below."',
            nonzero=(f"letter_given_{SECOND_SOURCE}",),
        ),
    )


def of_machines(rows: int) -> Table:
    """The source of each machine, and what it reads of it."""

    def read(name: str, label: str) -> Figure:
        return Figure(
            f"source_{name}",
            label,
            Shape.RATE,
            unit="{currency} a unit",
            note="Of the machine's source.",
            formula=f"IF(machine_second=1,{name}_{SECOND_SOURCE},{name})",
        )

    return Table(
        "machine_sources",
        "Sources of the machines",
        (
            Figure(
                "machine_second",
                "On the second source",
                Shape.COUNT,
                note="1 if it is.",
                formula='IF(AND(machine_named=1,machine_source="Second"),1,0)',
            ),
            read("price_now", "Price now"),
            read("new_all_in", "Price under the letter"),
        ),
        rows=rows,
        aligned="machines",
    )


def unknown() -> tuple[Figure, ...]:
    """Machines and bills whose source is neither of the two: the first one's are counted for them."""

    def strange(name: str, label: str, note: str, column: str) -> Figure:
        formula = f'COUNTA({column}.all)-COUNTIF({column}.all,"First")-COUNTIF({column}.all,"Second")'
        return Figure(name, label, Shape.COUNT, note=note, formula=formula)

    return (
        strange("machines_strange", "Machines of no source", "Neither First nor Second.", "machine_source"),
        strange("bills_strange", "Bills of no source", "Neither First nor Second.", "bill_source"),
        Figure(
            "sources_unknown",
            "Sources not found",
            Shape.COUNT,
            note="Machines and bills whose source is neither First nor Second.",
            formula="machines_strange+bills_strange",
        ),
    )


def in_a_year() -> tuple[Item, ...]:
    """What the machines on the second source use in a year."""

    def energy(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(f"{name}_{SECOND_SOURCE}", label, Shape.ENERGY, unit=AS_BILLED, note=note, formula=formula)

    return (
        energy(
            "machines_year_use",
            "Equipment on the second source, energy a year",
            "Of machines that its bill has.",
            _USE.format(source=_SECOND),
        ),
        energy(
            "machines_year_unmetered",
            "The same without a meter",
            "Of those without a meter of their own.",
            _UNMETERED.format(source=_SECOND),
        ),
    )


def _bills(end: str, whose: str, unit: str, source: str) -> tuple[Figure, ...]:
    return bills.together(
        end,
        whose,
        unit,
        f"SUMPRODUCT({source}*(bill_counted.all=1),{{column}}.all)",
        f"SUMPRODUCT({source}*({{column}}.all=1))",
    )


def bills_of_first() -> dict[str, Figure]:
    """All bills of the first source, in place of all bills."""
    return {item.name: item for item in _bills("", "first", bills.ENERGY, _OF_FIRST)}


def bills_of_second(unit: str) -> tuple[Figure, ...]:
    """All bills of the second source, in its unit."""
    return _bills(f"_{SECOND_SOURCE}", "second", unit, _OF_SECOND)


def as_billed(item: Item) -> Item:
    """A column of bills, each of which is in the unit of its own source."""
    return replace(item, unit=AS_BILLED) if item.unit == "{energy}" else item


def of_bills() -> tuple[Figure, ...]:
    """What the machines on a bill's source use in a year."""

    def whose(name: str, label: str) -> Figure:
        return Figure(
            OF_BILL[name],
            label,
            Shape.ENERGY,
            unit=AS_BILLED,
            note="On the source of the bill.",
            formula=f'IF(bill_source="Second",{name}_{SECOND_SOURCE},{name})',
            nonzero=("bill_given",),
        )

    return (
        whose("machines_year_use", "Equipment, a year"),
        whose("machines_year_unmetered", "Without a meter, a year"),
    )
