"""Equipment beside the furnace, worked out in detail: what each machine uses, and what it costs to own."""

from __future__ import annotations

from typing import Literal

from meltbook.studio.base import Amount, Part, Text


class Machine(Part):
    """A glory hole, annealer, pick-up kiln, compressor or anything else that uses energy.

    ``use`` is the energy of an hour, a day or a load, as ``per`` says; ``metered`` what its own meter counted in
    ``metered_runs`` of them, and goes before ``use``. ``feeds`` says as which equipment pieces pay for it; left out,
    no piece does. ``price`` is the price of a unit of energy where the tariff is not its own. ``runs`` is how many
    hours, days or loads an ordinary year has. ``source`` is asked for only where there are two.
    """

    name: Text | None = None
    feeds: Literal["Glory hole", "Annealer", "Other equipment"] | None = None
    use: Amount | None = None
    per: Literal["Hour", "Day", "Load"] | None = None
    hours: Amount | None = None
    metered: Amount | None = None
    metered_runs: Amount | None = None
    price: Amount | None = None
    runs: Amount | None = None
    purchase: Amount | None = None
    worth_end: Amount | None = None
    life: Amount | None = None
    upkeep: Amount | None = None
    source: Literal["First", "Second"] | None = None
