"""The benchmarks run and compare like with like. How long anything takes is no test."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from benchmarks.__main__ import main as run_all
from benchmarks.__main__ import missing
from benchmarks.classes import CLASS_TASKS, class_report, prepare_class
from benchmarks.plain import plain_loop, record, replay
from benchmarks.report import Measured, report
from benchmarks.studios import CAMPAIGNS, long_studio
from benchmarks.tasks import TASKS, main, prepare
from meltbook.method import compute
from meltbook.workbook.book import make_book
from meltbook.workbook.write import VerbatimTab

ROWS = 40


def test_a_long_studio_fills_its_log_and_stays_within_its_room() -> None:
    studio, room = long_studio(400)
    values = compute(studio, room)
    assert len(studio.log) == room.log == values.scalars["log_rows_used"] == 400
    assert len(studio.tariffs) == room.tariffs - 1 and len(studio.ledger) == room.ledger
    assert values.scalars["campaign_count"] == CAMPAIGNS
    assert values.scalars["checks_state"] is not None


def test_the_plain_loop_finds_what_the_reference_engine_finds() -> None:
    studio, room = long_studio(200)
    assert plain_loop(studio) == pytest.approx(compute(studio, room).columns["step_hot"][0])


@pytest.mark.parametrize("tab", [None, VerbatimTab])
def test_the_baseline_writes_the_same_cells(tmp_path: Path, tab: type | None) -> None:
    studio, room = long_studio(ROWS)
    path = tmp_path / "book.xlsx"
    recording = record(lambda: make_book(studio, path, capacity=room))
    bare = replay(recording) if tab is None else replay(recording, tab)
    assert recording.cells > 10_000
    ours, theirs = (openpyxl.load_workbook(source) for source in (path, io.BytesIO(bare)))
    for tab_name in ours.sheetnames:
        assert looked_at(ours[tab_name]) == looked_at(theirs[tab_name]), tab_name
    assert set(ours.defined_names) == set(theirs.defined_names)


def looked_at(sheet: Any) -> list[tuple[Any, ...]]:
    """What a cell holds and how it shows; a validation is not in a cell, so how many there are."""
    cells = [(one.coordinate, one.value, one.number_format, one.font.b) for row in sheet.iter_rows() for one in row]
    return [*cells, (len(sheet.data_validations.dataValidation), len(sheet.conditional_formatting))]


@pytest.fixture(scope="module")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bench")
    prepare(ROWS, folder)
    return folder


@pytest.mark.parametrize("task", [name for name in TASKS if "libreoffice" not in name])
def test_each_task_runs(task: str, prepared: Path, capsys: pytest.CaptureFixture[str]) -> None:
    if missing(task):
        pytest.skip(f"{task} is not on this machine")
    main(task, ROWS, prepared)
    said = json.loads(capsys.readouterr().out)
    assert said["seconds"] > 0 and said["megabytes"] > 1


def test_the_report_compares_and_says_what_is_left_out() -> None:
    seconds = {"write": 1.0, "bare": 2.0, "bare-quick": 0.5, "reference": 0.1, "loop": 0.05}
    best = {(name, rows): Measured(once * rows / 10, 50) for name, once in seconds.items() for rows in (10, 100)}
    text = report(best, {10: 111, 100: 1111}, ["a machine"], ["gnumeric"])
    assert "| Write the book, values given | 1.00 | 10.00 | 10.0 | at most linear | 50 | 50 |" in text
    assert "| 0.50 | 0.50 | at most 1.3 |" in text and "| 2.00 | 2.00 | at most 1.3 |" in text
    assert "Gnumeric: open, recalculate, save: left out" in text
    assert "LibreOffice" not in text


def test_each_task_of_a_class_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert prepare_class(2, tmp_path) > 500
    for task in CLASS_TASKS:
        main(task, 2, tmp_path)
        said = json.loads(capsys.readouterr().out)
        assert said["seconds"] > 0 and said["megabytes"] > 1
    assert (tmp_path / "class-2" / "results.xlsx").is_file()


def test_the_report_on_classes_compares() -> None:
    seconds = {"class-make": 3.0, "class-bare": 2.0, "class-mark": 1.0, "class-load": 4.0}
    best = {(name, size): Measured(once * size / 10, 50) for name, once in seconds.items() for size in (10, 100)}
    text = class_report(best, {10: 1111, 100: 1111})
    assert "| `meltbook class make` | 3.00 | 30.00 | 10.0 | 300 under 60 s, at most linear | 50 | 50 |" in text
    assert "| 1.50 | 1.50 |" in text and "| 0.25 | 0.25 |" in text


@pytest.mark.exhaustive
def test_the_whole_run_writes_its_page(tmp_path: Path) -> None:
    page = tmp_path / "results.md"
    run_all(["--rows", "12", "24", "--students", "2", "4", "--rounds", "1", "--results", str(page)])
    assert page.read_text(encoding="utf-8").startswith("# Benchmarks")
