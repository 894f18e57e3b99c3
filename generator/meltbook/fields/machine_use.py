"""What machines have to do with a letter and with a bill: how much they use in a year."""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Item, Shape
from meltbook.fields.machine_row import AS_BILLED, always, row

A_YEAR = "{currency} a year"


def columns() -> tuple[Item, ...]:
    """What a machine uses in a year, and whether a bill has it."""
    return (
        row(
            "machine_year_use",
            "Energy a year",
            Shape.ENERGY,
            AS_BILLED,
            "Of all its runs in an ordinary year.",
            "machine_use_used*SUM(machine_runs)",
            "machine_use_used",
        ),
        always(
            "machine_on_bill",
            "On the bill",
            "1 if its energy is bought by the tariff; one with a price of its own isn't on this bill.",
            "machine_named*(1-COUNT(machine_price))",
        ),
        always(
            "machine_unmetered",
            "Has no meter",
            "1 without a meter of its own.",
            "machine_named*(1-COUNT(machine_metered))",
        ),
        row(
            "machine_year_more",
            "More in a year",
            Shape.MONEY,
            A_YEAR,
            "What the letter on New tariff adds in an ordinary year.",
            "machine_more*SUM(machine_runs)",
            "machine_more",
        ),
    )


def scalars() -> tuple[Item, ...]:
    """All machines in a year, as the letter and the bills need them."""
    return (
        Figure(
            "effect_equipment",
            "Equipment, more in a year",
            Shape.MONEY,
            unit=A_YEAR,
            note="Energy of the machines on Equipment in an ordinary year × the change in its price.",
            formula="SUM(machine_year_more.all)",
            needs=("new_all_in",),
        ),
        Figure(
            "effect_equipment_month",
            "Equipment, more in a month",
            Shape.MONEY,
            unit="{currency} a month",
            note="A twelfth of the year's.",
            formula="effect_equipment/months_in_year",
            needs=("effect_equipment",),
        ),
        Figure(
            "machines_year_use",
            "Equipment, energy a year",
            Shape.ENERGY,
            unit="{energy}",
            note="Of machines that this source's bill has.",
            formula="SUMIFS(machine_year_use.all,machine_on_bill.all,1)",
        ),
        Figure(
            "machines_year_unmetered",
            "Equipment without a meter, energy a year",
            Shape.ENERGY,
            unit="{energy}",
            note="The same of those without a meter of their own.",
            formula="SUMIFS(machine_year_use.all,machine_on_bill.all,1,machine_unmetered.all,1)",
        ),
    )
