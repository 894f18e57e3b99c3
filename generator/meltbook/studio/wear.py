"""Pots, elements and what else wears out."""

from __future__ import annotations

from datetime import date
from typing import Literal

from meltbook.studio.base import Amount, Part, Text, YesNo

Basis = Literal["Charges", "Hot days", "Heat-ups"]
Why = Literal["Cracked", "Leaking", "Eroded", "Planned", "Other"]


class PartKind(Part):
    """A kind of part: what its life is counted in, and what the owner expects of it."""

    name: Text | None = None
    basis: Basis | None = None
    life: Amount | None = None
    cost_now: Amount | None = None
    gone: YesNo | None = None


class LedgerRow(Part):
    """One part that was fitted. ``retired`` is empty while it is in use."""

    name: Text | None = None
    installed: date | None = None
    retired: date | None = None
    cost: Amount | None = None
    uses_before: Amount | None = None
    life: Amount | None = None
    why: Why | None = None
    note: Text | None = None


class Wear(Part):
    """How wear is shown."""

    wear_method: Literal["Used up", "Paid"] = "Used up"
    wear_counted: Literal["Count", "None"] = "Count"
