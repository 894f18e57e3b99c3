"""Pieces that are left out of some ways of selling: what those ways ask for, and say of a tag, is not theirs."""

from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results, compute
from meltbook.method.checks import CHECKS
from meltbook.method.constants import CLOSENESS, NO_TAG
from meltbook.method.prices import IN_A_CHANNEL
from meltbook.studio.capacity import CHANNEL_SLOTS
from meltbook.studio.model import Studio
from tests.strategies.studios import SMALL, corpus_studio
from tests.unit.method.studios import melt, run

DOOR = {"name": "Door", "margin": 0.5, "must_earn": "Yes"}
WHOLESALE = {"name": "Wholesale", "tag_share": 0.5, "margin": 0.2, "must_earn": "Yes"}
MARKET = {"name": "Market", "commission": 0.2, "fixed_fee": 1}
KEEPS_ALL = {"name": "Gallery", "commission": 1, "must_earn": "Yes"}
CUP = {"name": "Cup", "drawn": 1, "minutes": 0, "materials": 9.2, "loss": 0}
NOWHERE = {f"sold_{slot}": "No" for slot in CHANNEL_SLOTS}


def sell(*pieces: dict[str, Any], channels: list[dict[str, Any]], **more: Any) -> Results:
    """Cups that cost 10, of which 9.40 is the least; what is given of a piece comes on top of that."""
    shop = {"share_drawn": 0.8, **more.pop("shop", {})}
    made = [{**CUP, "name": f"Cup {row}", **piece} for row, piece in enumerate(pieces, start=1)]
    return run(**melt(shop=shop, people=[{"rate": 30}], pieces=made, channels=channels, **more))


def found(results: Results) -> dict[str, object]:
    return {name: number for name, number in zip(CHECKS, results.columns["check_found"], strict=True) if number}


def test_a_way_that_a_piece_is_left_out_of_asks_nothing_of_its_tag() -> None:
    results = sell({"sold_two": "No"}, {"sold_two": "Yes"}, channels=[DOOR, WHOLESALE])
    assert [results.value("sells_one", row) for row in (1, 2, 3)] == [1, 1, 0]  # the third has no name
    assert [results.value("sells_two", row) for row in (1, 2, 3)] == [0, 1, 0]
    assert results.value("sells_three", 1) == 0  # no such way is used
    assert results.columns["must_here"] == [1, 2, 0, 0, 0]
    # 10 / 0.5 = 20 at the door; 10 / 0.8 / 0.5 = 25 asked for by wholesale
    assert results.columns["tag_suggested"] == pytest.approx([20, 25, None, None, None])
    for name in ("tag_exact", "net", "margin", "must_tag", "must_margin", "lowest", "left", "earn"):
        assert results.value(f"{name}_two", 1) is None, name
    assert results.columns["lowest_worst"][:2] == pytest.approx([9.4, 18.8])
    assert results.columns["open_here"] == [1, 2, 0, 0, 0]
    assert results.value("margin_worst", 1) == pytest.approx(0.5)
    assert results.value("must_count") == 2


def test_a_piece_that_no_way_sets_the_tag_of_has_none_suggested() -> None:
    results = sell({"sold_one": "No"}, {"sold_one": "No", "tag": 30}, channels=[DOOR, MARKET])
    assert results.columns["must_here"][:2] == [0, 0]
    for name in ("tag_wanted", "tag_suggested", "margin_lowest", "margin_worst", "tag_gap"):
        assert results.columns[name] == [None] * 5, name
    assert results.columns["tag_in_force"][:2] == [None, 30]
    assert results.value("net_two", 2) == pytest.approx(23)
    assert results.value("lowest_worst", 1) == pytest.approx(13)  # (9.40 + 1) / 0.8, without any tag
    assert found(results) == {}


def test_a_way_that_no_tag_can_do_is_in_the_way_only_of_what_is_sold_there() -> None:
    results = sell({"sold_two": "No"}, {}, {"sold_one": "No"}, channels=[DOOR, KEEPS_ALL])
    assert results.columns["must_stuck"][:3] == [0, 1, 1]
    assert results.columns["tag_suggested"][:3] == [20, NO_TAG, NO_TAG]
    assert results.columns["lowest_worst"][:3] == [pytest.approx(9.4), pytest.approx(9.4), None]
    assert results.columns["open_here"][:3] == [1, 1, 0]
    assert results.value("must_blocked") == 1


def test_where_a_tag_loses_money_is_said() -> None:
    channels = [DOOR, WHOLESALE, MARKET]  # lowest prices 9.40, 18.80 and 13
    tags = [{"tag": 18.8}, {"tag": 18.79}, {"tag": 12}, {"tag": 12, "sold_two": "No"}, {"tag": 12, **NOWHERE}]
    results = sell(*tags, channels=channels)
    assert results.columns["losing_one"] == [0, 0, 0, 0, 0]
    assert results.columns["losing_two"] == [0, 1, 1, 0, 0]
    assert results.columns["losing_three"] == [0, 0, 1, 1, 0]
    assert results.columns["losing_ways"] == [0, 1, 2, 1, 0]
    assert results.columns["loses_where"] == [None, "Wholesale", "2 ways of selling", "Market", None]
    assert found(results) == {"stray_prices": 3, "sold_nowhere": 1, "list_full": 1}


