"""The shop's side of the book, on top of one furnace or several: pieces, prices, lists, checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from meltbook.method.bills import BillsOfAll, check_bills
from meltbook.method.checks import Book, SheetFacts, run_checks
from meltbook.method.decisions import decide, publish_decisions
from meltbook.method.energy import FurnaceLog
from meltbook.method.hire import let_the_bench
from meltbook.method.looking_back import publish_looking_back
from meltbook.method.made import MadeOfAll, take_picture, what_was_made
from meltbook.method.melt_prices import publish_ladder
from meltbook.method.parts_left import parts_left
from meltbook.method.pieces import Workshop, cost_pieces
from meltbook.method.prices import price_pieces, publish_prices
from meltbook.method.ranking import make_lists
from meltbook.method.results import Results
from meltbook.method.side import Side
from meltbook.method.start import Todo, start_sheet
from meltbook.method.tariff import Tariff
from meltbook.method.tariff_change import Present, change_tariff, publish_change
from meltbook.method.workings import publish_workings
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import SOURCE_ENDS


@dataclass(slots=True)
class Together:
    """What the shop's side takes from several furnaces instead of from its one.

    ``workshops`` and ``afterwards`` have one for each prepared row of Pieces: what the piece is costed against
    now, and under the letters; ``unknown`` counts pieces whose furnace there is none of; ``further`` are the steps on
    Start with the further furnaces.
    """

    workshops: Sequence[Workshop]
    afterwards: Sequence[Workshop]
    any_after: bool
    unknown: int
    last_day: int | None
    made: MadeOfAll
    bills: BillsOfAll
    further: Sequence[Todo]


def put_together(
    side: Side, capacity: Capacity, facts: SheetFacts, together: Together | None = None, *, further: bool = False
) -> Results:
    """Every figure of a book of one furnace; with ``together``, of the first of several and of their shop.

    ``further`` says that it is a further furnace, of which only its own figures will be taken.
    """
    results = Results()
    studio, log, melt, rates, prices = side.studio, side.log, side.melt, side.rates, side.prices
    workshop = side.workshop
    pieces = cost_pieces(studio.pieces, capacity.pieces, workshop, together.workshops if together else None)
    pricing = price_pieces(pieces, studio.channels, studio.shop)
    lists = make_lists(pieces, pricing, studio.shop)
    hiring = let_the_bench(studio, capacity.courses, workshop, melt.window, pricing, lists)
    made = what_was_made(studio.shop, melt, rates, pieces, pricing, together.made if together else None)
    picture = take_picture(studio.shop, pieces, pricing, lists)

    present = Present(studio, melt, side.now, prices, side.yearly, workshop, pieces, pricing)
    if together:
        change = change_tariff(side.letter, present, together.afterwards, known=together.any_after)
    else:
        change = change_tariff(side.letter, present)
    bills = check_bills(
        studio.bills,
        capacity.bills,
        log,
        studio.shop.unexplained_limit,
        side.machines.sources,
        together.bills if together else None,
    )
    newest = side.tariff.tariff_newest
    decisions = decide(studio, melt, side.ledger, newest, side.now, prices, log.campaign_count, side.called)

    book = Book(
        studio, log, side.tariff, side.ledger, melt, pieces, pricing, lists, made, side.letter, decisions.pot.pot_row
    )
    book.further, book.sheets = further, side.called
    book.machines, book.equipment = side.machines.rows, side.equipment
    book.machines_unknown = side.machines.machines_unknown
    book.hiring = hiring
    if together:
        book.furnaces_unknown = together.unknown
    verdict = run_checks(book, facts)
    steps = side.first_steps
    start = start_sheet(book, prices, picture, steps, together.further if together else (), verdict)
    if together:
        start.start_last_entry = together.last_day

    for furnace_side in (log.meter, log, side.tariff, side.now, side.ledger, melt.spans, melt.shares, prices):
        results.take(furnace_side)
    of_bills = (bills.allowed, bills.first)
    for shop_side in (rates, lists, made, picture, verdict, start, steps, side.late, *of_bills, side.machines, hiring):
        results.take(shop_side)
    for furnace_rows in (log.kinds, log.rows, side.tariff.letters, side.ledger.kinds, side.ledger.parts, melt.periods):
        results.table(furnace_rows)
    for shop_rows in (side.glasses, side.equipment, pieces, lists.ranks, lists.ranking, lists.shelf, made.pieces):
        results.table(shop_rows)
    if bills.second:
        results.put(**{f"{name}{SOURCE_ENDS['Second']}": value for name, value in asdict(bills.second).items()})
    results.table(bills.rows)
    results.table(side.machines.rows)
    results.table(hiring.courses)
    if together:
        results.take(together.made)
        results.table([bill.together for bill in bills.rows if bill.together])
    for left in parts_left(side.ledger):
        results.table(left)
    results.table(verdict.checks)
    results.table(start.steps)
    results.column("overhead_yearly", side.yearly)
    publish_ladder(results, studio, melt, prices)
    publish_prices(results, pricing)
    publish_change(results, side.letter, change)
    publish_decisions(results, decisions)
    publish_looking_back(results, melt, log.campaign_count, decisions.lives, side.ledger.parts, studio.shop.weight_unit)
    publish_workings(results, book, rates, side.equipment, prices, picture)
    frame_columns(results, log, side.tariff)
    return results


def frame_columns(results: Results, log: FurnaceLog, tariff: Tariff) -> None:
    """What stands above the first row and below the last of columns that carry something along."""
    for name in ("row_kind", "energy_used", "energy_cost", "row_measured", "row_wear"):
        results.frame(name, seed=0, end=0)
    for name in ("next_day", "stretch_close", "days_since", "hot_since", "stretch_mix", "run_kind", "campaign_no"):
        results.frame(name, seed=0)
    results.frame("tariff_no", seed=0)
    results.frame("tariff_kept", seed=0)
    results.frame("part_order", seed=0)
    results.frame("reading_factor", seed=log.meter.starting_factor)
    results.frame("reading_base", seed=log.meter.starting_reading)
    results.frame("use_pending", seed=0, end=log.last_pending)
    results.frame("stretch_state", end=4)
    results.frame("use_per_day", end=0)
    results.frame("stretch_kind", end=0)

    last = tariff.letters[-1] if tariff.letters else None
    for name in (
        "tariff_key",
        "tariff_all_in",
        "tariff_integral",
        "tariff_standing",
        "tariff_standing_integral",
    ):
        results.frame(name, seed=0, end=getattr(last, name) if last else 0)
