"""What was made of the glass, and the picture of one piece: where its tag goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, opt, over, plus, times, total
from meltbook.method.bench import Rates
from meltbook.method.melt import BETWEEN, Melt
from meltbook.method.pieces import PieceCost
from meltbook.method.prices import Pricing
from meltbook.method.ranking import Lists
from meltbook.studio.shop import Shop

BETWEEN_DATES = "Between your dates"


@dataclass(slots=True)
class PieceMade:
    """How many of a piece were made, and what that comes to."""

    made_count: Maybe = None
    made_gathers: Maybe = None
    made_glass: Maybe = None
    made_value: Maybe = None
    made_furnace: Maybe = None


@dataclass(slots=True)
class Made:
    """All that was made, against what was melted meanwhile."""

    pieces: list[PieceMade]
    made_period: int
    made_weight: Maybe
    made_charges: Maybe
    made_melt_days: Maybe
    made_hot_days: Maybe
    made_log_gathers: Maybe
    made_known: int
    made_pieces: Maybe = None
    made_gathers_total: Maybe = None
    made_glass_total: Maybe = None
    made_value_total: Maybe = None
    made_furnace_total: Maybe = None
    made_gather_share: Maybe = None
    made_glass_share: Maybe = None
    made_a_charge: Maybe = None
    made_a_melt_day: Maybe = None
    made_a_hot_day: Maybe = None
    made_pool: Maybe = None
    made_recovered: Maybe = None


@dataclass(slots=True)
class MadeOfAll:
    """The furnaces' side of that time: of one furnace, or of all of several."""

    all_made_weight: Maybe
    all_made_charges: Maybe
    all_made_melt_days: Maybe
    all_made_hot_days: Maybe
    all_made_log_gathers: Maybe
    all_made_pool: Maybe


def furnace_meanwhile(shop: Shop, melt: Melt, rates: Rates) -> MadeOfAll:
    """What one furnace melted, and what it cost, in the time that pieces were counted for."""
    period = melt.chosen if _between(shop) else melt.all_time
    return MadeOfAll(
        period.period_weight,
        period.period_charges,
        plus(period.charge_days, period.blow_days),
        period.period_hot_days,
        period.period_gathers,
        times(over(rates.furnace_pool, melt.window.period_weight), period.period_weight),
    )


def what_was_made(
    shop: Shop,
    melt: Melt,
    rates: Rates,
    pieces: Sequence[PieceCost],
    pricing: Pricing,
    of_all: MadeOfAll | None = None,
) -> Made:
    """Add up what was made, at the tags in force, and hold it against the furnace, or all of them."""
    own = furnace_meanwhile(shop, melt, rates)
    made = Made(
        pieces=[_made(piece, pricing, index) for index, piece in enumerate(pieces)],
        made_period=BETWEEN if _between(shop) else 1,
        made_weight=own.all_made_weight,
        made_charges=own.all_made_charges,
        made_melt_days=own.all_made_melt_days,
        made_hot_days=own.all_made_hot_days,
        made_log_gathers=own.all_made_log_gathers,
        made_pool=own.all_made_pool,
        made_known=int(any(opt(piece.typed.made) > 0 for piece in pieces)),
    )
    against = of_all or own
    if made.made_known:
        made.made_pieces = total(each.made_count for each in made.pieces)
        made.made_gathers_total = total(each.made_gathers for each in made.pieces)
        made.made_glass_total = total(each.made_glass for each in made.pieces)
        made.made_value_total = total(each.made_value for each in made.pieces)
        made.made_furnace_total = total(each.made_furnace for each in made.pieces)
        made.made_gather_share = over(made.made_gathers_total, against.all_made_log_gathers)
        made.made_glass_share = over(made.made_glass_total, against.all_made_weight)
        made.made_a_charge = over(made.made_value_total, against.all_made_charges)
        made.made_a_melt_day = over(made.made_value_total, against.all_made_melt_days)
        made.made_a_hot_day = over(made.made_value_total, against.all_made_hot_days)
        made.made_recovered = over(made.made_furnace_total, against.all_made_pool)
    return made


def _made(piece: PieceCost, pricing: Pricing, index: int) -> PieceMade:
    if not piece.named:
        return PieceMade()
    row, tag = piece.typed, pricing.tags[index]
    count = opt(row.made)
    glass = piece.piece_drawn_used if row.finished is None else row.finished
    value = opt(piece.good_share) * opt(tag.tag_in_force) + opt(piece.seconds_credit)
    return PieceMade(
        made_count=count,
        made_gathers=count * opt(row.gathers),
        made_glass=count * opt(glass),
        made_value=count * value,
        made_furnace=count * opt(piece.cost_furnace),
    )


@dataclass(slots=True)
class Picture:
    """One piece's tag cut into what it pays for. The slices add up to the tag."""

    picture_row: int
    picture_name: str | None
    picture_plain: Maybe
    picture_cost: Maybe
    picture_net: Maybe
    slice_glass: Maybe = None
    slice_furnace: Maybe = None
    slice_colour: Maybe = None
    slice_labour: Maybe = None
    slice_equipment: Maybe = None
    slice_materials: Maybe = None
    slice_overhead: Maybe = None
    slice_losses: Maybe = None
    slice_packing: Maybe = None
    slice_channel: Maybe = None
    slice_left: Maybe = None
    slice_tax: Maybe = None
    slice_tag: Maybe = None


def _between(shop: Shop) -> bool:
    """Whether the pieces were counted between two dates, of which one is typed at least."""
    return shop.made_when == BETWEEN_DATES and not (shop.period_from is None and shop.period_to is None)


def take_picture(shop: Shop, pieces: Sequence[PieceCost], pricing: Pricing, lists: Lists) -> Picture:
    """Cut up the tag of the piece that the owner picked, or of the first, sold in the ranking's channel.

    A piece that isn't sold there has no slices.
    """
    names = [piece.typed.name for piece in pieces]
    chosen = shop.picture_piece
    row = names.index(chosen) + 1 if chosen and chosen in names else 1
    piece, tag = pieces[row - 1], pricing.tags[row - 1]
    net = lists.channel.net(tag.tag_plain, piece.cost_good) if lists.ranks[row - 1].rank_sold else None
    picture = Picture(
        picture_row=row,
        picture_name=piece.typed.name or None,
        picture_plain=tag.tag_plain,
        picture_cost=piece.cost_good,
        picture_net=net,
    )
    if net is None:
        return picture
    picture.slice_glass = opt(piece.cost_glass)
    picture.slice_furnace = piece.cost_furnace
    picture.slice_colour = piece.cost_colour
    picture.slice_labour = plus(piece.cost_gaffer, piece.cost_first, piece.cost_second, piece.cost_off)
    picture.slice_equipment = total((piece.cost_glory, piece.cost_anneal, piece.cost_other))
    picture.slice_materials = piece.cost_materials
    picture.slice_overhead = piece.cost_overhead
    picture.slice_losses = piece.cost_loss
    picture.slice_packing = piece.cost_packing
    picture.slice_channel = plus(tag.tag_plain, -net)
    picture.slice_left = plus(net, times(-1, piece.cost_good))
    picture.slice_tax = plus(tag.tag_in_force, times(-1, tag.tag_plain))
    picture.slice_tag = tag.tag_in_force
    return picture
