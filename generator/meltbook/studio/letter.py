"""A letter from the utility that is on the table: typed to see what it does, before it is in force."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from meltbook.studio.base import Amount, Part, Share, Signed, Text


class Letter(Part):
    """What the letter says. A blank is no change; nothing else moves until the owner takes it over.

    ``letter_change`` moves the unit prices only, by a share: 0.08 is 8 % more. Prices may be given in cents and
    with tax, as the letter has them.
    """

    letter_start: date | None = None
    letter_reference: Text | None = None
    letter_in: Literal["Money", "Cents"] | None = None
    letter_tax_in: Literal["Without tax", "With tax"] | None = None
    letter_change: Annotated[float, Field(gt=-1, le=100)] | None = None
    letter_price: Amount | None = None
    letter_price_two: Amount | None = None
    letter_price_three: Amount | None = None
    letter_share_one: Share | None = None
    letter_share_two: Share | None = None
    letter_share_three: Share | None = None
    letter_surcharge: Signed | None = None
    letter_tax: Share | None = None
    letter_service: Amount | None = None
    letter_service_per: Literal["Day", "Month"] | None = None
    letter_demand: Amount | None = None
    letter_demand_kw: Amount | None = None
    retag_tolerance: Share | None = 0.01
