"""The report: the numbers of the command on one page, and nothing on it that could be a formula."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
import subprocess
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from meltbook.errors import UsageError
from meltbook.studio.pieces import Piece
from meltbook.studio.starts import load_start, start_names
from meltbook.workbook.edited import read_book
from meltbook.workbook.new_letter import SHOWN_FIGURES
from tests.engines.compare import same
from tests.engines.runners import LibreOffice
from tests.engines.values import read_formulas
from tests.tariff.books import START, demo_book, demo_studio, everything_in, refused, tariff, typed_into
from tests.unit.cli.run import run

LETTER = ("--from", START, "--price", "0.35")
WORDS = ("--from", START, "--price", "0.35", "--service", "50", "--ref", "=No. 7")
NAMES = ("@SUM(A1)", "-2+3", "+4", '"quoted", and more', "a <b>&amp;", "Ünïcode – 12 cm")
SIZES = ("=1+1", "@x", "-2+3", "+4", "=cmd|'/c calc'!A1", "7 cm")
"""Names of pieces may not begin with an equals sign, but sizes and references may begin with anything."""


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook whose pieces and studio have names that look like formulas."""
    studio = demo_studio("harbour-kg")
    pieces = tuple(
        piece.model_copy(update={"name": name, "size": size})
        for piece, name, size in zip(studio.pieces, NAMES, SIZES, strict=False)
    )
    shop = studio.shop.model_copy(update={"studio_name": "=2+3"})
    return demo_book("harbour-kg", tmp_path_factory.mktemp("odd") / "odd.xlsx", pieces=pieces, shop=shop)


def report_of(book: Path, path: Path, *words: str) -> tuple[dict[str, Any], list[list[Any]]]:
    """What the command says, and the rows of the report."""
    document = tariff(book, *(words or WORDS), "--report", path)
    assert document["report"] == str(path)
    if path.suffix == ".csv":
        return document, list(csv.reader(io.StringIO(path.read_bytes().decode("utf-8-sig"))))
    sheet = openpyxl.load_workbook(path).worksheets[0]
    return document, [list(row) for row in sheet.iter_rows(values_only=True)]


def pieces_of(rows: list[list[Any]]) -> list[list[Any]]:
    """The rows below the headings of the pieces."""
    head = next(at for at, row in enumerate(rows) if row and row[0] == "Piece")
    return [row for row in rows[head + 1 :] if any(row)]


def number(text: Any) -> Any:
    """A cell of a .csv as what it is."""
    try:
        return float(text)
    except (TypeError, ValueError):
        return text or None


def close(suffix: str, expected: Any, value: Any, places: int) -> bool:
    """An .xlsx has 16 digits of a number and shows as many as the sheet; a .csv has no more than that."""
    if suffix == ".xlsx" or not isinstance(expected, float):
        return same(expected, value, rel=1e-14)
    return (
        isinstance(value, float) and value == round(value, places) and abs(value - expected) <= 0.5000001 / 10**places
    )


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_the_numbers_are_those_of_the_document(suffix: str, lakeside: Path, tmp_path: Path) -> None:
    document, rows = report_of(lakeside, tmp_path / f"report{suffix}")
    found = [[number(value) for value in row[2:]] for row in pieces_of(rows)]
    assert len(found) == len(document["pieces"]) > 10
    for row, piece in zip(found, document["pieces"], strict=True):
        for value, name in zip(row, SHOWN_FIGURES, strict=True):
            assert close(suffix, piece[name], value, 3 if "margin" in name else 2), (piece["piece"], name)
    assert [row[:2] for row in pieces_of(rows)] == [[piece["piece"], piece["size"]] for piece in document["pieces"]]
    figures = document["figures"]
    effect = {
        str(row[0]): [number(value) for value in row if number(value) is not None][1:] for row in rows if any(row)
    }
    lines = {
        "Energy, USD/kWh, all in": ("price_before", "price_after", "effect_energy_month", "effect_energy"),
        "Service and demand, USD/day": (
            "standing_day_before", "standing_day_after", "effect_standing_month", "effect_standing",
        ),
        "Both": ("effect_month", "effect_year"),
    }  # fmt: skip
    for label, names in lines.items():
        for value, name in zip(effect[label], names, strict=True):
            assert close(suffix, figures[name], value, 2 if "effect" in name else 4), label
    assert figures["retag_sentence"] in effect


