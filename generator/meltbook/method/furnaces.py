"""Several furnaces and a second source: each furnace as a studio of its own, and what all of them make together.

A furnace of several is worked out as the only one of a studio that has its meter, its log and its parts, and the
shop's people, glasses and pieces. Of its source's service and demand charges that studio pays the furnace's part. So
nothing about a furnace is written a second time; only what pieces, bills and the owner take from all of them is here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from meltbook.method.arithmetic import Maybe, calendar, flag, in_words, opt, over, plus, times, total
from meltbook.method.bench import Rates
from meltbook.method.bills import BillsOfAll
from meltbook.method.bills import Together as BillsTogether
from meltbook.method.called import Called, called
from meltbook.method.checks import CHECKS, Check, SheetFacts, state_words
from meltbook.method.constants import MONTHS_IN_YEAR
from meltbook.method.energy import last_day_logged
from meltbook.method.letter import LetterRates
from meltbook.method.machines import Machines, UnitPrice, work_out_machines
from meltbook.method.made import MadeOfAll, furnace_meanwhile
from meltbook.method.pieces import Workshop
from meltbook.method.prices import Pricing
from meltbook.method.results import Results, Value, figure_names
from meltbook.method.shop_side import Together, put_together
from meltbook.method.side import Side, furnace_side, price_of
from meltbook.method.start import what_next
from meltbook.method.tariff import Letter as Dated
from meltbook.method.tariff import TariffNow
from meltbook.method.tariff_change import NO_LETTER, Present, rates_under
from meltbook.method.whose import further_steps, name_sheets
from meltbook.studio.billing import billed
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import FURNACE_TABLES, SOURCE_ENDS, MoreFurnace, Place, Source, name_ends, titles
from meltbook.studio.model import Studio
from meltbook.studio.pieces import Piece
from meltbook.studio.tariff import TariffRow

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
SOURCE_NUMBERS: dict[Source, int] = {"First": 1, "Second": 2}
CARRIED_COLUMNS = ("tariff_standing", "tariff_standing_change", "tariff_standing_integral")
CARRIED_FIGURES = ("standing_now", "base_standing", "new_standing")


@dataclass(frozen=True, slots=True)
class Furnace:
    """One of several: its place, its source, the part it carries of what comes whatever is used, and its studio."""

    title: str
    source: Source
    part: float
    studio: Studio
    capacity: Capacity
    sheets: Called


def compute_all(studio: Studio, capacity: Capacity, facts: SheetFacts) -> Results:
    """Every figure of a studio with one furnace, or with several."""
    if not studio.more_furnaces:
        return put_together(furnace_side(studio, capacity), capacity, facts)
    day = _pricing_day(studio)
    furnaces = _furnaces(studio, capacity, day)
    sources: dict[str, Side] = {name: _source_side(studio, capacity, name, day) for name in _sources(studio)}
    prices = {name: price_of(side.now, side.letter) for name, side in sources.items()}
    machines = work_out_machines(studio.machines, capacity.machines, prices, studio.shop.minutes_a_day)
    sides = [furnace_side(furnace.studio, furnace.capacity, machines, furnace.sheets) for furnace in furnaces]
    presents = [_present(side) for side in sides]
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
    minutes = _known(side.rates.rate_minute for side in sides)
    minutes_after = _known(then)
    by_minutes = studio.shop.furnace_by == "Bench minutes"
    rates = [minutes if by_minutes else side.rates.furnace_rate for side in sides]
    rates_after = [minutes_after if by_minutes else rate for rate in then]

    places = _places(studio.pieces, capacity.pieces, [furnace.title for furnace in furnaces])
    next_day = max(row.next_day for side in sides for row in side.log.rows)
    together = Together(
        workshops=_each(places, sides, [side.rates for side in sides], rates),
        afterwards=_each(places, sides, afterwards, rates_after),
        any_after=any(after.furnace_rate is not None for after in afterwards),
        unknown=sum(place == 0 for place in places),
        last_day=next_day - 1 if next_day else None,
        made=_made(studio, sides),
        further=further_steps([furnace.title for furnace in furnaces], sides, sources),
        bills=BillsOfAll(
            [(furnace.source, side.log) for furnace, side in zip(furnaces, sides, strict=True)],
            two=studio.second_source is not None,
        ),
    )
    results = put_together(sides[0], capacity, facts, together)
    _carry(results)
    _restore_source(results, _of_its_own(sources["First"], capacity, "First"))
    ends = name_ends(len(sides))
    for place, (end, furnace, side) in enumerate(zip(ends[1:], furnaces[1:], sides[1:], strict=True)):
        own = put_together(side, furnace.capacity, facts.of_further(place), further=True)
        _append(results, _of_a_furnace(own), end)
    if studio.second_source:
        own = _of_its_own(sources["Second"], capacity, "Second")
        _append(results, _of_a_source(own, used=results.scalars["log_rows_used"] != 0), SOURCE_ENDS["Second"])

    results.put(furnaces_unknown=together.unknown)
    if studio.second_source:
        results.put(
            machines_strange=0, bills_strange=0, sources_unknown=0
        )  # a studio's sources are First or Second, or it isn't read
    results.put(logs_next_day=next_day, minutes_rate=minutes, minutes_rate_after=minutes_after)
    results.put(any_rate_after=1 if together.any_after else None, letters_given=given)
    results.put(**{f"rate_then{end}": rate for end, rate in zip(ends, then, strict=True)})
    _compare(results, studio, furnaces, rates, rates_after)
    _by_letter(results, furnaces)
    name_sheets(results, studio, sides)
    _by_piece(results, studio.pieces, places)
    if studio.second_source:
        _by_source(results, studio, machines, prices)
        _letters_of_both(results)
    _count_checks(results, studio)
    return results


# ------------------------------------------------------------------------------------------- each by itself


def _pricing_day(studio: Studio) -> dict[str, object]:
    """The one day on which all furnaces are priced: as typed, else the last one that any log reaches."""
    if studio.shop.pricing_date is not None:
        return {}
    views = [studio, *(studio.model_copy(update=_own_parts(more)) for more in studio.more_furnaces)]
    last = max((day for view in views if (day := last_day_logged(view)) is not None), default=None)
    return {} if last is None else {"pricing_date": calendar(last)}


def _own_parts(more: MoreFurnace) -> dict[str, object]:
    """What a further furnace's studio has in place of the first one's."""
    return {name: getattr(more, name) for name in ("furnace", "wear", "decisions", *FURNACE_TABLES)}


def _furnaces(studio: Studio, capacity: Capacity, day: dict[str, object]) -> list[Furnace]:
    names = titles(studio.places)
    sources = studio.furnace_sources
    found = []
    for number, (place, source) in enumerate(zip(studio.places, sources, strict=True), start=1):
        part = 1 / sources.count(source) if place.standing_part is None else place.standing_part
        shop, parts = dict(day), dict[str, object]()
        if number > 1:
            more = studio.more_furnaces[number - 2]
            shop |= {key: getattr(more.melt, key) for key in type(more.melt).model_fields}
            parts = _own_parts(more)
        view = _on_source(studio, source, shop)
        rows = tuple(_carried(row, part) for row in view.tariffs)
        one = view.model_copy(update={**parts, "tariffs": rows})
        sheets = called(number, SOURCE_NUMBERS[source])
        found.append(Furnace(names[number - 1], source, part, one, _capacity_of(capacity, number, source), sheets))
    return found


def _capacity_of(capacity: Capacity, number: int, source: Source) -> Capacity:
    """The rows of a furnace's studio: its own tables, and its source's."""
    own = capacity.of_furnace(number - 1) if number > 1 else replace(capacity, more=())
    return replace(own, tariffs=capacity.of_second_source().tariffs) if source == "Second" else own


def _on_source(studio: Studio, source: Source, shop: dict[str, object]) -> Studio:
    """The studio with one of the two sources as its only one, and no further furnaces."""
    billing = billed(studio, source if studio.second_source else "First")
    shop = {**shop, "energy_unit": billing.energy_unit, "price_limit": billing.price_limit}
    return studio.model_copy(
        update={
            **{"more_furnaces": (), "second_source": None, "place": Place()},
            **{"tariffs": billing.tariffs, "letter": billing.letter},
            "shop": studio.shop.model_copy(update=shop),
        }
    )


def _carried(row: TariffRow, part: float) -> TariffRow:
    """A row of the tariff with a furnace's part of what comes whatever is used."""
    service = part * (1 if row.service_share is None else row.service_share)
    demand = part * (1 if row.demand_share is None else row.demand_share)
    return row.model_copy(update={"service_share": service, "demand_share": demand})


