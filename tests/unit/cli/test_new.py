"""`meltbook new`: what it writes, and what it refuses to."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.workbook.edited import read_book
from tests.unit.cli.run import run


def test_a_blank_book(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    result = run("new", path, "--rows", "20")
    assert result.exit_code == 0
    assert result.stdout.splitlines()[0] == f"Wrote {path}"
    assert "value stored" in result.stdout
    assert result.stderr == ""
    book = read_book(path)
    assert book.problems == []
    assert (book.capacity.log,) == book.log_rows_made == (20,)


def test_options_come_before_the_studio(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    result = run(
        "new",
        path,
        "--from",
        "lakeside-lb",
        "--unit",
        "kg",
        "--currency",
        "jpy",
        "--tax-inside",
        "--rows",
        "400",
    )
    assert result.exit_code == 0
    assert "none was converted" in result.stderr
    shop = read_book(path).studio.shop
    assert (shop.weight_unit, shop.currency, shop.tax_inside) == ("kg", "JPY", "Yes")


def test_a_blank_book_has_no_amounts_to_convert(tmp_path: Path) -> None:
    words = ("--currency", "EUR", "--unit", "kg", "--energy", "m³", "--rows", "20")
    assert run("new", tmp_path / "blank.xlsx", *words).stderr == ""
    said = run("new", tmp_path / "demo.xlsx", *words[:-1], "450", "--from", "lakeside-lb").stderr
    assert "energy is taken as m³" in said
    assert "amounts are taken as EUR" in said
    (tmp_path / "mine.toml").write_text('people = [{ rate = 30 }]\nshop.currency = "USD"\n')
    said = run("new", tmp_path / "mine.xlsx", *words, "--from", tmp_path / "mine.toml").stderr
    assert "amounts are taken as EUR" in said
    assert "energy" not in said


def test_a_studio_file_becomes_a_book_and_a_studio_again(tmp_path: Path) -> None:
    from meltbook.studio.starts import load_start, start_names

    for name in start_names():
        path = tmp_path / f"{name}.xlsx"
        assert run("new", path, "--from", name, "--rows", "400").exit_code == 0
        assert read_book(path).studio == _trimmed(load_start(name).studio)


def _trimmed(studio: object) -> object:
    """A studio without the empty rows at the ends of its tables, which a workbook can't tell apart."""
    from meltbook.studio.model import PREFIXES, Studio

    assert isinstance(studio, Studio)
    changes = {}
    for table in PREFIXES:
        rows = list(getattr(studio, table))
        while rows and all(value is None for _, value in rows[-1]):
            rows.pop()
        changes[table] = tuple(rows)
    return studio.model_copy(update=changes)


def test_the_log_grows_with_the_studio(tmp_path: Path) -> None:
    rows = "".join('[[log]]\nkind = "Idle"\n' for _ in range(30))
    (tmp_path / "mine.toml").write_text(rows)
    refused = run("new", tmp_path / "book.xlsx", "--from", tmp_path / "mine.toml", "--rows", "20")
    assert refused.exit_code == 2
    assert "at least 30 rows" in refused.stderr
    assert not (tmp_path / "book.xlsx").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--rows", "5"), "10 to 20000"),
        (("--rows", "20001"), "10 to 20000"),
        (("--rows", "many"), "is not a valid integer"),
        (("--currency", "EURO"), "near to it: EUR"),
        (("--from", "lakeside"), "lakeside-lb"),
        (("--from", "none.toml"), "There is no studio file"),
        (("--from", "."), "folder"),
    ],
)
def test_what_it_refuses(words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("new", "book.xlsx", *words)
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stdout == ""
    assert list(tmp_path.iterdir()) == []


def test_a_studio_file_with_faults(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text('[shop]\nsales_tax = 8\n[[log]]\nkind = "Chrage"\n')
    result = run("new", tmp_path / "book.xlsx", "--from", tmp_path / "mine.toml")
    assert result.exit_code == 1
    assert "has 2 things to correct" in result.stderr
    assert "log, row 1, kind: found the text 'Chrage'" in result.stderr
    assert not (tmp_path / "book.xlsx").exists()


def test_a_file_that_is_there(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_text("mine")
    refused = run("new", path)
    assert refused.exit_code == 2
    assert "--force" in refused.stderr
    assert path.read_text() == "mine"
    assert run("new", path, "--rows", "20", "--force").exit_code == 0
    assert path.read_bytes().startswith(b"PK")


def test_a_file_that_is_open(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_text("mine")
    (tmp_path / ".~lock.book.xlsx#").touch()
    result = run("new", path, "--force")
    assert result.exit_code == 2
    assert "open in another program" in result.stderr
    assert path.read_text() == "mine"


@pytest.mark.parametrize(
    ("name", "said"),
    [("none/book.xlsx", "no folder"), (".", "is a folder"), ("book.ods", "book.xlsx"), ("book", "book.xlsx")],
)
def test_places_that_are_none(name: str, said: str, tmp_path: Path) -> None:
    result = run("new", tmp_path / name)
    assert result.exit_code == 2
    assert said in result.stderr
    assert list(tmp_path.iterdir()) == []
