"""Several furnaces and a second source: each furnace as a studio of its own, and what all of them make together.

A furnace of several is worked out as the only one of a studio that has its meter, its log and its parts, and the
shop's people, glasses and pieces. Of its source's service and demand charges that studio pays the furnace's part. So
nothing about a furnace is written a second time; what pieces, bills and the owner take from all of them is in
``all_furnaces``.
"""

from __future__ import annotations

from collections.abc import Sequence

from meltbook.method.all_furnaces import (
    by_letter,
    by_piece,
    by_source,
    compare,
    count_checks,
    furnace_of_each_piece,
    letters_of_both,
    made_of_all,
    present_of,
    sum_of_known,
    workshops_of_pieces,
)
from meltbook.method.arithmetic import Maybe, flag
from meltbook.method.bills import BillsOfAll
from meltbook.method.bills import Together as BillsTogether
from meltbook.method.checks import CHECKS, Check, SheetFacts
from meltbook.method.letter import LetterRates
from meltbook.method.machines import work_out_machines
from meltbook.method.one_of_several import furnaces_of, of_its_own, pricing_day, source_side, sources_of
from meltbook.method.results import Results, figure_names
from meltbook.method.shop_side import Together, put_together
from meltbook.method.side import Side, furnace_side, price_of
from meltbook.method.tariff import Letter as Dated
from meltbook.method.tariff import TariffNow
from meltbook.method.tariff_change import rates_under
from meltbook.method.whose import further_steps, name_sheets
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import SOURCE_ENDS, name_ends
from meltbook.studio.model import Studio

OF_A_FURNACE = frozenset(
    [
        "log_kinds",
        "log_numbers",
        "log_dates",
        "log_gaps",
        "readings_back",
        "meter_hours",
        "gas_factor",
        "meter_change",
        "use_unplaced",
        "tariff_cover",
        "charges_asked",
        "waiting",
        "glass_names",
        "part_rows",
        "log_formulas",
        "log_rows",
        "use_adds_up",
        "cost_adds_up",
        "days_add_up",
        "wear_adds_up",
        "campaigns_add_up",
        "ladder_adds_up",
        "pricing_adds_up",
        "shop_numbers",
        "inputs_missing",
        "unknown_names",
        "log_room",
        "below_last",
    ]
)
OF_A_SOURCE = frozenset(
    [
        *("tariff_order", "tariff_shares", "tariff_size", "tariff_block"),
        *("tariff_adds_up", "shop_numbers", "letter_size", "tariff_dropped"),
    ]
)
"""The checks that are made again for a further furnace, and for the second source."""
NEEDS_OF_A_FURNACE = (0, 1, 4, 6)
NUMBERS_OF_A_FURNACE = 13
NUMBERS_OF_A_SOURCE = 10
"""So many groups of cells that must hold numbers are typed for a furnace, and for a source."""

SOURCE_FIGURES = ("price_before", "price_after", "standing_day_before", "standing_day_after")
CARRIED_COLUMNS = ("tariff_standing", "tariff_standing_change", "tariff_standing_integral")
CARRIED_FIGURES = ("standing_now", "base_standing", "new_standing")


def compute_all(studio: Studio, capacity: Capacity, facts: SheetFacts) -> Results:
    """Every figure of a studio with one furnace, or with several."""
    if not studio.more_furnaces:
        return put_together(furnace_side(studio, capacity), capacity, facts)
    day = pricing_day(studio)
    furnaces = furnaces_of(studio, capacity, day)
    sources: dict[str, Side] = {name: source_side(studio, capacity, name, day) for name in sources_of(studio)}
    prices = {name: price_of(side.now, side.letter) for name, side in sources.items()}
    machines = work_out_machines(studio.machines, capacity.machines, prices, studio.shop.minutes_a_day)
    sides = [furnace_side(furnace.studio, furnace.capacity, machines, furnace.sheets) for furnace in furnaces]
    presents = [present_of(side) for side in sides]
    afterwards = [rates_under(side.letter, present)[2] for side, present in zip(sides, presents, strict=True)]

    letters = {furnace.source: side.letter.letter_given for furnace, side in zip(furnaces, sides, strict=True)}
    if studio.second_source is None:
        letters.pop("Second", None)
    given = sum(letters.values())
    then: list[Maybe] = [None] * len(sides)
    if given:
        then = [
            after.furnace_rate if side.letter.letter_given else side.rates.furnace_rate
            for side, after in zip(sides, afterwards, strict=True)
        ]
    minutes = sum_of_known(side.rates.rate_minute for side in sides)
    minutes_after = sum_of_known(then)
    by_minutes = studio.shop.furnace_by == "Bench minutes"
    rates = [minutes if by_minutes else side.rates.furnace_rate for side in sides]
    rates_after = [minutes_after if by_minutes else rate for rate in then]

    places = furnace_of_each_piece(studio.pieces, capacity.pieces, [furnace.title for furnace in furnaces])
    next_day = max(row.next_day for side in sides for row in side.log.rows)
    together = Together(
        workshops=workshops_of_pieces(places, sides, [side.rates for side in sides], rates),
        afterwards=workshops_of_pieces(places, sides, afterwards, rates_after),
        any_after=any(after.furnace_rate is not None for after in afterwards),
        unknown=sum(place == 0 for place in places),
        last_day=next_day - 1 if next_day else None,
        made=made_of_all(studio, sides),
        further=further_steps([furnace.title for furnace in furnaces], sides, sources),
        bills=BillsOfAll(
            [(furnace.source, side.log) for furnace, side in zip(furnaces, sides, strict=True)],
            two=studio.second_source is not None,
        ),
    )
    results = put_together(sides[0], capacity, facts, together)
    _carry(results)
    _restore_source(results, of_its_own(sources["First"], capacity, "First"))
    ends = name_ends(len(sides))
    for place, (end, furnace, side) in enumerate(zip(ends[1:], furnaces[1:], sides[1:], strict=True)):
        own = put_together(side, furnace.capacity, facts.of_further(place), further=True)
        _append(results, _of_a_furnace(own), end)
    if studio.second_source:
        own = of_its_own(sources["Second"], capacity, "Second")
        _append(results, _of_a_source(own, used=results.scalars["log_rows_used"] != 0), SOURCE_ENDS["Second"])

    results.put(furnaces_unknown=together.unknown)
    if studio.second_source:
        results.put(
            machines_strange=0, bills_strange=0, sources_unknown=0
        )  # a studio's sources are First or Second, or it isn't read
    results.put(logs_next_day=next_day, minutes_rate=minutes, minutes_rate_after=minutes_after)
    results.put(any_rate_after=1 if together.any_after else None, letters_given=given)
    results.put(**{f"rate_then{end}": rate for end, rate in zip(ends, then, strict=True)})
    compare(results, studio, furnaces, rates, rates_after)
    by_letter(results, furnaces)
    name_sheets(results, studio, sides)
    by_piece(results, studio.pieces, places)
    if studio.second_source:
        by_source(results, studio, machines, prices)
        letters_of_both(results)
    lists = dict.fromkeys(ends[1:], OF_A_FURNACE) | (
        {SOURCE_ENDS["Second"]: OF_A_SOURCE} if studio.second_source else {}
    )
    asked = {end: [key for key in CHECKS if key in keys] for end, keys in lists.items()}
    count_checks(results, studio, {"": CHECKS, **asked})
    return results