def _source_side(studio: Studio, capacity: Capacity, source: Source, day: dict[str, object]) -> Side:
    """A source whole: the side of a studio on it that has its machines, and has logged nothing."""
    two = studio.second_source is not None
    theirs = tuple(row for row in studio.machines if not two or (row.source or "First") == source)
    bare = {"log": (), "ledger": (), "pieces": (), "bills": (), "machines": theirs}
    view = _on_source(studio, source, day).model_copy(update=bare)
    return furnace_side(view, _source_rows(capacity, source), sheets=called(1, SOURCE_NUMBERS[source]))


def _of_its_own(source: Side, capacity: Capacity, name: Source) -> Results:
    """A source's own figures."""
    return put_together(source, _source_rows(capacity, name), SheetFacts())


def _source_rows(capacity: Capacity, source: Source) -> Capacity:
    return replace(capacity.of_source(source), log=1)


def _sources(studio: Studio) -> tuple[Source, ...]:
    return ("First",) if studio.second_source is None else ("First", "Second")


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


# ------------------------------------------------------------------------------------------------ all of them


def _present(side: Side) -> Present:
    return Present(side.studio, side.melt, side.now, side.prices, side.yearly, side.workshop, (), Pricing([]))


def _known(values: Iterable[Maybe]) -> Maybe:
    """The sum of what is known; nothing if none of it is."""
    known = [value for value in values if value is not None]
    return total(known) if known else None


