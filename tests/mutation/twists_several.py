"""Twists of books of two furnaces: those of one, about either, and what all furnaces come to."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.method.checks import CHECKS
from tests.mutation.other_furnace import OfAnother, as_read_here
from tests.mutation.right import Cells, Right, Twist, only
from tests.mutation.twists import IN_WORDS, figures, lists_of_checks
from tests.mutation.twists_start import start_of_several
from tests.mutation.two_ways import PLACES, as_twists
from tests.mutation.two_ways_furnace import furnace_pairs

LADDER = ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")
SUMMED = ("charged", "energy_cost", "melted", "furnace_pool", "effect_year")
CARRIED = ("standing_now", "base_standing", "new_standing")
CARRIED_ROWS = ("tariff_standing", "tariff_standing_change", "tariff_standing_integral")


def twists_of_two_sources(right: Right) -> Iterator[Twist]:
    """All of them, where each furnace has a source of its own."""
    second, fuel = OfAnother(right, ("_second", "_fuel")), OfAnother(right, ("_fuel",))
    yield from _about_each(right, second)
    yield from fuel.twists(lists_of_checks(fuel))
    yield from _all(right, second, "_fuel")
    yield from _two_sources(right)


def twists_of_one_source(right: Right) -> Iterator[Twist]:
    """All of them, where both furnaces are on one source."""
    second = OfAnother(right, ("_second",))
    yield from _about_each(right, second)
    yield from _all(right, second, "")
    yield from _one_source(right)


def _about_each(right: Right, second: OfAnother) -> Iterator[Twist]:
    yield from lists_of_checks(right)
    yield from as_read_here(right, figures(right))
    yield from second.twists(lists_of_checks(second))
    yield from second.twists(as_read_here(second, as_twists(second, furnace_pairs(second))))


# ------------------------------------------------------------------------------------------------ all of them


def _all(right: Right, second: OfAnother, source: str) -> Iterator[Twist]:
    """What stands on the sheet of all furnaces; the names of the second one's source end in ``source``."""
    yield from _days(right)
    yield from _carried(right, second, source)
    yield from _then(source)
    yield from _sums(right)
    yield from _over_all(right)
    ends = ("", "_second", "_fuel") if source else ("", "_second")
    yield from _counted(right, second, ends)
    yield from start_of_several(right, ends)


def _days(right: Right) -> Iterator[Twist]:
    """The last day is that of the log that reaches farthest, whatever else is dated."""
    none = dict.fromkeys(
        (f"{name}{end}" for name in ("log_last_day", "measured_on", "last_measured_day") for end in ("", "_second")),
        None,
    )
    for end in ("", "_second"):
        alone: Cells = {"pricing_date": None, **none, f"log_last_day{end}": 45000}
        yield Twist(alone, {"pricing_date_used": 45000})
        both: Cells = {"log_last_day": 44000, "log_last_day_second": 44000, f"log_last_day{end}": 45000}
        yield Twist({"pricing_date": "soon", **both}, {"pricing_date_used": 45000})
        nowhere = dict.fromkeys((*right.cells("next_day"), *right.cells("next_day_second")), 0)
        for row in (1, right.rows(f"next_day{end}")[-1]):
            yield Twist({**nowhere, f"next_day{end}.{row}": 45001}, {"logs_next_day": 45001})


