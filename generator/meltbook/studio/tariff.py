"""What energy costs, and from when."""

from __future__ import annotations

from datetime import date
from typing import Literal

from meltbook.studio.base import Amount, Part, Share, Signed, Text, YesNo


class TariffRow(Part):
    """One letter from the utility: in force from ``start`` until the next row's date."""

    start: date | None = None
    price: Amount | None = None
    price_two: Amount | None = None
    price_three: Amount | None = None
    share_one: Share | None = None
    share_two: Share | None = None
    share_three: Share | None = None
    surcharge: Signed | None = None
    tax: Share | None = None
    service: Amount | None = None
    service_per: Literal["Day", "Month"] | None = None
    service_share: Share | None = None
    demand: Amount | None = None
    demand_kw: Amount | None = None
    demand_share: Share | None = None
    block: YesNo | None = None
    letter: Text | None = None
