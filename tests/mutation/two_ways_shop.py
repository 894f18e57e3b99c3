"""Two ways to figures of the shop: what to price with, pieces, tags and lists."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.studio.capacity import CHANNEL_SLOTS
from tests.mutation.right import Cells, Right, only
from tests.mutation.two_ways import PLACES, SAME, By, Is, Line, lines, raised

SUMS_OF_SLOTS = {
    "net": "What you get, all ways of selling",
    "margin": "Margins × what you get",
    "lowest": "Lowest prices, all ways of selling",
    "must": "Tags asked for",
    "hours": "Left per bench hour × hours",
    "earn": "You earn an hour × hours",
    "watched": "Margins watched",
    "sells": "Pieces in all ways of selling",
}
"""The sums over all pieces in a way of selling, and the pairs that compare them."""


def shop_pairs(right: Right) -> Iterator[Line]:
    """All of them, by the check that reports them."""
    yield from _ladder(right)
    yield from _pricing(right)
    yield from _pieces(right)
    yield from _prices(right)
    yield from _lists(right)


def _ladder(right: Right) -> Iterator[Line]:
    sold: Cells = {"share_in_pieces": "most", "share_drawn": 0.5, "share_good": 0.5}
    steps = {f"chosen_{step}": 0 for step in ("charge", "melt", "hot", "standing", "wear", "glass")}
    undated: Cells = {"period_from": "spring", "period_to": "autumn", **steps}
    paid: Cells = {"wear_counted": "Count", "wear_known": 1, "wear_method": "Paid"}
    yield from lines(
        "ladder_adds_up",
        ("In pieces that sell", sold, Is(right.sum("line_sold") * 0.25), SAME),
        ("Steps shown, your dates, 1", undated, Is(0), Is(0)),
        ("Steps shown, your dates, 2", {"period_from": "spring", "period_to": "autumn"}, SAME, Is(0)),
        ("Pots and elements", {**paid, **raised(right, "wear_paid.2")}, SAME, Is(right.sum("wear_paid") + 1)),
        ("Pots and elements", {**paid, **raised(right, "period_wear.2")}, By(1), Is(right.sum("wear_paid"))),
        ("Melting and blowing days", dict.fromkeys(right.cells("step_hot"), None), SAME, SAME),
        (
            "Parts retired unused",
            {**only(right, "part_unused_cost", 2, 7), "part_retired.2": None, "part_installed.2": 5, "part_from.2": 5},
            SAME,
            Is(0),
        ),
    )


def _pricing(right: Right) -> Iterator[Line]:
    wears = ("price_wear_charge", "price_wear_day", "price_wear_start", "price_wear")
    yield from lines(
        "pricing_adds_up",
        ("Price on the pricing date", raised(right, *right.cells("tariff_start"), by=100), SAME, SAME),
        ("Service and demand on the pricing date", raised(right, *right.cells("tariff_start"), by=100), SAME, SAME),
        ("Price on the pricing date", {"price_now_from": None}, SAME, SAME),
        ("Service and demand on the pricing date", {"price_now_from": None}, SAME, SAME),
        ("Glass in an ordinary year", {"ordinary_weight": 5, "year_weight": 9}, Is(9), Is(5)),
        (
            "Glass in an ordinary year",
            {"ordinary_weight": "much", "period_days.3": 100, "period_weight.3": 200, "period_hot_days.3": 0},
            SAME,
            Is(730),
        ),
        ("Every hot day × glass", {"price_hot": None}, Is(0), Is(0)),
        ("Every hot day × glass", {"price_melt": None}, SAME, SAME),
        ("Melting and blowing days × glass", {"price_melt": None}, Is(0), Is(0)),
        ("Melting and blowing days × glass", {"price_hot": None}, SAME, SAME),
        (
            "Raw glass × glass",
            raised(right, *right.cells("glass_price_known")),
            SAME,
            By(right.sum("glass_window_weight")),
        ),
        (
            "The furnace itself, over its life",
            {"own_yearly": 3, "furnace_purchase": 0.5, "furnace_worth_end": 0.1},
            None,
            Is(0.4),
        ),
        (
            "In pieces that sell, to price with",
            {"share_in_pieces": "most", "share_drawn": 0.5, "share_good": 0.5},
            Is(right.number("price_line_sold") / 4),
            SAME,
        ),
        ("Overhead of an ordinary year's hours", {"furnace_pool": 0}, SAME, SAME),
        (
            "Overhead of an ordinary year's hours",
            {"overhead_total": 1, "overhead_hour": 0.5, "ordinary_hours": 4},
            Is(2),
            None,
        ),
    )
    for what, part, own, units in (
        ("Wear by charges × glass", "charges", "price_wear_charge", "period_charges.3"),
        ("Wear by hot days × glass", "days", "price_wear_day", "period_hot_days.3"),
        ("Wear by heat-ups × glass", "starts", "price_wear_start", "period_starts.3"),
    ):
        rates = {"wear_counted": "Count", **only(right, f"part_now_{part}", 1, 2), units: 3}
        for blank in wears:
            known = {place: None if place == blank else 1 for place in wears}
            yield "pricing_adds_up", what, {**rates, **known}, None, Is(0 if blank == own else 6)


def _pieces(right: Right) -> Iterator[Line]:
    shop: dict[str, tuple[Cells, float]] = {
        "Bench minutes of the window": ({"window_hours": "many", "ordinary_hours": 100, "period_days.3": 73}, 1200),
        "Glass in one gather": (
            {"gather_weight": "some", "period_gathers.1": 50, "period_weight.1": 100, "share_drawn": 0.5},
            1,
        ),
        "Rate off the bench": ({"person_rate.4": "union", "person_rate.1": 31}, 31),
        "Paid hours per bench hour": ({"paid_factor": "more"}, 1),
        "Overheads are known": (dict.fromkeys(right.cells("overhead_amount"), "much"), 0),
        "Ownership is known": ({"furnace_purchase": "much"}, 0),
    }
    place = {key.partition(": ")[2]: key.partition(":")[0] for key in PLACES}
    for what, (texts, shown) in shop.items():
        yield place[what], what, texts, None, Is(shown)
    known = {**only(right, "overhead_amount", 1, 5, rest=None), **dict.fromkeys(right.cells("overhead_yearly"), None)}
    overheads: Cells = {**known, "overhead_total": 5, "ordinary_hours": 0, "furnace_pool": 0}
    for typed, shown in (
        (overheads, 0),
        ({**overheads, "overhead_total": 1}, 0),
        ({**overheads, "ordinary_hours": 0.5}, 1),
        ({**overheads, "overhead_total": 0, "furnace_pool": 5}, 1),
    ):
        yield place["Overheads are known"], "Overheads are known", typed, None, Is(shown)
    loaded = next((row for row in right.rows("equipment_per") if right.value(f"equipment_per.{row}") == "Load"), 1)
    loads: Cells = {f"equipment_per.{loaded}": "Load", f"equipment_cost.{loaded}": 4, f"equipment_load.{loaded}": 9}
    others = [row for row in right.rows("equipment_per") if row != loaded]
    rest = {f"equipment_per.{row}": "Day" for row in others}
    other_loads = sum(right.number(f"equipment_load.{row}") for row in others)
    yield place["Equipment, a load of each"], "Equipment, a load of each", {**loads, **rest}, Is(9 + other_loads), Is(4)
    what = "Paid hours per bench hour"
    yield place[what], what, {"paid_used": 3, "paid_factor": 2}, Is(3), Is(2)
    yield (
        place["Glass in one gather"],
        "Glass in one gather",
        {"gather_weight": 2, "gather_weight_used": 3},
        Is(3),
        Is(2),
    )
    piece_count = len(right.cells("cost_good"))
    check = "piece_costs_add_up"
    share = {"piece_load_share.2": 0.5, "piece_load_part.2": 0.75}
    typed_share = right.value("piece_load_share.2")
    parts = sum(
        right.number(f"piece_load_part.{row}")
        for row in right.rows("piece_load_share")
        if row != 2 and isinstance(right.value(f"piece_load_share.{row}"), float)
    )
    shares = right.sum("piece_load_share") - (typed_share if isinstance(typed_share, float) else 0)
    yield from lines(
        check,
        ("One good one of each piece", raised(right, "cost_good.2"), By(1), SAME),
        ("One good one of each piece", raised(right, "cost_lines.2"), SAME, By(1)),
        ("Parts of a load, typed", share, Is(parts + 0.75), Is(shares + 0.5)),
        ("Glasses of the pieces", raised(right, "glass_pieces.3"), SAME, By(2)),
        ("Glasses of the pieces", raised(right, "glass_taken.3"), SAME, SAME),
        ("Glasses of the pieces", {f"piece_glass_row.{piece_count}": 0}, None, By(-1)),
        ("Glasses of the pieces", {"piece_glass_row.1": 0}, None, By(-1)),
        ("Prices of their glass", raised(right, "glass_price_known.2"), SAME, By(right.number("glass_taken.2"))),
        ("Before packing × good share, with seconds", dict.fromkeys(right.cells("spent_started"), None), SAME, SAME),
        ("Before packing × good share, with seconds", dict.fromkeys(right.cells("cost_loss"), None), SAME, SAME),
        ("Pieces whose cost is complete", {"price_wear_start": None}, SAME, SAME),
    )
    only_second = {
        **only(right, "piece_load_part", 2, 0.5, rest=None),
        **only(right, "piece_load_share", 2, 0.5, rest=None),
        **only(right, "piece_per_load", 2, 0.5, rest=None),
        **dict.fromkeys(right.cells("piece_named"), 1),
    }
    of_load = "Parts of a load × pieces a load"
    yield check, of_load, only_second, Is(1.25), Is(1.25)
    yield check, of_load, {**only_second, "piece_per_load.2": 0}, Is(0), Is(0)
    assert piece_count >= 3


def _prices(right: Right) -> Iterator[Line]:
    check = "prices_add_up"
    for row, slot in enumerate(CHANNEL_SLOTS, start=1):
        what = f"What the tags of way of selling {row} bring"
        tags = right.cells(f"tag_exact_{slot}")
        keeps, rise, costs = (right.number(f"channel_{name}.{row}") for name in ("factor", "on_cost", "costs"))
        for cell in (tags[0], tags[2], tags[-1]):
            yield check, what, {cell: 0}, Is(0), Is(0)
            yield check, what, {cell: 0.25, "close_enough": 0.25}, Is(0), Is(0)
            low = right.sum(f"tag_exact_{slot}") - right.number(cell) + 0.5
            yield check, what, {cell: 0.5}, Is(low * keeps - len(tags) * costs), SAME
        yield check, what, dict.fromkeys(right.cells("cost_lines"), 1e6), SAME, SAME
        ones = {**dict.fromkeys(tags, 2), **dict.fromkeys(right.cells("cost_good"), 3)}
        yield check, what, ones, Is(len(tags) * (2 * keeps - costs)), Is(len(tags) * 3 * rise)
        unsold = {**ones, tags[0]: None}
        yield check, what, unsold, Is((len(tags) - 1) * (2 * keeps - costs)), Is((len(tags) - 1) * 3 * rise)
    yield from _sold(right)
    for name in SUMS_OF_SLOTS:
        what = SUMS_OF_SLOTS[name]
        yield check, what, raised(right, f"slot_{name}.2"), By(1), SAME
        yield check, what, raised(right, f"slot_{name}_again.2"), SAME, By(1)
    tags_typed: Cells = {"tax_inside": "No", "tag_ending": 0}
    leave = "Ways that leave something"
    for row in (1, 6):
        alone = {**{f"channel_used.{at}": int(at == row) for at in range(1, 7)}, f"channel_base_code.{row}": 3}
        for factor, commission, count in ((0.5, 0.5, 1), (0.5, 1.5, 0), (0, 0.5, 0), (0, 1.5, 0), (0.5, 1, 1)):
            typed = {**alone, f"channel_factor.{row}": factor, f"channel_commission.{row}": commission}
            beside = {
                f"channel_replaced.{row}": 0,
                f"channel_on_cost.{row}": 0,
                f"channel_tag_share.{row}": 0.5,
                f"channel_fee.{row}": 0.1,
            }
            yield check, leave, {**typed, **beside}, SAME, Is(count)
        for commission in (0.5, 1.5):
            typed = {**alone, f"channel_factor.{row}": 0.25, f"channel_commission.{row}": commission}
            yield check, leave, {**typed, "tiny_share": 0.25}, SAME, Is(0)
        earning = {**only(right, "channel_open", row, 1), f"channel_margin.{row}": 1}
        yield check, "Ways that can earn their margin", earning, SAME, Is(0)
        yield check, "Ways that can earn their margin", {**earning, f"channel_margin.{row}": 0.75}, SAME, Is(1)
    yield from lines(
        check,
        ("Parts of the tag", {"channel_base_code.1": None}, SAME, SAME),
        ("Parts of the tag", {"channel_used.1": "yes"}, SAME, By(-1)),
        ("Tax, step and ending of tags", {**tags_typed, "tag_step": 0}, SAME, Is(2)),
        ("Tax, step and ending of tags", {**tags_typed, "tag_step": "some"}, SAME, Is(2)),
        ("Tax, step and ending of tags", {**tags_typed, "tag_step": 0.5}, SAME, Is(1.5)),
        ("Worst margins", raised(right, "margin_worst.2", by=0.125), By(0.125), SAME),
        ("Worst margins", raised(right, "margin_lowest.2", by=0.125), SAME, By(0.125)),
        ("Worst margins", dict.fromkeys(right.cells("margin_lowest"), -1), SAME, Is(0)),
        (
            "Worst margins",
            {**dict.fromkeys(right.cells("margin_lowest"), -0.75), "close_enough": 0.25},
            SAME,
            Is(0),
        ),
        ("Tags over those suggested", dict.fromkeys(right.cells("tag_plain"), None), SAME, SAME),
        ("Suggested tags off the step", raised(right, "tag_off.1"), By(1), SAME),
        ("Suggested tags off the step", raised(right, "tag_off.5"), By(1), SAME),
        ("Suggested tags off the step", raised(right, "shelf_off.2"), SAME, SAME),
    )


def _sold(right: Right) -> Iterator[Line]:
    """In how many ways the pieces are sold."""
    check = "prices_add_up"
    for row in (1, 6):
        sold: Cells = only(right, "slot_sells", row, 3)
        must, can = only(right, "channel_must", row, 1), only(right, "channel_can", row, 1)
        yield check, "Ways that must earn it, of all pieces", {**sold, **must}, SAME, Is(3)
        yield check, "Ways that must and can, of all pieces", {**sold, **must, **can}, SAME, Is(3)
        yield check, "Ways that must and can, of all pieces", {**sold, **must, f"channel_can.{row}": 0}, SAME, Is(0)
        leaves = only(right, "channel_open", row, 1)
        yield check, "Ways that leave something, of all pieces", {**sold, **leaves}, SAME, Is(3)
    for row in (1, 5):
        must_here, open_here = raised(right, f"must_here.{row}"), raised(right, f"open_here.{row}")
        yield check, "Ways that must earn it, of all pieces", must_here, By(1), SAME
        yield check, "Ways that must and can, of all pieces", must_here, By(1), SAME
        yield check, "Ways that must and can, of all pieces", raised(right, f"must_stuck.{row}"), By(-1), SAME
        yield check, "Ways that leave something, of all pieces", open_here, By(1), SAME
        yield check, "Tags typed that lose money", raised(right, f"tag_losing.{row}"), By(1), SAME
        typed: Cells = {**only(right, "losing_ways", row, 1), f"piece_tag.{row}": 5}
        yield check, "Tags typed that lose money", typed, None, Is(1)
        yield check, "Tags typed that lose money", {**typed, f"losing_ways.{row}": 0.5}, None, Is(1)
        yield check, "Tags typed that lose money", {**typed, f"losing_ways.{row}": 0}, None, Is(0)
        yield check, "Tags typed that lose money", {**typed, f"piece_tag.{row}": None}, None, Is(0)


def _lists(right: Right) -> Iterator[Line]:
    check = "ranking_adds_up"
    for name in ("rank_off", "shelf_off"):
        for row in (1, 5):
            yield check, "Pieces out of order", raised(right, f"{name}.{row}"), By(1), SAME
    yield check, "Pieces out of order", raised(right, "tag_off.2"), SAME, SAME
    for name in ("ranking_strange", "list_strange"):
        for row in (1, 5):
            yield check, "Lines with another piece's name", raised(right, f"{name}.{row}"), By(1), SAME
    yield check, "Pieces on the price list", dict.fromkeys(right.cells("tag_plain"), None), SAME, SAME