def _carried(right: Right, second: OfAnother, source: str) -> Iterator[Twist]:
    """A furnace carries the part that is typed, and else an equal one of its source's charges."""
    theirs = "Second" if source else "First"
    for row, end, word, whole, its in ((1, "", "_first", "", "First"), (2, "_second", "_second", source, theirs)):
        both: Cells = {"furnace_source.1": its, "furnace_source.2": its}
        alone: Cells = {**both, f"furnace_source.{3 - row}": "Neither"}
        for name, other in (("used", "again"), ("again", "used")):
            part, beside = f"standing_part_{name}{end}", {f"standing_part_{other}{end}": 0.3}
            yield Twist({f"standing_part{end}": 0.25, **beside}, {part: 0.25})
            yield Twist({f"standing_part{end}": "half", **beside, **both}, {part: 0.5})
            yield Twist({f"standing_part{end}": None, **beside, **alone}, {part: 1})
        typed: Cells = {f"standing_part_used{end}": 0.25, f"standing_part_again{end}": 0.5}
        yield Twist(typed, {f"each_standing_part.{row}": 0.25})
        for name in CARRIED:
            yield Twist({**typed, f"{name}{whole}": 8}, {f"{name}{word}": 2})
            yield Twist({**typed, f"{name}{whole}": None}, {f"{name}{word}": None})
        for name in CARRIED_ROWS:
            yield Twist({**typed, f"{name}{whole}.2": 8}, {f"{name}{word}.2": 2})
        pair = f"pair_other.{PLACES['pricing_adds_up: Service and demand on the pricing date']}"
        shown = pair if row == 1 else second.place(pair)
        assert shown is not None
        rows = (*right.cells(f"tariff_standing{whole}"), f"tariff_standing{whole}.end")
        due: Cells = {"pricing_date_used": 46500, "price_now_from": None, **dict.fromkeys(rows, 8)}
        yield Twist({**typed, **due}, {shown: 4})
        carried: Cells = {"each_standing_part.1": 0.25, "each_standing_part.2": 0.5}
        yield Twist({**both, **carried}, {f"parts_carried_{its.lower()}": 0.75})


def _then(source: str) -> Iterator[Twist]:
    """By the letter of its source, or as it is now."""
    for end, whose in (("", ""), ("_second", source)):
        rates: Cells = {f"furnace_rate{end}": 2, f"rate_after{end}": 3, "letters_given": 1}
        yield Twist({**rates, f"letter_given{whose}": 0, f"letter_figures{whose}": 1}, {f"rate_then{end}": 2})
        yield Twist({**rates, f"letter_given{whose}": 1, f"letter_figures{whose}": 0}, {f"rate_then{end}": 3})
    yield Twist({"letter_given": 0, f"letter_given{source}": 1}, {"letters_given": 1})
    for name, rate in (
        ("minutes_rate", "rate_minute"),
        ("minutes_rate_after", "rate_then"),
        ("all_made_pool", "made_pool"),
    ):
        for known in ("", "_second"):
            other = "_second" if not known else ""
            beside = dict.fromkeys((f"furnace_pool{other}", f"rate_weight{other}", f"rate_gather{other}"), None)
            yield Twist({f"{rate}{known}": 5, f"{rate}{other}": None, **beside}, {name: 5})
        yield Twist({rate: 5, f"{rate}_second": 3}, {name: 8})
        yield Twist({rate: "some", f"{rate}_second": None}, {name: None})


def _sums(right: Right) -> Iterator[Twist]:
    """What is known of the furnaces; nothing if it is known of none."""
    columns = [name for name in right.vocabulary.columns if name.startswith("each_")]
    for name in SUMMED:
        rest: Cells = {f"{column}.{row}": 7 for column in columns for row in (1, 2)}
        none: Cells = dict.fromkeys(rest, None)
        one, two = f"each_{name}.1", f"each_{name}.2"
        for typed, total in (
            ({one: 5, two: None}, 5),
            ({one: None, two: 5}, 5),
            ({one: 5, two: 3}, 8),
        ):
            yield Twist({**none, **typed}, {f"all_{name}": total})
        yield Twist({**rest, one: None, two: None}, {f"all_{name}": None})
        yield Twist({**rest, one: "much", two: None}, {f"all_{name}": None})


def _over_all(right: Right) -> Iterator[Twist]:
    """A furnace with some glass, however little, and one with none: only what the first costs has to be known."""
    columns = [name for name in right.vocabulary.columns if name.startswith("each_")]
    none: Cells = {f"{column}.{row}": None for column in columns for row in (1, 2)}
    for count, weight, other in (
        ("furnaces_charged", "charged", "melted"),
        ("furnaces_melting", "melted", "charged"),
    ):
        little: Cells = {f"each_{weight}.1": 0.5, f"each_{weight}.2": 0}
        for elsewhere in (0, 5):
            beside: Cells = {f"each_{other}.1": elsewhere, f"each_{other}.2": elsewhere}
            yield Twist({**little, **beside}, {count: 1})
            counts: Cells = {count: 1, "furnaces_charged" if count == "furnaces_melting" else "furnaces_melting": 2}
            weights: Cells = {**none, **little, **beside, **counts, f"all_{weight}": 0.5, f"all_{other}": 9}
            for cost, mean in (("happened", "all_happened"),) if count == "furnaces_charged" else PRICES:
                yield Twist({**weights, f"each_{cost}.1": 4, f"each_{cost}.2": None}, {mean: 4})
                yield Twist({**weights, f"each_{cost}.1": None, f"each_{cost}.2": 4}, {mean: None})
                known = {f"{column}.{row}": 3 for column in columns for row in (1, 2)}
                yield Twist({**known, **weights, f"each_{cost}.1": "dear"}, {mean: None})
    for amount, words in IN_WORDS:
        yield Twist({"all_price_line_own": amount}, {"furnaces_words": words})


