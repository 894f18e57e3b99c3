"""What a new tariff does to the studio: the furnace's rate, each piece's cost, and which tags must change.

Nothing is estimated here. The ladder to price with is taken, its energy and its standing charges are replaced
by what the letter makes of them, and everything behind it is worked out once more in the ordinary way: the
furnace's rate, every piece, and every tag. To see what the letter leaves of a margin, the tags that are on the
shelf now are kept on the pieces meanwhile.

A tag is never lowered. A letter that makes a piece cheaper shows so, and proposes nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from meltbook.method.arithmetic import Maybe, dflt, flag, in_words, opt, over, plus, times
from meltbook.method.bench import Rates, bench_rates
from meltbook.method.constants import (
    CLOSENESS,
    DAYS_IN_YEAR,
    DEFAULT_TOLERANCE,
    FAR_CAMPAIGN,
    FAR_DATE,
    MONTHS_IN_YEAR,
)
from meltbook.method.equipment import under_letter
from meltbook.method.letter import LetterRates
from meltbook.method.melt import Melt
from meltbook.method.melt_prices import PriceWith
from meltbook.method.pieces import PieceCost, Workshop, cost_pieces
from meltbook.method.prices import ChannelTerms, PieceChannel, PiecePrice, Pricing, price_pieces
from meltbook.method.results import Results
from meltbook.method.tariff import TariffNow
from meltbook.studio.capacity import CHANNEL_SLOTS
from meltbook.studio.model import Studio

RETAG, ALREADY_SHORT, KEEP = "Retag", "Already short", "Keep"
NEW_TAG = (RETAG, ALREADY_SHORT)
"""Verdicts that ask for a new tag. The second says that the letter is not to blame."""

NO_LETTER = "No letter is typed, so no tag changes."


@dataclass(slots=True)
class SlotAfter:
    """A piece in a channel that must earn: how much margin is missing there, now and after."""

    short_now: Maybe = None
    net_after: Maybe = None
    margin_after: Maybe = None
    short_after: Maybe = None
    after: Maybe = None


@dataclass(slots=True)
class PieceAfter:
    """A piece after the letter, at the tag that it has now."""

    slots: list[SlotAfter] = field(default_factory=lambda: [SlotAfter() for _ in CHANNEL_SLOTS])
    after_tag_now: Maybe = None
    after_cost_now: Maybe = None
    after_margin_now: float | str | None = None
    cost_after: Maybe = None
    short_now: Maybe = None
    short_after: Maybe = None
    margin_after_lowest: Maybe = None
    margin_after: float | str | None = None
    after_wanted: float | str | None = None
    after_cents: Maybe = None
    tag_after: float | str | None = None
    tag_change: Maybe = None
    tag_new: float | str | None = None
    tag_rise: Maybe = None
    tag_verdict: str | None = None
    retag_flag: int = 0
    retag_key: float = FAR_DATE
    retag_place: int | None = None


@dataclass(slots=True)
class RetagLine:
    """A line of the list of new tags; blank below the last."""

    retag_row: int = 0
    retag_name: str | None = None
    retag_size: str | None = None
    retag_old: Maybe = None
    retag_new: Maybe = None
    retag_short: Maybe = None
    retag_short_words: str | None = None
    retag_before: Maybe = None
    retag_before_words: str | None = None
    retag_why: str | None = None


@dataclass(slots=True)
class TariffChange:
    """Before and after, the effect on a year, and how many tags change."""

    pieces: list[PieceAfter]
    lines: list[RetagLine]
    price_before: Maybe
    price_after: Maybe
    standing_day_before: Maybe
    standing_day_after: Maybe
    hot_before: Maybe
    hot_after: Maybe
    standing_before: Maybe
    standing_after: Maybe
    pool_after: Maybe
    rate_after: Maybe
    year_logged: int
    year_use: Maybe
    effect_days: float
    effect_note: str | None
    effect_energy: Maybe
    effect_standing: Maybe
    effect_year: Maybe
    effect_energy_month: Maybe
    effect_standing_month: Maybe
    effect_month: Maybe
    retag_tolerance_used: float
    retag_count: int | None
    short_count: int | None
    keep_count: int | None
    retag_list_count: int | None
    retag_sentence: str | None
    retag_told: str | None
    retag_studio: str
    retag_heading: str | None
    retag_none: str
    retag_empty: str | None


@dataclass(slots=True)
class Present:
    """The studio as it is priced now: all that a letter can change."""

    studio: Studio
    melt: Melt
    now: TariffNow
    prices: PriceWith
    yearly_overheads: Sequence[Maybe]
    workshop: Workshop
    pieces: Sequence[PieceCost]
    pricing: Pricing


def rates_under(letter: LetterRates, present: Present) -> tuple[Maybe, Maybe, Rates]:
    """Every hot day and the standing charges per weight under the letter, and the bench's rates with them."""
    window = present.melt.window
    hot = times(over(window.period_use, window.period_weight), letter.new_all_in)
    standing = over(times(letter.new_standing, DAYS_IN_YEAR), present.prices.year_weight)
    if standing == 0 and not present.prices.price_standing:
        standing = None  # no such charge before or after: there is nothing to show
    return hot, standing, _rates_after(present, hot, standing)


