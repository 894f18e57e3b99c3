"""What a book is made for: the few choices that its declarations depend on."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.studio.capacity import Capacity


@dataclass(frozen=True, slots=True)
class BookContext:
    """Chosen when a book is made and written into it as fixed text or numbers, never typed later.

    ``weight_unit`` is ``lb`` or ``kg``; ``currency`` a three-letter code; ``money_digits`` how many digits
    stand behind that currency's point; ``capacity`` how many rows each table is prepared with;
    ``energy_unit`` what the furnace's energy is billed in. ``sources`` names the source of each furnace, the first
    one's too; ``second_unit`` is what the second source bills in, or empty where no furnace runs on it.
    """

    weight_unit: str
    currency: str
    money_digits: int
    capacity: Capacity
    energy_unit: str = "kWh"
    sources: tuple[str, ...] = ("First",)
    second_unit: str = ""
