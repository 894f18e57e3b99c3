"""Twists of the furnace's side: borders that are met exactly, amounts under 1, copies of a cell typed over."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutation.right import Cells, Right, Twist, Value, only


def furnace_side(right: Right) -> Iterator[Twist]:
    """All of them, in the order of the chapters."""
    yield from _meter()
    yield from _log_ends(right)
    yield from _log_rows(right)
    yield from _tariffs(right)
    yield from _parts(right)
    yield from _melt(right)


def _meter() -> Iterator[Twist]:
    panel = {"measured_amps": 50, "measured_volts": 240}
    yield Twist({**panel, "measured_phases": 2}, {"kw_measured": 12, "pair_other.7": 12000})
    yield Twist({**panel, "measured_phases": 3}, {"kw_measured": 20.784})
    for volts in (0, "mains", None):
        yield Twist({"nameplate_kw": 12, "supply_volts": 230, "nameplate_volts": volts}, {"kw_nameplate": None})
    kinds = {f"kind_use.{row}": None for row in range(1, 7)}
    for row in (1, 6):
        yield Twist({"meter_code": 3, **kinds, f"kind_use.{row}": 5}, {"energy_known": 1})
    yield Twist({"meter_code": 3, **kinds, "kind_day_use.2": 5}, {"energy_known": 0})
    yield Twist({"meter_code": 3, **kinds, "kind_use.2": "much"}, {"energy_known": 0})


def _log_ends(right: Right) -> Iterator[Twist]:
    """Figures over the whole log that hang on its first or its last row alone."""
    last = right.rows("log_kind")[-1]
    for row in (1, last):
        waits = {f"row_kind.{row}": 1, f"stretch_state.{row}": 4}
        more = int(right.value(f"stretch_state.{row}") != 4 or right.value(f"row_kind.{row}") == 0)
        yield Twist(waits, {"waiting_rows": right.number("waiting_rows") + more})
        yield Twist(only(right, "next_day", row, 45000), {"log_last_day": 44999})
        yield Twist(only(right, "measured_to", row, 45000), {"last_measured_day": 45000})
        yield Twist(only(right, "campaign_no", row, 2), {"campaign_count": 2})
        glass = {**only(right, "row_glass", row, 2), f"row_measured.{row}": 1, "glass_gap": 0}
        yield Twist(glass, {"raw_glass_known": 1, "pair_other.40": 1})
        yield Twist({f"row_flow_dates.{row}": 1}, {"log_whole": 0})
        yield Twist({f"row_kind.{row}": 1, f"row_priced.{row}": 0}, {"log_whole": 0})
    none = only(right, "row_glass", 1, 0)
    yield Twist({**none, "row_measured.1": 1, "row_typed.1": 3, "glass_gap": 0}, {"raw_glass_known": 0})
    yield Twist(only(right, "first_day", 1, 0), {"log_last_day": right.value("log_last_day")})
    yield Twist(
        {"reading_use.1": right.number("reading_use.1") + 4e-7}, {"use_not_placed": right.value("use_not_placed")}
    )
    yield Twist({f"use_pending.{last}": 77}, {"last_pending": 77})
    late = {**only(right, "next_day", last, 45000), f"first_day.{last}": 44990}
    yield Twist({**late, f"row_days.{last}": 10}, {"log_starts_on": 44990})
    yield Twist({**late, f"row_days.{last}": 0}, {"log_starts_on": 44991})
    early = {f"next_day.{row}": 45000 for row in right.rows("next_day")}
    yield Twist({**early, "first_day.1": 44990, "row_days.1": 0, "log_date.1": 1}, {"log_starts_on": 44991})
    yield Twist({"log_days.3": 5, "log_weight.3": -1.0}, {"row_number_fault.3": 2})
    yield Twist({"log_starts_on": 1}, {"log_whole": right.value("log_whole")})
    yield Twist({"log_ends_on": 0}, {"log_whole": right.value("log_whole")})
    yield Twist({"log_starts_on": 0}, {"log_whole": 0})
    for reading, unread in ((None, 1), (-5.0, 0), (0.0, 0), (7.0, 0)):
        for row in (1, last):
            kinds: dict[str, Value] = {f"row_kind.{other}": 4 for other in right.rows("row_kind")}
            typed = {**kinds, f"row_kind.{row}": 6, f"log_reading.{row}": reading, f"reading_base.{row}": 7.0}
            cold = {f"row_kind.{row % last + 1}": 5, f"log_reading.{row % last + 1}": -3.0}
            yield Twist({**typed, **cold}, {"new_meter_unread": unread})


def _log_rows(right: Right) -> Iterator[Twist]:
    """One row of the log, put into a state that only a border separates from another."""
    row = 9
    above, below = row - 1, row + 1

    def at(**cells: Value) -> dict[str, Value]:
        return {f"{name}.{row}": value for name, value in cells.items()}

    for word in ("Aa", "Zz", None):
        yield Twist({**at(log_kind=word), "kind_name.3": 0}, at(row_kind=0))
    hot = at(row_kind=2, row_days=5, row_hot_days=0)
    yield Twist({**hot, **at(log_charges=None)}, at(row_charge_default=1))
    yield Twist({**hot, "kind_weight.2": 2, **at(row_hot_days=3)}, at(weighted_days=6))
    below_it = {**at(row_kind=2, log_reading=5, reading_base=900), f"reading_base.{above}": 10}
    yield Twist(below_it, at(stretch_close=2))
    read = {**at(stretch_close=1, log_reading=25, reading_base=900), f"reading_base.{above}": 10}
    yield Twist({**read, **at(reading_factor=2), f"reading_factor.{above}": 3}, at(reading_use=30))
    yield Twist({**at(row_kind=6, row_days=2, row_hot_days=0), "meter_code": 3, "kind_day_use.6": 4}, at(energy_used=8))
    again = at(row_kind=1, row_days=2, row_hot_days=0)
    yield Twist({**again, f"run_kind.{above}": 1}, at(heating_again=1))
    yield Twist(at(row_kind=3, first_day=44000, row_days=5, log_days=2), at(next_day=44005))
    yield Twist({**at(row_kind=1, row_days=2, row_hot_days=0), f"run_kind.{above}": 2}, at(row_starts=1))
    yield Twist(at(row_kind=0, row_priced=1, stretch_state=1), at(row_measured=0))
    yield Twist(
        at(row_kind=0, log_reading=9e5),
        {**at(stretch_close=0), **at(reading_base=right.value(f"reading_base.{above}"))},
    )
    past = at(row_measured=1, first_day=44000, next_day=44009, row_own=0)
    yield Twist({**past, "chosen_from": 44000, "chosen_to": 44000}, at(row_past=8))
    yield Twist({**past, "chosen_from": 44001, "chosen_to": 44001}, at(row_past=0))
    yield Twist({**past, "chosen_from": 43000, "chosen_to": 43999}, at(row_past=0))
    over: Cells = {**only(right, "row_past", row, 4), "period_rows.2": 3, "chosen_from": None}
    for begins, ends, by in ((None, 45000, 4), (45000, None, 4), (None, None, None), ("spring", None, None)):
        yield Twist({**over, "period_from": begins, "period_to": ends}, {"period_overrun": by})
    priced = {**at(row_priced=1, tariff_first=2, row_days=4, run_kind=0, standing_to_first=10, standing_to_next=25)}
    beside = {f"tariff_first.{above}": 1, f"tariff_last.{below}": 5, "tariff_standing.1": 1.5}
    yield Twist({**priced, **at(tariff_last=2), **beside}, at(row_standing=6))
    yield Twist(
        {**priced, **at(tariff_last=3), f"tariff_first.{above}": 3, f"tariff_last.{below}": 2}, at(row_standing=15)
    )
    price = at(row_priced=1, tariff_first=2, tariff_last=3, row_days=4, log_days=2, price_to_first=10, price_to_next=30)
    yield Twist(price, at(mean_price=5))
    yield Twist(
        {"glass_price.1": "dear", **at(row_glass=1, log_weight=20)},
        at(glass_charged_cost=20 * right.number("glass_price_known.1")),
    )
    yield Twist(at(row_kind=1, row_glass=0, log_weight=5), at(row_other_fault=3))
    yield Twist(at(row_kind=1, row_glass=0, log_weight="five", log_new_kw=None), at(row_other_fault=0))
    yield Twist(at(row_kind=1, row_charge_default=0, log_weight=None, log_new_kw=9), at(row_other_fault=4))
    yield Twist(at(row_kind=1, log_weight=None, log_new_kw="nine"), at(row_other_fault=0))
    dated = {**at(log_date=44010, first_day=44030, row_days=3), f"next_day.{above}": 44007}
    yield Twist({**dated, **at(row_kind=3)}, at(day_gap=3))
    yield Twist({**dated, **at(row_kind=3, row_days=0)}, at(day_gap=4))
    yield Twist({**dated, **at(row_kind=0)}, at(day_gap=0))
    yield Twist({**dated, **at(row_kind=3), f"next_day.{above}": 1}, at(day_gap=44009))
    yield Twist(at(row_kind=3, first_day=44000, next_day=0, day_gap=0), at(row_flow_dates=0))
    changed = {**at(row_kind=6, days_since=5, stretch_close=3), f"stretch_close.{above}": 0}
    yield Twist({**changed, f"days_since.{above}": 0}, at(row_flow_reading=0))
    yield Twist({**changed, f"days_since.{above}": 2}, at(row_flow_reading=5))
    rest = at(row_kind=1, row_priced=1, row_hot_days=0, stretch_state=1)
    yield Twist({**rest, **at(row_charge_default=1, row_days=3, log_days=1)}, at(row_flow_rest=7))
    yield Twist({**rest, **at(row_charge_default=1, row_days=2, log_days=3)}, at(row_flow_rest=0))
    yield Twist({**rest, **at(row_charge_default=0, stretch_state=4), "meter_code": 2}, at(row_flow_rest=8))
    yield Twist({**rest, **at(row_charge_default=0, stretch_state=4), "meter_code": 3}, at(row_flow_rest=0))
    yield Twist(at(row_flow_dates=0, row_flow_reading=1, row_flow_rest=7), at(row_flow=1))
    yield Twist(at(row_fault=0, row_flow=8), at(log_status="Waiting for a reading"))
    yield Twist(at(row_fault=4, row_flow=8), at(log_status="A new kW goes on a New meter row"))
    yield Twist(
        {**at(stretch_close=1, log_reading=500, reading_base=900), f"reading_base.{above}": 480}, at(reading_count=20)
    )
    yield Twist(
        {f"row_hot_days.{other}": 0 for other in right.rows("row_hot_days")},
        right.all("own_total", "row_charge_default", "row_starts"),
    )


def _tariffs(right: Right) -> Iterator[Twist]:
    yield Twist({"pricing_date_used": -5}, {"pricing_row": 1})
    yield Twist({"pricing_date_used": 1}, {"pricing_row": 1})
    now = {"pricing_row": 2, "tariff_key.1": 1, "tariff_all_in.1": 5, "tariff_standing.1": 6}
    yield Twist(now, {"price_now": 5, "price_now_from": 1, "standing_now": 6})
    yield Twist({**now, "row_kind.3": 2, "tariff_first.3": 2, "tariff_last.3": 1}, {"row_priced.3": 1})
    unread: dict[str, Value] = {**dict.fromkeys(right.cells("tariff_price"), "dear"), "tariff_start.2": 44000}
    yield Twist(unread, {"tariff_used.2": 0})
    yield Twist({"tariff_price.1": 3, "tariff_start.2": "May", "tariff_price.2": None}, {"tariff_used.2": 0})
    yield Twist({**only(right, "tariff_key", 1, 45000), "tariff_key.end": 0}, {"tariff_newest": 45000})
    yield Twist({"first_day.3": -5, "row_kind.3": 2}, {"tariff_first.3": 1, "tariff_last.3": 1})
    shares = {"tariff_valid.2": 1, "tariff_shares.2": 2, "tariff_share_one.2": 0.5, "tariff_share_two.2": 0.75}
    yield Twist({**shares, "tariff_share_three.2": None, "close_enough": 0.25}, {"tariff_bad_share.2": 0})
    yield Twist({**shares, "tariff_share_three.2": None, "close_enough": 0.125}, {"tariff_bad_share.2": 1})
    risen = {"tariff_valid.2": 1, "tariff_all_in.1": 0.5, "tariff_all_in.2": 1.5}
    yield Twist({**risen, "price_limit": None}, {"tariff_jump.2": 0})
    yield Twist({**risen, "price_limit": 1.5}, {"tariff_jump.2": 0})
    yield Twist({**risen, "price_limit": 1.25}, {"tariff_jump.2": 1})
    yield Twist({**risen, "tariff_all_in.2": 1.625, "price_limit": None}, {"tariff_jump.2": 1})
    wide = {**risen, "price_limit": None, "close_enough": 0.25}
    yield Twist({**wide, "tariff_all_in.2": 1.75}, {"tariff_jump.2": 0})
    yield Twist({**wide, "tariff_all_in.2": 1.875}, {"tariff_jump.2": 1})
    yield Twist({**wide, "tariff_all_in.1": 0.25, "tariff_all_in.2": 5, "tariff_change.2": 1}, {"tariff_jump.2": 0})


def _parts(right: Right) -> Iterator[Twist]:
    counted = ("part_log_charges", "part_log_days", "part_log_starts")
    unused = {"part_used.2": 0, "part_kind_row.2": 1, "part_from.2": 0, "part_end.2": 99999, "part_newest.2": 1}
    free: Cells = {"kind_of_part_in_service.1": 0, "kind_of_part_gone.1": "No", "part_serving.2": 0}
    yield Twist({**unused, **free}, {f"{name}.2": 0 for name in (*counted, "part_prices")})
    yield Twist({"part_name.2": None, "kind_of_part_name.2": 0}, {"part_kind_row.2": 0})
    tied = {
        **only(right, "part_kind_row", 1, 1),
        **only(right, "part_from", 1, 44000),
        "part_end.1": 0,
        "part_end.6": 0,
    }
    tied |= {"part_kind_row.6": 1, "part_from.6": 44000}
    yield Twist(tied, {"part_tied.1": 1, "part_tied.6": 0})
    yield Twist({**tied, "part_from.6": 44100, "part_used.1": 1, "part_tied.1": 1}, {"part_newest.1": 0})
    # A part from the first day to the last, and the rows of the log one after the other without a kind.
    always = {"part_used.2": 1, "part_from.2": 0, "part_end.2": 99999, "row_starts.5": 3}
    for column, source in zip(counted, ("row_charges", "row_hot_days", "row_starts"), strict=True):
        rows = [row for row in right.rows("row_kind") if right.number(f"row_kind.{row}") > 0]
        total = sum(3 if source == "row_starts" and row == 5 else right.number(f"{source}.{row}") for row in rows)
        yield Twist(always, {f"{column}.2": total})
        gone = next(row for row in rows if right.number(f"{source}.{row}") > 0 and row != 5)
        yield Twist({**always, f"row_kind.{gone}": 0}, {f"{column}.2": total - right.number(f"{source}.{gone}")})
    yield Twist(
        {"part_is_retired.2": 0, "part_expected.2": 90, "part_uses.2": 40, "part_left.2": None},
        {"part_life_used.2": 90},
    )
    left = {"part_used.2": 1, "part_is_retired.2": 0, "part_expected.2": 90, "part_uses.2": 40}
    yield Twist({**left, "part_life_used.2": 95}, {"part_left.2": 50})
    serving = {"part_used.2": 1, "part_from.2": 44000, "part_end.2": 44100, "price_now_from": None}
    for day, serves in ((43999, 0), (44000, 1), (44099, 1), (44100, 0)):
        yield Twist({**serving, "pricing_date_used": day}, {"part_serving.2": serves})
    last = right.rows("part_used")[-1]
    for row in (1, last):
        yield Twist({**only(right, "part_unknown", row, 1), "parts_used": 3}, {"wear_known": 0})
        yield Twist({**only(right, "part_now_unknown", row, 1), "parts_used": 3}, {"wear_now_known": 0})
    typed: dict[str, Value] = dict.fromkeys(
        (f"part_{key}.2" for key in ("name", "installed", "retired", "cost", "uses_before", "life", "why")), None
    )
    for key in ("name", "installed", "retired", "cost", "uses_before", "life"):
        yield Twist({**typed, f"part_{key}.2": "new" if key == "name" else 5, "part_used.2": 0}, {"part_fault.2": 1})
    yield Twist({**typed, "part_why.2": "Cracked", "part_used.2": 0}, {"part_fault.2": 0})
    sound: Cells = {
        "part_name.2": "Pot",
        "part_used.2": 1,
        "part_cost.2": 400,
        "part_unused_cost.2": None,
        "part_from.2": 44000,
    }
    yield Twist({**sound, "part_retired.2": 44000, "part_end.2": 44000}, {"part_fault.2": 0})
    yield Twist({**sound, "part_retired.2": 43999, "part_end.2": 43999}, {"part_fault.2": 1})
    yield Twist({**sound, "part_end.2": 45000, "part_cost.2": "much"}, {"part_fault.2": 1})


def _melt(right: Right) -> Iterator[Twist]:
    half = {"window_year_weight": 0.5, "window_start": 44000, "window_end": 44364}
    ends = {"window_low": 44000, "window_high": 44364, "window_first": 44000, "window_last": 44364}
    yield Twist(half, ends)
    yield Twist({**half, "window_low": 1, "window_high": 2}, {"window_first": 44000, "window_last": 44364})
    own = {"furnace_purchase": 100, "furnace_life": 0.5}
    yield Twist(own, {"own_known": 1, "pair_other.141": 1})
    yearly = {
        "own_known": 1,
        "furnace_purchase": 0.5,
        "furnace_worth_end": 0.1,
        "furnace_life": 2,
        "furnace_maintenance": 3,
    }
    yield Twist(yearly, {"own_yearly": 3.2})
    yield Twist({"use_a_weight.1": 0}, {"furnace_efficiency": None})
    little = {**dict.fromkeys(right.cells("glass_used_weight"), 0.5), **dict.fromkeys(right.cells("glass_price"), 0.0)}
    unlisted = sum(right.value(cell) == 3 for cell in right.cells("row_fault"))
    yield Twist(little, {"glass_gap": unlisted})
    for row in (1, right.rows("row_fault")[-1]):
        gap = right.number("glass_gap")
        yield Twist({f"row_fault.{row}": 3}, {"glass_gap": gap + (right.value(f"row_fault.{row}") != 3)})
    yield Twist(dict.fromkeys(right.cells("row_other_fault"), 3), {"glass_gap": right.value("glass_gap")})
    steps = ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_standing", "line_wear", "line_glass")
    chosen: dict[str, Value] = {f"chosen_{step}": None for step in (*steps, "line_own", "line_sold")}
    ladder: dict[str, Value] = {
        f"{place.removeprefix('chosen_') if 'line' in place else place.replace('chosen', 'step')}.2": 5
        for place in chosen
    }
    yield Twist({**ladder, "period_from": "spring", "period_to": "autumn"}, {**chosen, "period_overrun": None})
    yield Twist({**ladder, "period_from": None, "period_to": 45000}, dict.fromkeys(chosen, 5))
    yield Twist({**ladder, "period_from": 45000, "period_to": None}, dict.fromkeys(chosen, 5))
    yield Twist({"pricing_date": None, "pricing_date_used": 45000, "last_measured_day": 46000}, {"window_end": 45000})
    yield Twist({"year_weight": 0, "price_hot": 1, "standing_now": 2}, {"price_standing": None, "price_own": None})
    dearer = {cell: right.number(cell) + 1 for cell in right.cells("glass_price_known")}
    more = right.sum("glass_window_weight") / right.number("period_weight.3")
    assert right.value("raw_glass_known") == 1
    yield Twist(dearer, {"price_glass": right.number("price_glass") + more})
    yield Twist({"window_start": 99999}, right.all("glass_window_weight"))
    yield Twist(dict.fromkeys(right.cells("campaign_to"), 1), right.all("campaign_from"))
    yield Twist({"line_glass.1": None}, right.all("ladder_amount"))
    yield Twist({"furnace_pool": 5, "period_gathers.3": 0}, {"rate_gather": None})
    yield Twist(
        {"ordinary_weight": None, "period_hot_days.3": 0, "period_days.3": 100, "period_weight.3": 200},
        {"year_weight": 730},
    )
    sold = {"price_line_own": 3, "line_own.1": 3, "share_good": 0.5, "ends_share": 0.5}
    yield Twist(sold, {"price_line_sold": 12, "line_sold.1": 12})
    for blank in ({"share_good": "most"}, {"share_good": 0}, {"ends_share": 0}, {"ends_share": None}):
        yield Twist({**sold, **blank}, {"price_line_sold": None, "line_sold.1": None})
    counted = ("heatup", "charge", "blow", "idle", "own_charge", "own_idle")
    yield Twist(dict.fromkeys(right.cells("row_hot_days"), 0), right.all(*(f"{kind}_days" for kind in counted)))
    started = next(
        row
        for row in right.rows("row_starts")
        if right.value(f"row_starts.{row}") == 1 == right.value(f"row_measured.{row}")
    )
    yield Twist({f"row_starts.{started}": 3}, {"period_starts.1": right.number("period_starts.1") + 2})
    unused = {**only(right, "part_unused_cost", 2, 7), "period_part_from.2": 45000, "period_part_to.2": 45010}
    for day, counts in ((44999, 0), (45000, 7), (45010, 7), (45011, 0)):
        typed = {**unused, "part_retired.2": day, "part_installed.2": 1, "part_from.2": 1}
        yield Twist(typed, {"period_unused.2": counts})
    for row in (1, right.rows("part_retired")[-1]):
        typed = {**only(right, "part_unused_cost", row, 7), f"part_retired.{row}": 45005}
        yield Twist({**typed, "period_part_from.2": 45000, "period_part_to.2": 45010}, {"period_unused.2": 7})
    yield Twist(
        {f"log_date.{row}": 1 for row in right.rows("log_date")},
        right.all("period_weight", "campaign_first", "window_year_weight"),
    )
