"""The reference engine: a studio in, a value for every figure out.

This is the method a second time, in another shape than the workbook's: records are read one after the other,
gathered into stretches, campaigns and baskets, and each is worked out once. It shares nothing with the
workbook's formulas, so where both agree on every cell, both are probably right.

:func:`compute` does all of it. The chapters may be called on their own:

=================  ==============================================================================
``energy``         furnace days, meter readings shared over them, campaigns
``tariff``         what energy costs on which day
``wear``           pots, elements and what else wears out
``melt``           what the glass cost; ``melt_prices``: what it is expected to cost; ``glass``
``equipment``      glory hole, annealer; ``bench``: the rates that pieces are costed with
``pieces``         what a piece costs; ``prices``: its tag; ``ranking``: the lists; ``made``: what was made
``letter``         a letter from the utility that is not in force yet; ``late``: the logged rows that it reaches
``tariff_change``  what it does to rates, costs and tags; ``take_over``: acting on it
``decisions``      idle or cold, how long a campaign, when to change the pot; ``looking_back``: two pictures
``checks``         what needs a look; ``log_words``: what a row of the log says about itself
``start``          what to do next
=================  ==============================================================================
"""

from __future__ import annotations

from meltbook.method.bench import bench_rates, overheads_yearly
from meltbook.method.checks import Book, SheetFacts, run_checks
from meltbook.method.decisions import decide, publish_decisions
from meltbook.method.energy import FurnaceLog, mark_measured, read_log
from meltbook.method.equipment import equipment_costs
from meltbook.method.glass import charge_glass
from meltbook.method.late import mark_late
from meltbook.method.letter import read_letter
from meltbook.method.log_words import mark_rows
from meltbook.method.looking_back import publish_looking_back
from meltbook.method.made import take_picture, what_was_made
from meltbook.method.melt import read_melt
from meltbook.method.melt_prices import price_with, publish_ladder
from meltbook.method.pieces import Workshop, cost_pieces
from meltbook.method.prices import price_pieces, publish_prices
from meltbook.method.ranking import make_lists
from meltbook.method.results import Results, Value
from meltbook.method.start import start_sheet
from meltbook.method.take_over import retagged, taken_over
from meltbook.method.tariff import Tariff, price_rows, price_today, read_tariff
from meltbook.method.tariff_change import Present, change_tariff, publish_change
from meltbook.method.wear import read_ledger, wear_rows
from meltbook.method.workings import publish_workings
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

__all__ = ["Results", "SheetFacts", "Value", "compute", "retagged", "taken_over"]


def compute(studio: Studio, capacity: Capacity | None = None, *, facts: SheetFacts | None = None) -> Results:
    """Work out every figure of a studio's book.

    ``capacity`` says how many rows the book prepares; a table with more rows is as long as its rows.
    ``facts`` are faults that only a look at the sheet can find; without them the sheet is taken as sound.
    """
    capacity = capacity or Capacity()
    results = Results()

    log = read_log(studio, capacity.log)
    tariff = read_tariff(studio.tariffs, capacity.tariffs, studio.shop.price_limit)
    price_rows(log, tariff)
    mark_measured(log)
    letter = read_letter(studio.letter, tariff)
    late = mark_late(log, letter)
    now = price_today(studio.shop, log, tariff)

    ledger = read_ledger(studio, log, capacity.part_kinds, capacity.ledger, now.pricing_date_used)
    wear_rows(log, ledger)

    glasses = charge_glass(log, studio.glasses, capacity.glasses)
    melt = read_melt(studio, log, ledger, now, glasses, capacity.campaigns)
    mark_rows(log)
    prices = price_with(studio, melt, ledger, now)

    equipment = equipment_costs(studio.equipment, studio.shop.minutes_a_day)
    yearly = overheads_yearly(studio.overheads, capacity.overheads)
    rates = bench_rates(studio, melt, prices, yearly)
    workshop = Workshop(studio.shop, rates, equipment, glasses, prices, melt.shares)
    pieces = cost_pieces(studio.pieces, capacity.pieces, workshop)
    pricing = price_pieces(pieces, studio.channels, studio.shop)
    lists = make_lists(pieces, pricing, studio.shop)
    made = what_was_made(studio.shop, melt, rates, pieces, pricing)
    picture = take_picture(studio.shop, pieces, pricing, lists)

    present = Present(studio, melt, now, prices, yearly, workshop, pieces, pricing)
    change = change_tariff(letter, present)

    decisions = decide(studio, melt, ledger, now, prices, log.campaign_count)

    book = Book(studio, log, tariff, ledger, melt, pieces, pricing, lists, made, letter, decisions.pot.pot_row)
    verdict = run_checks(book, facts or SheetFacts())
    start = start_sheet(book, prices, picture)

    for furnace_side in (log.meter, log, tariff, now, ledger, melt.spans, melt.shares, prices):
        results.take(furnace_side)
    for shop_side in (rates, lists, made, picture, verdict, start, late):
        results.take(shop_side)
    for furnace_rows in (log.kinds, log.rows, tariff.letters, ledger.kinds, ledger.parts, melt.periods):
        results.table(furnace_rows)
    for shop_rows in (glasses, equipment, pieces, lists.ranks, lists.ranking, lists.shelf, made.pieces):
        results.table(shop_rows)
    results.table(verdict.checks)
    results.table(start.steps)
    results.column("overhead_yearly", yearly)
    publish_ladder(results, studio, melt, prices)
    publish_prices(results, pricing)
    publish_change(results, letter, change)
    publish_decisions(results, decisions)
    publish_looking_back(results, melt, log.campaign_count, decisions.lives, ledger.parts, studio.shop.weight_unit)
    publish_workings(results, book, rates, equipment, prices, picture)
    _frame_columns(results, log, tariff)
    return results


def _frame_columns(results: Results, log: FurnaceLog, tariff: Tariff) -> None:
    """What stands above the first row and below the last of columns that carry something along."""
    for name in ("row_kind", "energy_used", "energy_cost", "row_measured", "row_wear"):
        results.frame(name, seed=0, end=0)
    for name in ("next_day", "stretch_close", "days_since", "stretch_mix", "run_kind", "campaign_no"):
        results.frame(name, seed=0)
    results.frame("tariff_no", seed=0)
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