def change_tariff(
    letter: LetterRates,
    present: Present,
    afterwards: Sequence[Workshop] | None = None,
    *,
    known: bool | None = None,
) -> TariffChange:
    """Work the studio out once more, under the letter.

    With several furnaces ``afterwards`` is what each row of Pieces is costed against then, and ``known`` whether any
    of the furnaces has a rate then.
    """
    studio, now = present.studio, present.now
    hot, standing, rates = rates_under(letter, present)

    year = a_year_of(present.melt)
    energy_year = times(year.use, plus(letter.new_all_in, times(-1, now.price_now)))
    standing_year = times(plus(letter.new_standing, times(-1, now.standing_now)), DAYS_IN_YEAR)
    both = plus(energy_year, standing_year)

    tolerance = dflt(studio.letter.retag_tolerance, DEFAULT_TOLERANCE)
    pieces = _pieces_after(present, rates, tolerance, afterwards)
    lines = _retag_list(present, pieces)
    verdicts = Counter(piece.tag_verdict for piece in pieces)
    listed = verdicts[RETAG] + verdicts[ALREADY_SHORT]
    if known is None:
        known = rates.furnace_rate is not None
    start = letter.letter_day
    none = "No tag changes." if known else "The furnace's rate isn't known yet, so no tag is judged."
    return TariffChange(
        pieces=pieces,
        lines=lines,
        price_before=now.price_now,
        price_after=letter.new_all_in,
        standing_day_before=now.standing_now,
        standing_day_after=letter.new_standing,
        hot_before=present.prices.price_hot,
        hot_after=hot,
        standing_before=present.prices.price_standing or None,
        standing_after=standing,
        pool_after=rates.furnace_pool,
        rate_after=rates.furnace_rate,
        year_logged=year.logged,
        year_use=year.use,
        effect_days=year.days,
        effect_note=year.note,
        effect_energy=energy_year,
        effect_standing=standing_year,
        effect_year=both,
        effect_energy_month=over(energy_year, MONTHS_IN_YEAR),
        effect_standing_month=over(standing_year, MONTHS_IN_YEAR),
        effect_month=over(both, MONTHS_IN_YEAR),
        retag_tolerance_used=tolerance,
        retag_count=verdicts[RETAG] if known else None,
        short_count=verdicts[ALREADY_SHORT] if known else None,
        keep_count=verdicts[KEEP] if known else None,
        retag_list_count=listed if known else None,
        retag_sentence=f"{_told(verdicts) or 'No tag to change; '}{verdicts[KEEP]} to keep." if known else None,
        retag_told=_told(verdicts) if known else None,
        retag_studio=studio.shop.studio_name or "Your studio",
        retag_heading=None if start is None else f"New tags for the tariff of {start}",
        retag_none=none,
        retag_empty=NO_LETTER if start is None else none if listed == 0 else None,
    )


