from __future__ import annotations

import time

import pytest

from meltbook.errors import DeclarationError
from meltbook.method import Results, compute
from meltbook.method.key_figures import KEY_FIGURES
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from tests.unit.method.studios import SMALL, day, run


def test_every_column_is_as_long_as_its_table() -> None:
    results = run()
    lengths = {
        "first_day": SMALL.log,
        "tariff_key": SMALL.tariffs,
        "part_rate": SMALL.ledger,
        "kind_of_part_mean": SMALL.part_kinds,
        "glass_used_weight": SMALL.glasses,
        "overhead_yearly": SMALL.overheads,
        "cost_good": SMALL.pieces,
        "ranking_row": SMALL.pieces,
        "list_row": SMALL.pieces,
        "tag_exact_six": SMALL.pieces,
        "period_cost": SMALL.periods,
        "kind_weight": 6,
        "channel_factor": 6,
        "slot_left": 6,
        "equipment_load": 3,
        "machine_cost": 12,
        "course_cost": 6,
        "check_found": 49,
        "step_done": 8,
    }
    assert {name: len(results.columns[name]) for name in lengths} == lengths


def test_a_table_with_more_rows_than_prepared_is_as_long_as_its_rows() -> None:
    log = [day("Charge", 1, date="2025-01-01"), *(day("Charge", 1) for _ in range(49))]
    results = run(log=log, tariffs=[{} for _ in range(9)])
    assert len(results.columns["row_kind"]) == 50
    assert len(results.columns["tariff_key"]) == 9
    assert results.value("log_rows_free") == 0


def test_no_figure_is_worked_out_twice() -> None:
    results = Results()
    results.put(made_pieces=1)
    with pytest.raises(DeclarationError, match="made_pieces"):
        results.column("made_pieces", [1])


def test_key_figures_are_figures() -> None:
    results = run()
    assert len(set(KEY_FIGURES)) == len(KEY_FIGURES)
    assert [name for name in KEY_FIGURES if name not in results.scalars | results.columns] == []


def test_seeds_and_ends_belong_to_columns() -> None:
    results = run()
    assert set(results.seeds) | set(results.ends) <= set(results.columns)


def test_a_long_log_is_quick() -> None:
    log = [{"kind": ("Charge", "Idle")[number % 2], "reading": number} for number in range(10_000)]
    log[0]["date"] = "2000-01-01"
    studio = Studio.model_validate({"furnace": {"meter_kind": "kWh meter"}, "log": log})
    before = time.perf_counter()
    compute(studio, Capacity(log=10_000))
    assert time.perf_counter() - before < 3  # a tenth of a second here; slow machines get their time
