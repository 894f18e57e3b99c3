"""What the sheets show besides the method's own figures: names repeated, bars of pictures, sums made twice.

Nothing here decides a price. The sheets repeat names so that every block can be read alone, cut figures into
bars for the pictures, and put two ways to the same sum side by side; a sound studio gives the same on both.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from meltbook.method.arithmetic import Maybe, calendar, flag, in_words, maybe_serial, nearest, opt, total
from meltbook.method.bench import Rates
from meltbook.method.checks import Book, needs, unknown_channel, unknown_picture
from meltbook.method.constants import CLOSENESS, KINDS, NEW_METER
from meltbook.method.equipment import GLORY_HOLE, EquipmentCost
from meltbook.method.machines_again import publish_machines_again
from meltbook.method.made import Picture
from meltbook.method.melt_prices import PriceWith
from meltbook.method.results import Results, Value
from meltbook.method.second_ways import Known, publish_pairs
from meltbook.method.ways_again import publish_ways_again
from meltbook.studio.capacity import CHANNEL_SLOTS
from meltbook.studio.pieces import Piece

NAMED_AGAIN = ("time", "loss", "cost", "good", "made", "price", "rank", "after", "sold", *CHANNEL_SLOTS)
GLORY_NOT_COUNTED = "The glory hole is in no cost yet: type its cost, or 0, on Shop, or its rows on Equipment."
NUMBER_GROUPS = 53
"""So many groups of cells must hold numbers. A studio's do, by its types: only a sheet can hold a text there."""

LADDER_BARS = (
    ("Every hot day", "price_hot"),
    ("Service and demand", "price_standing"),
    ("Pots and elements", "price_wear"),
    ("Raw glass", "price_glass"),
    ("The furnace itself", "price_own"),
    ("Everything", "price_line_own"),
)
SLICE_BARS = (
    ("Raw glass", "slice_glass"),
    ("Furnace", "slice_furnace"),
    ("Colour", "slice_colour"),
    ("Labour", "slice_labour"),
    ("Equipment", "slice_equipment"),
    ("Materials", "slice_materials"),
    ("Overhead", "slice_overhead"),
    ("Losses", "slice_losses"),
    ("Packing", "slice_packing"),
    ("Way of selling", "slice_channel"),
    ("Left after costs", "slice_left"),
    ("Sales tax", "slice_tax"),
    ("Tag", "slice_tag"),
)


def publish_workings(
    results: Results,
    book: Book,
    rates: Rates,
    equipment: Sequence[EquipmentCost],
    prices: PriceWith,
    picture: Picture,
) -> None:
    """Add every figure that only the sheets need."""
    _names(results, book)
    _log(results, book)
    _pieces(results, book, rates)
    _counts(results, book)
    publish_ways_again(results, book, equipment)
    publish_machines_again(results, book.machines, equipment)
    publish_pairs(Known(results, book, rates, equipment, prices))
    _bars(results, "ladder", LADDER_BARS, prices)
    _bars(results, "slice", SLICE_BARS, picture)
    _kinds(results, book)
    for name, amount in (
        ("hot_words", prices.price_hot),
        ("line_words", prices.price_line_own),
        ("tag_words", picture.slice_tag),
        ("left_words", picture.slice_left),
    ):
        results.put(**{name: None if amount is None else in_words(amount)})


def _names(results: Results, book: Book) -> None:
    studio = book.studio.shop.studio_name or "Your studio"
    results.put(start_studio=studio, list_studio=studio, list_from=_prices_from(results, book))
    names: list[Value] = [piece.typed.name or None for piece in book.pieces]
    for block in NAMED_AGAIN:
        results.column(f"name_{block}", names)
    for block in ("student", "asked"):
        results.column(f"name_course_{block}", [course.typed.name or None for course in book.hiring.courses])
    results.column("name_selling", [terms.typed.name or None for terms in book.pricing.terms])
    for slot, terms in zip(CHANNEL_SLOTS, book.pricing.terms, strict=True):
        results.put(**{f"channel_heading_{slot}": terms.typed.name or "Way of selling not used"})
    ways: list[str | None] = []
    for row, terms in enumerate(book.pricing.terms, start=1):
        comma = ", " if any(ways) else ""
        ways.append(f"{comma}{row} {terms.typed.name}" if terms.channel_used else None)
    results.column("channel_legend", ways)
    results.put(ways_legend="".join(way for way in ways if way) or None)
    results.column("start_again", [maybe_serial(letter.typed.start) for letter in book.tariff.letters])


def _prices_from(results: Results, book: Book) -> str | None:
    day = results.scalars["pricing_date_used"]
    if not isinstance(day, int):
        return None
    return f"Prices from {calendar(day).isoformat()}, in {book.studio.shop.currency}."


