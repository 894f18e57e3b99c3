"""What each piece must be sold for, through each way of selling, and what a tag leaves there.

A piece may be left out of a way of selling: then that way asks nothing of its tag, and says nothing about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import (
    Maybe,
    dflt,
    flag,
    opt,
    over,
    plus,
    times,
    to_the_cent,
    total,
    up_to_step,
)
from meltbook.method.constants import AT_A_LOSS, CLOSENESS, NO_TAG, TINY
from meltbook.method.pieces import PieceCost
from meltbook.method.results import Results
from meltbook.studio.capacity import CHANNEL_SLOTS
from meltbook.studio.prices import Channel
from meltbook.studio.shop import Shop
from meltbook.units import money_digits

ON_WHAT_IS_LEFT, ON_THE_TAG, ON_THE_TAG_WITH_TAX = 1, 2, 3
FEE_BASES = {"Tag": ON_THE_TAG, "Tag with tax": ON_THE_TAG_WITH_TAX}


@dataclass(slots=True)
class ChannelTerms:
    """A way of selling: of a tag of 1, ``channel_factor`` comes in; each sale costs ``channel_costs``."""

    typed: Channel
    channel_used: int
    channel_tag_part: float
    channel_base_code: int
    channel_left: float
    channel_refunded: float
    channel_replaced: float
    channel_factor: float
    channel_costs: float
    channel_open: int
    channel_can: int
    channel_must: int

    def net(self, tag_plain: Maybe, cost_good: Maybe) -> Maybe:
        """What comes in for a piece with this tag, before tax, after everything that the channel takes."""
        replaced = times(-self.channel_replaced, cost_good)
        return plus(times(tag_plain, self.channel_factor), -self.channel_costs, replaced)

    def above_the_lowest(self, tag_plain: Maybe, low_good: Maybe) -> Maybe:
        """What comes in, less the costs that the piece itself drives."""
        return plus(self.net(tag_plain, low_good), times(-1, low_good))


def margin_of(net: float, cost: float) -> float | str:
    """The part of what comes in that is left after a cost."""
    return (net - cost) / net if net > CLOSENESS else AT_A_LOSS


@dataclass(slots=True)
class PieceChannel:
    """A piece in a channel; all blank where it isn't sold."""

    sells: int = 0
    tag_exact: float | str | None = None
    net: Maybe = None
    margin: float | str | None = None
    must_tag: Maybe = None
    must_margin: Maybe = None
    lowest: float | str | None = None
    left: Maybe = None
    earn: Maybe = None
    losing: int = 0


IN_A_CHANNEL = ("sells", "tag_exact", "net", "margin", "must_tag", "must_margin", "lowest", "left", "earn", "losing")
"""The columns of each way of selling."""


@dataclass(slots=True)
class PiecePrice:
    """The one tag of a piece."""

    sold: list[PieceChannel]
    must_here: int = 0
    must_stuck: int = 0
    open_here: int = 0
    sold_nowhere_row: int = 0
    tag_wanted: float | str | None = None
    tag_cents: Maybe = None
    tag_suggested: float | str | None = None
    tag_in_force: Maybe = None
    tag_plain: Maybe = None
    margin_worst: float | str | None = None
    tag_gap: Maybe = None
    lowest_worst: Maybe = None
    losing_ways: int = 0
    loses_where: str | None = None


@dataclass(slots=True)
class Pricing:
    """How tags are made, and what they came to."""

    terms: list[ChannelTerms]
    tags: list[PiecePrice] = field(default_factory=list)
    tag_factor: float = 1.0
    tag_step_used: float = 1.0
    tag_ending_used: float = 0.0
    must_blocked: int = 0
    must_count: int = 0


def channel_terms(row: Channel, sales_tax: Maybe) -> ChannelTerms:
    """What a way of selling takes."""
    used = bool(row.name)
    commission, fee, lost = opt(row.commission), opt(row.fee), opt(row.lost_share)
    base = FEE_BASES.get(row.fee_base or "", ON_WHAT_IS_LEFT)
    if base == ON_WHAT_IS_LEFT:
        left = (1 - commission) * (1 - fee)
    else:
        taxed = 1 + opt(sales_tax) if base == ON_THE_TAG_WITH_TAX else 1
        left = 1 - commission - fee * taxed
    refunded = lost if row.lost_how == "Refunded" else 0.0
    part = dflt(row.tag_share, 1)
    factor = part * left * (1 - refunded)
    is_open = used and max(commission, fee) < 1 and factor > TINY
    return ChannelTerms(
        typed=row,
        channel_used=flag(used),
        channel_tag_part=part,
        channel_base_code=base,
        channel_left=left,
        channel_refunded=refunded,
        channel_replaced=lost - refunded,
        channel_factor=factor,
        channel_costs=opt(row.fixed_fee) + opt(row.postage_paid) - opt(row.postage_charged),
        channel_open=flag(is_open),
        channel_can=flag(is_open and opt(row.margin) < 1),
        channel_must=flag(used and row.must_earn == "Yes"),
    )


def price_pieces(pieces: Sequence[PieceCost], channels: Sequence[Channel], shop: Shop) -> Pricing:
    """Suggest a tag for every piece, and say what the tag in force leaves in every channel."""
    rows = [*channels, *(Channel() for _ in range(len(CHANNEL_SLOTS) - len(channels)))]
    pricing = Pricing([channel_terms(row, shop.sales_tax) for row in rows])
    must = [terms for terms in pricing.terms if terms.channel_must]
    pricing.must_count = len(must)
    pricing.must_blocked = sum(terms.channel_can == 0 for terms in must)
    pricing.tag_factor = 1 + opt(shop.sales_tax) if shop.tax_inside == "Yes" else 1.0
    pricing.tag_step_used = shop.tag_step
    ending = opt(shop.tag_ending)
    pricing.tag_ending_used = ending if ending < shop.tag_step else 0.0
    digits = money_digits(shop.currency)
    for piece in pieces:
        tag = PiecePrice([PieceChannel() for _ in CHANNEL_SLOTS])
        pricing.tags.append(tag)
        if piece.named:
            _find_where_sold(tag, piece, pricing)
            _suggest(tag, piece, pricing, digits)
            _judge(tag, piece, pricing)
    return pricing


