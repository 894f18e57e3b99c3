"""Workings that only the checks of the sheet need: the same rows counted by another route."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from meltbook.method.arithmetic import flag, half_up, opt, to_the_cent, total
from meltbook.method.checks import Book
from meltbook.method.constants import (
    CHARGE,
    CLOSENESS,
    DAYS_IN_YEAR,
    HEAT_UP,
    HOUR_METER,
    IDLE,
    KINDS,
    LIVES_NEEDED,
    MONTHS_IN_YEAR,
    NEW_METER,
)
from meltbook.method.energy import FurnaceLog, LogDay, stretches
from meltbook.method.equipment import ANNEALER, EquipmentCost
from meltbook.method.melt import Period
from meltbook.method.pieces import PieceCost
from meltbook.method.prices import ChannelTerms, PiecePrice
from meltbook.method.results import Results, Value
from meltbook.units import money_digits


def log_starts_on(log: FurnaceLog) -> int:
    """The day from which the log's days are counted: a first row of 0 days is read at the close of its day."""
    first = next((row for row in log.rows if row.next_day), None)
    return 0 if first is None else first.first_day + flag(first.row_days == 0)


def log_whole(log: FurnaceLog) -> bool:
    """Whether rows follow on one another from the first to the last, each with a price."""
    used = [row for row in log.rows if row.row_kind]
    return log_starts_on(log) > 0 and all(row.row_priced and not row.row_flow_dates for row in used)


def publish_ways_again(results: Results, book: Book, equipment: Sequence[EquipmentCost]) -> None:
    """Add the columns that only the checks need."""
    _log(results, book)
    _letters(results, book)
    _lists(results, book)
    _periods(results, book)
    _channels(results, book)
    _pieces(results, book, equipment)


def _log(results: Results, book: Book) -> None:
    log = book.log
    results.put(log_starts_on=log_starts_on(log), log_ends_on=log.rows[-1].next_day, log_whole=flag(log_whole(log)))
    counts, changes, since = [], [], []
    base, factor = log.meter.starting_reading, log.meter.starting_factor
    for stretch in stretches(log.rows, log.meter):
        carried = 0
        for row in stretch.rows:
            carried += row.row_kind > 0
            since.append(carried)
    for row in log.rows:
        counts.append(row.reading_base - base if row.stretch_close else 0.0)
        changed = row.row_kind == NEW_METER and log.meter.meter_code == HOUR_METER and row.typed.new_kw is not None
        changes.append(row.reading_factor - factor if changed else 0.0)
        base, factor = row.reading_base, row.reading_factor
    results.column("reading_count", counts)
    results.column("factor_change", changes)
    results.column("rows_since", since)
    results.frame("rows_since", seed=0)
    heating = [row.row_kind == HEAT_UP and row.row_days > 0 and not row.row_starts for row in log.rows]
    results.column("heating_again", [flag(each) for each in heating])
    results.column("own_total", [_own_total(row) for row in log.rows])
    results.column("days_total", [_days_total(row) if row.row_measured else 0 for row in log.rows])
    results.column("row_total", [_row_total(row) if row.row_measured else 0 for row in log.rows])


def _own_total(row: LogDay) -> float:
    if not row.row_own or row.row_kind not in (CHARGE, IDLE):
        return 0.0
    return row.energy_used + row.row_days + (row.weight if row.row_kind == CHARGE else 0.0)


def _days_total(row: LogDay) -> float:
    counted = row.row_charges + opt(row.typed.gathers) + row.row_hot_days + row.row_starts
    return 1 + counted + 2 * row.row_days + _own_total(row)


def _row_total(row: LogDay) -> float:
    money = row.energy_cost + row.row_standing + row.glass_charged_cost + row.row_wear
    return _days_total(row) + row.weight + row.energy_used + money


def _letters(results: Results, book: Book) -> None:
    service, demand = [], []
    for letter in book.tariff.letters:
        row = letter.typed
        in_year = DAYS_IN_YEAR if row.service_per == "Day" else MONTHS_IN_YEAR
        service.append(opt(row.service) * in_year if letter.tariff_valid else 0.0)
        demand.append(opt(row.demand) * opt(row.demand_kw) if letter.tariff_valid else 0.0)
    results.column("service_in_year", service)
    results.column("demand_in_month", demand)


