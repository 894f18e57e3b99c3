"""The formulas of the furnace's side, worked out by an engine and compared with sums done by hand."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from meltbook.studio.model import Studio
from tests.engines.runners import Formualizer

from .furnace_side import Worked, work_out


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def number(text: str) -> int:
    return (day(text) - dt.date(1899, 12, 30)).days


@pytest.fixture
def worked(formualizer: Formualizer, tmp_path: Path) -> Any:
    def work(**parts: Any) -> Worked:
        return work_out(Studio.model_validate(parts), formualizer, tmp_path)

    return work


TYPED_USE: dict[str, Any] = {
    "shop": {"share_in_pieces": 0.75, "share_good": 0.85},
    "furnace": {"meter_kind": "No meter"},
    "day_kinds": [{"use": 260}, {"use": 240}, {}, {"use": 150}],
    "tariffs": [{"start": day("2026-01-01"), "price": 0.14}],
    "log": [
        {"date": day("2026-01-05"), "kind": "Heat-up", "days": 5},
        {"kind": "Charge", "days": 45, "charges": 45, "weight": 6750},
        {"kind": "Idle", "days": 70},
    ],
}


def test_a_furnace_without_a_meter(worked: Any) -> None:
    book = worked(**TYPED_USE)
    # 5 x 260 + 45 x 240 + 70 x 150 = 22,600 kWh at 0.14 over 45 x 150 = 6,750 lb
    assert book.column("period_use")[0] == 22_600
    assert book.figure("happened_charge") == pytest.approx(45 * (240 - 150) * 0.14 / 6750)  # 0.084
    assert book.figure("happened_melt") == pytest.approx(45 * 240 * 0.14 / 6750)  # 0.224
    assert book.figure("happened_hot") == pytest.approx(0.4687, abs=5e-5)
    assert book.figure("happened_line_sold") == pytest.approx(0.7353, abs=5e-5)
    # No time of use and no change: what to price with is what happened.
    assert book.figure("price_hot") == pytest.approx(book.figure("happened_hot"))
    assert book.figure("gap_hot") == pytest.approx(0)
    # 120 days from 5 January end on 4 May; the twelve months begin on 5 May of the year before.
    assert book.figure("window_end") == number("2026-05-04")
    assert book.figure("window_start") == number("2025-05-05")
    assert book.column("period_label") == [
        "All time",
        "Between your dates, none typed",
        "Last 12 months",
        "Campaign 1",
        None,
        None,
        None,
    ]
    assert book.column("step_hot")[4] is None


@pytest.mark.parametrize(("idle", "melting"), [(None, 0.24), (0.6, 0.2681)])
def test_one_reading_is_shared_over_all_days(worked: Any, idle: float | None, melting: float) -> None:
    book = worked(
        furnace={"meter_kind": "Hour meter", "connected_kw": 12},
        day_kinds=[{}, {}, {}, {"weighting": idle}],
        tariffs=[{"start": day("2026-01-01"), "price": 0.15}],
        log=[
            {"date": day("2026-01-05"), "kind": "Heat-up", "days": 9},
            {"kind": "Charge", "days": 100, "charges": 100, "weight": 12_000},
            {},
            {"kind": "Blow", "days": 60},
            {"kind": "Idle", "days": 60, "reading": 2290},
        ],
    )
    # 2,290 h x 12 kW = 27,480 kWh x 0.15 = 4,122
    assert book.column("period_cost")[0] == pytest.approx(4122)
    assert book.figure("happened_hot") == pytest.approx(0.3435)
    # (100 + 60) days of 229, or of 9 + 160 + 60 x 0.6 = 205 weighted ones
    assert book.figure("happened_melt") == pytest.approx(melting, abs=5e-5)
    # A Charge day is told from an Idle day only by their weights here.
    assert (book.figure("happened_charge") is None) == (idle is None)
    assert book.figure("use_not_placed") == 0


def test_a_log_that_goes_wrong_says_where(worked: Any) -> None:
    book = worked(
        furnace={"meter_kind": "kWh meter", "opening_reading": 100},
        tariffs=[{"start": day("2026-01-02"), "price": 0.2}],
        log=[
            {"kind": "Idle"},
            {"date": day("2026-01-01"), "kind": "Idle", "days": 2},
            {"date": day("2026-01-02"), "kind": "Idle"},
            {"date": day("2026-01-09"), "kind": "Charge", "days": 3, "reading": 300},
            {"kind": "Idle", "reading": 250},
            {"kind": "Charge", "days": 4},
            {"kind": "Charge", "weight": 10, "glass": "Unheard of"},
            {"kind": "Idle", "new_kw": 5},
            {"note": "nobody knows"},
            {"kind": "New meter", "reading": 7},
            {"kind": "Idle"},
        ],
    )
    assert book.column("log_status")[:12] == [
        "The first row needs a date",
        "No tariff on this day yet",
        "Starts before the row above ends",
        "Days are missing before this row",
        "Reading below the one before",
        "How many charges were these days?",
        "This glass is not on the Shop sheet",
        "A new kW goes on a New meter row",
        "Which kind of day is this?",
        "Read the old meter before the new one",
        "Waiting for a reading",
        None,
    ]
    assert book.figure("waiting_rows") == 1
    assert book.column("row_measured")[:5] == [0, 0, 1, 1, 0]


def test_use_that_no_day_can_carry_goes_to_the_next_stretch(worked: Any) -> None:
    book = worked(
        furnace={"meter_kind": "kWh meter"},
        tariffs=[{"start": day("2026-01-01"), "price": 1}],
        log=[
            {"date": day("2026-01-01"), "kind": "Cold", "days": 3, "reading": 50},
            {"kind": "Charge", "days": 2, "reading": 90},
            {"kind": "Idle", "days": 2, "reading": 110},
            {"kind": "Cold", "days": 1, "reading": 125},
        ],
    )
    assert book.column("energy_used")[:4] == [0, 90, 20, 0]
    assert book.figure("use_not_placed") == 15
    assert book.figure("last_pending") == 15
    assert book.end("use_pending") == 15
    assert book.column("row_own")[:4] == [0, 1, 1, 0]


def test_a_part_wears_by_what_the_log_holds(worked: Any) -> None:
    book = worked(
        **TYPED_USE
        | {
            "part_kinds": [{"name": "Pot", "basis": "Charges", "life": 60}],
            "ledger": [
                {
                    "name": "Pot",
                    "installed": day("2026-01-01"),
                    "retired": day("2026-03-01"),
                    "cost": 900,
                    "uses_before": 15,
                    "why": "Cracked",
                },
                {"name": "Pot", "installed": day("2026-03-01"), "cost": 960},
            ],
        }
    )
    # All 45 charges fall to the first pot, which went after 60 uses: 900 / 60 x 45.
    assert book.column("part_uses")[:3] == [60, 0, None]
    assert book.column("part_rate")[:2] == [15, 16]
    assert book.column("wear_used_up")[0] == pytest.approx(675)
    assert book.column("part_lost_early")[:2] == [0, None]
    assert book.figure("happened_wear") == pytest.approx(675 / 6750)
    # To price with: cost now / 60 charges x 45 charges per 6,750 lb.
    assert book.figure("price_wear") == pytest.approx(960 / 60 * 45 / 6750)
    assert book.column("part_serving")[:2] == [0, 1]


def test_an_empty_book_shows_no_error(worked: Any) -> None:
    book = worked()
    assert not [value for value in book.values.values() if str(value).startswith("#")]
    assert book.figure("price_hot") is None
    assert book.figure("log_rows_used") == 0
    assert book.column("period_label")[3] is None
