"""The Start sheet: what to do next, what is known so far, and a sentence for each picture."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, flag, in_words, nearest, opt
from meltbook.method.checks import Book, charged_with_weight
from meltbook.method.made import Picture
from meltbook.method.melt import Period
from meltbook.method.melt_prices import PriceWith

STEPS: tuple[str, ...] = (
    "Type the connected kW on Shop",
    "Type the unit price on Tariffs",
    "Log a Charge day with its weight on Furnace log",
    "Log an Idle day, or any later row, with the meter's reading on Furnace log",
    "Type a piece, its glass and its bench minutes on Pieces",
    "Type the gaffer's hourly rate on Shop",
    "Type, or set to 0, what is not counted yet; see What each costs",
)
NOTHING_MISSING = "Keep the log going; nothing is missing"


@dataclass(slots=True)
class StartStep:
    """Whether a step is done."""

    step_done: int
    step_word: str


@dataclass(slots=True)
class Start:
    """What the first sheet shows."""

    steps: list[StartStep]
    next_step: str
    start_last_entry: int | None
    start_cost_hot: Maybe
    start_cost_line: Maybe
    start_pieces_final: int | None
    ladder_sentence: str | None
    kinds_sentence: str | None
    piece_sentence: str | None


def start_sheet(book: Book, prices: PriceWith, picture: Picture) -> Start:
    """Walk through the first steps, and put the main figures in words."""
    everything, lists = book.melt.all_time, book.lists
    people = book.studio.people
    done = (
        book.log.meter.energy_known == 1,
        book.tariff.tariff_newest is not None,
        charged_with_weight(book.log),
        opt(everything.period_rows) > 0 and opt(everything.period_weight) > 0,
        any(piece.piece_drawn_used is not None and piece.typed.minutes is not None for piece in book.pieces),
        bool(people) and people[0].rate is not None,
        lists.pieces_named > 0 and lists.pieces_final == lists.pieces_named,
    )
    waiting = [text for text, is_done in zip(STEPS, done, strict=True) if not is_done]
    return Start(
        steps=[StartStep(flag(is_done), "Done" if is_done else "To do") for is_done in done],
        next_step=waiting[0] if waiting else NOTHING_MISSING,
        start_last_entry=book.log.log_last_day,
        start_cost_hot=prices.price_hot,
        start_cost_line=prices.price_line_own,
        start_pieces_final=lists.pieces_final if lists.pieces_named else None,
        ladder_sentence=_ladder(prices, book.studio.shop.weight_unit),
        kinds_sentence=_kinds(everything),
        piece_sentence=_piece(picture),
    )


def _ladder(prices: PriceWith, unit: str) -> str | None:
    if prices.price_hot is None or prices.price_line_own is None:
        return None
    hot, line = in_words(prices.price_hot), in_words(prices.price_line_own)
    return f"Every hot day costs {hot} per {unit}; with everything counted so far {line}."


def _kinds(period: Period) -> str | None:
    if period.share_idle is None or period.share_heatup is None:
        return None
    idle, heatup = nearest(period.share_idle * 100), nearest(period.share_heatup * 100)
    return f"Idle days took {idle} % of the energy and heat-ups {heatup} %."


def _piece(picture: Picture) -> str | None:
    if picture.slice_left is None or picture.slice_tag is None:
        return None
    tag, left = in_words(picture.slice_tag), in_words(picture.slice_left)
    return f"{picture.picture_name}: of a tag of {tag}, {left} is left after all costs counted so far."