def _named(names: Sequence[str | None], found: Counter[str]) -> list[Value]:
    """How often each name of a list is looked up: only the first of two that are spelt alike is found."""
    return [found[name] if name and names.index(name) == place else 0 for place, name in enumerate(names)]


def _lists(results: Results, book: Book) -> None:
    rows = book.log.rows
    kinds = Counter(row.row_kind for row in rows)
    results.column("kind_rows", [kinds[number] for number in range(1, len(KINDS) + 1)])

    names = [glass.typed.name for glass in book.melt.glasses]
    weighed = (row.typed.glass for row in rows if row.row_kind and row.typed.weight is not None)
    results.column("glass_rows", _named(names, Counter(name for name in weighed if name)))
    made_of = (piece.typed.glass for piece in book.pieces if piece.named)
    results.column("glass_pieces", _named(names, Counter(name for name in made_of if name)))
    taken = Counter(piece.piece_glass_row for piece in book.pieces)
    results.column("glass_taken", [taken[place] for place in range(1, len(names) + 1)])

    ledger = book.ledger
    ledger_names = Counter(part.typed.name for part in ledger.parts if part.typed.name)
    results.column("kind_of_part_rows", _named([kind.typed.name for kind in ledger.kinds], ledger_names))
    columns: dict[str, list[Value]] = {}
    for number, kind in enumerate(ledger.kinds, start=1):
        parts = [part for part in ledger.used if part.part_kind_row == number]
        alike = sum(part.typed.life is None for part in parts)
        retired = kind.kind_of_part_retired
        priced = sum(part.part_prices == 1 and opt(part.part_expected) > 0 for part in parts)
        for name, value in (
            ("parts", len(parts)),
            ("lives", retired if retired >= LIVES_NEEDED else 1),
            ("lent", opt(kind.kind_of_part_mean) * alike),
            ("priced", priced),
        ):
            columns.setdefault(f"kind_of_part_{name}", []).append(value)
    for name, values in columns.items():
        results.column(name, values)


def _periods(results: Results, book: Book) -> None:
    melt = book.melt
    periods = melt.periods
    counted = (
        "period_rows",
        "period_weight",
        "period_charges",
        "period_gathers",
        "period_days",
        "period_hot_days",
        "period_starts",
        "period_standing",
        "period_glass",
        "period_row_wear",
    )
    hot = ("heatup", "charge", "blow", "idle")
    kinds = (*(f"{kind}_{what}" for kind in hot for what in ("days", "use", "cost")), "cold_days")
    owns = ("own_charge_use", "own_charge_days", "own_charge_weight", "own_idle_use", "own_idle_days")

    def added(period: Period, names: Sequence[str]) -> float:
        return total(getattr(period, name) for name in names)

    def shown(values: Sequence[Value]) -> list[Value]:
        return [None if period.period_label is None else value for period, value in zip(periods, values, strict=True)]

    results.column("period_counts", shown([added(period, counted) for period in periods]))
    results.column("period_kinds", shown([added(period, kinds) for period in periods]))
    results.column("period_owns", shown([added(period, owns) for period in periods]))
    results.column("period_logged", shown([added(period, (*counted, *kinds, *owns)) for period in periods]))
    results.column("period_apart", shown([0] * len(periods)))
    results.column("charge_more", shown([_more(period) for period in periods]))
    amounts = [0.0 if period.line_own is None else period.line_own * opt(period.period_weight) for period in periods]
    results.column("ladder_amount", shown(amounts))


def _more(period: Period) -> float:
    if period.step_charge is None:
        return 0.0
    return opt(period.own_charge_use) - opt(period.own_charge_days) * opt(period.idle_use_day)


def _channels(results: Results, book: Book) -> None:
    pricing = book.pricing
    results.column("channel_left_again", [terms.channel_left for terms in pricing.terms])
    slots: dict[str, list[Value]] = {}
    for place, terms in enumerate(pricing.terms):
        for name, value in _slot(terms, pricing.tags, book.pieces, place):
            slots.setdefault(f"slot_{name}", []).append(value)
            slots.setdefault(f"slot_{name}_again", []).append(value)
    for name, values in slots.items():
        results.column(name, values)


