"""Two ways to figures of the furnace: its use, days, letters, parts and periods."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutation.right import Right, only
from tests.mutation.two_ways import PLACES, SAME, By, Is, Line, lines, raised


def furnace_pairs(right: Right) -> Iterator[Line]:
    """All of them, by the check that reports them."""
    yield from _use(right)
    yield from _days(right)
    yield from _tariff(right)
    yield from _wear(right)
    yield from _periods(right)


def _use(right: Right) -> Iterator[Line]:
    up = right.cells("row_kind")[-1].rpartition(".")[2]
    unmetered = {"meter_code": 3, **dict.fromkeys(right.cells("kind_days_logged"), 0), "kind_days_logged.6": 2}
    hot = {"kind_hot.6": 1, "kind_weighting.6": 2.5, "kind_use.6": 7}
    yield from lines(
        "use_adds_up",
        ("Energy of all rows", {**unmetered, "kind_day_use.6": 3}, Is(6), SAME),
        ("Energy a count at the end", raised(right, "factor_change.1"), By(1), SAME),
        ("Energy a count at the end", raised(right, f"factor_change.{up}"), By(1), SAME),
        ("Energy a count at the end", {f"reading_factor.{up}": 77}, SAME, Is(77)),
        ("Opening reading", raised(right, "starting_reading"), By(1), SAME),
        ("Opening reading", raised(right, "opening_reading"), SAME, By(1)),
        ("Last reading less the first", raised(right, "starting_reading"), SAME, By(-1)),
        ("Last reading less the first", raised(right, "opening_reading"), SAME, SAME),
        ("Use by the readings", dict.fromkeys(right.cells("stretch_state"), 1), SAME, SAME),
        ("Weights of the kinds in a reading", raised(right, "kind_weight.6"), By(1), SAME),
        ("Weights of the kinds in a reading", hot, SAME, By(2.5)),
        ("Weights of the kinds in a reading", {**hot, "kind_weighting.6": None}, SAME, By(1)),
        ("Use a day, typed", raised(right, "kind_day_use.6"), By(1), SAME),
        ("Use a day, typed", hot, SAME, By(7)),
        ("Use a day, typed", raised(right, "kind_day_use.2"), By(1), SAME),
        ("Energy a count at first", {"meter_kind": "Hour meter", "connected_kw": 9, "kw_in_use": 11}, None, Is(9)),
        (
            "Energy a count at first",
            {"meter_kind": "Hour meter", "connected_kw": "nine", "kw_in_use": 11},
            None,
            Is(11),
        ),
        ("Rows of stretches of one kind", dict.fromkeys(right.cells("stretch_kind"), 9), SAME, Is(0)),
        (
            "Rows of stretches of one kind",
            dict.fromkeys(right.cells("stretch_mix"), 7),
            Is(
                sum(
                    right.number(f"rows_since.{row}")
                    for row in right.rows("rows_since")
                    if right.value(f"stretch_close.{row}") == 1
                )
            ),
            SAME,
        ),
        (
            "Rows of stretches of one kind",
            dict.fromkeys(right.cells("stretch_kind"), 7),
            SAME,
            Is(
                sum(
                    right.number(f"row_kind.{row}") > 0 and right.value(f"stretch_state.{row}") == 1
                    for row in right.rows("row_kind")
                )
            ),
        ),
        (
            "Hot rows in stretches of one kind",
            dict.fromkeys(right.cells("stretch_kind"), 7),
            Is(
                sum(
                    right.number(f"row_hot_days.{row}") > 0 and right.value(f"stretch_state.{row}") == 1
                    for row in right.rows("row_kind")
                )
            ),
            Is(0),
        ),
        ("Hot rows in stretches of one kind", dict.fromkeys(right.cells("row_days"), 0), SAME, SAME),
        ("Measured rows", {**dict.fromkeys(right.cells("row_kind"), 0), "energy_known": 1}, SAME, Is(0)),
        (
            "Measured rows",
            {**dict.fromkeys(right.cells("row_kind"), 0), "energy_known": 1, "meter_code": 3},
            None,
            Is(0),
        ),
        ("Rows that tell their own use", {**dict.fromkeys(right.cells("row_own"), 0), "own_basis": 0}, Is(0), None),
    )
    measured = sum(right.number(cell) for cell in right.cells("row_measured"))
    nothing_own = {**dict.fromkeys(right.cells("row_own"), 0), "own_basis": 1}
    yield "use_adds_up", "Rows that tell their own use", nothing_own, Is(0), Is(measured)
    alike = sum(
        right.value(f"row_measured.{row}") == 1 and right.value(f"stretch_kind.{row}") == right.value(f"row_kind.{row}")
        for row in right.rows("row_kind")
    )
    yield "use_adds_up", "Rows that tell their own use", {**nothing_own, "own_basis": 0}, Is(0), Is(alike)
    mixed = "Single rows that are said to be mixed"
    calm = {**dict.fromkeys(right.cells("stretch_mix"), 1), **dict.fromkeys(right.cells("stretch_kind"), 1)}
    for row in (1, 6, int(up)):
        for close, rows, mix, said in (
            (1, 1, 9, 1),
            (2, 1, 9, 1),
            (3, 1, 9, 1),
            (0, 1, 9, 0),
            (1, 2, 9, 0),
            (1, 0, 9, 0),
            (1, 1, 6, 0),
        ):
            typed = {f"stretch_close.{row}": close, f"rows_since.{row}": rows, f"stretch_mix.{row}": mix}
            beside = {f"row_charges.{row}": 1 - min(1, close), f"stretch_state.{row}": 1 - min(1, close)}
            yield "use_adds_up", mixed, {**calm, **typed, **beside}, Is(said), SAME


def _days(right: Right) -> Iterator[Line]:
    last = right.rows("row_kind")[-1]
    typed_day = next(row for row in right.rows("log_date") if isinstance(right.value(f"log_date.{row}"), int | float))
    later = {f"first_day.{typed_day}": right.number(f"first_day.{typed_day}") + 5}
    no_kind = {f"row_kind.{typed_day}": 0}
    first_days = "First days less the dates typed"
    apart = right.number(f"first_day.{typed_day}") - right.number(f"log_date.{typed_day}")
    new_meters = {f"row_kind.{row}": 6 for row in right.rows("row_kind")}
    meter_days = {**new_meters, **{f"log_days.{row}": 2 for row in right.rows("row_kind")}}
    yield from lines(
        "days_add_up",
        ("Days", {**meter_days, **dict.fromkeys(right.cells("row_days"), 0)}, Is(0), Is(0)),
        ("Hot days", {"kind_days_logged.6": 2, "kind_hot.6": 1}, SAME, By(2)),
        ("Weighted days", {"kind_days_logged.6": 2, "kind_weight.6": 1.5}, SAME, By(3)),
        ("Charges", dict.fromkeys(right.cells("row_hot_days"), 0), SAME, SAME),
        ("Rows of heat-ups", dict.fromkeys(right.cells("row_hot_days"), 0), SAME, SAME),
        ("Rows of heat-ups", raised(right, "heating_again.1"), By(1), SAME),
        ("Rows of heat-ups", raised(right, f"heating_again.{last}"), By(1), SAME),
        ("Days by the calendar", {f"row_flow_dates.{last}": 1}, Is(0), Is(0)),
        ("Days by the calendar", {"row_flow_dates.1": 1}, Is(0), Is(0)),
        ("Days by the calendar", raised(right, "day_gap.1"), By(-1), SAME),
        ("Days by the calendar", raised(right, f"day_gap.{last}"), By(-1), SAME),
        (first_days, later, By(5), SAME),
        (first_days, raised(right, f"log_date.{typed_day}"), By(-1), SAME),
        (first_days, {**later, **no_kind}, By(-apart), SAME),
        (first_days, {**later, f"log_date.{typed_day}": 0}, By(-apart), SAME),
        (first_days, {f"first_day.{typed_day}": 6, f"log_date.{typed_day}": 1}, By(5 - apart), SAME),
        (first_days, {f"first_day.{typed_day}": 0, f"log_date.{typed_day}": 5}, By(-5 - apart), SAME),
        ("Prices of the glasses", raised(right, "glass_price_known.2"), By(1), SAME),
        ("Prices of the glasses", raised(right, "glass_price.2"), SAME, By(1)),
        (
            "Raw glass charged",
            raised(right, *right.cells("glass_price_known")),
            SAME,
            By(right.sum("glass_used_weight")),
        ),
        ("Weight by glass, in the window", {"window_start": 99999}, SAME, SAME),
    )
    little = {**dict.fromkeys(right.cells("glass_used_weight"), 0.5), **dict.fromkeys(right.cells("glass_price"), 2.0)}
    count = len(right.cells("glass_used_weight"))
    unlisted = sum(right.value(cell) == 3 for cell in right.cells("row_fault"))
    charged = "Glasses charged, and rows of none"
    calm = dict.fromkeys(right.cells("row_fault"), 0)
    yield "days_add_up", charged, {**little, "glass_gap": 7}, Is(7 + count), Is(count + unlisted)
    for row in (1, last):
        yield "days_add_up", charged, {**little, **calm, f"row_fault.{row}": 3}, None, Is(count + 1)
    yield (
        "days_add_up",
        charged,
        {**little, **calm, **dict.fromkeys(right.cells("row_other_fault"), 3)},
        None,
        Is(count),
    )
    for row in (1, last):
        empty = {**only(right, "row_glass", row, 0, rest=2), **only(right, "log_weight", row, 5, rest=None)}
        unlisted_glass = {**empty, f"row_kind.{row}": 1}
        total = 2 * (last - 1) + 1
        yield "days_add_up", "Glass of the rows", unlisted_glass, Is(total), None
    yield (
        "days_add_up",
        "Raw glass is known",
        {**dict.fromkeys(right.cells("row_glass"), 0), "glass_gap": 0},
        None,
        Is(0),
    )


def _tariff(right: Right) -> Iterator[Line]:
    last = right.rows("tariff_key")[-1]
    elsewhere = raised(right, *right.cells("tariff_start"), by=100)
    later = {"tariff_key.end": right.number("tariff_key.end") + 3, **dict.fromkeys(right.cells("tariff_bad_order"), 0)}
    valid = dict.fromkeys(right.cells("tariff_valid"), 1)
    end = "Date of the last letter less that typed"
    newest = max(right.number(cell) for cell in right.cells("tariff_start"))
    moved = right.number("tariff_key.end") + 3 - newest
    yield from lines(
        "cost_adds_up",
        ("Price × days, from the first letter on", elsewhere, SAME, SAME),
        ("Standing charges, from the first letter on", elsewhere, SAME, SAME),
        ("Price × days, from the first letter on", {"start_last_entry": 1}, SAME, SAME),
        ("Standing charges, from the first letter on", {"start_last_entry": 1}, SAME, SAME),
    )
    yield from lines(
        "tariff_adds_up",
        ("Price of energy, summed by days", elsewhere, SAME, SAME),
        ("Service and demand, summed by days", elsewhere, SAME, SAME),
        ("Dates of the letters less those typed", {**raised(right, "tariff_key.2"), "tariff_valid.2": 1}, By(1), SAME),
        (
            "Dates of the letters less those typed",
            {**raised(right, "tariff_start.2"), "tariff_valid.2": 1},
            By(-1),
            SAME,
        ),
        (end, {**later, **valid}, Is(moved), SAME),
        (end, {**later, **only(right, "tariff_valid", 1, 1)}, Is(moved), SAME),
        (end, {**later, **only(right, "tariff_valid", last, 1)}, Is(moved), SAME),
        (end, {**later, **only(right, "tariff_valid", 1, 0), "tariff_shares.1": 2}, Is(0), SAME),
        (end, {**later, **valid, "tariff_bad_order.1": 1}, Is(0), SAME),
        (end, {**later, **valid, f"tariff_bad_order.{last}": 1}, Is(0), SAME),
        (end, {**later, **valid, "tariff_bad_share.1": 1, "tariff_used.1": 1}, Is(moved), SAME),
        (end, {**later, **valid, **dict.fromkeys(right.cells("tariff_shares"), 0)}, Is(moved), SAME),
        (
            "Prices before surcharge and tax",
            raised(right, *right.cells("tariff_by_share")),
            SAME,
            By(
                sum(
                    right.number(f"tariff_valid.{row}") * (right.number(f"tariff_shares.{row}") > 0)
                    for row in right.rows("tariff_valid")
                )
            ),
        ),
        ("Shares typed", raised(right, "tariff_shares.1"), By(1), SAME),
        ("Shares typed", raised(right, f"tariff_shares.{last}"), By(1), SAME),
        ("Prices by times of use", raised(right, "tariff_by_share.1"), By(1), SAME),
    )
    for column, what in (
        ("tariff_change", "Changes of price without a letter"),
        ("tariff_standing_change", "Changes of it without a letter"),
    ):
        for row in (1, last):
            blank = {**only(right, column, row, 2), **only(right, "tariff_valid", row, 0, rest=1)}
            service = dict.fromkeys(right.cells("tariff_service_day"), 5)
            yield "tariff_adds_up", what, {**blank, **service}, Is(2), SAME
    for row in (1, last):
        shared = {f"tariff_share_{word}.{row}": None for word in ("one", "two", "three")}
        ones = {
            **only(right, "tariff_share_one", row, 0.5, rest=None),
            **only(right, "tariff_share_two", row, 0.25, rest=None),
        }
        threes = only(right, "tariff_share_three", row, 0.25, rest=None)
        prices = {f"tariff_price.{row}": 2, f"tariff_price_two.{row}": 4, f"tariff_price_three.{row}": 8}
        sums = {**only(right, "tariff_by_share", row, 4)}
        assert shared.keys() <= {**ones, **threes}.keys()
        yield "tariff_adds_up", "Shares typed", {**ones, **threes}, SAME, Is(3)
        yield "tariff_adds_up", "Prices by times of use", {**ones, **threes, **prices, **sums}, Is(2), Is(2)
        valid_one = {
            **only(right, "tariff_valid", row, 1),
            **only(right, "tariff_shares", row, 3),
            "tariff_mix.1": 9,
            f"tariff_mix.{last}": 9,
        }
        yield "tariff_adds_up", "Prices before surcharge and tax", {**valid_one, **sums}, None, Is(4)
        unshared = {**valid_one, f"tariff_shares.{row}": 0, **sums, f"tariff_price.{row}": 2}
        yield "tariff_adds_up", "Prices before surcharge and tax", unshared, None, Is(2)
    yield (
        "tariff_adds_up",
        "Shares typed",
        {"tariff_share_one.1": "half", "tariff_share_two.1": None, "tariff_share_three.1": None},
        SAME,
        By(-sum(isinstance(right.value(f"tariff_share_{word}.1"), float) for word in ("one", "two", "three"))),
    )

    # Letters of the year 1900: the first row of each is before any day of the log.
    ancient = {**only(right, "tariff_key", 1, 1), "tariff_key.2": 60, "tariff_key.end": 60, "tariff_valid.1": 1}
    priced = {**dict.fromkeys(right.cells("row_kind"), 2), **dict.fromkeys(right.cells("first_day"), 30)}
    count = len(right.cells("row_kind"))
    yield "cost_adds_up", "Rows with a price", {**ancient, **priced}, None, Is(count)
    yield "cost_adds_up", "Rows with a price", {**ancient, **priced, "row_kind.4": 0}, None, Is(count - 1)


def _wear(right: Right) -> Iterator[Line]:
    retired = next(row for row in right.rows("part_retired") if right.value(f"part_is_retired.{row}") == 1)
    last = right.rows("part_used")[-1]
    far = right.number("far_date")
    dated = isinstance(right.value("pricing_date_used"), int | float)
    assert dated
    known = {**dict.fromkeys(right.cells("part_unknown"), 0), **dict.fromkeys(right.cells("part_now_unknown"), 0)}
    serving = {**only(right, "part_used", 2, 1), "part_from.2": 44000, "part_end.2": 44100, "price_now_from": None}
    yield from lines(
        "wear_adds_up",
        ("Days retired less those typed", {f"part_is_retired.{retired}": 0}, By(-far), SAME),
        ("Parts that count", {**dict.fromkeys(right.cells("part_used"), 0)}, Is(0), SAME),
        ("Parts retired", {**dict.fromkeys(right.cells("part_is_retired"), 0)}, Is(0), SAME),
        ("Parts in service", {**serving, "pricing_date_used": 43999}, SAME, Is(0)),
        ("Parts in service", {**serving, "pricing_date_used": 44000}, SAME, Is(1)),
        ("Parts in service", {**serving, "pricing_date_used": 44100}, SAME, Is(0)),
        ("Parts in service", {**serving, "pricing_date_used": 44050}, SAME, Is(1)),
        ("Wear is known", {**only(right, "part_used", 1, 1), **known}, SAME, Is(2)),
        ("Wear is known", {**only(right, "part_used", last, 1), **known}, SAME, Is(2)),
        ("Wear is known", {**only(right, "part_used", last, 0), **known}, SAME, Is(0)),
        ("Wear is known", {**only(right, "part_used", 2, 1), **known, f"part_unknown.{last}": 1}, SAME, Is(1)),
        ("Wear is known", {**only(right, "part_used", 2, 1), **known, f"part_now_unknown.{last}": 1}, SAME, Is(1)),
        ("Parts retired unused", raised(right, *right.cells("part_unused_cost")), By(last), SAME),
        (
            "Parts retired unused",
            {
                f"part_is_retired.{last}": 1,
                f"part_uses.{last}": 0,
                f"part_cost.{last}": 50,
                **{f"part_is_retired.{row}": 0 for row in range(1, last)},
            },
            SAME,
            Is(50),
        ),
    )
    lives = {**only(right, "part_used", 2, 1), **dict.fromkeys(right.cells("part_is_retired"), 0), "part_uses.2": 40}
    left = dict.fromkeys(right.cells("part_left"), 0)
    without = {**lives, **left, "part_expected.2": None, "part_life_used.2": 40}
    yield "wear_adds_up", "Lives that costs are shared over", without, None, Is(0)
    yield "wear_adds_up", "Lives that costs are shared over", {**without, "part_expected.2": 60}, None, Is(40)


def _periods(right: Right) -> Iterator[Line]:
    last = right.rows("period_apart")[-1]
    zero = dict.fromkeys((*right.cells("next_day"), *right.cells("measured_to")), 0)
    rows = right.rows("next_day")
    end = "End of the window less the last day that counts"
    yield from lines(
        "campaigns_add_up",
        ("Periods that differ from the log", raised(right, "period_apart.1"), By(1), SAME),
        ("Periods that differ from the log", raised(right, f"period_apart.{last}"), By(1), SAME),
    )
    wyw = right.number("window_year_weight")
    for what, column in (
        ("Weight of all campaigns", "period_weight"),
        ("Energy cost of all campaigns", "period_cost"),
        ("Days of all campaigns", "period_days"),
    ):
        numbers = {f"period_number.{row}": 1 if row in (1, last) else 0 for row in right.rows("period_number")}
        typed = {**numbers, f"{column}.1": 5, f"{column}.{last}": 6}
        yield "campaigns_add_up", what, typed, Is(5), Is(11)
    check = next(key.partition(":")[0] for key in PLACES if key.endswith(end))
    half = {
        "window_year_weight": 0.5,
        "window_start": 44000,
        "window_end": 44364,
        "window_low": 44000,
        "window_high": 44364,
    }
    first = {**only(right, "log_weight", 1, 5), "row_measured.1": 1, "first_day.1": 44400, "window_end": 44364}
    yield from lines(
        check,
        ("Glass of the window", {"window_year_weight": 0.5}, SAME, Is(0.5)),
        (
            "Your dates less those typed",
            {"period_to": "autumn", "chosen_to": right.number("far_date")},
            By(right.number("far_date") - right.number("far_date")),
            SAME,
        ),
        ("Window less the twelve months", half, Is(0), SAME),
        ("Window less the twelve months", {**half, "window_low": 44001}, Is(1), SAME),
        ("Window less the twelve months", {**half, "window_start": 44001}, Is(-1), SAME),
        ("Glass of the twelve months", first, Is(wyw + 5), None),
        ("Glass of the twelve months", {**first, "window_start": 44300, "window_low": 44500}, Is(wyw + 5), Is(5)),
        ("Days of the twelve months", {"window_end": None}, Is(0), Is(0)),
        ("Glass of the twelve months", {"window_end": None, "window_start": 40000}, Is(wyw), Is(0)),
        (
            "Days of the twelve months",
            {"window_start": 44000, "window_end": 44363, "window_low": 44001},
            Is(363),
            Is(364),
        ),
        (
            "Days of the twelve months",
            {"window_start": 44000, "window_end": 44366, "window_low": 44001},
            Is(366),
            Is(365),
        ),
    )
    for row in (rows[0], rows[-1]):
        logged = {
            **zero,
            f"next_day.{row}": 45600,
            f"measured_to.{row}": 46000,
            "pricing_date_used": 1,
            "last_measured_day": 2,
        }
        yield check, end, {**logged, "pricing_date": None, "window_end": 45599}, Is(0), SAME
        yield check, end, {**logged, "pricing_date": "soon", "window_end": 45599}, Is(0), SAME
        yield check, end, {**logged, "pricing_date": 45500, "window_end": 45500}, Is(0), SAME
        yield (
            check,
            end,
            {**logged, f"measured_to.{row}": 45400, "pricing_date": 45500, "window_end": 45400},
            Is(0),
            SAME,
        )
        yield check, end, {**logged, "window_end": None, "window_start": 44000}, Is(0), SAME
        due = "Pricing date less the day it should be"
        yield "pricing_adds_up", due, {**logged, "pricing_date": None, "pricing_date_used": 45599}, Is(0), SAME
        yield "pricing_adds_up", due, {**logged, "pricing_date": "soon", "pricing_date_used": 45599}, Is(0), SAME
        yield "pricing_adds_up", due, {**logged, "pricing_date": 45000, "pricing_date_used": 45010}, Is(10), SAME