PRICES = tuple((f"price_{step}", f"all_price_{step}") for step in LADDER)


def _counted(right: Right, second: OfAnother, ends: tuple[str, ...]) -> Iterator[Twist]:
    """The lists of all furnaces and sources are counted, from the first line to the last."""
    for end in ends:
        last = right.rows(f"check_look{end}")[-1]
        for row in (1, last):
            looking = right.number("checks_failing") + 1 - right.number(f"check_look{end}.{row}")
            yield Twist({f"check_look{end}.{row}": 1}, {"checks_failing": looking})
            noted = right.number("checks_notes") + (right.value(f"check_state{end}.{row}") != "NOTE")
            yield Twist({f"check_state{end}.{row}": "NOTE"}, {"checks_notes": noted})
            total = right.number("checks_total")
            many: Cells = {f"check_found{end}.{row}": "many", f"check_look{end}.{row}": "many"}
            yield Twist(many, {"checks_total": total})
            yield Twist({f"check_level{end}.{row}": "high"}, {"checks_total": total - 1})
    unknown = f"check_found.{CHECKS.index('unknown_names') + 1}"
    for row in (1, right.rows("piece_furnace_row")[-1]):
        yield Twist(only(right, "piece_furnace_row", row, 0, rest=1), {"furnaces_unknown": 1})
    known: Cells = dict.fromkeys(("rank_unknown", "picture_unknown", "machines_unknown", "furnaces_unknown"), 0)
    faults: Cells = {**known, "pot_row": 2, "pot_row_second": 0, "campaign_enough": 0}
    strange: Cells = {"sources_unknown": 0} if "sources_unknown" in right.vocabulary.scalars else {}
    for name in (*known, *strange):
        yield Twist({**faults, **strange, name: 3}, {unknown: 3})
    yield Twist({**faults, **strange}, {unknown: 0})
    yield Twist({**faults, **strange, "pot_row": 0, "pot_row_second": 1}, {unknown: 1})
    where = f"check_first.{CHECKS.index('unknown_names') + 1}"
    some: Cells = {**faults, **strange, unknown: 1}
    yield Twist(some, {where: "Equipment, Bill check"})
    yield Twist({**some, "furnaces_unknown": 1, "rank_unknown": 1}, {where: "Pieces"})
    for name in ("rank_unknown", "picture_unknown"):
        yield Twist({**some, name: 1}, {where: "Shop, Change the pot"})
    yield Twist({**some, "pot_row": 0}, {where: "Shop, Change the pot"})
    yield Twist({**some, unknown: 0, "furnaces_unknown": 1}, {where: None})
    of_second = second.place(unknown)
    assert of_second is not None
    for pot, found_there in ((0, 1), (3, 0)):
        beside: Cells = {"pot_row": 3 - pot, "campaign_enough_second": 3 - pot}
        yield Twist({"pot_row_second": pot, **beside}, {of_second: found_there})
    place = second.place(where)
    assert place is not None
    yield Twist({of_second: 1}, {place: "Change the pot"})


# ------------------------------------------------------------------------------------- bills, machines, letters


def _one_source(right: Right) -> Iterator[Twist]:
    """Every bill is that of both furnaces."""
    for row in (1, right.rows("bill_given")[-1]):
        used: Cells = {f"bill_furnace.{row}": 5, f"bill_furnace_second.{row}": 3}
        waiting: Cells = {f"bill_waiting.{row}": 2, f"bill_waiting_second.{row}": 1}
        given: Cells = {**used, **waiting, f"bill_given.{row}": 1}
        yield Twist(given, {f"all_bill_furnace.{row}": 8, f"all_bill_waiting.{row}": 3})
        none = {f"all_bill_furnace.{row}": None, f"all_bill_waiting.{row}": None}
        yield Twist({**given, f"bill_given.{row}": 0}, none)