def test_a_real_date_and_the_currency_stand_on_it(lakeside: Path, tmp_path: Path) -> None:
    _, rows = report_of(lakeside, tmp_path / "report.xlsx")
    head = {row[0]: row[1] for row in rows[:6]}
    assert head["New prices from"] == dt.datetime(2027, 1, 1)
    assert head["Letter"] == "=No. 7"
    assert head["Amounts in"] == "USD"
    _, rows = report_of(lakeside, tmp_path / "report.csv")
    assert ["New prices from", START] in rows


def test_warnings_stand_on_it(lakeside: Path, tmp_path: Path) -> None:
    document, rows = report_of(lakeside, tmp_path / "report.csv", "--from", "2026-05-04", "--price", "9")
    assert len(document["warnings"]) == 2
    assert all([warning] in rows for warning in document["warnings"])


def test_no_text_is_a_formula(odd: Path, tmp_path: Path) -> None:
    _, rows = report_of(odd, tmp_path / "report.xlsx")
    assert read_formulas(tmp_path / "report.xlsx") == {}
    assert [tuple(row[:2]) for row in pieces_of(rows)] == list(zip(NAMES, SIZES, strict=True))
    _, rows = report_of(odd, tmp_path / "report.csv")
    cells = [cell for row in rows for cell in row if not isinstance(number(cell), float)]
    assert [cell for cell in cells if re.match(r"\s*[=+@-]", str(cell))] == []
    assert "'=1+1" in cells
    assert "'=cmd|'/c calc'!A1" in cells
    assert "'=2+3" in cells
    assert "'=No. 7" in cells
    assert "Ünïcode – 12 cm" in cells


@pytest.mark.exhaustive
def test_the_text_is_unharmed_in_a_spreadsheet(odd: Path, tmp_path: Path, libreoffice: LibreOffice) -> None:
    report_of(odd, tmp_path / "report.xlsx")
    shown = libreoffice.recalculate([tmp_path / "report.xlsx"], tmp_path)[tmp_path / "report.xlsx"]
    assert "=1+1" in shown.values()
    assert len([value for value in shown.values() if value == "@x"]) == 1


SLOW = pytest.mark.exhaustive


@pytest.mark.parametrize(
    ("count", "currency"),
    [
        (40, "EUR"),
        pytest.param(1, "EUR", marks=SLOW),
        pytest.param(12, "IDR", marks=SLOW),
        pytest.param(40, "JPY", marks=SLOW),
    ],
)
def test_it_prints_on_one_page_without_a_cell_too_narrow(
    count: int, currency: str, tmp_path: Path, libreoffice: LibreOffice
) -> None:
    book = _with_pieces(count, currency, tmp_path / "book.xlsx")
    document, _ = report_of(book, tmp_path / "report.xlsx")
    assert len(document["pieces"]) == count
    pdf = libreoffice.convert([tmp_path / "report.xlsx"], tmp_path, "pdf", "pdf")[tmp_path / "report.xlsx"]
    assert len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes())) == 1
    text = _printed(pdf)
    if text is not None:
        assert "###" not in text
        assert f"Piece number {count}" in text
        assert "before and after" in text


def _printed(pdf: Path) -> str | None:
    """The text on a page, where there is a program that finds it."""
    try:
        done = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True, timeout=60)
    except (OSError, subprocess.SubprocessError):
        return None
    return done.stdout.decode()


def _with_pieces(count: int, currency: str, path: Path) -> Path:
    from dataclasses import replace

    from meltbook.workbook.book import make_book
    from tests.tariff.books import ROOM

    studio = demo_studio("harbour-kg")
    scale = 20_000 if currency == "IDR" else 1
    pieces: tuple[Piece, ...] = tuple(
        studio.pieces[n % len(studio.pieces)].model_copy(update={"name": f"Piece number {n + 1}", "tag": 50.0 * scale})
        for n in range(count)
    )
    tariffs = tuple(
        row.model_copy(update={"price": None if row.price is None else row.price * scale}) for row in studio.tariffs
    )
    shop = studio.shop.model_copy(update={"currency": currency})
    update = {"pieces": pieces, "shop": shop, "tariffs": tariffs}
    make_book(studio.model_copy(update=update), path, capacity=replace(ROOM, pieces=max(16, count)))
    return path


# ------------------------------------------------------------------------------------------------- every start


