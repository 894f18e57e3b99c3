"""Pages with a studio on them: it is worked out, and shows what each line of arithmetic and each sentence says."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pytest
from click.testing import CliRunner

from meltbook.cli import main
from meltbook.method import Results, compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.load import parse_studio
from meltbook.studio.model import Studio
from tests.docs.test_method_page import LINE, work_out

DOCS = Path(__file__).parents[2] / "docs"
BLOCK = re.compile(r"^```(page|said|toml)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
ROOM = Capacity(log=10)


@dataclass(frozen=True)
class Page:
    """A page of the docs, and what stands in its blocks."""

    file: str

    @cached_property
    def text(self) -> str:
        return (DOCS / self.file).read_text(encoding="utf-8")

    def lines(self, sort: str) -> list[str]:
        return [line for found, text in BLOCK.findall(self.text) if found == sort for line in text.splitlines()]

    @cached_property
    def studio_file(self) -> str:
        [text] = [text for found, text in BLOCK.findall(self.text) if found == "toml"]
        return str(text)

    @cached_property
    def studio(self) -> Studio:
        return parse_studio(self.studio_file, self.file).studio

    @cached_property
    def results(self) -> Results:
        return compute(self.studio, ROOM)


EQUIPMENT, HIRE = Page("equipment.md"), Page("hire.md")
PAGES = (EQUIPMENT, HIRE)


def each(sort: str) -> list[tuple[Page, str]]:
    return [(page, line) for page in PAGES for line in page.lines(sort)]


@pytest.mark.parametrize(("page", "line"), each("page"))
def test_a_line_of_arithmetic_is_what_the_studio_on_the_page_shows(page: Page, line: str) -> None:
    parts = LINE.match(line)
    assert parts, f"{line!r} should read: figure.row = arithmetic = value"
    near = 0.5000001 * 10 ** -len(parts["value"].partition(".")[2])  # as near as the digits that are shown
    row = int(parts["row"]) if parts["row"] else None
    assert work_out(parts["sum"]) == pytest.approx(float(parts["value"]), abs=near, rel=0)
    assert page.results.value(parts["figure"], row) == pytest.approx(float(parts["value"]), abs=near, rel=0)


@pytest.mark.parametrize(("page", "line"), each("said"))
def test_a_sentence_is_what_the_studio_on_the_page_says(page: Page, line: str) -> None:
    figure, _, said = line.partition("=")
    name, _, row = figure.strip().partition(".")
    assert page.results.value(name, int(row) if row else None) == said.strip()


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.file)
def test_the_studio_file_on_the_page_makes_a_book(page: Page, tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_text(page.studio_file, encoding="utf-8")
    result = CliRunner().invoke(main, ["new", str(tmp_path / "b.xlsx"), "--from", str(path), "--rows", "20"])
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize(("page", "fewest"), [(EQUIPMENT, 10), (HIRE, 20)], ids=lambda page: str(page))
def test_a_page_has_its_arithmetic(page: Page, fewest: int) -> None:
    assert len(page.lines("page")) > fewest and page.lines("said")


def test_what_the_text_on_equipment_says_beside_its_arithmetic() -> None:
    results = EQUIPMENT.results
    now, after = results.value("cost_furnace", 1), results.value("rate_after")
    assert isinstance(now, float) and isinstance(after, float)
    assert 1.5 * after - now == pytest.approx(0.54) and "0.54" in EQUIPMENT.text
    assert results.value("machine_cost", 1) == pytest.approx(3.40)
    assert results.value("machines_year_use") == 16_000 and "16,000 kWh" in EQUIPMENT.text
    assert results.value("bill_word", 1) == "Explained"


def test_what_the_text_on_hire_says_beside_its_arithmetic() -> None:
    results = HIRE.results
    assert results.value("hire_missing") is None
    assert results.value("course_even", 1) == 4 and results.value("course_even", 3) == 7
    busier = HIRE.studio.model_copy(update={"hire": HIRE.studio.hire.model_copy(update={"hire_sold": 0.72})})
    margin = compute(busier, ROOM).value("hire_margin_now")
    assert isinstance(margin, float) and round(margin * 100) == 28 and "28 %" in HIRE.text
