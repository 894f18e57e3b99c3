"""What stands on the printed lists: the ranking by what is left per bench hour, and the price list.

Both lists are made by sorting. Ties keep the order of the Pieces sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, dflt, flag, opt, over, to_the_cent
from meltbook.method.constants import FAR_CAMPAIGN, FAR_DATE
from meltbook.method.pieces import PieceCost
from meltbook.method.prices import ChannelTerms, Pricing
from meltbook.studio.shop import Shop


@dataclass(slots=True)
class PieceRank:
    """Where a piece stands on the two lists."""

    rank_sold: int = 0
    left_ranked: Maybe = None
    rank_key: float = -FAR_DATE
    rank_place: int | None = None
    shelf_shown: int = 0
    shelf_key: float = FAR_DATE
    shelf_place: int | None = None


@dataclass(slots=True)
class RankingLine:
    """A line of the ranking; blank below the last piece that is ranked."""

    ranking_row: int = 0
    ranking_name: str | None = None
    ranking_left: Maybe = None
    ranking_tag: Maybe = None
    ranking_minutes: Maybe = None


@dataclass(slots=True)
class ShelfLine:
    """A line of the price list; blank below the last piece that is printed."""

    list_row: int = 0
    list_name: str | None = None
    list_size: str | None = None
    list_tag: Maybe = None


@dataclass(slots=True)
class Lists:
    """Both lists, and what is said about them."""

    channel: ChannelTerms
    ranks: list[PieceRank]
    ranking: list[RankingLine]
    shelf: list[ShelfLine]
    rank_slot: int
    rank_factor: Maybe
    rank_costs: float
    rank_replaced: float
    pieces_named: int
    pieces_final: int
    list_count: int
    list_held: int
    list_sentence: str | None
    list_tax_note: str | None


def make_lists(pieces: Sequence[PieceCost], pricing: Pricing, shop: Shop) -> Lists:
    """Sort the pieces twice."""
    names = [terms.typed.name for terms in pricing.terms]
    slot = names.index(shop.rank_channel) + 1 if shop.rank_channel and shop.rank_channel in names else 1
    channel = pricing.terms[slot - 1]
    ranks = [PieceRank() for _ in pieces]
    for rank, piece, tag in zip(ranks, pieces, pricing.tags, strict=True):
        rank.rank_sold = tag.sold[slot - 1].sells
        if rank.rank_sold:
            left = channel.above_the_lowest(tag.tag_plain, piece.low_good)
            rank.left_ranked = over(left, piece.bench_hours_good)
        if rank.left_ranked is not None:
            rank.rank_key = to_the_cent(rank.left_ranked, 6)  # rounded like money, so that halves agree
        if piece.piece_final and tag.tag_in_force is not None and piece.typed.listed != "No":
            rank.shelf_shown = 1
            rank.shelf_key = dflt(piece.typed.order, FAR_CAMPAIGN)

    ranked = [index for index, rank in enumerate(ranks) if rank.left_ranked is not None]
    ranked.sort(key=lambda index: -ranks[index].rank_key)
    shown = [index for index, rank in enumerate(ranks) if rank.shelf_shown]
    shown.sort(key=lambda index: ranks[index].shelf_key)

    ranking = [RankingLine() for _ in pieces]
    for place, index in enumerate(ranked, start=1):
        ranks[index].rank_place = place
        ranking[place - 1] = RankingLine(
            ranking_row=index + 1,
            ranking_name=pieces[index].typed.name,
            ranking_left=ranks[index].left_ranked,
            ranking_tag=pricing.tags[index].tag_in_force,
            ranking_minutes=pieces[index].typed.minutes,
        )
    shelf = [ShelfLine() for _ in pieces]
    for place, index in enumerate(shown, start=1):
        ranks[index].shelf_place = place
        shelf[place - 1] = ShelfLine(
            list_row=index + 1,
            list_name=pieces[index].typed.name,
            list_size=pieces[index].typed.size or None,
            list_tag=pricing.tags[index].tag_in_force,
        )

    held = sum(
        piece.named and piece.typed.listed != "No" and not rank.shelf_shown
        for piece, rank in zip(pieces, ranks, strict=True)
    )
    return Lists(
        channel=channel,
        ranks=ranks,
        ranking=ranking,
        shelf=shelf,
        rank_slot=slot,
        rank_factor=channel.channel_factor if channel.channel_used else None,
        rank_costs=channel.channel_costs,
        rank_replaced=channel.channel_replaced,
        pieces_named=sum(piece.named for piece in pieces),
        pieces_final=sum(piece.piece_final for piece in pieces),
        list_count=len(shown),
        list_held=held,
        list_sentence=_held_sentence(held),
        list_tax_note=_tax_note(shop),
    )


def _held_sentence(held: int) -> str | None:
    if held == 0:
        return None
    if held == 1:
        return "1 piece waits for figures and is not printed; see What each costs."
    return f"{held} pieces wait for figures and are not printed; see What each costs."


def _tax_note(shop: Shop) -> str | None:
    if opt(shop.sales_tax) == 0:
        return None
    return "Sales tax is included." if shop.tax_inside == "Yes" else "Sales tax is added at the till."


def known_name(name: str | None, names: Sequence[str | None]) -> int:
    """1 if a name that was typed is among the names, or none was typed; else 0."""
    return flag(not name or name in names)