@pytest.fixture(scope="module")
def starts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A workbook of each shipped start. Those that are blank get a price, so that there is something to change."""
    folder = tmp_path_factory.mktemp("starts")
    found = {name: folder / f"{name}.xlsx" for name in start_names()}
    for name, path in found.items():
        assert run("new", path, "--from", name, "--rows", "450").exit_code == 0
        if all(row.price is None for row in load_start(name).studio.tariffs):
            typed_into(path, folder / "priced.xlsx", {("tariff_price", 1): 0.2})
            (folder / "priced.xlsx").replace(path)
    return found


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@pytest.mark.parametrize("name", start_names())
def test_every_start_has_a_report_of_each_kind_for_each_source(
    name: str, suffix: str, starts: dict[str, Path], tmp_path: Path
) -> None:
    studio = load_start(name).studio
    sources: list[tuple[str, ...]] = [()]
    if studio.second_source is not None:
        sources = [("--source", "first"), ("--source", "second")]
    for words in sources:
        document, rows = report_of(
            starts[name], tmp_path / f"report{len(words)}{words[-1] if words else ''}{suffix}", *words, *LETTER
        )
        assert len(pieces_of(rows)) == len(document["pieces"])
        lines = {row[0] for row in rows if row}
        assert ("Equipment" in lines) == bool(document["figures"]["effect_equipment"])
        assert ("Equipment" in lines) == (any(row.name for row in studio.machines) and name != "blank")


def test_one_of_the_starts_has_machines() -> None:
    assert any(any(row.name for row in load_start(name).studio.machines) for name in start_names())


# ---------------------------------------------------------------------------------------------------- the file


def test_it_is_written_beside_what_apply_writes(book: Path) -> None:
    report = book.with_name("report.xlsx")
    tariff(book, *WORDS, "--apply", "--report", report)
    assert set(everything_in(book.parent)) == {"glass.xlsx", "glass.with-new-tariff.xlsx", "report.xlsx"}
    assert "Wrote" in run("tariff", book, *WORDS, "--report", report, "--force").stdout


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("report.txt", "neither .csv nor .xlsx"),
        ("report", "neither .csv nor .xlsx"),
        ("glass.xlsx", "is the workbook itself"),
        ("there.csv", "is there already"),
        ("none/report.csv", "There is no folder"),
        ("folder.csv", "is a folder"),
        ("glass.with-new-tariff.xlsx", "have the same name"),
    ],
)
def test_a_report_that_can_not_be_written_stops_everything(name: str, said: str, book: Path) -> None:
    book.with_name("there.csv").write_text("mine")
    before = everything_in(book.parent)
    book.with_name("folder.csv").mkdir()
    assert said in refused(book, *WORDS, "--apply", "--report", book.parent / name)
    book.with_name("folder.csv").rmdir()
    assert everything_in(book.parent) == before


def test_a_report_that_fails_leaves_no_new_workbook(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> bytes:
        raise ValueError("no page")

    monkeypatch.setattr("meltbook.workbook.change_report.report_data", fails)
    before = everything_in(book.parent)
    said = run("tariff", book, *WORDS, "--apply", "--retag", "--report", book.with_name("report.xlsx"))
    assert said.exit_code != 0
    assert everything_in(book.parent) == before


@pytest.mark.parametrize("how", [(), ("--in-place",)])
def test_a_report_that_can_not_be_saved_says_what_was_written(
    how: tuple[str, ...], book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from meltbook.workbook import save as saving

    rightly = saving.save

    def save(path: Path, data: bytes, *, overwrite: bool = False) -> None:
        if path.name == "report.xlsx":
            raise UsageError(f"{path} can't be written: no space left on device.")
        rightly(path, data, overwrite=overwrite)

    monkeypatch.setattr(saving, "save", save)
    said = refused(book, *WORDS, "--apply", *how, "--report", book.with_name("report.xlsx"))
    target = book if how else book.with_name("glass.with-new-tariff.xlsx")
    assert "no space left" in said
    assert f"The letter was taken over all the same, in {target}." in said
    assert ("The old workbook is kept as glass.backup-" in said) == bool(how)
    assert read_book(target).studio.tariffs[3].start == dt.date.fromisoformat(START)
    assert not book.with_name("report.xlsx").exists()
    assert "all the same" not in refused(book, "--from", "2027-03-01", "--price", "0.36", "--report", "report.xlsx")
