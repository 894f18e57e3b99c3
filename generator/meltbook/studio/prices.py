"""Where pieces are sold, and what each way of selling takes."""

from __future__ import annotations

from typing import Literal

from meltbook.studio.base import Amount, Part, Share, Text, YesNo


class Channel(Part):
    """A way of selling. ``tag_share`` is the part of the tag that is charged there: 1 for retail."""

    name: Text | None = None
    tag_share: Share | None = None
    commission: Share | None = None
    fee: Share | None = None
    fee_base: Literal["What is left", "Tag", "Tag with tax"] | None = None
    fixed_fee: Amount | None = None
    postage_paid: Amount | None = None
    postage_charged: Amount | None = None
    lost_share: Share | None = None
    lost_how: Literal["Replaced", "Refunded"] | None = None
    margin: Share | None = None
    must_earn: YesNo | None = None