def test_a_suggested_tag_may_lose_where_it_need_not_earn() -> None:
    results = sell({}, channels=[{**DOOR, "margin": 0}, {"name": "Fair", "commission": 0.5}])
    assert results.value("tag_in_force", 1) == 10
    assert (results.value("losing_one", 1), results.value("losing_two", 1)) == (0, 1)  # 18.80 there
    assert results.value("loses_where", 1) == "Fair"
    assert found(results) == {}  # no tag was typed


def test_without_a_tag_or_a_lowest_price_nothing_loses() -> None:
    closed = {**KEEPS_ALL, "must_earn": "No"}
    results = sell({"tag": 1}, {"materials": None, "drawn": None, "tag": 1}, channels=[closed])
    assert results.value("lowest_one", 1) == NO_TAG
    assert results.columns["losing_one"] == [0] * 5
    assert results.columns["loses_where"] == [None] * 5


def test_a_piece_sold_nowhere_is_noted() -> None:
    off = {**NOWHERE, "listed": "No"}
    results = sell({}, NOWHERE, {"sold_one": "No"}, {**NOWHERE, "name": None}, off, channels=[DOOR])
    assert results.columns["sold_nowhere_row"] == [0, 1, 1, 0, 0]
    row = CHECKS.index("sold_nowhere") + 1
    assert CHECKS[row - 2] == "stray_prices"
    assert (results.value("check_found", row), results.value("check_state", row)) == (2, "NOTE")
    none_used = sell(NOWHERE, channels=[])
    assert none_used.value("sold_nowhere_row", 1) == 0
    assert "sold_nowhere" not in found(none_used)


def test_a_tag_is_held_against_the_ways_it_is_sold_in() -> None:
    channels = [DOOR, WHOLESALE]
    assert found(sell({"tag": 12}, channels=channels)) == {"stray_prices": 1}
    assert found(sell({"tag": 12, "sold_two": "No"}, channels=channels)) == {}


def test_the_ranking_has_what_is_sold_there() -> None:
    pieces = [{"minutes": 30, "materials": 0, "tag": 40, "sold_two": no} for no in ("No", None, "Yes")]
    results = sell(*pieces, channels=[DOOR, WHOLESALE], shop={"rank_channel": "Wholesale"})
    assert results.columns["rank_sold"] == [0, 1, 1, 0, 0]
    assert results.columns["left_ranked"][:3] == pytest.approx([None, 39.6, 39.6])  # (20 - 0.20) / 0.5 hours
    assert results.columns["rank_place"][:3] == [None, 1, 2]
    assert results.columns["ranking_name"][:3] == ["Cup 2", "Cup 3", None]
    assert results.columns["slot_left"][1] == pytest.approx(79.2)


def test_the_picture_is_blank_where_its_piece_is_not_sold() -> None:
    channels = [DOOR, WHOLESALE]
    shown = sell({"sold_two": "No"}, channels=channels)
    assert shown.value("picture_net") == pytest.approx(20)
    blank = sell({"sold_two": "No"}, channels=channels, shop={"rank_channel": "Wholesale"})
    assert blank.value("picture_net") is None
    assert blank.value("slice_tag") is None
    assert blank.value("picture_plain") == 20


def test_the_letter_looks_where_a_piece_is_sold() -> None:
    # At 0.30 a kWh the cup costs 10.40: 20.80 at the door, 26 for wholesale.
    letter = {"letter_start": "2025-04-01", "letter_price": 0.30}
    pieces = [{"sold_two": "No"}, {}, NOWHERE, {"tag": 40, **NOWHERE}]
    results = sell(*pieces, channels=[DOOR, WHOLESALE], letter=letter)
    assert results.columns["after_wanted"] == pytest.approx([20.8, 26, None, None, None])
    assert results.columns["tag_after"] == pytest.approx([21, 26, None, None, None])
    assert results.columns["after_two"] == pytest.approx([None, 26, None, None, None])
    assert results.columns["net_after_two"] == pytest.approx([None, 12.5, None, None, None])
    assert results.columns["short_now_two"] == pytest.approx([None, 0, None, None, None])
    assert results.columns["short_after"] == pytest.approx([0.02, 0.032, None, None, None])
    assert results.columns["tag_verdict"] == ["Retag", "Retag", None, None, None]


def test_the_ways_are_told_with_their_rows() -> None:
    results = sell({}, channels=[DOOR, {"must_earn": "Yes"}, MARKET])
    assert results.value("ways_legend") == "1 Door, 3 Market"
    assert results.columns["name_sold"] == ["Cup 1", None, None, None, None]
    assert sell({}, channels=[]).value("ways_legend") is None


# ------------------------------------------------------------------------------------- over generated studios