def _find_where_sold(tag: PiecePrice, piece: PieceCost, pricing: Pricing) -> None:
    """The ways of selling in use, but for those that say No for this piece, and what they ask and leave."""
    for slot, sold, terms in zip(CHANNEL_SLOTS, tag.sold, pricing.terms, strict=True):
        sold.sells = flag(terms.channel_used == 1 and getattr(piece.typed, f"sold_{slot}") != "No")
    here = [terms for sold, terms in zip(tag.sold, pricing.terms, strict=True) if sold.sells]
    tag.must_here = sum(terms.channel_must for terms in here)
    tag.must_stuck = sum(terms.channel_must and not terms.channel_can for terms in here)
    tag.open_here = sum(terms.channel_open for terms in here)
    tag.sold_nowhere_row = flag(
        not here and piece.typed.listed != "No" and any(terms.channel_used for terms in pricing.terms)
    )


def _suggest(tag: PiecePrice, piece: PieceCost, pricing: Pricing, digits: int) -> None:
    """The highest tag that a channel which must earn asks for, rounded up to the owner's step."""
    cost = piece.cost_good
    for sold, terms in zip(tag.sold, pricing.terms, strict=False):
        if not sold.sells or cost is None:
            continue
        if not terms.channel_can:
            sold.tag_exact = NO_TAG
            continue
        needed = cost / (1 - opt(terms.typed.margin))
        asked = (needed + terms.channel_costs + terms.channel_replaced * cost) / terms.channel_factor
        sold.tag_exact = max(0.0, asked)
        if terms.channel_must:
            sold.must_tag = sold.tag_exact

    if cost is not None and tag.must_here:
        if tag.must_stuck:
            tag.tag_wanted = tag.tag_suggested = NO_TAG
        else:
            wanted = max(sold.must_tag for sold in tag.sold if sold.must_tag is not None)
            tag.tag_wanted = wanted
            tag.tag_cents = to_the_cent(wanted * pricing.tag_factor, digits)
            suggested = up_to_step(tag.tag_cents, pricing.tag_step_used, pricing.tag_ending_used, digits)
            tag.tag_suggested = tag.tag_in_force = suggested
    if piece.typed.tag is not None:
        tag.tag_in_force = piece.typed.tag
    if isinstance(tag.tag_suggested, float):
        tag.tag_gap = plus(tag.tag_in_force, -tag.tag_suggested)
    tag.tag_plain = over(tag.tag_in_force, pricing.tag_factor)


def _judge(tag: PiecePrice, piece: PieceCost, pricing: Pricing) -> None:
    """What the tag in force leaves in each channel, and the lowest tag that loses nothing there."""
    cost, low = piece.cost_good, piece.low_good
    for sold, terms in zip(tag.sold, pricing.terms, strict=False):
        if not sold.sells:
            continue
        sold.net = terms.net(tag.tag_plain, cost)
        if sold.net is not None and cost is not None:
            sold.margin = margin_of(sold.net, cost)
            if terms.channel_must:
                sold.must_margin = max(-1.0, sold.margin) if isinstance(sold.margin, float) else -1.0
        if low is not None:
            if terms.channel_open:
                needed = (low * (1 + terms.channel_replaced) + terms.channel_costs) / terms.channel_factor
                sold.lowest = max(0.0, needed) * pricing.tag_factor
            else:
                sold.lowest = NO_TAG
        sold.left = over(terms.above_the_lowest(tag.tag_plain, low), piece.bench_hours_good)
        sold.earn = over(plus(sold.net, times(-1, piece.cost_not_own)), piece.own_hours_good)
        if tag.tag_in_force is not None and isinstance(sold.lowest, float):
            sold.losing = flag(tag.tag_in_force < sold.lowest - CLOSENESS)

    margins = [sold.must_margin for sold in tag.sold if sold.must_margin is not None]
    if margins:
        tag.margin_worst = AT_A_LOSS if min(margins) <= CLOSENESS - 1 else min(margins)
    tag.lowest_worst = max((sold.lowest for sold in tag.sold if isinstance(sold.lowest, float)), default=None)
    _name_the_losing(tag, pricing)


def _name_the_losing(tag: PiecePrice, pricing: Pricing) -> None:
    """Where the tag in force is under the lowest price: the way's name, or how many there are."""
    losing = [terms.typed.name for sold, terms in zip(tag.sold, pricing.terms, strict=True) if sold.losing]
    tag.losing_ways = len(losing)
    if losing:
        tag.loses_where = losing[0] if len(losing) == 1 else f"{len(losing)} ways of selling"


def publish_prices(results: Results, pricing: Pricing) -> None:
    """The channels, one block of columns for each, and the tags."""
    results.take(pricing)
    results.table(pricing.terms)
    results.table(pricing.tags)
    for place, slot in enumerate(CHANNEL_SLOTS):
        sold = [tag.sold[place] for tag in pricing.tags]
        for name in IN_A_CHANNEL:
            results.column(f"{name}_{slot}", [getattr(each, name) for each in sold])
    lefts = [total(tag.sold[place].left for tag in pricing.tags) for place in range(len(CHANNEL_SLOTS))]
    results.column("slot_left", lefts)