def _slot(
    terms: ChannelTerms, tags: Sequence[PiecePrice], pieces: Sequence[PieceCost], place: int
) -> list[tuple[str, float]]:
    """What all pieces bring in one way of selling."""
    sold = [(tag.sold[place], piece) for tag, piece in zip(tags, pieces, strict=True)]
    lowest = [each.lowest for each, _ in sold if isinstance(each.lowest, float)]
    least = [
        opt(piece.low_good) * (1 + terms.channel_replaced) + terms.channel_costs
        for each, piece in sold
        if isinstance(each.lowest, float)
    ]
    left = [opt(each.left) * opt(piece.bench_hours_good) for each, piece in sold if each.left is not None]
    earned = [opt(each.earn) * opt(piece.own_hours_good) for each, piece in sold if each.earn is not None]
    earning = [(each.net, piece) for each, piece in sold if each.net is not None and each.net > CLOSENESS]
    return [
        ("sells", sum(each.sells for each, _ in sold)),
        ("net", total(each.net for each, _ in sold)),
        ("margin", half_up(total(net - opt(piece.cost_good) for net, piece in earning), 6)),
        ("lowest", total(least) if min(lowest, default=0.0) > CLOSENESS else 0.0),
        ("must", total(each.must_tag for each, _ in sold)),
        ("hours", total(left) + len(left) * terms.channel_costs),
        ("earn", total(earned)),
        ("watched", total(each.must_margin for each, _ in sold)),
    ]


def _pieces(results: Results, book: Book, equipment: Sequence[EquipmentCost]) -> None:
    pricing, digits = book.pricing, money_digits(book.studio.shop.currency)
    off_grid = sum(abs(half_up(each, digits) - each) for each in (pricing.tag_step_used, pricing.tag_ending_used))
    named = [piece.typed for piece in book.pieces if piece.named]
    lowest = [piece for piece in book.pieces if piece.low_good is not None]
    results.put(
        tags_on_grid=flag(off_grid <= CLOSENESS),
        minutes_typed=total(row.minutes for row in named),
        gathers_typed=total(row.gathers for row in named),
        least_typed=total(opt(piece.cost_colour) + opt(piece.cost_materials) for piece in lowest),
    )
    columns: dict[str, list[Value]] = {}
    by_load = equipment[ANNEALER].equipment_load > 0
    for piece, tag in zip(book.pieces, pricing.tags, strict=True):
        whole = piece.good_share or 0.0
        columns.setdefault("not_own_again", []).append(opt(piece.cost_not_own) * whole)
        columns.setdefault("own_minutes", []).append(opt(piece.own_hours_good) * whole * 60)
        for name, value in (*_of_piece(piece, by_load=by_load), *_of_tag(tag, book, digits)):
            columns.setdefault(name, []).append(value)
    for name, values in columns.items():
        results.column(name, values)
    for name in ("ranking_strange", "list_strange"):
        results.column(name, [0] * len(book.pieces))


def _of_piece(piece: PieceCost, *, by_load: bool) -> list[tuple[str, Value]]:
    row, drawn = piece.typed, piece.piece_drawn_used
    known = None not in (piece.cost_good, row.loss, piece.cost_glass)
    kept = 0.0 if drawn is None else drawn if row.finished is None else min(row.finished, drawn)
    return [
        ("piece_named", flag(piece.named)),
        ("piece_costed", flag(piece.cost_good is not None)),
        ("piece_low_known", flag(piece.low_good is not None)),
        ("piece_kept", kept),
        ("piece_ready", flag(known and not (by_load and piece.piece_load_part is None))),
        ("piece_later", opt(row.loss_after) * opt(row.seconds_after) * opt(row.second_value_after)),
    ]


def _of_tag(tag: PiecePrice, book: Book, digits: int) -> list[tuple[str, Value]]:
    pricing = book.pricing
    over: Value = None
    steps: Value = None
    if isinstance(tag.tag_wanted, float) and isinstance(tag.tag_suggested, float):
        over = half_up(tag.tag_suggested - to_the_cent(tag.tag_wanted * pricing.tag_factor, digits), 6)
        steps = (tag.tag_suggested - pricing.tag_ending_used) / pricing.tag_step_used
    watched = [sold.must_margin for sold in tag.sold if sold.must_margin is not None]
    return [
        ("margin_again", min(watched, default=0.0)),
        ("tag_again", tag.tag_wanted if isinstance(tag.tag_wanted, float) else 0.0),
        ("lowest_again", opt(tag.lowest_worst)),
        ("tag_over", over),
        ("tag_steps", steps),
        ("rank_off", 0),
        ("shelf_off", 0),
        ("tag_off", 0),
    ]