def _places(pieces: Sequence[Piece], prepared: int, titles: Sequence[str]) -> list[int]:
    """The number of each piece's furnace: the first where none is named, 0 where none is called so."""
    folded = [title.casefold() for title in titles]
    places = []
    for piece in pieces:
        name = (piece.furnace or "").casefold()
        places.append(1 if not name else folded.index(name) + 1 if name in folded else 0)
    return places + [1] * (prepared - len(places))


def _each(
    places: Sequence[int], sides: Sequence[Side], rates: Sequence[Rates], used: Sequence[Maybe]
) -> list[Workshop]:
    """What each row of Pieces is costed against: the workshop of its furnace, at that furnace's rate for pieces."""
    shops = [
        replace(side.workshop, rates=replace(own, furnace_rate=rate))
        for side, own, rate in zip(sides, rates, used, strict=True)
    ]
    first = shops[0]
    nowhere = replace(
        first,
        rates=replace(first.rates, furnace_rate=None, gather_weight_used=None, low_rate=None),
        prices=replace(first.prices, price_wear=None),
        shares=replace(first.shares, own_known=0),
        there=False,
    )
    return [shops[place - 1] if place else nowhere for place in places]


def _made(studio: Studio, sides: Sequence[Side]) -> MadeOfAll:
    each = [furnace_meanwhile(studio.shop, side.melt, side.rates) for side in sides]
    return MadeOfAll(
        total(one.all_made_weight for one in each),
        total(one.all_made_charges for one in each),
        total(one.all_made_melt_days for one in each),
        total(one.all_made_hot_days for one in each),
        total(one.all_made_log_gathers for one in each),
        _known(one.all_made_pool for one in each),
    )


REPEATED: dict[str, Callable[[Results, str], Value]] = {
    "charged": lambda results, end: results.columns[f"period_weight{end}"][0],
    "energy_cost": lambda results, end: results.columns[f"period_cost{end}"][0],
    "happened": lambda results, end: results.columns[f"line_own{end}"][0],
    "melted": lambda results, end: results.columns[f"period_weight{end}"][2],
}
"""What the list of furnaces repeats from the periods of each; all else it repeats by its name."""