def _log(results: Results, book: Book) -> None:
    rows = book.log.rows
    results.put(
        log_cells=len(rows) + 2,
        new_meter_unread=sum(row.row_kind == NEW_METER and row.typed.reading is None for row in rows),
    )


def _pieces(results: Results, book: Book, rates: Rates) -> None:
    columns: dict[str, list[Value]] = {}

    def put(name: str, value: Value) -> None:
        columns.setdefault(name, []).append(value)

    for piece, tag, rank in zip(book.pieces, book.pricing.tags, book.lists.ranks, strict=True):
        row, named = piece.typed, piece.named
        known = piece.piece_furnace_units is not None
        put("piece_units_known", flag(known) if named else None)
        put("piece_returned", _returned(row, piece.piece_drawn_used) if named else None)
        put(
            "cost_labour",
            total((piece.cost_gaffer, piece.cost_first, piece.cost_second, piece.cost_off)) if named else None,
        )
        hands = (
            opt(piece.cost_gaffer) * rates.gaffer_hired
            + opt(piece.cost_first) * rates.first_hired
            + opt(piece.cost_second) * rates.second_hired
        )
        put("low_hands", hands if named else None)
        margins = [sold.must_margin for sold in tag.sold if sold.must_margin is not None]
        put("margin_lowest", min(margins) if margins else None)
        put("shelf_held", flag(named and row.listed != "No" and not rank.shelf_shown))
        losing = tag.lowest_worst is not None and row.tag is not None and row.tag < tag.lowest_worst - CLOSENESS
        put("tag_losing", flag(named and losing))
        put("losing_way", sum(place for place, sold in enumerate(tag.sold, start=1) if sold.losing))
    for name, values in columns.items():
        results.column(name, values)


def _returned(row: Piece, drawn: Maybe) -> Maybe:
    if drawn is None:
        return None
    finished = drawn if row.finished is None else row.finished
    return max(0.0, drawn - finished) * opt(row.recovered)


def _counts(results: Results, book: Book) -> None:
    results.put(rank_unknown=unknown_channel(book), picture_unknown=unknown_picture(book))
    results.column("need_missing", [flag(missing) for _, missing in needs(book)])
    hole = book.equipment[GLORY_HOLE].equipment_counted
    at_it = sum(opt(piece.piece_glory_used) for piece in book.pieces)
    results.put(glory_not_counted=GLORY_NOT_COUNTED if hole is None and at_it > 0 else None)
    results.column("number_texts", [0] * NUMBER_GROUPS)
    results.column("number_bad", [0] * NUMBER_GROUPS)
    results.column("kind_days_logged", list(_days_by_kind(book)))
    for row, terms in enumerate(book.pricing.terms, start=1):
        terms_margin = opt(terms.typed.margin)
        on_cost = 1 / (1 - terms_margin) + terms.channel_replaced if terms.channel_can else 0
        results.columns.setdefault("channel_on_cost", []).append(on_cost)
        results.columns.setdefault("channel_stuck", []).append(flag(terms.channel_must == 1 and terms.channel_can == 0))
        results.columns.setdefault("channel_rank", []).append(flag(row == book.lists.rank_slot))


def _days_by_kind(book: Book) -> list[float]:
    return [
        total(row.row_days for row in book.log.rows if row.row_kind == number) for number in range(1, len(KINDS) + 1)
    ]


def _bars(results: Results, prefix: str, bars: Sequence[tuple[str, str]], chapter: PriceWith | Picture) -> None:
    amounts: list[Maybe] = [getattr(chapter, figure) for _, figure in bars]
    below = [0.0, *accumulate(opt(amount) for amount in amounts[:-2]), 0.0]
    starts = [None if amount is None else start for amount, start in zip(amounts, below, strict=True)]
    words = [None if amount is None else in_words(amount) for amount in amounts]
    results.column(f"{prefix}_bar_amount", amounts)
    results.column(f"{prefix}_bar_start", starts)
    results.column(f"{prefix}_bar_words", words)
    results.column(
        f"{prefix}_bar_label",
        [name if word is None else f"{name} {word}" for (name, _), word in zip(bars, words, strict=True)],
    )


def _kinds(results: Results, book: Book) -> None:
    all_time, unit = book.melt.all_time, book.studio.shop.energy_unit
    uses: list[Maybe] = [None] * 4
    if all_time.period_rows:
        uses = [all_time.heatup_use, all_time.charge_use, all_time.blow_use, all_time.idle_use]
    results.column("kind_bar_amount", uses)
    results.column(
        "kind_bar_label",
        [name if use is None else f"{name} {nearest(use)} {unit}" for name, use in zip(KINDS, uses, strict=False)],
    )
