"""How the figures of a machine are declared: blank without a name, or a number in every row."""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Shape

AS_BILLED = "as billed"
"""The unit of an amount of energy that stands among others of another source."""


def row(name: str, label: str, shape: Shape, unit: str, note: str, formula: str, *needs: str) -> Figure:
    """A figure of a machine: blank in a row without a name."""
    return Figure(name, label, shape, unit=unit, note=note, formula=formula, needs=needs, blank_if="machine_name")


def always(name: str, label: str, note: str, formula: str) -> Figure:
    """A count that every row has, 0 where no machine is named."""
    return Figure(name, label, Shape.COUNT, note=note, formula=formula)
