"""Every cell in other programs where the decisions have little, nothing or something odd to go by."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from meltbook.method import compute
from meltbook.studio.model import Studio
from tests.decisions.pots import LEDGERS, LONG_LEDGER, lives, pot_studio
from tests.engines.books import assert_all_agree, poisoned_all
from tests.engines.runners import Engine


def changed(**sections: Any) -> Studio:
    """A furnace with one failure in its ledger, some of its sections replaced."""
    plain = pot_studio([75.0], [60.0], serving=20.0, gap_days=9.0).model_dump(exclude_unset=True, by_alias=True)
    return Studio.model_validate(plain | sections)


def two_hundred() -> Studio:
    """160 failures, 39 changed in time, one in service."""
    drawn = [(failed, others) for failed, others in lives(60, seed=7)]
    failed = [life for each, _ in drawn for life in each][:160]
    others = [life for _, each in drawn for life in each][:39]
    assert (len(failed), len(others)) == (160, 39)
    return pot_studio(failed, others, serving=41.0)


LEDGERS_TO_TELL: dict[str, tuple[Studio, int]] = {
    "no part at all": (pot_studio([]), 0),
    "no failure": (pot_studio([], [80.0], serving=12.0), 0),
    "all censored": (pot_studio([], [80.0, 95.0, 110.0, 70.0], serving=12.0), 0),
    "one failure": (pot_studio([75.0], serving=12.0), 1),
    "two failures, no other life": (pot_studio([75.0, 60.0]), 1),
    "three failures": (pot_studio([60.0, 90.0, 130.0], serving=12.0), 3),
    "equal lives": (pot_studio([90.0] * 6, shape_typed=3.0), 2),
    "equal lives, others longer": (pot_studio([90.0] * 4, [91.0, 400.0], serving=2.0), 3),
    "lives of one use": (pot_studio([1.0, 1.0, 1.0], [1.0]), 2),
    "lives of nothing": (pot_studio([0.0, 0.0, 75.0], [0.0], serving=0.0), 1),
    "far and wide": (pot_studio([1.0, 1.0, 2.0, 900_000.0], serving=3.0), 2),
    "short lives": (pot_studio([1.0, 2.0, 2.0, 3.0, 4.0], [1.0, 2.0], serving=1.0, repair_cost=5000.0), 3),
    "lives shorter than a use": (pot_studio([0.4, 0.5, 0.7, 0.9], serving=0.2, repair_cost=5000.0), 3),
    "a short life expected": (pot_studio([], [1.0], life=1.1, shape_typed=6.0, repair_cost=900.0), 0),
    "far beyond every life": (pot_studio([2.0, 2.0], serving=4000.0, shape_typed=20.0), 1),
}
"""Ledgers, and what they can tell: 0 no failure, 1 too few, 2 no likeliest shape within bounds, 3 a fit."""

IDLE_USES_MORE = [{"use": 210.0}, {"use": 40.0}, {"use": 190.0}, {"use": 400.0}]
NOTHING_USED = [{"use": 0.0}] * 4

ODD: dict[str, Studio] = {
    "an empty book": Studio(),
    "no log": changed(log=[]),
    "no tariff": changed(tariffs=[]),
    "energy for nothing": changed(tariffs=[{"start": "2020-01-01", "price": 0.0}]),
    "nothing used, nothing worn": changed(day_kinds=NOTHING_USED, wear={"wear_counted": "None"}),
    "a charge day uses less than an idle day": changed(day_kinds=IDLE_USES_MORE),
    "and is filled beyond reason": changed(day_kinds=IDLE_USES_MORE, decisions={"full_charge": 2000.0}),
    "a kind that is none": changed(decisions={"pot_kind": "Crown", "planned_typed": 500.0, "gap_days": 1.0}),
    "kinds without a name": changed(part_kinds=[{"life": 90.0, "cost_now": 800.0}], decisions={"planned_typed": 500.0}),
    "everything typed as 0": changed(
        decisions=dict.fromkeys(
            (
                "gap_days",
                "idle_day_typed",
                "cooling_days",
                "cooling_use",
                "heatup_days_typed",
                "heatup_use_typed",
                "crack_chance",
                "glass_worth",
                "cold_labour",
                "day_value",
                "saving_share",
                "full_charge",
                "planned_typed",
                "repair_cost",
                "lost_days",
            ),
            0.0,
        )
    ),
    "a change for nothing, a failure not": changed(decisions={"planned_typed": 0.0, "repair_cost": 500.0}),
    "a day of great worth": changed(
        decisions={"cooling_days": 40.0, "day_value": 1e6, "gap_days": 3.25, "crack_chance": 1.0}
    ),
    "a heat-up that is everything": changed(decisions={"heatup_use_typed": 1e9, "saving_share": 0.0003}),
}


@pytest.mark.parametrize("title", LEDGERS_TO_TELL)
def test_what_a_ledger_tells(title: str) -> None:
    studio, tells = LEDGERS_TO_TELL[title]
    assert compute(studio, LEDGERS).value("fit_code") == tells


def test_ledgers_of_all_kinds(thorough_engine: Engine, tmp_path: Path) -> None:
    studios = {title: studio for title, (studio, _) in LEDGERS_TO_TELL.items()}
    assert_all_agree(thorough_engine, poisoned_all(studios, LEDGERS, tmp_path), tmp_path)


def test_two_hundred_pots(quick_engine: Engine, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, poisoned_all({"two hundred": two_hundred()}, LONG_LEDGER, tmp_path), tmp_path)


def test_odd_answers(thorough_engine: Engine, tmp_path: Path) -> None:
    assert_all_agree(thorough_engine, poisoned_all(ODD, LEDGERS, tmp_path), tmp_path)
