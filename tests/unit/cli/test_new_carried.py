"""A new book that carries on from an old one: nothing typed is lost, and there is room for a furnace more."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.studio.starts import load_start
from meltbook.workbook.edited import read_book
from tests.tariff.books import typed_into
from tests.unit.cli.run import run


@pytest.fixture(scope="module")
def old(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A year of an owner's own: a demonstration studio with something typed in it since."""
    folder = tmp_path_factory.mktemp("old")
    made = folder / "made.xlsx"
    assert run("new", made, "--from", "lakeside-lb", "--rows", "1200").exit_code == 0
    return typed_into(made, folder / "studio.xlsx", {("piece_tag", 1): 61.0, ("studio_name", None): "My shop"})


def test_all_that_is_typed_is_carried_over(old: Path, tmp_path: Path) -> None:
    before, new = old.read_bytes(), tmp_path / "new.xlsx"
    result = run("new", new, "--from", old)
    assert result.exit_code == 0
    assert "is carried over" in result.stderr
    assert read_book(new).studio == read_book(old).studio
    assert read_book(new).studio.pieces[0].tag == 61.0
    assert read_book(new).capacity.log == 1200
    assert old.read_bytes() == before
    assert run("figures", new).exit_code == 0


def test_with_one_furnace_more(old: Path, tmp_path: Path) -> None:
    new = tmp_path / "two.xlsx"
    assert run("new", new, "--from", old, "--furnaces", "2", "--rows", "400").exit_code == 0
    one, two = read_book(old).studio, read_book(new).studio
    assert two.model_copy(update={"more_furnaces": ()}) == one
    [added] = two.more_furnaces
    blank = load_start("blank").studio
    assert (added.source, added.log, added.part_kinds) == ("First", (), blank.part_kinds)
    assert added.furnace.meter_kind == "Hour meter"
    assert [row.weighting for row in added.day_kinds] == [1, 1, 1, 1, 0, 0]
    assert run("figures", new).exit_code == 0
    assert run("check", new).exit_code == run("check", old).exit_code


def test_on_a_second_source(old: Path, tmp_path: Path) -> None:
    new, third = tmp_path / "gas.xlsx", tmp_path / "third.xlsx"
    words = ("--furnaces", "2", "--second-energy", "m³", "--rows", "400")
    assert run("new", new, "--from", old, *words).exit_code == 0
    studio = read_book(new).studio
    assert studio.second_source is not None
    assert (studio.second_source.energy_unit, studio.more_furnaces[0].source) == ("m³", "Second")
    assert (studio.furnace.meter_kind, studio.more_furnaces[0].furnace.meter_kind) == ("Hour meter", "Gas meter")
    more = ("--furnaces", "3", "--second-energy", "m3", "--rows", "400")
    assert run("new", third, "--from", new, *more).exit_code == 0
    assert [furnace.source for furnace in read_book(third).studio.more_furnaces] == ["Second", "Second"]
    refused = run("new", tmp_path / "no.xlsx", "--from", new, "--furnaces", "3", "--second-energy", "kWh")
    assert (refused.exit_code, "bills in m³" in refused.output) == (2, True)
    assert not (tmp_path / "no.xlsx").exists()


def test_units_of_gas_as_a_keyboard_has_them(tmp_path: Path) -> None:
    book = tmp_path / "gas.xlsx"
    assert run("new", book, "--energy", "ft3", "--rows", "40").exit_code == 0
    studio = read_book(book).studio
    assert (studio.shop.energy_unit, studio.furnace.meter_kind) == ("ft³", "Gas meter")


def test_the_meter_of_a_furnace_that_runs_is_left_alone(tmp_path: Path) -> None:
    book = tmp_path / "lake.xlsx"
    assert run("new", book, "--from", "lakeside-lb", "--energy", "m3").exit_code == 0
    assert read_book(book).studio.furnace.meter_kind == "Hour meter"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--furnaces", "7"), "can't have 7 furnaces"),
        (("--furnaces", "0"), "can't have 0 furnaces"),
        (("--furnaces", "1", "--from", "foundry-two-kg"), "has 2 furnaces"),
        (("--second-energy", "kWh"), "goes with --furnaces"),
        (("--furnaces", "1", "--second-energy", "kWh"), "No furnace is added"),
    ],
)
def test_what_it_refuses(words: tuple[str, ...], said: str, tmp_path: Path) -> None:
    result = run("new", tmp_path / "book.xlsx", *words)
    assert result.exit_code == 2
    assert said in result.output
    assert list(tmp_path.iterdir()) == []


def test_an_old_book_that_can_not_be_used(old: Path, tmp_path: Path) -> None:
    broken = typed_into(old, tmp_path / "broken.xlsx", {("tariff_price", 1): "twelve cents"})
    result = run("new", tmp_path / "new.xlsx", "--from", broken)
    assert result.exit_code == 1
    assert "Tariffs" in result.output
    assert "twelve cents" in result.output
    assert not (tmp_path / "new.xlsx").exists()


def test_the_old_book_is_never_the_new_one(old: Path) -> None:
    before = old.read_bytes()
    result = run("new", old, "--from", old, "--force")
    assert result.exit_code == 2
    assert "another name" in result.output
    assert old.read_bytes() == before


def test_a_workbook_that_is_not_there(tmp_path: Path) -> None:
    assert run("new", tmp_path / "new.xlsx", "--from", tmp_path / "none.xlsx").exit_code != 0
    assert list(tmp_path.iterdir()) == []
