"""What all furnaces make together: what the owner compares, and what pieces, bills and letters take from all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from meltbook.method.arithmetic import Maybe, flag, in_words, opt, over, plus, times, total
from meltbook.method.bench import Rates
from meltbook.method.checks import state_words
from meltbook.method.constants import MONTHS_IN_YEAR
from meltbook.method.machines import Machines, UnitPrice
from meltbook.method.made import MadeOfAll, furnace_meanwhile
from meltbook.method.one_of_several import Furnace, sources_of
from meltbook.method.pieces import Workshop
from meltbook.method.prices import Pricing
from meltbook.method.results import Results, Value
from meltbook.method.side import Side
from meltbook.method.start import NOTHING_MISSING, line_of_checks, what_next
from meltbook.method.tariff_change import NO_LETTER, Present
from meltbook.studio.furnaces import SOURCE_ENDS, name_ends
from meltbook.studio.model import Studio
from meltbook.studio.pieces import Piece


def present_of(side: Side) -> Present:
    """What a letter is weighed against, for a furnace: its rates as they are now, without any piece."""
    return Present(side.studio, side.melt, side.now, side.prices, side.yearly, side.workshop, (), Pricing([]))


def sum_of_known(values: Iterable[Maybe]) -> Maybe:
    """The sum of what is known; nothing if none of it is."""
    known = [value for value in values if value is not None]
    return total(known) if known else None


def furnace_of_each_piece(pieces: Sequence[Piece], prepared: int, titles: Sequence[str]) -> list[int]:
    """The number of each piece's furnace: the first where none is named, 0 where none is called so."""
    folded = [title.casefold() for title in titles]
    places = []
    for piece in pieces:
        name = (piece.furnace or "").casefold()
        places.append(1 if not name else folded.index(name) + 1 if name in folded else 0)
    return places + [1] * (prepared - len(places))


def workshops_of_pieces(
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


def made_of_all(studio: Studio, sides: Sequence[Side]) -> MadeOfAll:
    """What all furnaces did while the pieces were made."""
    each = [furnace_meanwhile(studio.shop, side.melt, side.rates) for side in sides]
    return MadeOfAll(
        total(one.all_made_weight for one in each),
        total(one.all_made_charges for one in each),
        total(one.all_made_melt_days for one in each),
        total(one.all_made_hot_days for one in each),
        total(one.all_made_log_gathers for one in each),
        sum_of_known(one.all_made_pool for one in each),
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


def compare(
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
        results.put(**{f"all_{name}": sum_of_known(each[name])})
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


def by_letter(results: Results, furnaces: Sequence[Furnace]) -> None:
    """What each source's letter comes to in a year and a month, and what that rests on in each furnace's log."""
    ends = name_ends(len(furnaces))
    for source in dict.fromkeys(furnace.source for furnace in furnaces):
        on_it = [end for end, furnace in zip(ends, furnaces, strict=True) if furnace.source == source]
        for name in ("energy", "standing", "year"):
            year = sum_of_known(_number(results.scalars[f"effect_{name}{end}"]) for end in on_it)
            results.put(**{f"letter_effect_{name}{SOURCE_ENDS[source]}": year})
            results.put(**{f"letter_month_{name}{SOURCE_ENDS[source]}": over(year, MONTHS_IN_YEAR)})
    for end, furnace in zip(ends, furnaces, strict=True):
        note = results.scalars[f"effect_note{end}"]
        results.put(**{f"effect_told{end}": None if note is None else f"{furnace.title}. {note}"})


def letters_of_both(results: Results) -> None:
    """What is said about the letters of both sources together: the tags are those under both."""
    other = results.scalars[f"letter_day{SOURCE_ENDS['Second']}"]
    days = [day for day in (results.scalars["letter_day"], other) if day is not None]
    results.put(letters_typed=len(days))
    for end in SOURCE_ENDS.values():
        if not results.scalars[f"letter_given{end}"]:
            results.scalars[f"letter_state{end}"] = (
                "No letter about this source is typed. If there is one, type from when, and what changes."
            )
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


def by_piece(results: Results, pieces: Sequence[Piece], places: Sequence[int]) -> None:
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


def by_source(results: Results, studio: Studio, machines: Machines, prices: Mapping[str, UnitPrice]) -> None:
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


def count_checks(results: Results, studio: Studio, asked: Mapping[str, Sequence[str]]) -> None:
    """The one state that every sheet shows, over the lists of all furnaces and sources.

    ``asked`` has the checks of each list, by what the names of its figures end in.
    """
    ends = list(asked)
    states = [state for end in ends for state in results.columns[f"check_state{end}"]]
    failing = states.count("LOOK")
    look = _first_looks(results, asked)
    rows = [results.scalars[f"log_rows_used{end}"] for end in name_ends(len(studio.places))]
    newest = [results.scalars[f"tariff_newest{SOURCE_ENDS[source]}"] for source in sources_of(studio)]
    begun = any(rows) or bool(results.scalars["pieces_named"]) or any(newest)
    results.scalars.update(
        checks_total=len(states),
        checks_failing=failing,
        checks_notes=states.count("NOTE"),
        checks_state=state_words(failing, begun=begun),
        checks_begun=flag(begun),
        checks_calm=state_words(0, begun=begun),
        look_of_all=look,
        next_step=what_next(str(results.scalars["step_waiting"]), look),
    )


def _first_looks(results: Results, asked: Mapping[str, Sequence[str]]) -> str | None:
    """The first check to look at in each list, and the first of these."""
    found: list[str | None] = []
    column = "check_look" if str(results.scalars["step_waiting"]) == NOTHING_MISSING else "check_wrong"
    for number, (end, keys) in enumerate(asked.items(), start=1):
        whose = "" if number == 1 else "Source 2" if end == SOURCE_ENDS["Second"] else f"Furnace {number}"
        found.append(line_of_checks(keys, results.columns[f"{column}{end}"], whose))
        results.scalars[f"first_look{end}"] = found[-1]
    results.column("list_look", found)
    results.column("list_looks", [flag(one is not None) for one in found])
    return next((one for one in found if one is not None), None)
