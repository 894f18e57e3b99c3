"""What each piece costs: line by line, before and after the kiln, with what is lost on the way.

The base of every loss is what was started. What is spent at the bench is spent on every start; what is spent
at the kiln and after it, where a second loss is typed, only on what got that far.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, dflt, flag, opt, over, plus, times
from meltbook.method.bench import Rates
from meltbook.method.equipment import ANNEALER, GLORY_HOLE, OTHER, EquipmentCost
from meltbook.method.glass import GlassUse, glass_places
from meltbook.method.melt import Shares
from meltbook.method.melt_prices import PriceWith
from meltbook.studio.pieces import Piece
from meltbook.studio.shop import Shop

TELLTALE = ("size", "glass", "drawn", "gathers", "finished", "materials", "minutes", "loss", "made", "tag")
"""What shows that a row is meant as a piece, though it has no name yet."""


@dataclass(slots=True)
class PieceCost:
    """A piece with all its costs. A row without a name stays blank."""

    typed: Piece
    position: int
    named: bool
    piece_drawn_used: Maybe = None
    piece_furnace_units: Maybe = None
    cost_furnace: Maybe = None
    piece_glass_row: int | None = None
    piece_glass_price: Maybe = None
    cost_glass: Maybe = None
    cost_colour: Maybe = None
    cost_gaffer: Maybe = None
    cost_first: Maybe = None
    cost_second: Maybe = None
    cost_off: Maybe = None
    piece_load_part: Maybe = None
    piece_glory_used: Maybe = None
    cost_glory: Maybe = None
    cost_anneal: Maybe = None
    cost_other: Maybe = None
    cost_materials: Maybe = None
    cost_overhead: Maybe = None
    spent_hot: Maybe = None
    spent_kiln: Maybe = None
    kiln_share: Maybe = None
    good_share: Maybe = None
    seconds_credit: Maybe = None
    spent_started: Maybe = None
    cost_before_packing: Maybe = None
    cost_loss: Maybe = None
    cost_packing: Maybe = None
    cost_good: Maybe = None
    cost_lines: Maybe = None
    low_loads: Maybe = None
    low_equipment: Maybe = None
    low_hot: Maybe = None
    low_kiln: Maybe = None
    low_good: Maybe = None
    piece_more_hot: Maybe = None
    piece_more_kiln: Maybe = None
    own_cost_hot: Maybe = None
    own_cost_kiln: Maybe = None
    cost_not_own: Maybe = None
    bench_hours_good: Maybe = None
    own_hours_good: Maybe = None
    miss_rent: str | None = None
    miss_losses: str | None = None
    miss_annealing: str | None = None
    miss_wear: str | None = None
    miss_glass: str | None = None
    miss_own: str | None = None
    miss_furnace: str | None = None
    miss_units: str | None = None
    miss_work: str | None = None
    piece_missing_list: str | None = None
    piece_lacks: str | None = None
    piece_missing: str | None = None
    piece_final: int = 0
    piece_twice: int = 0
    piece_nameless: int = 0


@dataclass(slots=True)
class Workshop:
    """What a piece is costed against: the same for all pieces of one furnace."""

    shop: Shop
    rates: Rates
    equipment: Sequence[EquipmentCost]
    glasses: Sequence[GlassUse]
    prices: PriceWith
    shares: Shares
    there: bool = True
    """Whether there is such a furnace at all."""


def cost_pieces(
    typed: Sequence[Piece], prepared: int, workshop: Workshop, each: Sequence[Workshop] | None = None
) -> list[PieceCost]:
    """Cost every piece that has a name; with ``each``, every row against the workshop of its own furnace."""
    rows = [*typed, *(Piece() for _ in range(prepared - len(typed)))]
    glass_rows = glass_places(workshop.glasses)
    names = Counter(row.name for row in rows if row.name)
    pieces = []
    for position, row in enumerate(rows, start=1):
        here = each[position - 1] if each else workshop
        piece = PieceCost(row, position, bool(row.name))
        pieces.append(piece)
        if piece.named:
            piece.piece_glass_row = glass_rows.get(row.glass, 0) if row.glass else 1
            piece.piece_twice = flag(names[row.name or ""] > 1)
            _glass_and_furnace(piece, here)
            _work(piece, here.rates)
            _equipment(piece, here.equipment)
            _add_up(piece)
            _lowest(piece, here)
            _own_time(piece, here.rates)
            _what_is_missing(piece, here)
        else:
            piece.piece_nameless = flag(any(getattr(row, key) not in (None, "") for key in TELLTALE))
    return pieces


def _glass_and_furnace(piece: PieceCost, workshop: Workshop) -> None:
    row, rates = piece.typed, workshop.rates
    piece.piece_drawn_used = times(row.gathers, rates.gather_weight_used) if row.drawn is None else row.drawn
    drawn = piece.piece_drawn_used
    piece.piece_furnace_units = {"Weight": drawn, "Gathers": row.gathers, "Bench minutes": row.minutes}[
        workshop.shop.furnace_by
    ]
    piece.cost_furnace = times(piece.piece_furnace_units, rates.furnace_rate)
    if piece.piece_glass_row:
        piece.piece_glass_price = workshop.glasses[piece.piece_glass_row - 1].typed.price
    if drawn is not None:
        finished = min(drawn, dflt(row.finished, drawn))
        recovered = (drawn - finished) * opt(row.recovered)
        piece.cost_glass = times(drawn - recovered, piece.piece_glass_price)
    piece.cost_colour = opt(row.colour_weight) * (1 + opt(row.colour_waste)) * opt(row.colour_price)


def _work(piece: PieceCost, rates: Rates) -> None:
    row, paid = piece.typed, rates.paid_used
    hours = over(row.minutes, 60)
    piece.cost_gaffer = times(hours, rates.gaffer_rate, paid)
    piece.cost_first = opt(row.first_minutes) / 60 * rates.first_rate * paid
    piece.cost_second = opt(row.second_minutes) / 60 * rates.second_rate * paid
    piece.cost_off = opt(row.off_minutes) / 60 * rates.off_rate
    piece.cost_overhead = times(hours, rates.overhead_hour)
    piece.cost_materials = opt(row.materials)
    piece.cost_packing = opt(row.packing)


def _equipment(piece: PieceCost, equipment: Sequence[EquipmentCost]) -> None:
    row = piece.typed
    piece.piece_load_part = over(1, row.per_load) if row.load_share is None else row.load_share
    piece.piece_glory_used = dflt(row.glory_minutes, opt(row.minutes))

    def cost(which: int) -> Maybe:
        one = equipment[which]
        return _taken(piece, which, one.equipment_minute, one.equipment_load) if one.equipment_counted else None

    def more(which: int) -> float:
        return _taken(piece, which, equipment[which].equipment_more_minute, equipment[which].equipment_more_load)

    piece.cost_glory, piece.cost_anneal, piece.cost_other = cost(GLORY_HOLE), cost(ANNEALER), cost(OTHER)
    piece.low_equipment = _driven(piece, equipment, GLORY_HOLE) + _driven(piece, equipment, OTHER)
    hot = equipment[GLORY_HOLE].equipment_driven_load + equipment[OTHER].equipment_driven_load
    piece.low_loads = opt(piece.piece_load_part) * hot
    piece.piece_more_hot, piece.piece_more_kiln = more(GLORY_HOLE) + more(OTHER), more(ANNEALER)


def _taken(piece: PieceCost, which: int, a_minute: float, a_load: float) -> float:
    """What a piece takes of some equipment: its minutes there, and its part of a load."""
    row = piece.typed
    minutes = {GLORY_HOLE: piece.piece_glory_used, ANNEALER: row.minutes, OTHER: row.other_minutes}[which]
    return opt(minutes) * a_minute + opt(piece.piece_load_part) * a_load


def _driven(piece: PieceCost, equipment: Sequence[EquipmentCost], which: int) -> float:
    """What of it would not be spent without the piece."""
    return _taken(piece, which, equipment[which].equipment_driven_minute, equipment[which].equipment_driven_load)


def _add_up(piece: PieceCost) -> None:
    row = piece.typed
    piece.spent_hot = plus(
        piece.cost_furnace,
        opt(piece.cost_glass),
        piece.cost_colour,
        piece.cost_gaffer,
        piece.cost_first,
        piece.cost_second,
        opt(piece.cost_glory),
        opt(piece.cost_other),
        piece.cost_materials,
        opt(piece.cost_overhead),
    )
    piece.spent_kiln = plus(opt(piece.cost_anneal), piece.cost_off)

    lost, lost_after = opt(row.loss), opt(row.loss_after)
    reaches_the_end = 1 - lost
    piece.kiln_share = 1.0 if row.loss_after is None else reaches_the_end
    piece.good_share = reaches_the_end * (1 - lost_after)
    first_seconds = lost * opt(row.seconds) * opt(row.second_value)
    later_seconds = reaches_the_end * lost_after * opt(row.seconds_after) * opt(row.second_value_after)
    piece.seconds_credit = first_seconds + later_seconds

    piece.spent_started = plus(piece.spent_hot, times(piece.kiln_share, piece.spent_kiln))
    net = plus(piece.spent_started, -piece.seconds_credit)
    piece.cost_before_packing = over(net, piece.good_share)
    losses_typed = row.loss is not None or row.loss_after is not None
    if losses_typed and piece.cost_before_packing is not None and piece.spent_hot is not None:
        piece.cost_loss = piece.cost_before_packing - piece.spent_hot - opt(piece.spent_kiln)
    piece.cost_good = plus(piece.cost_before_packing, piece.cost_packing)
    if piece.cost_good is not None:
        piece.cost_lines = plus(piece.spent_hot, piece.spent_kiln, opt(piece.cost_loss), piece.cost_packing)


def _lowest(piece: PieceCost, workshop: Workshop) -> None:
    """What one more piece costs in cash: whatever would be paid anyway is left out."""
    rates = workshop.rates
    piece.low_hot = plus(
        times(piece.piece_drawn_used, rates.low_rate),
        opt(piece.cost_glass),
        piece.cost_colour,
        opt(piece.cost_gaffer) * rates.gaffer_hired,
        times(piece.cost_first, rates.first_hired),
        times(piece.cost_second, rates.second_hired),
        piece.low_equipment,
        piece.cost_materials,
    )
    piece.low_kiln = plus(_driven(piece, workshop.equipment, ANNEALER), times(piece.cost_off, rates.off_hired))
    spent = plus(piece.low_hot, times(piece.kiln_share, piece.low_kiln), times(-1, piece.seconds_credit))
    piece.low_good = plus(over(spent, piece.good_share), piece.cost_packing)


def _own_time(piece: PieceCost, rates: Rates) -> None:
    """The maker's own hours, and the cost of all else."""
    row = piece.typed
    gaffer_own, off_own = 1 - rates.gaffer_hired, 1 - rates.off_hired
    piece.own_cost_hot = times(piece.cost_gaffer, gaffer_own)
    piece.own_cost_kiln = times(piece.cost_off, off_own)
    spent = plus(
        piece.spent_started,
        times(-1, piece.own_cost_hot),
        times(-1, piece.kiln_share, piece.own_cost_kiln),
        times(-1, piece.seconds_credit),
    )
    piece.cost_not_own = plus(over(spent, piece.good_share), piece.cost_packing)
    piece.bench_hours_good = over(row.minutes, 60, piece.good_share)
    bench = times(over(row.minutes, 60), rates.paid_used, gaffer_own)
    off_bench = times(piece.kiln_share, opt(row.off_minutes) / 60, off_own)
    piece.own_hours_good = over(plus(bench, off_bench), piece.good_share)


