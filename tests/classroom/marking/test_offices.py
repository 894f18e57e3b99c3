"""Files that an office program saved are marked as they were before."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from meltbook.classroom.exercise import shipped
from tests.classroom import students
from tests.classroom.marking.classes import HandedIn, hand_in, handout
from tests.classroom.marking.files import lying
from tests.engines.runners import Gnumeric, LibreOffice

XLSX = "xlsx:Calc MS Excel 2007 XML"
EACH = 4


@pytest.fixture
def handed_in(tmp_path: Path) -> list[HandedIn]:
    """Some students of each exercise, every second with lies beside the formulas."""
    found = []
    for exercise in shipped():
        for number in range(101, 101 + EACH):
            folder = tmp_path / f"{exercise}-{number}"
            folder.mkdir()
            plan = students.by_chance(handout(exercise, number), number)
            found.append(hand_in(folder, exercise, number, plan, pointed=number % 3 > 0))
            if number % 2:
                lying(found[-1].path)
    return found


def check(handed_in: list[HandedIn]) -> None:
    wrong = [line for one in handed_in for line in one.differences()]
    assert not wrong, "\n".join(wrong[:10])


def test_saved_by_libreoffice(libreoffice: LibreOffice, handed_in: list[HandedIn], tmp_path: Path) -> None:
    made = libreoffice.convert([one.path for one in handed_in], tmp_path, XLSX, "xlsx")
    for path, result in made.items():
        path.write_bytes(result.read_bytes())
    check(handed_in)


def test_saved_by_gnumeric(gnumeric: Gnumeric, handed_in: list[HandedIn], tmp_path: Path) -> None:
    for one in handed_in:
        saved = tmp_path / "saved.xlsx"
        subprocess.run(["ssconvert", str(one.path), str(saved)], capture_output=True, check=True, timeout=60)
        saved.replace(one.path)
    check(handed_in)
