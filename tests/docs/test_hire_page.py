"""The page on bench hire and classes: the studio on it is worked out, and shows what each line of arithmetic says."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from meltbook.cli import main
from meltbook.method import Results, compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.load import parse_studio
from meltbook.studio.model import Studio
from tests.docs.test_method_page import LINE, work_out

PAGE = (Path(__file__).parents[2] / "docs" / "hire.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(page|said)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def lines(sort: str) -> list[str]:
    return [line for found, text in BLOCK.findall(PAGE) if found == sort for line in text.splitlines()]


[TEXT] = re.findall(r"^```toml\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)


@cache
def studio() -> Studio:
    return parse_studio(TEXT, "the page").studio


@cache
def results() -> Results:
    return compute(studio(), Capacity(log=10))


@pytest.mark.parametrize("line", lines("page"))
def test_a_line_of_arithmetic_is_what_the_studio_on_the_page_shows(line: str) -> None:
    parts = LINE.match(line)
    assert parts, f"{line!r} should read: figure.row = arithmetic = value"
    near = 0.5000001 * 10 ** -len(parts["value"].partition(".")[2])  # as near as the digits that are shown
    row = int(parts["row"]) if parts["row"] else None
    assert work_out(parts["sum"]) == pytest.approx(float(parts["value"]), abs=near, rel=0)
    assert results().value(parts["figure"], row) == pytest.approx(float(parts["value"]), abs=near, rel=0)


@pytest.mark.parametrize("line", lines("said"))
def test_a_sentence_is_what_the_studio_on_the_page_says(line: str) -> None:
    figure, _, said = line.partition("=")
    name, _, row = figure.strip().partition(".")
    assert results().value(name, int(row) if row else None) == said.strip()


def test_the_studio_file_on_the_page_makes_a_book(tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_text(TEXT, encoding="utf-8")
    result = CliRunner().invoke(main, ["new", str(tmp_path / "b.xlsx"), "--from", str(path), "--rows", "20"])
    assert result.exit_code == 0, result.output


def test_what_the_text_says_beside_its_arithmetic() -> None:
    assert len(lines("page")) > 20
    assert results().value("hire_missing") is None
    assert results().value("course_even", 1) == 4 and results().value("course_even", 3) == 7
    busier = studio().model_copy(update={"hire": studio().hire.model_copy(update={"hire_sold": 0.72})})
    margin = compute(busier, Capacity(log=10)).value("hire_margin_now")
    assert isinstance(margin, float) and round(margin * 100) == 28 and "28 %" in PAGE
