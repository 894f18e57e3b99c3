"""`meltbook figures`: the reference engine beside what a workbook shows."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from meltbook.method.key_figures import KEY_FIGURES
from meltbook.workbook.edited import EditedBook
from tests.engines.runners import LibreOffice, _run
from tests.unit.cli.conftest import Typed, address
from tests.unit.cli.run import run
from tests.unit.cli.test_check import _inserted, filled_down
from tests.unit.workbook import edits

XLSX = "xlsx:Calc MS Excel 2007 XML"


def figures(path: Path, code: int = 0) -> dict[str, Any]:
    result = run("figures", path, "--json")
    assert result.exit_code == code, result.output[-3000:]
    document: dict[str, Any] = json.loads(result.stdout)
    assert document["exit_code"] == code
    return document


@pytest.mark.parametrize("start", ["blank", "lakeside-lb", "harbour-kg"])
def test_a_new_book_agrees_with_the_reference(start: str, tmp_path: Path) -> None:
    assert run("new", tmp_path / "book.xlsx", "--from", start, "--rows", "400").exit_code == 0
    document = figures(tmp_path / "book.xlsx")
    assert document["compared"] > 10_000
    assert document["without_stored_value"] == 0
    assert set(document["figures"]) <= set(KEY_FIGURES)


def test_as_text(demo: Path) -> None:
    result = run("figures", demo)
    assert result.exit_code == 0
    assert "\nprice_hot = 0." in result.stdout
    assert "\ncost_good [Straight tumbler] = " in result.stdout
    assert result.stderr.strip().endswith("all agree.")


def test_cells_that_differ_are_named(typed: Typed, demo_read: EditedBook) -> None:
    file = typed(("energy_used", 7, 5.0), ("price_hot", None, "wrong"))
    document = figures(file, 1)
    found = {difference["field"]: difference for difference in document["differences"]}
    assert set(found) == {"energy_used", "price_hot"}
    assert (found["energy_used"]["sheet"], found["energy_used"]["cell"]) == address(demo_read, "energy_used", 7)
    assert found["energy_used"]["shows"] == 5.0
    assert found["price_hot"]["shows"] == "wrong"
    assert found["price_hot"]["should_be"] == pytest.approx(document["figures"]["price_hot"])
    text = run("figures", file)
    assert text.exit_code == 1
    assert "energy_used (" in text.stdout
    assert "shows 5.0; should be " in text.stdout


def test_stale_values_differ(typed: Typed) -> None:
    """A number typed by a program that doesn't calculate: everything that reads it is out of date."""
    document = figures(typed(("tariff_price", 1, 0.2)), 1)
    assert {"price_to_first", "energy_cost", "tariff_all_in"} <= {one["field"] for one in document["differences"]}


def test_a_book_without_stored_values(demo: Path, tmp_path: Path) -> None:
    file = edits.without_values(demo, tmp_path / "book.xlsx")
    document = figures(file)
    assert document["compared"] == 0
    assert document["without_stored_value"] > 10_000
    said = run("figures", file).stderr
    assert said.count("stored value") == 1


def test_cells_that_cannot_be_used(typed: Typed) -> None:
    file = typed(("log_weight", 1, "12,50"))
    document = figures(file, 1)
    assert document["compared"] == 0
    assert len(document["problems"]) == 1
    result = run("figures", file)
    assert "decimal comma" in result.stdout
    assert "were not compared" in result.stderr
    assert "price_hot = 0." in result.stdout


# ---------------------------------------------------------------------------- saved by other programs


def test_saved_by_libreoffice(libreoffice: LibreOffice, demo: Path, tmp_path: Path) -> None:
    saved = libreoffice.convert([demo], tmp_path, XLSX, "xlsx")[demo]
    assert figures(saved)["without_stored_value"] == 0
    result = run("check", saved)
    assert result.exit_code == 0, result.stdout[:2000]


@pytest.mark.usefixtures("gnumeric")
def test_saved_by_gnumeric(demo: Path, tmp_path: Path) -> None:
    saved = tmp_path / "saved.xlsx"
    _run(["ssconvert", "--recalc", str(demo), str(saved)], tmp_path)
    assert figures(saved)["without_stored_value"] == 0
    result = run("check", saved)
    assert result.exit_code == 0, result.stdout[:2000]


def test_saved_by_openpyxl(demo: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(demo)
    book.save(tmp_path / "saved.xlsx")
    assert figures(tmp_path / "saved.xlsx")["compared"] == 0
    result = run("check", tmp_path / "saved.xlsx")
    assert result.exit_code == 0, result.stdout[:2000]


# ------------------------------------------------------------------- edited, then calculated by a program


def test_an_owner_s_evening(
    libreoffice: LibreOffice, demo: Path, demo_read: EditedBook, typed: Typed, tmp_path: Path
) -> None:
    """New rows, a renamed sheet, a moved column, a row inserted and filled in: both still agree."""
    used = len(demo_read.studio.log)
    one = typed(
        ("log_kind", used + 1, "charge"),
        ("log_weight", used + 1, 55.5),
        ("log_kind", used + 2, "Idle"),
        ("log_days", used + 2, 3.0),
        ("sales_tax", None, 0.08),
        ("piece_tag", 3, None),
        ("piece_name", 4, "Sea urchin"),
    )
    two, sheet, row = _inserted(one, tmp_path, demo_read, 10)
    three = filled_down(two, tmp_path / "3.xlsx", sheet, row - 2, range(row - 1, row + 2))
    kind = address(demo_read, "log_kind", 10)[1]
    four = edits.set_cells(three, tmp_path / "4.xlsx", {(sheet, kind.rstrip("0123456789") + str(row)): "Idle"})
    five = edits.insert_column(four, tmp_path / "5.xlsx", sheet, "C")
    six = edits.rename_sheet(five, tmp_path / "six.xlsx", sheet, "Log of the year")
    saved = libreoffice.convert([six], tmp_path, XLSX, "xlsx")[six]
    document = figures(saved, 0)
    assert document["figures"]["log_rows_used"] == used + 3
    assert document["compared"] > 10_000


def test_nothing_is_left_behind(demo: Path, tmp_path: Path) -> None:
    file = Path(shutil.copy(demo, tmp_path / "book.xlsx"))
    before = file.read_bytes()
    run("figures", file)
    assert file.read_bytes() == before
    assert list(tmp_path.iterdir()) == [file]