SEEDS = range(60)
OF_A_PIECE = (
    *(f"{name}_{slot}" for name in IN_A_CHANNEL for slot in CHANNEL_SLOTS),
    *("must_here", "must_stuck", "open_here", "tag_wanted", "tag_cents", "tag_suggested", "tag_in_force", "tag_plain"),
    *("margin_lowest", "margin_worst", "tag_gap", "tag_losing", "lowest_worst", "losing_ways", "loses_where"),
    *("rank_sold", "left_ranked", "rank_place", "ranking_name", "shelf_shown", "list_tag"),
    *("short_now", "short_after", "margin_after", "after_wanted", "tag_after", "tag_verdict", "tag_new", "retag_name"),
    *(f"{name}_{slot}" for name in ("net_after", "short_after", "after") for slot in CHANNEL_SLOTS),
    *(f"slot_{name}{end}" for name in ("net", "margin", "lowest", "must", "hours", "earn") for end in ("", "_again")),
)
"""What the ways of selling decide about pieces."""


@pytest.mark.parametrize("seed", SEEDS)
def test_no_for_every_piece_is_as_if_there_were_no_such_way(seed: int) -> None:
    studio = corpus_studio(seed)
    for place, channel in enumerate(studio.channels):
        if channel.name and channel.name != studio.shop.rank_channel:
            key = f"sold_{CHANNEL_SLOTS[place]}"
            pieces = tuple(piece.model_copy(update={key: "No"}) for piece in studio.pieces)
            without = (
                channel.model_copy(update={"name": None}) if each is channel else each for each in studio.channels
            )
            left_out = compute(studio.model_copy(update={"pieces": pieces}), SMALL)
            not_there = compute(studio.model_copy(update={"channels": tuple(without)}), SMALL)
            different = [name for name in OF_A_PIECE if left_out.columns[name] != not_there.columns[name]]
            assert different == [], channel.name
            assert left_out.scalars["picture_net"] == not_there.scalars["picture_net"]


@pytest.mark.parametrize("seed", SEEDS)
def test_yes_is_what_an_empty_cell_says(seed: int) -> None:
    studio = corpus_studio(seed)
    keys = [f"sold_{slot}" for slot in CHANNEL_SLOTS]

    def typed(word: str | None) -> Studio:
        changed = (
            piece.model_copy(update={key: word for key in keys if getattr(piece, key) != "No"})
            for piece in studio.pieces
        )
        return studio.model_copy(update={"pieces": tuple(changed)})

    assert compute(typed("Yes"), SMALL) == compute(typed(None), SMALL)


@pytest.mark.parametrize("seed", SEEDS)
def test_sums_over_what_is_sold_come_out_the_same_by_two_routes(seed: int) -> None:
    """The figures of the pieces where they are sold, by the terms of each way of selling."""
    results = compute(corpus_studio(seed), SMALL)
    columns = results.columns

    def summed(name: str, beside: str) -> float:
        """A column's numbers, in the rows in which another one has a number."""
        rows = zip(columns[name], columns[beside], strict=True)
        return sum(value for value, other in rows if isinstance(value, float) and isinstance(other, float))

    tag_factor = results.value("tag_factor")
    for place, slot in enumerate(CHANNEL_SLOTS):
        factor, costs, replaced, on_cost, must = (
            float(str(columns[f"channel_{name}"][place])) for name in ("factor", "costs", "replaced", "on_cost", "must")
        )
        exact, net, lowest, margin = (f"{name}_{slot}" for name in ("tag_exact", "net", "lowest", "margin"))
        numbers = {
            name: [value for value in columns[name] if isinstance(value, float)]
            for name in (exact, net, lowest, margin)
        }
        assert all(
            sells == 1 or columns[name][row] is None
            for row, sells in enumerate(columns[f"sells_{slot}"])
            for name in numbers
        )
        if min(numbers[exact], default=0) > CLOSENESS:
            by_cost = summed("cost_good", exact) * on_cost + costs * len(numbers[exact])
            assert sum(numbers[exact]) * factor == pytest.approx(by_cost), slot
        assert columns["slot_must"][place] == pytest.approx(must * sum(numbers[exact])), slot
        by_tag = summed("tag_plain", net) * factor - len(numbers[net]) * costs - replaced * summed("cost_good", net)
        assert columns["slot_net"][place] == pytest.approx(by_tag, abs=1e-6), slot
        if min(numbers[lowest], default=0) > CLOSENESS:
            by_least = summed("low_good", lowest) * (1 + replaced) + len(numbers[lowest]) * costs
            assert isinstance(tag_factor, float)
            assert sum(numbers[lowest]) * factor / tag_factor == pytest.approx(by_least), slot
            assert columns["slot_lowest"][place] == pytest.approx(by_least), slot
        lost = sum(value == "At a loss" for value in columns[margin])
        watched = must * (sum(max(-1, value) for value in numbers[margin]) - lost)
        assert columns["slot_watched"][place] == pytest.approx(watched), slot
    ranked = sum(value for value in columns["left_ranked"] if isinstance(value, float))
    slot_row = results.value("rank_slot")
    assert isinstance(slot_row, int)
    assert columns["slot_left"][slot_row - 1] == pytest.approx(ranked)