@dataclass(frozen=True, slots=True)
class YearOfUse:
    """What the furnace uses in a year, and how many days of the log say so."""

    logged: int
    use: Maybe
    days: float
    note: str | None


def a_year_of(melt: Melt) -> YearOfUse:
    """The use of the twelve months that prices are drawn from, if they are logged; else what it comes to in a year.

    A log that begins within them has fewer days, and where nothing was charged in them all measured rows stand in:
    either way the use of a day is taken 365 times, as it is for the glass of an ordinary year.
    """
    spans, window = melt.spans, melt.window
    first = melt.first_measured
    logged = spans.window_first is not None and first is not None and first <= spans.window_first
    days = opt(window.period_days)
    if not days:
        return YearOfUse(flag(logged), None, 0, None)
    on = f"A year's use: from {days:g} logged {'day' if days == 1 else 'days'}"
    if logged:
        return YearOfUse(1, window.period_use, days, f"{on} of the last 12 months.")
    return YearOfUse(0, over(times(window.period_use, DAYS_IN_YEAR), days), days, f"{on}, × {DAYS_IN_YEAR} ÷ {days:g}.")


def _told(verdicts: Counter[str | None]) -> str | None:
    listed = verdicts[RETAG] + verdicts[ALREADY_SHORT]
    if not listed:
        return None
    tags = "1 tag" if listed == 1 else f"{listed} tags"
    by_letter, before = verdicts[RETAG], verdicts[ALREADY_SHORT]
    return f"{tags} to change: {by_letter} by the letter, {before} already short before it; "


def _rates_after(present: Present, hot: Maybe, standing: Maybe) -> Rates:
    """The bench's rates with the letter's energy in them.

    Standing charges that no price carries now, because the pricing date lies before the first tariff, are not
    brought in by a letter. A furnace whose days cost nothing now has no rate that could be compared, and gets
    none afterwards.
    """
    carried = standing if present.prices.price_standing is not None else None
    prices = replace(present.prices, price_hot=hot, price_standing=carried)
    rates = bench_rates(present.studio, present.melt, prices, present.yearly_overheads)
    if present.workshop.rates.furnace_rate is None or opt(present.workshop.rates.furnace_pool) == 0:
        rates.furnace_rate = None
    return rates


def _pieces_after(
    present: Present, rates: Rates, tolerance: float, afterwards: Sequence[Workshop] | None
) -> list[PieceAfter]:
    """Cost and price every piece under the letter, with the tag that is on it now."""
    studio, tags = present.studio, present.pricing.tags
    tagged = [
        piece.typed.model_copy(update={"tag": tag.tag_in_force})
        for piece, tag in zip(present.pieces, tags, strict=True)
    ]
    then = replace(present.workshop, rates=rates)
    costed = cost_pieces(tagged, len(tagged), _then(then), [_then(each) for each in afterwards] if afterwards else None)
    priced = price_pieces(costed, studio.channels, studio.shop)
    found = []
    for piece, tag, cost, price in zip(present.pieces, tags, costed, priced.tags, strict=True):
        after = PieceAfter(
            after_tag_now=tag.tag_in_force, after_cost_now=piece.cost_good, after_margin_now=tag.margin_worst
        )
        if cost.cost_good is not None:
            _reprice(after, cost, price)
            after.slots = [
                _slot(sold, sold_after, terms)
                for sold, sold_after, terms in zip(tag.sold, price.sold, priced.terms, strict=True)
            ]
            after.short_now = _most([slot.short_now for slot in after.slots])
            after.short_after = _most([slot.short_after for slot in after.slots])
            after.tag_verdict = _judge(after, tolerance)
            after.retag_flag = flag(after.tag_verdict in NEW_TAG)
        if after.retag_flag or not isinstance(after.tag_after, float):
            after.tag_new = after.tag_after
        if after.retag_flag:
            after.tag_rise = after.tag_change
            after.retag_key = dflt(piece.typed.order, FAR_CAMPAIGN)
        found.append(after)
    return found


