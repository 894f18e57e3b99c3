"""Twists of the shop's side: borders that are met exactly, blanks and zeros, copies of a cell typed over."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.studio.capacity import CHANNEL_SLOTS
from tests.mutation.right import Cells, Right, Twist, Value, only
from tests.mutation.twists_looks import first_looks
from tests.mutation.twists_sold import where_sold

GLORY_NOT_COUNTED = "The glory hole is in no cost yet: type its cost, or 0, on Shop, or its rows on Equipment."
SLOTS = tuple(enumerate(CHANNEL_SLOTS, start=1))


def shop_side(right: Right) -> Iterator[Twist]:
    """All of them, in the order of the chapters."""
    yield from _shop(right)
    yield from _pieces(right)
    yield from _channels(right)
    yield from where_sold(right)
    yield from _slots(right)
    yield from _tags(right)
    yield from _lists(right)
    yield from _bars_and_steps(right)


def _shop(right: Right) -> Iterator[Twist]:
    yield Twist({"paid_factor": None}, {"paid_used": 1})
    yield Twist({"tag_step": None}, {f"number_texts.{row}": 0 for row in right.rows("number_texts")})
    yield Twist({"rank_channel": None, "channel_name.4": 0}, {"rank_slot": 1})
    yield Twist({"picture_piece": None, "piece_name.4": 0}, {"picture_row": 1})
    yield Twist(dict.fromkeys(right.cells("overhead_amount"), None), {"overhead_lines": right.value("overhead_lines")})
    hours = {"overhead_lines": 2, "ordinary_hours": 0, "overhead_total": 5, "furnace_pool": 0}
    yield Twist(hours, {"overhead_known": 0})
    yield Twist({**hours, "overhead_total": 1}, {"overhead_known": 0})
    yield Twist({**hours, "overhead_total": 0, "furnace_pool": 5}, {"overhead_known": 1})
    yield Twist({**hours, "ordinary_hours": 0.5}, {"overhead_known": 1, "overhead_hour": 10})
    yield Twist({"overhead_known": 1, "overhead_total": 1, "ordinary_hours": 10}, {"overhead_hour": 0.1})
    yield Twist(
        {"overhead_known": 1, "overhead_total": 0, "ordinary_hours": 0, "furnace_pool": 5}, {"overhead_hour": 0}
    )
    for step in (0, -2, "some"):
        yield Twist({"tag_step": step}, {"tag_step_used": 1, "need_missing.6": 1})
    yield Twist({"tag_step": 0.25}, {"tag_step_used": 0.25, "need_missing.6": 0})
    for row in (1, right.rows("piece_made")[-1]):
        yield Twist(only(right, "piece_made", row, 0.5), {"made_known": 1})
    minute = "equipment_typed_minute.1"
    yield Twist({"equipment_per.1": "Hour", "equipment_cost.1": 6, "equipment_hours.1": "long"}, {minute: 0.1})
    yield Twist({"equipment_per.1": "Day", "equipment_cost.1": 6, "minutes_a_day": 0.5}, {minute: 12})


def _pieces(right: Right) -> Iterator[Twist]:
    by_weight: Cells = {"furnace_by": "Weight", "piece_drawn_used.2": 2, "piece_returned.2": None}
    yield Twist(by_weight, {"piece_units_known.2": 1})
    yield Twist({"furnace_by": "Gathers", "piece_gathers.2": "few"}, {"piece_units_known.2": 0})
    yield Twist({"furnace_by": "Bench minutes", "piece_minutes.2": "few"}, {"piece_units_known.2": 0})
    yield Twist({"glass_price.1": 2, "glass_price_known.1": 3, "piece_glass_row.2": 1}, {"piece_glass_price.2": 2})
    yield Twist({"piece_load_share.2": None, "piece_per_load.2": 0.5}, {"piece_load_part.2": 2})
    ruined: dict[str, Value] = dict.fromkeys(
        ("cost_before_packing.2", "low_good.2", "cost_not_own.2", "bench_hours_good.2", "own_hours_good.2"), None
    )
    yield Twist({"good_share.2": 0}, ruined)
    annealed = {"equipment_known.2": 1, "equipment_load.2": 0.5, "piece_load_part.2": None}
    yield Twist(annealed, {"miss_annealing.2": ", annealing"})
    yield Twist({"price_wear": None}, {"miss_wear.2": ", wear"})
    yield Twist({"cost_lines.2": None, "piece_missing_list.2": ", rent"}, {"piece_lacks.2": ", rent"})
    final = {
        "cost_good.2": 9,
        "piece_missing_list.2": None,
        "piece_missing.2": "Not counted yet: rent",
        "cost_lines.2": None,
    }
    yield Twist(final, {"piece_final.2": 1})
    yield Twist({**final, "piece_missing_list.2": ", rent", "piece_missing.2": None}, {"piece_final.2": 0})
    yield Twist({"piece_name.2": None, "miss_rent.2": None}, {"miss_rent.2": None})
    nameless = ("size", "glass", "drawn", "gathers", "finished", "materials", "minutes", "loss", "made", "tag")
    beside = (
        "listed",
        "order",
        "per_load",
        "colour_weight",
        "second_value",
        "first_minutes",
        "load_share",
        "seconds",
        "packing",
    )
    empty: dict[str, Value] = {f"piece_{key}.2": None for key in ("name", *nameless, *beside)}
    for key in nameless:
        yield Twist({**empty, f"piece_{key}.2": "tall" if key in ("size", "glass") else 3}, {"piece_nameless.2": 1})
    for key in beside:
        yield Twist({**empty, f"piece_{key}.2": 3}, {"piece_nameless.2": 0})
    yield Twist({"piece_tag.2": 30, "lowest_worst.2": 30}, {"tag_losing.2": 0})
    yield Twist({"piece_tag.2": 29.5, "lowest_worst.2": 30}, {"tag_losing.2": 1})
    yield Twist({"piece_tag.2": 29.75, "lowest_worst.2": 30, "close_enough": 0.25}, {"tag_losing.2": 0})
    yield Twist({"piece_drawn_used.2": 4, "piece_returned.2": None, "piece_finished.2": 3}, {"piece_kept.2": 3})
    yield Twist({"piece_drawn_used.2": 4, "piece_finished.2": "all"}, {"piece_kept.2": 4})
    ready = {
        "cost_good.2": 9,
        "piece_loss.2": 0.1,
        "cost_glass.2": 1,
        "piece_load_part.2": None,
        "kiln_share.2": 1,
        "cost_lines.2": None,
    }
    loads = {"equipment_load.1": 0, "equipment_load.2": 0.5, "equipment_load.3": 0}
    yield Twist({**ready, **loads}, {"piece_ready.2": 0, "piece_costed.2": 1})
    yield Twist({**ready, "equipment_load.1": 5, "equipment_load.2": 0, "equipment_load.3": 5}, {"piece_ready.2": 1})
    yield Twist({**ready, **loads, "equipment_load.2": 0, "piece_loss.2": "few"}, {"piece_ready.2": 0})
    yield Twist({"bench_hours_good.2": None}, {"own_minutes.2": right.value("own_minutes.2")})


def _channels(right: Right) -> Iterator[Twist]:
    used = {"channel_used.2": 1, "channel_factor.2": 0.25, "channel_lost_share.2": 0.1}
    for commission, fee, opens in (
        (0.3, 0.1, 1),
        (1.5, 0.1, 0),
        (0.1, 1.5, 0),
        (1, 0.1, 0),
        (0.1, 1, 0),
        (1.5, 1.5, 0),
    ):
        yield Twist({**used, "channel_commission.2": commission, "channel_fee.2": fee}, {"channel_open.2": opens})
    narrow = {**used, "channel_commission.2": 0.1, "channel_fee.2": 0.1, "tiny_share": 0.25}
    yield Twist(narrow, {"channel_open.2": 0})
    for number, slot in SLOTS:
        cheap = {
            "cost_good.2": 0.05,
            f"channel_costs.{number}": 0,
            f"sells_{slot}.2": 1,
            f"channel_can.{number}": 1,
        }
        rise, keeps = right.number(f"channel_on_cost.{number}"), right.number(f"channel_factor.{number}")
        yield Twist({**cheap, "cost_lines.2": 9}, {f"tag_exact_{slot}.2": 0.05 * rise / keeps})
        yield Twist(
            {f"sells_{slot}.2": 1, f"channel_can.{number}": 0, f"channel_open.{number}": 1},
            {f"tag_exact_{slot}.2": "No tag can do it"},
        )
        low = {"low_good.2": 5, f"sells_{slot}.2": 1, f"channel_can.{number}": 0, f"channel_open.{number}": 1}
        lowest = max(0, 5 * (1 + right.number(f"channel_replaced.{number}")) + right.number(f"channel_costs.{number}"))
        yield Twist(low, {f"lowest_{slot}.2": lowest / keeps * right.number("tag_factor")})
        plain = {"tag_plain.2": 40, "cost_good.2": 10, "cost_lines.2": 9, f"channel_replaced.{number}": 0.1}
        net_of = 40 * keeps - right.number(f"channel_costs.{number}") - 1
        yield Twist(plain, {f"net_{slot}.2": net_of})
        for net, margin in ((0, "At a loss"), (0.5, 0.2), (-2, "At a loss")):
            yield Twist({f"net_{slot}.2": net, "cost_good.2": 0.4, "cost_lines.2": 9}, {f"margin_{slot}.2": margin})
        wide = {"close_enough": 0.25, "cost_good.2": 0.25}
        for net, margin in ((0.25, "At a loss"), (0.5, 0.5)):
            yield Twist({**wide, f"net_{slot}.2": net}, {f"margin_{slot}.2": margin})
        for margin, watched in ((0.2, 0.2), (-0.5, -0.5), (-1, -1), (-3, -1), ("At a loss", -1)):
            asked: Cells = {f"channel_must.{number}": 1, f"net_{slot}.2": 3, f"margin_{slot}.2": margin}
            yield Twist(asked, {f"must_margin_{slot}.2": watched})
            yield Twist({**asked, f"channel_must.{number}": 0}, {f"must_margin_{slot}.2": None})
    copies = {**dict.fromkeys(right.cells("cost_lines"), 1e6)}
    nets = right.all(*(f"{name}_{slot}" for _, slot in SLOTS for name in ("net", "tag_exact", "margin")))
    yield Twist(copies, {**nets, "picture_cost": right.value("picture_cost"), **right.all("piece_final")})
    for here in (1, 3):
        yield Twist({"open_here.2": here, "must_stuck.2": 0}, {"lowest_worst.2": right.value("lowest_worst.2")})
    yield Twist({"open_here.2": 0, "must_here.2": 1}, {"lowest_worst.2": None})
    for column in ("channel_must", "channel_can"):
        for row in (1, 6):
            blocked = {**only(right, "channel_must", row, 1), **only(right, "channel_open", row, 1)}
            typed = {**blocked, **dict.fromkeys(right.cells("channel_can"), 0 if column == "channel_can" else 1)}
            yield Twist(typed, {"must_blocked": int(column == "channel_can")})


def _slots(right: Right) -> Iterator[Twist]:
    """The sums over all pieces in each way of selling."""
    pieces = right.rows("piece_name")
    last = pieces[-1]
    for number, slot in SLOTS:
        costs = {f"cost_good.{row}": 10 for row in pieces} | {f"cost_lines.{row}": 9 for row in pieces}
        for row in (1, last):
            for net, margins in ((-3, 0), (0, 0), (0.5, -9.5), (15, 5)):
                rest = only(right, f"net_{slot}", row, net, rest=-1)
                yield Twist({**costs, **rest}, {f"slot_margin_again.{number}": margins})
            wide_rest = only(right, f"net_{slot}", row, 0.25, rest=-1)
            yield Twist({**costs, **wide_rest, "close_enough": 0.25}, {f"slot_margin_again.{number}": 0})
            watch: dict[str, Value] = {f"channel_must.{number}": 1, **{f"must_margin_{slot}.{at}": 77 for at in pieces}}
            calm = {f"margin_{slot}.{at}": 0.25 for at in pieces} | {f"net_{slot}.{at}": 20 for at in pieces}
            quarter = 0.25 * (last - 1)
            for share, net, seen in (
                (0.5, 20, 0.5),
                (-1, 20, -1),
                (-3, 20, -1),
                ("At a loss", 0, -1),
                ("At a loss", -5, -1),
                (0.125, 0.5, 0.125),
            ):
                typed = {**watch, **calm, f"margin_{slot}.{row}": share, f"net_{slot}.{row}": net}
                yield Twist(typed, {f"slot_watched_again.{number}": quarter + seen})
            near = {**watch, **calm, f"margin_{slot}.{row}": "At a loss", f"net_{slot}.{row}": 0.25}
            yield Twist({**near, "close_enough": 0.25}, {f"slot_watched_again.{number}": quarter - 1})
            floor = {f"lowest_{slot}.{at}": 4 for at in pieces} | {f"low_good.{at}": 3 for at in pieces}
            terms = {f"channel_factor.{number}": 0.5, f"channel_replaced.{number}": 0.5, f"channel_costs.{number}": 2}
            for lowest, total, again in ((0, 0, 0), (0.5, 2 * last - 1.75, 6.5 * last)):
                typed = {**floor, **terms, "tag_factor": 1, f"lowest_{slot}.{row}": lowest}
                yield Twist(typed, {f"slot_lowest.{number}": total, f"slot_lowest_again.{number}": again})
            typed = {**floor, **terms, "close_enough": 0.25, f"lowest_{slot}.{row}": 0.25}
            yield Twist(typed, {f"slot_lowest.{number}": 0, f"slot_lowest_again.{number}": 0})
            nets = {f"tag_plain.{at}": 40 for at in pieces} | {f"net_{slot}.{at}": 1 for at in pieces}
            unpriced = {**costs, **nets, **terms, f"net_{slot}.{row}": None, f"tag_exact_{slot}.{row}": 5}
            unpriced |= {f"tag_exact_{slot}.{last + 1 - row}": None, f"tag_plain.{row}": 90}
            yield Twist(unpriced, {f"slot_net_again.{number}": (last - 1) * (20 - 2 - 5)})


def _tags(right: Right) -> Iterator[Twist]:
    cents = {"tag_wanted.2": 1.005, "tag_factor": 1, "money_digits": 2}
    yield Twist(cents, {"tag_cents.2": 1.01})
    yield Twist({**cents, "tag_suggested.2": 3}, {"tag_over.2": 1.99})
    for step, on_grid in ((1.25, 1), (1.375, 0), (1, 1)):
        grid = {"money_digits": 0, "tag_ending_used": 0, "close_enough": 0.25, "tag_step_used": step}
        yield Twist(grid, {"tags_on_grid": on_grid})
    for lowest, worst in ((-0.75, "At a loss"), (-0.5, -0.5), (-1, "At a loss"), (0.25, 0.25)):
        yield Twist({"margin_lowest.2": lowest, "close_enough": 0.25}, {"margin_worst.2": worst})
    steps = {"tag_step_used": 1, "tag_ending_used": 0, "money_digits": 2}
    yield Twist({**steps, "tag_cents.2": 2.0000003}, {"tag_suggested.2": 2})
    yield Twist({**steps, "tag_cents.2": 0.5, "tag_ending_used": 0.95}, {"tag_suggested.2": 0.95})
    yield Twist({**steps, "tag_cents.2": None, "tag_wanted.2": 5.5}, {"tag_suggested.2": 5.5})
    yield Twist({"piece_tag.2": None, "tag_cents.2": None, "tag_suggested.2": 8}, {"tag_in_force.2": 8})
    off = {"tags_on_grid": 1, "tag_step_used": 1, "lowest_again.2": -5}
    for over, step, is_off in (
        (0.5, 3.0, 0),
        (-1.0, 3.0, 1),
        (-3e-7, 3.0, 0),
        (1.0, 3.0, 1),
        (0.9999997, 3.0, 1),
        (1.5, 3.0, 1),
        (0.5, 3.5, 1),
        (0.5, 3.1, 1),
        (None, 3.5, 0),
    ):
        yield Twist({**off, "tag_over.2": over, "tag_steps.2": step}, {"tag_off.2": is_off})
    yield Twist({**off, "tag_over.2": 0.5, "tag_steps.2": 3.25, "close_enough": 0.25}, {"tag_off.2": 1})
    yield Twist(dict.fromkeys(right.cells("tag_cents"), None), right.all("tag_again"))


def _lists(right: Right) -> Iterator[Twist]:
    # Two equal keys go by their place; keys of the other list say something else.
    for key, other, shown, place, values, places in (
        ("rank_key", "shelf_key", "left_ranked", "rank_place", (5, 5, 5, 9, 1), (2, 3, 4, 1, 5)),
        ("rank_key", "shelf_key", "left_ranked", "rank_place", (7, 8, 9, 7, 7), (3, 2, 1, 4, 5)),
        ("shelf_key", "rank_key", "shelf_shown", "shelf_place", (3, 3, 1, 3, 9), (2, 3, 1, 4, 5)),
        ("shelf_key", "rank_key", "shelf_shown", "shelf_place", (9, 3, 8, 9, 9), (3, 1, 2, 4, 5)),
    ):
        typed: dict[str, Value] = dict(zip(right.cells(key), values, strict=True))
        typed |= dict.fromkeys(right.cells(shown), 1) | {cell: 100 + at for at, cell in enumerate(right.cells(other))}
        yield Twist(typed, dict(zip(right.cells(place), places, strict=True)))
    yield Twist({"left_ranked.2": 2.0000005}, {"rank_key.2": 2.000001})
    yield Twist({"left_ranked.2": 2.0000004}, {"rank_key.2": 2})
    yield Twist({"rank_key.2": 6, "left_ranked.2": 5}, {"rank_off.2": 1})
    yield Twist({"rank_key.2": 1.25, "left_ranked.2": 1, "close_enough": 0.25}, {"rank_off.2": 0})
    shelf = {"shelf_shown.2": 1, "far_campaign": 999999}
    yield Twist({**shelf, "piece_order.2": 4, "shelf_key.2": 5}, {"shelf_off.2": 1})
    yield Twist({**shelf, "piece_order.2": 4, "shelf_key.2": 4, "piece_gathers.2": None}, {"shelf_off.2": 0})
    yield Twist({**shelf, "piece_order.2": "first", "shelf_key.2": 999999}, {"shelf_off.2": 0})
    yield Twist(
        {"piece_final.2": 1, "tag_in_force.2": 5, "tag_plain.2": None, "piece_listed.2": "Yes"}, {"shelf_shown.2": 1}
    )
    lines = {"ranking_row.1": 3, "list_row.1": 3}
    right_names = {"ranking_name.1": right.value("piece_name.3"), "list_name.1": right.value("piece_name.3")}
    right_lines = {**lines, **right_names, "list_size.1": right.value("piece_size.3")}
    yield Twist(right_lines, {"ranking_strange.1": 0, "list_strange.1": 0})
    for wrong in ("ranking_name.1", "list_name.1", "list_size.1"):
        strange = {
            "ranking_strange.1": int(wrong == "ranking_name.1"),
            "list_strange.1": int(wrong != "ranking_name.1"),
        }
        yield Twist({**right_lines, wrong: "Vase"}, strange)
    # Of two glasses, or two kinds of part, with the same name only the first is counted.
    yield Twist({"glass_name.3": right.value("glass_name.1")}, {"glass_rows.3": 0, "glass_pieces.3": 0})
    yield Twist({"kind_of_part_name.4": right.value("kind_of_part_name.1")}, {"kind_of_part_rows.4": 0})
    names = {"glass_name.1": "Opal", "glass_name.2": "Clear", "glass_name.3": "Amber"}
    for row, name in enumerate(names.values(), start=1):
        weighed = [other for other in right.rows("log_weight") if isinstance(right.value(f"log_weight.{other}"), float)]
        glass = {f"log_glass.{other}": None for other in right.rows("log_glass")}
        yield Twist({**names, **glass, f"log_glass.{weighed[0]}": name}, {f"glass_rows.{row}": 1})
        pieces = dict.fromkeys(right.cells("piece_glass"))
        yield Twist({**names, **pieces, "piece_glass.2": name, "piece_named.2": 1}, {f"glass_pieces.{row}": 1})
    unkind = {f"row_kind.{row}": 0 for row in right.rows("row_kind")}
    yield Twist({**unkind, "log_glass.1": "Clear", "log_weight.1": 5}, {"glass_rows.1": 0})


def _bars_and_steps(right: Right) -> Iterator[Twist]:
    yield Twist({"period_charges.1": 0}, right.all("kind_bar_amount"))
    yield Twist({"kind_bar_amount.1": 12.4999997}, {"kind_bar_label.1": "Heat-up 13 kWh"})
    for prefix, name in (("ladder", "Every hot day"), ("slice", "Raw glass")):
        typed = {f"{prefix}_bar_start.1": None, f"{prefix}_bar_amount.1": 3, f"{prefix}_bar_words.1": "3.00"}
        yield Twist(typed, {f"{prefix}_bar_label.1": f"{name} 3.00"})
    shares = {"share_idle.1": 0.124999997, "share_heatup.1": 0.304999997}
    sentence = "Idle days took 13 % of the energy and heat-ups 31 %."
    yield Twist(shares, {"kinds_sentence": sentence})
    last = right.rows("check_look")[-1]
    for row in (1, last):
        looking = right.number("checks_failing") + 1 - right.number(f"check_look.{row}")
        yield Twist({f"check_look.{row}": 1}, {"checks_failing": looking})
        noted = right.number("checks_notes") + (right.value(f"check_state.{row}") != "NOTE")
        yield Twist({f"check_state.{row}": "NOTE"}, {"checks_notes": noted})
    yield Twist({"check_found.1": "many", "check_look.1": "many"}, {"checks_total": right.value("checks_total")})
    yield Twist({"check_level.1": "high"}, {"checks_total": right.number("checks_total") - 1})
    needs = (
        ("log_rows_used", {"energy_known": 0}, 1),
        ("log_rows_used", {"tariff_newest": None}, 2),
        ("pieces_named", {"gaffer_rate": None, "pieces_final": 0}, 3),
        ("pieces_named", {"must_count": 0, "pieces_final": 0}, 4),
        ("pieces_named", {"share_drawn": None, "pieces_final": 0}, 5),
        ("pieces_named", {"tag_step": 0, "pieces_final": 0}, 6),
    )
    for count, missing, row in needs:
        yield Twist({**missing, count: 1, "price_now_from": 44000}, {f"need_missing.{row}": 1})
        yield Twist({**missing, count: 0, "rank_slot": 3}, {f"need_missing.{row}": 0})
    charged = {"charge_days.1": 1, "charge_days.2": 0, "heatup_days.1": 0, "blow_days.1": 0}
    yield Twist({**charged, "period_weight.1": 0}, {"need_missing.7": 1})
    yield Twist({**charged, "period_weight.1": 1}, {"need_missing.7": 0})
    yield Twist({"period_weight.1": 0.5}, {"reading_done": 1})
    yield Twist({"period_weight.1": 0}, {"reading_done": 0})
    kinds: dict[str, Value] = dict.fromkeys(right.cells("row_kind"), 4)
    for row in (1, right.rows("row_kind")[-1]):
        for weight, charged_done in ((0, 0), (0.5, 1), (None, 0)):
            yield Twist(
                {**kinds, f"row_kind.{row}": 2, f"log_weight.{row}": weight},
                {"charge_done": charged_done},
            )
    for row in (1, right.rows("piece_minutes")[-1]):
        piece = {
            **only(right, "piece_drawn_used", row, 0, rest=None),
            **only(right, "piece_minutes", row, 0, rest=None),
        }
        yield Twist({**piece, **dict.fromkeys(right.cells("piece_returned"), None)}, {"step_done.5": 1})
    for row in (1, right.rows("channel_margin")[-1]):
        margin: Cells = {**only(right, "channel_margin", row, 0.124999997), "must_row": row}
        yield Twist(margin, {"start_percent": 13})
    last_step = f"step_done.{right.rows('step_done')[-1]}"
    yield Twist({"pieces_named": 0, "pieces_final": 0}, {last_step: 0})
    yield Twist({"pieces_named": 1, "pieces_final": 1}, {last_step: 1})
    yield Twist({"tariff_newest": 44000, "price_now_from": None}, {"step_done.2": 1})
    for step, own in ((1, "meter_done"), (3, "charge_done"), (4, "reading_done"), (7, "opening_done")):
        others = {name: 0 for name in ("meter_done", "charge_done", "reading_done", "opening_done") if name != own}
        yield Twist({**others, own: 1}, {f"step_done.{step}": 1})
    yield Twist({"meter_kind": "Sundial"}, {"meter_row": 2})
    yield Twist({"meter_kind": "Gas meter", "billing_factor": "one"}, {"meter_done": 0})
    yield from first_looks(right, ("",))
    for row in (1, right.rows("piece_glory_used")[-1]):
        half: Cells = {**only(right, "piece_glory_used", row, 0.5, rest=None), "equipment_counted.1": None}
        yield Twist(half, {"glory_not_counted": GLORY_NOT_COUNTED})
    nothing: dict[str, Value] = {"log_rows_used": 0, "pieces_named": 0, "pieces_final": 0, "tariff_newest": None}
    yield Twist({**nothing, "pieces_named": 1}, {"checks_begun": 1})
    yield Twist({**nothing, "tariff_newest": 44000, "price_now_from": None}, {"checks_begun": 1})
    look = "look_of_all" if "look_of_all" in right.vocabulary.scalars else "first_look"
    yield Twist({look: "a line", "step_waiting": "a step"}, {"next_step": "Look at Checks, a line"})
    yield Twist({look: None, "step_waiting": "a step"}, {"next_step": "a step"})
    apart = {"period_kinds.1": 0, "period_owns.1": 0, "charge_more.1": 1e9}
    for counts, logged, found in (
        (1000, 1000.002, 1),
        (1000, 1000.0005, 0),
        (0.25, 0.2500006, 0),
        (0.25, 0.250002, 1),
        (1.7, 1.7000016, 0),
        (0.2, 0.2000012, 1),
        ("many", 3, 1),
    ):
        yield Twist({**apart, "period_counts.1": counts, "period_logged.1": logged}, {"period_apart.1": found})
    yield Twist({**apart, "period_counts.1": 1, "period_logged.1": 1.25, "close_enough": 0.2}, {"period_apart.1": 0})
    yield Twist(
        {**apart, "period_counts.1": 500, "period_owns.1": 500, "period_logged.1": 1000.0008}, {"period_apart.1": 0}
    )
