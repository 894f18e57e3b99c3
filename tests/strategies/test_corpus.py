"""The generated studios come as far as every figure and every word that a book can show.

Cells that are blank agree in every program, so studios in which nothing ever comes to a price would prove little.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache

import pytest

from meltbook.method import Results, compute
from meltbook.method.bills import EXPLAINED, MORE_BILLED, MORE_COUNTED, ROWS_WAIT
from meltbook.method.constants import AT_A_LOSS, FAULT_WORDS, FLOW_WORDS, NO_TAG
from meltbook.method.courses import (
    NEVER_ENOUGH,
    NO_NUMBER,
    NOBODY_PAYS,
    TYPE_OPEN_HOURS,
    TYPE_PRICE,
    TYPE_SEATS,
)
from meltbook.method.courses import TYPE_HOURS as TYPE_CLASS_HOURS
from meltbook.method.machines import (
    CHOOSE,
    COUNTED,
    TYPE_ENERGY,
    TYPE_HOURS,
    TYPE_LIFE,
    TYPE_MINUTES,
    TYPE_RUNS,
    TYPE_TARIFF,
)
from meltbook.method.results import Value
from meltbook.method.start import NOTHING_MISSING
from meltbook.studio.capacity import CHANNEL_SLOTS
from meltbook.studio.model import Studio
from meltbook.units import BILLED_KILOJOULES
from tests.strategies.studios import SMALL, corpus, corpus_studio

COUNT = 200
ENOUGH = 3
"""So many studios at least have to show a figure, or be in a situation."""

ONLY_IF_TYPED_OVER = {
    "checks_begun",
    "checks_calm",
    "checks_total",
    "log_cells",
    "number_bad",
    "number_texts",
    "row_number_fault",
    "row_bad_numbers",
    "rank_off",
    "shelf_off",
    "tag_off",
    "ranking_strange",
    "list_strange",
    "machines_unknown",
}
"""Figures that stay as they are until somebody types over a formula, or a text where a number belongs, or a word that
is on no list; and what is said of a book in which something is typed, as in each of these.
"""


@cache
def computed() -> tuple[tuple[Studio, Results], ...]:
    return tuple((studio, compute(studio, SMALL)) for studio in corpus(COUNT))


def values(results: Results) -> Iterator[tuple[str, list[Value]]]:
    yield from ((name, [value]) for name, value in results.scalars.items())
    yield from results.columns.items()


def test_studios_are_the_same_every_time_and_no_two_are_alike() -> None:
    again = corpus_studio.__wrapped__(17)
    assert again == corpus_studio(17)
    assert len({studio.model_dump_json() for studio, _ in computed()}) == COUNT
    assert {len(studio.log) for studio, _ in computed()} >= {0, 1, SMALL.log}


def test_every_figure_is_shown_and_moves() -> None:
    shown: Counter[str] = Counter()
    found: dict[str, set[Value]] = {}
    for _, results in computed():
        for name, cells in values(results):
            found.setdefault(name, set()).update(cells)
            shown[name] += any(value not in (None, "") for value in cells)
    assert {name for name, cells in found.items() if len(cells) == 1} == ONLY_IF_TYPED_OVER
    # A sixth way of selling that must earn, under a letter that can be priced, is asked for once.
    assert [name for name in found if shown[name] < (1 if name == "after_six" else ENOUGH)] == []


def test_most_studios_have_something_to_sell_and_some_a_list() -> None:
    def studios_with(name: str) -> int:
        return sum(any(isinstance(value, float) for value in results.columns[name]) for _, results in computed())

    assert studios_with("tag_suggested") > COUNT * 0.4
    assert studios_with("list_tag") > COUNT / 10


def test_every_word_is_said() -> None:
    said: Counter[Value] = Counter()
    for _, results in computed():
        said.update({value for _, cells in values(results) for value in cells if isinstance(value, str)})
    # A text where a number or a date belongs can't be in a studio; the unit tests of the formulas have it.
    words = {AT_A_LOSS, NO_TAG, *FAULT_WORDS, *FLOW_WORDS, "OK", "LOOK", "NOTE"} - {
        FAULT_WORDS[1],
        "A date belongs here",
    }
    words |= {ROWS_WAIT, EXPLAINED, MORE_BILLED, MORE_COUNTED}
    words |= {COUNTED, CHOOSE, TYPE_ENERGY, TYPE_TARIFF, TYPE_LIFE, TYPE_RUNS, TYPE_MINUTES, TYPE_HOURS}
    words |= {NO_NUMBER, TYPE_SEATS, TYPE_CLASS_HOURS, TYPE_OPEN_HOURS, NOBODY_PAYS, TYPE_PRICE, NEVER_ENOUGH}
    assert sorted(word for word in words if said[word] < ENOUGH) == []


Situation = Callable[[Studio, Results], bool]


def _log(studio: Studio) -> list[str | None]:
    return [row.kind for row in studio.log if row.kind]


def _billed_in(unit: str) -> Situation:
    return lambda studio, _: studio.shop.energy_unit == unit


def _between(results: Results, part: str, paid: str) -> bool:
    """Whether some machine takes a part of the pieces, but not all of them."""
    parts = zip(results.columns[part], results.columns[paid], strict=True)
    return any(isinstance(each, float) and 0 < each < 1 and bool(by) for each, by in parts)


def _said(results: Results, words: str) -> bool:
    """Whether what is said of some class begins so."""
    return any(str(says).startswith(words) for says in results.columns["course_says"])


def _used(results: Results) -> int:
    return results.columns["channel_used"].count(1)


def _sold_in(results: Results, row: int) -> int:
    return sum(results.columns[f"sells_{slot}"][row] == 1 for slot in CHANNEL_SLOTS)


def _tagged(results: Results) -> list[int]:
    """The rows of pieces that have a tag."""
    return [row for row, tag in enumerate(results.columns["tag_in_force"]) if tag is not None]


SITUATIONS: dict[str, Situation] = {
    "a log of one row": lambda studio, _: len(_log(studio)) == 1,
    "no log": lambda studio, _: not _log(studio),
    "a log without charges": lambda studio, _: bool(_log(studio)) and "Charge" not in _log(studio),
    "a weight of 0": lambda studio, _: any(row.weight == 0 for row in studio.log),
    "all rows wait for a reading": lambda _, results: (
        results.scalars["waiting_rows"] == results.scalars["log_rows_used"] != 0
    ),
    "a blank row in the middle": lambda studio, _: any(
        row.kind is None and one.kind and other.kind
        for one, row, other in zip(studio.log, studio.log[1:], studio.log[2:], strict=False)
    ),
    "a leap day": lambda _, results: 45351 in results.columns["first_day"],
    "a row of 0 days": lambda studio, _: any(row.days == 0 for row in studio.log),
    "an hour meter": lambda studio, _: studio.furnace.meter_kind == "Hour meter",
    "a kWh meter": lambda studio, _: studio.furnace.meter_kind == "kWh meter",
    "a gas meter": lambda studio, _: studio.furnace.meter_kind == "Gas meter",
    "a count that is billed as less": lambda studio, results: (
        studio.furnace.billing_factor == 0.3 and results.scalars["starting_factor"] == 0.3
    ),
    **{f"billed in {unit}": _billed_in(unit) for unit in BILLED_KILOJOULES},
    "gas whose heat isn't known": lambda _, results: results.scalars["heat_in_unit"] is None,
    "no meter": lambda studio, _: studio.furnace.meter_kind == "No meter",
    "a new meter with its reading": lambda studio, _: any(
        row.kind == "New meter" and row.reading is not None for row in studio.log
    ),
    "a new meter without its reading": lambda studio, _: any(
        row.kind == "New meter" and row.reading is None for row in studio.log
    ),
    "elements with another kW": lambda studio, _: any(row.kind == "New meter" and row.new_kw for row in studio.log),
    "kinds of day that weigh differently": lambda _, results: results.scalars["weights_differ"] == 1,
    "no tariff": lambda studio, _: not studio.tariffs,
    "letters of the same date or out of order": lambda _, results: 1 in results.columns["tariff_bad_order"],
    "times of use": lambda studio, _: any(row.share_three for row in studio.tariffs),
    "shares that don't add up": lambda _, results: 1 in results.columns["tariff_bad_share"],
    "a demand charge": lambda studio, _: any(row.demand and row.demand_kw for row in studio.tariffs),
    "a service charge by the day": lambda studio, _: any(
        row.service and row.service_per == "Day" for row in studio.tariffs
    ),
    "a row over a change of price": lambda _, results: (
        results.columns["tariff_first"] != results.columns["tariff_last"]
    ),
    "an unknown glass": lambda _, results: 0 in results.columns["piece_glass_row"],
    "an unknown part": lambda _, results: 1 in results.columns["part_fault"],
    "a part retired before it was used": lambda _, results: any(
        value > 0 for value in results.columns["part_unused_cost"] if isinstance(value, float)
    ),
    "three lives of a kind": lambda _, results: any(
        value >= 3 for value in results.columns["kind_of_part_retired"] if isinstance(value, int)
    ),
    "wear as paid": lambda studio, _: studio.wear.wear_method == "Paid",
    "wear not counted": lambda studio, _: studio.wear.wear_counted == "None",
    "nearly everything is lost": lambda studio, _: any(piece.loss and piece.loss > 0.9 for piece in studio.pieces),
    "a way of selling that takes everything": lambda studio, _: any(
        row.name and (row.commission or 0) + (row.fee or 0) >= 1 for row in studio.channels
    ),
    "refunds": lambda studio, _: any(row.lost_share and row.lost_how == "Refunded" for row in studio.channels),
    "a fee on the tag with tax": lambda studio, _: any(
        row.fee and row.fee_base == "Tag with tax" for row in studio.channels
    ),
    "a piece that isn't sold in some way": lambda _, results: any(
        _sold_in(results, row) not in (0, _used(results)) for row in _tagged(results)
    ),
    "a piece sold nowhere": lambda _, results: 1 in results.columns["sold_nowhere_row"],
    "a piece that isn't sold where a tag must earn": lambda _, results: any(
        results.columns["must_here"][row] == 0 and results.scalars["must_count"] for row in _tagged(results)
    ),
    "a piece that isn't sold where no tag can do it": lambda _, results: any(
        results.columns["must_stuck"][row] == 0 and results.scalars["must_blocked"] for row in _tagged(results)
    ),
    "a piece that isn't sold in the way of the ranking": lambda _, results: any(
        results.columns["rank_sold"][row] == 0 and results.scalars["rank_factor"] is not None
        for row in _tagged(results)
    ),
    "a tag that loses money in one way of selling": lambda _, results: 1 in results.columns["losing_ways"],
    "a tag that loses money in several": lambda _, results: any(
        isinstance(ways, int) and ways > 1 for ways in results.columns["losing_ways"]
    ),
    "tax inside the tag": lambda studio, _: studio.shop.tax_inside == "Yes" and bool(studio.shop.sales_tax),
    "steps of 0.05": lambda studio, _: studio.shop.tag_step == 0.05,
    "steps of 5": lambda studio, _: studio.shop.tag_step == 5,
    "an ending": lambda studio, _: bool(studio.shop.tag_ending),
    "by gathers": lambda studio, _: studio.shop.furnace_by == "Gathers",
    "by bench minutes": lambda studio, _: studio.shop.furnace_by == "Bench minutes",
    "between dates": lambda _, results: (
        isinstance(results.columns["step_hot"][1], float)
        and results.columns["step_hot"][1] != results.columns["step_hot"][0]
    ),
    "a window shorter than the log": lambda _, results: (
        isinstance(results.scalars["window_first"], int)
        and results.columns["period_rows"][0] != results.columns["period_rows"][2]
    ),
    "priced before the log": lambda studio, results: (
        studio.shop.pricing_date is not None
        and results.scalars["log_last_day"] is not None
        and results.columns["period_rows"][0] != 0
        and results.scalars["window_first"] is None
    ),
    "priced on a leap day": lambda studio, _: studio.shop.pricing_date == date(2024, 2, 29),
    "more campaigns than prepared": lambda _, results: (
        isinstance(results.scalars["campaign_count"], int) and results.scalars["campaign_count"] > SMALL.campaigns
    ),
    "a bill that cuts a row": lambda _, results: any(
        isinstance(days, float) and days > 0 for days in results.columns["bill_before_days"]
    ),
    "a bill of nothing": lambda studio, _: any(bill.use == 0 and bill.start and bill.end for bill in studio.bills),
    "bills that overlap": lambda studio, _: any(
        one.end and other.start and one.start and one.start <= other.start <= one.end
        for one, other in zip(studio.bills, studio.bills[1:], strict=False)
    ),
    "a bill that ends before it begins": lambda studio, _: any(
        bill.start and bill.end and bill.end < bill.start for bill in studio.bills
    ),
    "no bills": lambda studio, _: not studio.bills,
    "no machines": lambda studio, _: not studio.machines,
    "as many machines as there is room for": lambda studio, _: len(studio.machines) == SMALL.machines,
    "machines that share the loads": lambda _, results: _between(results, "machine_part", "machine_a_load"),
    "machines that share the minutes": lambda _, results: _between(results, "machine_part", "machine_a_minute"),
    "a machine on a price of its own": lambda studio, _: any(row.name and row.price for row in studio.machines),
    "a machine with its own meter": lambda studio, _: any(row.metered and row.metered_runs for row in studio.machines),
    "a machine without a name": lambda _, results: 1 in results.columns["machine_nameless"],
    "machines that don't say how often they run": lambda _, results: 1 in results.columns["machine_runs_missing"],
    "equipment typed twice": lambda _, results: 1 in results.columns["equipment_twice"],
    "a letter that moves machines": lambda _, results: any(
        isinstance(more, float) and more != 0 for more in results.columns["piece_more_kiln"]
    ),
    "a bill that takes the machines": lambda studio, results: any(
        used and bill.estimated is None
        for bill, used in zip(studio.bills, results.columns["bill_estimate_used"], strict=False)
    ),
    "nothing is let and nothing taught": lambda studio, _: not studio.hire.model_fields_set and not studio.courses,
    "an hour that no price can carry": lambda _, results: results.scalars["hire_ask"] == NO_TAG,
    "an hour let at a loss": lambda _, results: results.scalars["hire_margin_now"] == AT_A_LOSS,
    "open hours of which none is sold": lambda _, results: (
        results.scalars["hire_open_hour"] is not None and results.scalars["hire_hour"] is None
    ),
    "an open hour with nothing missing": lambda _, results: (
        results.scalars["hire_open_hour"] is not None and results.scalars["hire_missing"] is None
    ),
    "equipment that burns all day, and more while somebody works": lambda _, results: any(
        isinstance(all_day, float) and isinstance(minute, float) and 0 < all_day < minute
        for all_day, minute in zip(
            results.columns["equipment_day_minute"], results.columns["equipment_minute"], strict=True
        )
    ),
    "a class without a name": lambda _, results: 1 in results.columns["course_nameless"],
    "a class that no price can carry": lambda _, results: NO_TAG in results.columns["course_ask"],
    "a class at a loss": lambda _, results: AT_A_LOSS in results.columns["course_margin_now"],
    "a class with seats enough": lambda _, results: _said(results, "Breaks even with"),
    "a class with too few seats": lambda _, results: _said(results, "Needs "),
    "a class that breaks even without anybody": lambda _, results: 0 in results.columns["course_even"],
    "yen": lambda studio, _: studio.shop.currency == "JPY",
    "dinars of three digits": lambda studio, _: studio.shop.currency == "KWD",
    "a step finer than the smallest coin": lambda _, results: results.scalars["tags_on_grid"] == 0,
    "all checks pass but for room": lambda _, results: results.scalars["checks_failing"] == 1,
    "nothing missing": lambda _, results: results.scalars["step_waiting"] == NOTHING_MISSING,
}


@pytest.mark.parametrize("name", SITUATIONS)
def test_situations_occur(name: str) -> None:
    assert sum(bool(SITUATIONS[name](studio, results)) for studio, results in computed()) >= ENOUGH