def _two_sources(right: Right) -> Iterator[Twist]:
    """A bill is that of one furnace, by its source."""
    for source, furnace, waiting in (("First", 5, 2), ("Second", 3, 1), (None, 5, 2)):
        given: Cells = {"bill_source.1": source, "bill_furnace.1": 5, "bill_furnace_second.1": 3, "bill_given.1": 1}
        rows: Cells = {"bill_waiting.1": 2, "bill_waiting_second.1": 1}
        shows: Cells = {"all_bill_furnace.1": furnace, "all_bill_waiting.1": waiting}
        yield Twist({**given, **rows}, shows)
        yield Twist({**given, **rows, "bill_given.1": 0}, dict.fromkeys(shows, None))
        unlogged: Cells = {**given, "bill_unlogged.1": 5, "bill_unlogged_second.1": 3}
        yield Twist(unlogged, {"all_bill_unlogged.1": furnace})
        yield Twist({**unlogged, "bill_given.1": 0}, {"all_bill_unlogged.1": None})
    by = "what the second source billed"
    for percent, said in ((99, f"Of {by} you know of 99 %."), (100, f"Of {by} you know of 100 %.")):
        yield Twist({"bills_percent_fuel": percent, "bills_share_fuel": 0.5}, {"bills_main_fuel": said})
    over: Cells = {"bills_percent_fuel": 101, "bills_share_fuel": 0.5}
    yield Twist(over, {"bills_main_fuel": f"You count 101 % of {by}."})
    yield Twist({"machines_strange": 2, "bills_strange": 1}, {"sources_unknown": 3})
    yield from _letters_effects(right)
    carried: Cells = {"new_standing": 8, "year_weight": 2, "days_in_year": 365}
    yield Twist({**carried, "new_standing_first": 0, "standing_before": None}, {"standing_after": None})
    more = right.sum("machine_year_more")
    for letter, other in (("new_all_in", "new_all_in_fuel"), ("new_all_in_fuel", "new_all_in")):
        rest = dict.fromkeys((f"new_{name}{end}" for name in ("mix", "service_day") for end in ("", "_fuel")), None)
        yield Twist({**rest, letter: 1, other: None}, {"effect_equipment": more})
        yield Twist({**dict.fromkeys(rest, 1), letter: None, other: None}, {"effect_equipment": None})
    yield Twist({"letter_given_fuel": 0, "letter_figures_fuel": 2}, {"letter_case_fuel.1": 1})
    lines = right.rows("letter_case_fuel")[-1]
    others: Cells = {
        **dict.fromkeys(right.cells("letter_case"), "no"),
        **dict.fromkeys(right.cells("letter_word"), "Other"),
    }
    full: Cells = {**others, "letter_code_fuel": lines, "letter_line_fuel": 9}
    yield Twist(full, {"letter_state_fuel": f"{right.value(f'letter_word_fuel.{lines}')} 9 of Tariffs 2."})


def _letters_effects(right: Right) -> Iterator[Twist]:
    """What a source's letter changes for its furnaces, as far as it is known of any."""
    columns = [name for name in right.vocabulary.columns if name.startswith("each_effect_")]
    for source, end in (("First", ""), ("Second", "_fuel")):
        theirs: Cells = {"furnace_source.1": source, "furnace_source.2": source}
        for name in ("energy", "standing", "year"):
            column, shown = f"each_effect_{name}", f"letter_effect_{name}{end}"
            for one, two, together in ((4, None, 4), (None, 5, 5), (4, 5, 9), (None, None, None)):
                beside = {f"{other}.{row}": 7 for other in columns for row in (1, 2)}
                yield Twist({**beside, **theirs, f"{column}.1": one, f"{column}.2": two}, {shown: together})
                blank = dict.fromkeys(beside, None)
                yield Twist({**blank, **theirs, f"{column}.1": one, f"{column}.2": two}, {shown: together})