def _then(workshop: Workshop) -> Workshop:
    """A workshop whose equipment pays for its energy what the letter asks."""
    return replace(workshop, equipment=under_letter(workshop.equipment))


def _reprice(after: PieceAfter, cost: PieceCost, price: PiecePrice) -> None:
    after.cost_after = cost.cost_good
    margins = [sold.must_margin for sold in price.sold if sold.must_margin is not None]
    after.margin_after_lowest = min(margins, default=None)
    after.margin_after = price.margin_worst
    after.after_wanted = price.tag_wanted
    after.after_cents = price.tag_cents
    after.tag_after = price.tag_suggested
    if isinstance(price.tag_suggested, float):
        after.tag_change = plus(price.tag_suggested, times(-1, after.after_tag_now))


def _slot(now: PieceChannel, after: PieceChannel, terms: ChannelTerms) -> SlotAfter:
    if not terms.channel_must:
        return SlotAfter()
    wanted = opt(terms.typed.margin)
    return SlotAfter(
        short_now=plus(wanted, times(-1, now.must_margin)),
        net_after=after.net,
        margin_after=after.must_margin,
        short_after=plus(wanted, times(-1, after.must_margin)),
        after=after.must_tag,
    )


def _most(values: Sequence[Maybe]) -> Maybe:
    return max((value for value in values if value is not None), default=None)


def _judge(after: PieceAfter, tolerance: float) -> str | None:
    """Whether the tag stands: it must miss the target by more than the tolerance, and a higher one must help."""
    if after.after_tag_now is None or after.short_after is None:
        return None
    too_much = tolerance + CLOSENESS
    higher = after.tag_change is not None and after.tag_change > CLOSENESS
    if not higher or after.short_after <= too_much:
        return KEEP
    return ALREADY_SHORT if opt(after.short_now) > too_much else RETAG


def _retag_list(present: Present, pieces: Sequence[PieceAfter]) -> list[RetagLine]:
    """The pieces that get a new tag, in the order of the shelf; ties keep the order of the Pieces sheet."""
    listed = [index for index, piece in enumerate(pieces) if piece.retag_flag]
    listed.sort(key=lambda index: pieces[index].retag_key)
    lines = [RetagLine() for _ in pieces]
    for place, index in enumerate(listed, start=1):
        piece, typed = pieces[index], present.pieces[index].typed
        piece.retag_place = place
        lines[place - 1] = RetagLine(
            retag_row=index + 1,
            retag_name=typed.name,
            retag_size=typed.size or None,
            retag_old=piece.after_tag_now,
            retag_new=piece.tag_after if isinstance(piece.tag_after, float) else None,
        )
        _say_why(lines[place - 1], piece)
    return lines


def _say_why(line: RetagLine, piece: PieceAfter) -> None:
    """By how much the margin at the old tag misses the one wanted, and whether it did so before the letter."""
    line.retag_short = times(piece.short_after, 100)
    line.retag_short_words = in_words(opt(line.retag_short))
    line.retag_why = f"Margin {line.retag_short_words} % too low"
    if piece.tag_verdict == ALREADY_SHORT:
        line.retag_before = times(piece.short_now, 100)
        line.retag_before_words = in_words(opt(line.retag_before))
        line.retag_why += f", {line.retag_before_words} % already"


def publish_change(results: Results, letter: LetterRates, change: TariffChange) -> None:
    """The letter, its effect, and a block of columns for each way of selling."""
    results.take(letter)
    results.column("letter_case", letter.cases)
    results.take(change)
    results.table(change.pieces)
    results.table(change.lines)
    for place, slot in enumerate(CHANNEL_SLOTS):
        sold = [piece.slots[place] for piece in change.pieces]
        for name in ("short_now", "net_after", "margin_after", "short_after", "after"):
            results.column(f"{name}_{slot}", [getattr(each, name) for each in sold])
