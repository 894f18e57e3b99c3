"""The shop: who works, what it costs to be open, and how its money is written."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from meltbook.studio.base import Amount, EnergyUnit, Part, Share, Text, WeightUnit, YesNo


class Shop(Part):
    """The owner's assumptions. Units, currency and tax are chosen when the book is made."""

    studio_name: Text | None = None
    weight_unit: WeightUnit = "lb"
    energy_unit: EnergyUnit = "kWh"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "USD"
    sales_tax: Share | None = None
    tax_inside: YesNo = "No"
    pricing_date: date | None = None
    period_from: date | None = None
    period_to: date | None = None
    ordinary_weight: Amount | None = None
    ordinary_hours: Amount | None = None
    window_hours: Amount | None = None
    paid_factor: Amount | None = 1.0
    minutes_a_day: Amount | None = None
    share_drawn: Share | None = 1.0
    share_in_pieces: Share | None = None
    share_good: Share | None = None
    gather_weight: Amount | None = None
    furnace_by: Literal["Weight", "Gathers", "Bench minutes"] = "Weight"
    tag_step: Annotated[float, Field(gt=0, le=1e6)] = 1.0
    tag_ending: Amount | None = 0.0
    made_when: Literal["All time", "Between your dates"] = "All time"
    price_limit: Amount | None = None
    recovery_tolerance: Share | None = 0.25
    unexplained_limit: Share | None = None
    rank_channel: Text | None = None
    picture_piece: Text | None = None


class Glass(Part):
    """A raw glass that is charged, and its price per weight, delivered."""

    name: Text | None = None
    price: Amount | None = None


class Person(Part):
    """A rate per paid hour. The four rows are the gaffer, two assistants and off-bench work."""

    rate: Amount | None = None
    hired: YesNo | None = None


class Overhead(Part):
    """A yearly or monthly cost of having the shop at all."""

    name: Text | None = None
    category: (
        Literal[
            "Rent",
            "Insurance",
            "Energy elsewhere",
            "Office",
            "Repairs",
            "Tools",
            "Selling",
            "Vehicle",
            "Other",
        ]
        | None
    ) = None
    amount: Amount | None = None
    per: Literal["Month", "Year"] | None = None


class Equipment(Part):
    """One typed cost for a piece of equipment. The three rows: glory hole, annealer, other."""

    cost: Amount | None = None
    per: Literal["Hour", "Day", "Load"] | None = None
    hours: Amount | None = None
