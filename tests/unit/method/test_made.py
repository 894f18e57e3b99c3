from __future__ import annotations

import pytest

from meltbook.method import Results
from tests.unit.method.studios import melt, run

SLICES: tuple[str, ...] = (
    *("glass", "furnace", "colour", "labour", "equipment", "materials", "overhead"),
    *("losses", "packing", "channel", "left", "tax"),
)


def studio(**shop: object) -> Results:
    return run(
        **melt(
            shop={"share_drawn": 0.8, **shop},
            people=[{"rate": 30}],
            channels=[{"name": "Door", "fee": 0.1, "margin": 0.2, "must_earn": "Yes"}],
            pieces=[
                {
                    "name": "Bowl",
                    "drawn": 2,
                    "gathers": 3,
                    "minutes": 10,
                    "made": 100,
                    "tag": 20,
                    "loss": 0.1,
                },
                {
                    "name": "Cup",
                    "drawn": 1,
                    "finished": 0.5,
                    "minutes": 5,
                    "made": 50,
                    "tag": 8,
                    "packing": 1,
                },
                {"made": 7},
            ],
        )
    )


def test_what_was_made_against_the_log() -> None:
    results = studio()
    assert results.value("made_pieces") == 150
    assert results.value("made_gathers_total") == 300
    assert results.value("made_gather_share") == pytest.approx(0.75)
    assert results.value("made_glass_total") == pytest.approx(225)  # 100 x 2 + 50 x 0.5
    assert results.value("made_glass_share") == pytest.approx(0.45)
    assert results.value("made_value_total") == pytest.approx(2200)  # 100 x 0.9 x 20 + 50 x 8
    assert results.value("made_a_charge") == pytest.approx(220)
    assert results.value("made_a_hot_day") == pytest.approx(110)
    # furnace 0.8 x (100 x 2 + 50 x 1) = 200 of 320
    assert results.value("made_recovered") == pytest.approx(0.625)
    assert results.value("check_found", 39) == 1
    assert studio(recovery_tolerance=0.4).value("check_found", 39) == 0
    assert results.columns["made_count"] == [100, 50, None, None, None]


def test_what_was_made_between_two_dates() -> None:
    dates = {"period_from": "2025-03-11", "made_when": "Between your dates"}
    results = studio(**dates)
    assert results.value("made_period") == 2
    assert results.value("made_weight") == 0  # only the idle row
    assert results.value("made_glass_share") is None
    assert results.value("made_recovered") is None


def test_nothing_made() -> None:
    results = run(pieces=[{"name": "Bowl"}])
    assert results.value("made_known") == 0
    assert results.value("made_value_total") is None
    assert results.value("made_count", 1) == 0


def test_the_slices_add_up_to_the_tag() -> None:
    for shop in ({}, {"picture_piece": "Cup"}, {"sales_tax": 0.2, "tax_inside": "Yes"}):
        results = studio(**shop)
        slices = [results.value(f"slice_{name}") for name in SLICES]
        assert sum(part for part in slices if isinstance(part, float)) == pytest.approx(results.value("slice_tag"))
    assert studio(picture_piece="Cup").value("picture_row") == 2
    assert studio(picture_piece="Vase").value("picture_name") == "Bowl"
    assert studio(picture_piece="Vase").value("check_found", 38) == 1
