"""The commands on a book with two furnaces and two sources of energy."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from meltbook.cli import main
from meltbook.errors import StudioError
from meltbook.method import compute
from meltbook.studio.letter import Letter
from meltbook.studio.load import parse_studio
from meltbook.studio.room import capacity_for
from meltbook.studio.starts import load_start
from meltbook.workbook.book import make_book
from meltbook.workbook.differences import reference
from meltbook.workbook.edited import read_book
from tests.strategies.furnaces import furnace_studio, rooms

START = "foundry-two-kg"


def run(*args: str | Path) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.fixture(scope="module")
def foundry(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("foundry") / "foundry.xlsx"
    studio = load_start(START).studio
    make_book(studio, path, capacity=capacity_for(studio, 90)[0])
    return path


def test_a_book_is_read_back_as_it_was(foundry: Path) -> None:
    book = read_book(foundry)
    assert book.problems == []
    assert book.studio == load_start(START).studio
    assert book.log_rows_made == (90, 90)


@pytest.mark.parametrize(("seed", "furnaces"), [(11, 2), (12, 4), (13, 6)])
def test_generated_studios_are_read_back(seed: int, furnaces: int, tmp_path: Path) -> None:
    studio, room = furnace_studio(seed, furnaces), rooms(furnaces)
    path = tmp_path / "book.xlsx"
    make_book(studio, path, capacity=room)
    book = read_book(path)
    assert [more.source for more in book.studio.more_furnaces] == [more.source for more in studio.more_furnaces]
    assert [book.capacity.of_furnace(place).log for place in range(furnaces)] == [
        room.of_furnace(place).log for place in range(furnaces)
    ]
    as_made, as_read = compute(studio, room), reference(book)
    for name in ("all_charged", "all_energy_cost", "checks_state", "furnaces_sentence"):
        assert as_read.scalars[name] == as_made.scalars[name], name


def test_figures_agree_and_name_the_furnaces(foundry: Path) -> None:
    result = run("figures", foundry, "--json")
    assert result.exit_code == 0
    told = json.loads(result.stdout)
    assert told["differences"] == []
    assert [row["furnace"] for row in told["figures"]["each_price_line_own"]] == ["Clear tank", "Colour pot"]
    assert told["figures"]["all_price_line_own"] > told["figures"]["price_line_own"]


def test_a_letter_for_one_source_leaves_the_other_furnace(foundry: Path, tmp_path: Path) -> None:
    before = foundry.read_bytes()
    result = run("tariff", foundry, "--source", "first", "--price", "0.9", "--from", "2026-07-01", "--json")
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    changed = {piece["piece"]: piece["cost_after"] - piece["after_cost_now"] for piece in told["pieces"]}
    # The amber pot is electric: its pieces move by nothing but the gas of the glory hole, which all are worked in.
    studio = load_start(START).studio
    letter = Letter(letter_start=date(2026, 7, 1), letter_price=0.9)
    results = compute(studio.model_copy(update={"letter": letter}))
    rows = {piece.name: row for row, piece in enumerate(studio.pieces)}
    glory = {
        name: results.columns["piece_more_hot"][row] / results.columns["good_share"][row] for name, row in rows.items()
    }
    assert changed["Amber cup"] == pytest.approx(glory["Amber cup"])
    assert changed["Water glass"] > glory["Water glass"] + 0.01
    assert glory["Amber cup"] > 0
    assert foundry.read_bytes() == before


def test_a_new_tariff_is_applied_and_every_value_is_right(foundry: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.xlsx"
    book.write_bytes(foundry.read_bytes())
    result = run(
        "tariff",
        book,
        "--source",
        "first",
        "--price",
        "0.9",
        "--from",
        "2026-05-20",
        "--apply",
        "--retag",
        "--in-place",
    )
    assert result.exit_code == 0, result.output
    told = json.loads(run("figures", book, "--json").stdout)
    assert told["differences"] == []
    assert read_book(book).studio.tariffs[2].price == 0.9


def test_a_piece_of_no_furnace_is_told(tmp_path: Path) -> None:
    studio = load_start(START).studio
    pieces = (studio.pieces[0].model_copy(update={"furnace": "Colour pto"}), *studio.pieces[1:])
    path = tmp_path / "book.xlsx"
    make_book(studio.model_copy(update={"pieces": pieces}), path)
    result = run("check", path)
    assert result.exit_code == 1
    assert "Pieces, row" in result.stdout and "Did you mean colour pot?" in result.stdout.replace("Colour", "colour")


def test_a_fault_in_the_second_log_is_told_on_its_sheet(tmp_path: Path) -> None:
    studio = load_start(START).studio
    more = studio.more_furnaces[0]
    rows = (*more.log[:3], more.log[3].model_copy(update={"reading": 5.0}), *more.log[4:])
    path = tmp_path / "book.xlsx"
    make_book(studio.model_copy(update={"more_furnaces": (more.model_copy(update={"log": rows}),)}), path)
    result = run("check", path)
    assert result.exit_code == 1
    assert "Furnace log 2, row" in result.stdout
    assert "Furnace log, row" not in result.stdout.replace("Note: Furnace log, row", "")


def test_what_is_wrong_in_a_further_furnace_is_told_with_its_number() -> None:
    text = '[[more_furnaces]]\n[[more_furnaces.log]]\nkind = "Charge"\n[[more_furnaces.log]]\nkind = "Charging"\n'
    with pytest.raises(StudioError) as told:
        parse_studio(text, "two.toml")
    [problem] = told.value.problems
    assert (problem.sheet, problem.row, problem.column) == ("furnace 2, log", 2, "kind")
    assert "Charge" in problem.do


def test_a_second_source_must_be_described() -> None:
    with pytest.raises(StudioError) as told:
        parse_studio('[[more_furnaces]]\nsource = "Second"\n', "two.toml")
    [problem] = told.value.problems
    assert (problem.sheet, problem.column) == ("furnace 2", "source")
    assert "[second_source]" in problem.do
    with pytest.raises(StudioError, match="1 thing to correct"):
        parse_studio('[[more_furnaces]]\nsource = "Third"\n', "two.toml")


def test_no_more_than_six() -> None:
    with pytest.raises(StudioError):
        parse_studio("[[more_furnaces]]\n" * 6, "seven.toml")
