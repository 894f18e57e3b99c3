"""The Start sheet: what to do next, what is known so far, and a sentence for each picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, flag, in_words, nearest, opt
from meltbook.method.check_titles import SHOULD_BE_SO
from meltbook.method.checks import CHECKS, Book, Verdict
from meltbook.method.first_steps import FirstSteps
from meltbook.method.made import Picture
from meltbook.method.melt import Period
from meltbook.method.melt_prices import PriceWith

NOTHING_MISSING = "Keep the log going; nothing is missing"

Todo = tuple[str, bool]
"""What a step says, and whether it is done."""


@dataclass(slots=True)
class StartStep:
    """Whether a step is done."""

    step_text: str
    step_done: int
    step_word: str


@dataclass(slots=True)
class Start:
    """What the first sheet shows."""

    steps: list[StartStep]
    next_step: str
    first_look: str | None
    step_waiting: str
    start_tag: str | None
    suggested_amount: Maybe | str
    suggested_words: str | None
    must_row: int | None
    start_percent: int | None
    start_margin: str
    start_last_entry: int | None
    start_cost_hot: Maybe
    start_cost_line: Maybe
    start_pieces_final: int | None
    ladder_sentence: str | None
    kinds_sentence: str | None
    piece_sentence: str | None


def start_sheet(
    book: Book, prices: PriceWith, picture: Picture, furnace: FirstSteps, further: Sequence[Todo], verdict: Verdict
) -> Start:
    """Walk through the first steps, and put the main figures in words.

    ``furnace`` has the steps of the first furnace; ``further`` are those of the others and of their source.
    """
    everything, lists = book.melt.all_time, book.lists
    people = book.studio.people
    todo: list[Todo] = [
        (furnace.meter_step, bool(furnace.meter_done)),
        ("Type the unit price on Tariffs", book.tariff.tariff_newest is not None),
        ("Log a Charge day with its weight on Furnace log", bool(furnace.charge_done)),
        (furnace.reading_step, bool(furnace.reading_done)),
        (
            "Type a piece, its glass and its bench minutes on Pieces",
            any(piece.piece_drawn_used is not None and piece.typed.minutes is not None for piece in book.pieces),
        ),
        ("Type the gaffer's hourly rate on Shop, under People", bool(people) and people[0].rate is not None),
        (furnace.opening_step, bool(furnace.opening_done)),
        *further,
        (
            "Type, or set to 0, what is not counted yet; see What each costs",
            lists.pieces_named > 0 and lists.pieces_final == lists.pieces_named,
        ),
    ]
    waiting = next((text for text, is_done in todo if not is_done), NOTHING_MISSING)
    wanting = [check.check_look if waiting == NOTHING_MISSING else check.check_wrong for check in verdict.checks]
    look = line_of_checks(CHECKS, wanting)
    suggested = book.pricing.tags[picture.picture_row - 1].tag_suggested
    words = in_words(suggested) if isinstance(suggested, float) else None
    must = next((row for row, terms in enumerate(book.pricing.terms) if terms.channel_must), None)
    typed = None if must is None else book.pricing.terms[must].typed
    percent = None if typed is None else nearest(opt(typed.margin) * 100)
    margin = "the margins asked for on Shop"
    if typed is not None and book.pricing.must_count == 1:
        margin = f"a margin of {percent} % in {typed.name}"
    return Start(
        steps=[StartStep(text, flag(is_done), "Done" if is_done else "To do") for text, is_done in todo],
        next_step=what_next(waiting, look),
        first_look=look,
        step_waiting=waiting,
        start_tag=None if words is None else f"{picture.picture_name or ''}: {words}, for {margin}",
        suggested_amount=suggested,
        suggested_words=words,
        must_row=None if must is None else must + 1,
        start_percent=percent,
        start_margin=margin,
        start_last_entry=book.log.log_last_day,
        start_cost_hot=prices.price_hot,
        start_cost_line=prices.price_line_own,
        start_pieces_final=lists.pieces_final if lists.pieces_named else None,
        ladder_sentence=_ladder(prices, book.studio.shop.weight_unit),
        kinds_sentence=_kinds(everything),
        piece_sentence=_piece(picture),
    )


def what_next(waiting: str, look: str | None) -> str:
    """What Checks found goes first, but for what is only missing while a step asks for it."""
    return f"Look at Checks, {look}" if look else waiting


def line_of_checks(keys: Sequence[str], wanting: Sequence[object], whose: str = "") -> str | None:
    """The first line of a list of checks that wants a look, in words; ``whose`` list it is, if not the first one's."""
    key = next((key for key, looked in zip(keys, wanting, strict=True) if looked == 1), None)
    return None if key is None else f'{f"{whose}, " if whose else ""}the line "{SHOULD_BE_SO[key]}"'


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