LADDER = ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")
NAMED = (
    *(f"price_{step}" for step in LADDER),
    "furnace_pool",
    "effect_year",
    "effect_energy",
    "effect_standing",
    "gather_weight_used",
    "low_rate",
    "own_known",
)
ADDED = ("charged", "energy_cost", "melted", "furnace_pool", "effect_year")


def _compare(
    results: Results, studio: Studio, furnaces: Sequence[Furnace], rates: Sequence[Maybe], after: Sequence[Maybe]
) -> None:
    """The furnaces side by side, and the means over all of them."""
    ends = name_ends(len(furnaces))
    for end, furnace in zip(ends, furnaces, strict=True):
        results.put(**{f"furnace_title{end}": furnace.title})
        results.put(**{f"standing_part_used{end}": furnace.part, f"standing_part_again{end}": furnace.part})
    each: dict[str, list[Maybe]] = {}
    for name, found in REPEATED.items():
        each[name] = [_number(found(results, end)) for end in ends]
    for name in NAMED:
        each[name] = [_number(results.scalars[f"{name}{end}"]) for end in ends]
    for name, values in each.items():
        results.column(f"each_{name}", values)
    results.column("each_standing_part", [furnace.part for furnace in furnaces])
    for source in dict.fromkeys(furnace.source for furnace in furnaces):
        carried = total(furnace.part for furnace in furnaces if furnace.source == source)
        results.put(**{f"parts_carried_{source.lower()}": carried})
    results.column("each_furnace_rate", rates)
    results.column("each_rate_after", after)
    results.column("furnace_called", [furnace.title for furnace in furnaces])
    results.column("furnace_again", [furnace.title for furnace in furnaces])
    for name in ADDED:
        results.put(**{f"all_{name}": _known(each[name])})
    results.put(
        furnaces_charged=sum(bool(weight) for weight in each["charged"]),
        furnaces_melting=sum(bool(weight) for weight in each["melted"]),
    )
    results.put(all_happened=_mean(each["happened"], each["charged"]))
    for step in LADDER:
        results.put(**{f"all_price_{step}": _mean(each[f"price_{step}"], each["melted"])})
    line = _mean(each["price_line_own"], each["melted"])
    unit = studio.shop.weight_unit
    words = None if line is None else in_words(line)
    sentence = None if words is None else f"Over all furnaces a {unit} costs {words} to price with."
    results.put(furnaces_words=words, furnaces_sentence=sentence)
    per = {"Gathers": "gather", "Bench minutes": "bench minute"}.get(studio.shop.furnace_by, f"{unit} drawn")
    rate = f"Furnace rate for pieces: {studio.shop.currency} for each {per}, as Furnace is shared by says on Shop."
    results.put(rate_words=per, rate_sentence=rate)


def _by_letter(results: Results, furnaces: Sequence[Furnace]) -> None:
    """What each source's letter comes to in a year and a month, and what that rests on in each furnace's log."""
    ends = name_ends(len(furnaces))
    for source in dict.fromkeys(furnace.source for furnace in furnaces):
        on_it = [end for end, furnace in zip(ends, furnaces, strict=True) if furnace.source == source]
        for name in ("energy", "standing", "year"):
            year = _known(_number(results.scalars[f"effect_{name}{end}"]) for end in on_it)
            results.put(**{f"letter_effect_{name}{SOURCE_ENDS[source]}": year})
            results.put(**{f"letter_month_{name}{SOURCE_ENDS[source]}": over(year, MONTHS_IN_YEAR)})
    for end, furnace in zip(ends, furnaces, strict=True):
        note = results.scalars[f"effect_note{end}"]
        results.put(**{f"effect_told{end}": None if note is None else f"{furnace.title}. {note}"})


