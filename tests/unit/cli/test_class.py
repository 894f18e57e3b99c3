"""``meltbook class make`` and ``class exercises``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from meltbook.classroom.exercise import load_exercise, shipped
from tests.unit.cli.run import run


@pytest.fixture
def roster(tmp_path: Path) -> Path:
    path = tmp_path / "roster.csv"
    path.write_text("Ada Lindqvist\nBo Berg\n", encoding="utf-8")
    return path


def test_exercises_are_listed() -> None:
    result = run("class", "exercises")
    assert result.exit_code == 0
    assert result.stdout.splitlines() == shipped()
    long = run("class", "exercises", "--long").stdout.splitlines()
    assert [line.split()[0] for line in long] == shipped()
    assert all("{" not in line for line in long)
    assert load_exercise("meter-and-bill").title in long[shipped().index("meter-and-bill")]


def test_make_says_what_it_wrote(roster: Path, tmp_path: Path) -> None:
    result = run("class", "make", roster, "--exercise", "meter-and-bill", "--out", tmp_path / "monday")
    assert result.exit_code == 0, result.output
    assert "2 workbooks" in result.stdout and "key.xlsx" in result.stdout and "data-sheets.xlsx" in result.stdout
    assert result.stderr == ""
    assert len(list((tmp_path / "monday" / "workbooks").iterdir())) == 2


def test_make_as_json(roster: Path, tmp_path: Path) -> None:
    words = ("class", "make", roster, "--exercise", "ladder", "--out", tmp_path / "kg", "--weight", "kg")
    result = run(*words, "--currency", "eur", "--paper", "a4", "--seed", "12", "--json")
    said = json.loads(result.stdout)
    assert said["ok"] and said["students"] == 2 and said["exercise"] == "ladder"
    assert all(Path(path).is_file() for path in (*said["workbooks"], said["key"], said["data_sheets"]))
    assert result.stderr == ""
    again = run(*words, "--json")
    assert again.exit_code == 2
    assert "is there already" in json.loads(again.stdout)["error"]["message"]


def test_workbooks_of_an_earlier_run_are_told_of(roster: Path, tmp_path: Path) -> None:
    words = ("class", "make", roster, "--exercise", "ladder", "--out", tmp_path / "out")
    assert run(*words).exit_code == 0
    roster.write_text("Carla\n", encoding="utf-8")
    result = run(*words, "--force")
    assert result.exit_code == 0
    assert "2 other workbooks" in result.stderr


def test_a_roster_in_other_letters_is_told_of(roster: Path, tmp_path: Path) -> None:
    roster.write_bytes("Zoë\n".encode("cp1252"))
    result = run("class", "make", roster, "--exercise", "ladder", "--out", tmp_path / "out")
    assert result.exit_code == 0 and "Windows-1252" in result.stderr
    assert (tmp_path / "out" / "workbooks" / "Zoë.xlsx").is_file()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"--exercise": "laddr"}, 2),
        ({"--currency": "dollars"}, 2),
        ({"--weight": "stone"}, 2),
        ({"--paper": "A5"}, 2),
    ],
)
def test_wrong_use_writes_nothing(change: dict[str, str], code: int, roster: Path, tmp_path: Path) -> None:
    words = {"--exercise": "ladder", "--out": str(tmp_path / "out")} | change
    result = run("class", "make", roster, *(word for pair in words.items() for word in pair))
    assert result.exit_code == code
    assert result.stderr.startswith("Error: ")
    assert not (tmp_path / "out").exists()


def test_no_roster(tmp_path: Path) -> None:
    result = run("class", "make", tmp_path / "none.csv", "--exercise", "ladder", "--out", tmp_path / "out")
    assert result.exit_code in (1, 2)
    assert not (tmp_path / "out").exists()