def _what_is_missing(piece: PieceCost, workshop: Workshop) -> None:
    """Name what the cost leaves out because it was never typed, not even as 0."""
    annealer = workshop.equipment[ANNEALER]
    no_load = annealer.equipment_load > 0 and piece.piece_load_part is None

    def word(missing: bool, name: str) -> str | None:
        return f", {name}" if missing else None

    piece.miss_rent = word(workshop.rates.overhead_known == 0, "rent")
    piece.miss_losses = word(piece.typed.loss is None, "losses")
    piece.miss_annealing = word(annealer.equipment_known == 0 or no_load, "annealing")
    piece.miss_wear = word(workshop.prices.price_wear is None, "wear")
    piece.miss_glass = word(piece.cost_glass is None, "raw glass")
    piece.miss_own = word(workshop.shares.own_known == 0, "ownership")
    words = (
        piece.miss_rent,
        piece.miss_losses,
        piece.miss_annealing,
        piece.miss_wear,
        piece.miss_glass,
        piece.miss_own,
    )
    listed = "".join(each for each in words if each is not None)
    piece.piece_missing_list = listed or None
    piece.piece_final = flag(piece.cost_good is not None and not listed)
    _what_comes_first(piece, workshop)
    lacks = listed if piece.cost_good is not None else piece.piece_lacks
    piece.piece_lacks = lacks or None
    piece.piece_missing = f"Not counted yet: {lacks[2:]}" if lacks else None


def _what_comes_first(piece: PieceCost, workshop: Workshop) -> None:
    """Name what keeps a piece from having any cost."""
    row, by = piece.typed, workshop.shop.furnace_by
    if not workshop.there:
        piece.miss_furnace = ", furnace: no such name"
    elif workshop.rates.furnace_rate is None:
        piece.miss_furnace = ", furnace: no cost yet"
    if by != "Bench minutes" and piece.piece_furnace_units is None:
        piece.miss_units = ", gathers" if by == "Gathers" else ", glass drawn"
    if piece.cost_gaffer is None:
        piece.miss_work = ", bench minutes" if row.minutes is None else ", the gaffer's rate"
    piece.piece_lacks = "".join(filter(None, (piece.miss_furnace, piece.miss_units, piece.miss_work)))
