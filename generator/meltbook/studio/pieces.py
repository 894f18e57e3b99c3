"""What is made."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from meltbook.studio.base import Amount, Part, Share, Text, YesNo

Loss = Annotated[float, Field(ge=0, lt=1)]


class Piece(Part):
    """One piece of the range, as the owner types it. ``furnace`` is named only where there are several."""

    name: Text | None = None
    size: Text | None = None
    order: Amount | None = None
    glass: Text | None = None
    furnace: Text | None = None
    drawn: Amount | None = None
    gathers: Amount | None = None
    finished: Amount | None = None
    recovered: Share | None = None
    colour_weight: Amount | None = None
    colour_price: Amount | None = None
    colour_waste: Amount | None = None
    materials: Amount | None = None
    minutes: Amount | None = None
    first_minutes: Amount | None = None
    second_minutes: Amount | None = None
    off_minutes: Amount | None = None
    glory_minutes: Amount | None = None
    other_minutes: Amount | None = None
    per_load: Annotated[float, Field(gt=0, le=1e6)] | None = None
    load_share: Share | None = None
    loss: Loss | None = None
    seconds: Share | None = None
    second_value: Amount | None = None
    loss_after: Loss | None = None
    seconds_after: Share | None = None
    second_value_after: Amount | None = None
    packing: Amount | None = None
    made: Amount | None = None
    tag: Amount | None = None
    listed: YesNo | None = None
    sold_one: YesNo | None = None
    sold_two: YesNo | None = None
    sold_three: YesNo | None = None
    sold_four: YesNo | None = None
    sold_five: YesNo | None = None
    sold_six: YesNo | None = None