def _letters_of_both(results: Results) -> None:
    """What is said about the letters of both sources together: the tags are those under both."""
    other = results.scalars[f"letter_day{SOURCE_ENDS['Second']}"]
    days = [day for day in (results.scalars["letter_day"], other) if day is not None]
    results.put(letters_typed=len(days))
    told = None if other is None else f"The letter of {other} on New tariff 2 is counted in the pieces and tags below."
    results.put(letter_besides=told)
    tariffs = "tariffs" if len(days) > 1 else "tariff"
    heading = f"New tags for the {tariffs} of {' and '.join(str(day) for day in days)}" if days else None
    listed = results.scalars["retag_list_count"]
    nothing = results.scalars["retag_none"] if not listed else None
    results.scalars.update(retag_heading=heading, retag_empty=nothing if days else NO_LETTER)


def _number(value: Value) -> Maybe:
    return value if isinstance(value, int | float) else None


def _mean(costs: Sequence[Maybe], weights: Sequence[Maybe]) -> Maybe:
    """The cost of a weight over all furnaces; unknown as long as it is unknown of one that melted something."""
    melted = [(cost, weight) for cost, weight in zip(costs, weights, strict=True) if weight]
    if not melted or any(cost is None for cost, _ in melted):
        return None
    return over(plus(*(times(cost, weight) for cost, weight in melted)), plus(*(weight for _, weight in melted)))


def _by_piece(results: Results, pieces: Sequence[Piece], places: Sequence[int]) -> None:
    """What each piece reads of its furnace."""
    results.column("piece_furnace_row", list(places))
    for name in ("furnace_rate", "gather_weight_used", "low_rate", "price_wear", "own_known", "rate_after"):
        column = results.columns[f"each_{name}"]
        nothing = 0 if name == "own_known" else None
        results.column(f"here_{name}", [column[place - 1] if place else nothing for place in places])
    gathered = []
    for row, weight in enumerate(results.columns["here_gather_weight_used"]):
        piece = pieces[row] if row < len(pieces) else Piece()
        gathered.append(0.0 if piece.drawn is not None else opt(piece.gathers) * opt(_number(weight)))
    results.column("here_gathered", gathered)


def _by_source(results: Results, studio: Studio, machines: Machines, prices: Mapping[str, UnitPrice]) -> None:
    """What each machine, and each bill, reads of its source."""
    second = [bool(row.machine_named) and row.typed.source == "Second" for row in machines.rows]
    read = [prices["Second" if each else "First"] for each in second]
    results.column("machine_second", [int(each) for each in second])
    results.column("source_price_now", [price.now for price in read])
    results.column("source_new_all_in", [price.letter for price in read])
    given = results.columns["bill_given"]
    bills = [machines.sources[row.source or "First"] for row in studio.bills]
    bills += [machines.sources["First"]] * (len(given) - len(bills))
    for name, part in (("bill_year_use", "everything"), ("bill_year_unmetered", "unmetered")):
        uses = [getattr(each, part) if there else None for each, there in zip(bills, given, strict=True)]
        results.column(name, uses)


def _count_checks(results: Results, studio: Studio) -> None:
    """The one state that every sheet shows, over the lists of all furnaces and sources."""
    ends = [*name_ends(len(studio.places)), *([SOURCE_ENDS["Second"]] if studio.second_source else [])]
    states = [state for end in ends for state in results.columns[f"check_state{end}"]]
    failing = states.count("LOOK")
    asking = sum(one == 1 for end in ends for one in results.columns[f"check_asks{end}"])
    rows = [results.scalars[f"log_rows_used{end}"] for end in name_ends(len(studio.places))]
    newest = [results.scalars[f"tariff_newest{SOURCE_ENDS[source]}"] for source in _sources(studio)]
    begun = any(rows) or bool(results.scalars["pieces_named"]) or any(newest)
    results.scalars.update(
        checks_total=len(states),
        checks_failing=failing,
        checks_notes=states.count("NOTE"),
        checks_state=state_words(failing, begun=begun),
        checks_asking=asking,
        checks_begun=flag(begun),
        checks_calm=state_words(0, begun=begun),
        next_step=what_next(str(results.scalars["step_waiting"]), failing, asking),
    )