# --------------------------------------------------------------------------------------- what is put in the book


def _carry(results: Results) -> None:
    """The first furnace's part of its source's standing charges, beside the whole."""
    for name in CARRIED_COLUMNS:
        results.column(f"{name}_first", results.columns[name])
        for edges in (results.seeds, results.ends):
            if name in edges:
                edges[f"{name}_first"] = edges[name]
    results.put(**{f"{name}_first": results.scalars[name] for name in CARRIED_FIGURES})


def _restore_source(results: Results, whole: Results) -> None:
    """The first source's own figures are those of all its furnaces, not of the first one's part."""
    for name in (*figure_names(TariffNow), *figure_names(LetterRates), *SOURCE_FIGURES):
        results.scalars[name] = whole.scalars[name]
    for name in (*figure_names(Dated), "letter_case", "start_again"):
        results.columns[name] = whole.columns[name]
        for mine, theirs in ((results.seeds, whole.seeds), (results.ends, whole.ends)):
            if name in theirs:
                mine[name] = theirs[name]
    for name in ("pair_one", "pair_other", "pair_apart"):
        for row in whole.groups["tariff_adds_up"]:
            results.columns[name][row] = whole.columns[name][row]


def _append(results: Results, own: Results, end: str) -> None:
    """Another furnace's or source's figures, under names that end so."""
    for mine, theirs in ((results.scalars, own.scalars), (results.seeds, own.seeds), (results.ends, own.ends)):
        mine.update({f"{name}{end}": value for name, value in theirs.items()})
    results.columns.update({f"{name}{end}": values for name, values in own.columns.items()})


def _of_a_furnace(own: Results) -> Results:
    """Of the lists of checks only what a further furnace is asked."""
    pairs = [row for check, rows in own.groups.items() if check in OF_A_FURNACE for row in rows]
    own.columns["need_missing"] = [own.columns["need_missing"][row] for row in NEEDS_OF_A_FURNACE]
    own.columns["number_texts"] = [0] * NUMBERS_OF_A_FURNACE
    own.columns["number_bad"] = [0] * NUMBERS_OF_A_FURNACE
    return _some_checks(own, OF_A_FURNACE, pairs)


def _of_a_source(own: Results, *, used: bool) -> Results:
    """Of the second source's figures what it is asked.

    ``used``: the book has a log by now, and so needs a tariff of this source.
    """
    for name in figure_names(BillsTogether):
        del own.scalars[name]  # the bills of both sources stand in one table, and are summed up there
    own.columns["need_missing"] = [flag(used and own.scalars["tariff_newest"] is None)]
    own.columns["number_texts"] = [0] * NUMBERS_OF_A_SOURCE
    own.columns["number_bad"] = [0] * NUMBERS_OF_A_SOURCE
    return _some_checks(own, OF_A_SOURCE, list(own.groups["tariff_adds_up"]))


def _some_checks(own: Results, asked: frozenset[str], pairs: Sequence[int]) -> Results:
    for name in ("pair_one", "pair_other", "pair_apart"):
        own.columns[name] = [own.columns[name][row] for row in pairs]
    for name in figure_names(Check):
        own.columns[name] = [value for key, value in zip(CHECKS, own.columns[name], strict=True) if key in asked]
    return own
