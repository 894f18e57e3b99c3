from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from tests.unit.method.studios import melt, run

DOOR = {"name": "Door", "margin": 0, "must_earn": "Yes"}
SURE = {"loss": 0, "drawn": 1}


def shelf(*pieces: dict[str, Any], **more: Any) -> Results:
    """Everything is typed or set to none, so a piece with a loss is final."""
    return run(
        **melt(
            shop={"share_drawn": 0.8, **more.pop("shop", {})},
            people=[{"rate": 30}],
            overheads=[{"name": "Rent", "amount": 0}],
            equipment=[{}, {"cost": 0}],
            glasses=[{"name": "Clear", "price": 0}],
            channels=more.pop("channels", [DOOR]),
            pieces=[{**SURE, **piece} for piece in pieces],
        )
    )


def test_pieces_are_ranked_by_what_is_left_per_bench_hour() -> None:
    results = shelf(
        {"name": "Slow", "minutes": 60, "tag": 30.2},  # 30 left in an hour
        {"name": "Quick", "minutes": 10, "tag": 10.2},  # 10 left in 1/6 hour: 60
        {"drawn": None},
        {"name": "Later", "minutes": 30, "tag": 30.2},  # 30 in half an hour: 60, but further down
        {"name": "No time", "tag": 5},
    )
    assert results.columns["left_ranked"] == pytest.approx([30, 60, None, 60, None])
    assert results.columns["rank_place"] == [3, 1, None, 2, None]
    assert results.columns["ranking_row"] == [2, 4, 1, 0, 0]
    assert results.columns["ranking_name"] == ["Quick", "Later", "Slow", None, None]
    assert results.columns["ranking_minutes"] == [10, 30, 60, None, None]
    assert results.columns["rank_key"][2] == -2958465
    assert results.columns["slot_left"] == pytest.approx([150, 0, 0, 0, 0, 0])


def test_the_price_list_keeps_the_owners_order() -> None:
    cup = {"minutes": 6}
    results = shelf(
        {"name": "Unordered", **cup},
        {"name": "Second", "order": 2, "size": "small", **cup},
        {"name": "First", "order": 1, **cup},
        {"name": "Hidden", "listed": "No", **cup},
        {"name": "Waits", "loss": None, **cup},
    )
    assert results.columns["list_name"] == ["First", "Second", "Unordered", None, None]
    assert results.columns["list_size"] == [None, "small", None, None, None]
    assert results.columns["shelf_key"] == [999999, 2, 1, 2958465, 2958465]
    assert results.value("list_count") == 3
    assert results.value("list_held") == 1
    sentence = "1 piece waits for figures and is not printed; see What each costs."
    assert results.value("list_sentence") == sentence


def test_several_pieces_that_wait() -> None:
    results = shelf({"name": "One", "loss": None}, {"name": "Two", "loss": None})
    sentence = "2 pieces wait for figures and are not printed; see What each costs."
    assert results.value("list_sentence") == sentence
    assert shelf({"name": "One", "minutes": 6}).value("list_sentence") is None


def test_the_ranking_goes_by_one_channel() -> None:
    gallery = {"name": "Gallery", "commission": 0.5}
    piece = {"name": "Cup", "minutes": 60, "tag": 20.2}
    results = shelf(piece, channels=[DOOR, gallery], shop={"rank_channel": "Gallery"})
    assert results.value("rank_slot") == 2
    assert results.value("left_ranked", 1) == pytest.approx(9.9)
    unknown = shelf(piece, channels=[DOOR], shop={"rank_channel": "Market"})
    assert unknown.value("rank_slot") == 1
    assert unknown.value("check_found", 38) == 1


def test_without_a_channel_nothing_is_ranked_or_pictured() -> None:
    results = shelf({"name": "Cup", "minutes": 60, "tag": 20}, channels=[])
    assert results.value("left_ranked", 1) is None
    assert results.value("picture_net") is None
    assert results.value("slice_tag") is None
