"""The pages on decisions and on several furnaces: their arithmetic is worked out, and is what the demos show."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from meltbook.method import Results, compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.load import parse_studio
from meltbook.studio.starts import load_start
from tests.docs.test_method_page import LINE, work_out

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "decisions.md").read_text(encoding="utf-8")
FURNACES = (ROOT / "docs" / "furnaces.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(demo|said) ([\w-]+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def lines(sort: str) -> list[tuple[str, str]]:
    """Each line of the blocks of a sort, with the start that it is about."""
    blocks = BLOCK.findall(PAGE) + BLOCK.findall(FURNACES)
    return [(start, line) for found, start, text in blocks if found == sort for line in text.splitlines()]


@cache
def results(start: str) -> Results:
    return compute(load_start(start).studio, Capacity())


@pytest.mark.parametrize(("start", "line"), lines("demo"))
def test_a_line_of_arithmetic_is_what_the_demo_shows(start: str, line: str) -> None:
    parts = LINE.match(line)
    assert parts, f"{line!r} should read: figure.row = arithmetic = value"
    shown = parts["value"].replace("−", "-")
    near = 0.5000001 * 10 ** -len(shown.partition(".")[2])  # as near as the digits that are shown
    row = int(parts["row"]) if parts["row"] else None
    assert work_out(parts["sum"]) == pytest.approx(float(shown), abs=near, rel=0)
    assert results(start).value(parts["figure"], row) == pytest.approx(float(shown), abs=near, rel=0)


@pytest.mark.parametrize(("start", "line"), lines("said"))
def test_a_sentence_is_what_the_demo_says(start: str, line: str) -> None:
    figure, _, said = line.partition("=")
    name, _, row = figure.strip().partition(".")
    assert results(start).value(name, int(row) if row else None) == said.strip()


def test_the_studio_file_on_the_page_makes_a_book_with_two_furnaces() -> None:
    [text] = re.findall(r"^```toml\n(.*?)^```$", FURNACES, re.MULTILINE | re.DOTALL)
    studio = parse_studio(text, "the page").studio
    figures = compute(studio, Capacity(log=10))
    assert figures.columns["furnace_called"] == ["Clear tank", "Colour pot"]
    assert figures.value("period_use_second", 1) == 460


def test_every_decision_is_worked_out() -> None:
    figures = {line.split()[0].partition(".")[0] for sort in ("demo", "said") for _, line in lines(sort)}
    answers = {"gap_sentence", "asked_sentence", "campaign_sentence", "fill_sentence", "replace_sentence", "bill_word"}
    assert answers < figures
    assert len(lines("demo")) > 20


def test_every_decision_says_when_where_and_how_far_it_goes() -> None:
    """Five sections, each with when to use it, where to type, a worked example and its limits."""
    sections = re.split(r"^## ", PAGE, flags=re.MULTILINE)[1:]
    decisions = [section for section in sections if "```demo" in section]
    assert len(decisions) == 5
    for section in decisions:
        for mark in ("**When.**", "**Where to type.**", "```said", "**Limits.**"):
            assert mark in section, f"{section.splitlines()[0]} has no {mark}"


@pytest.mark.parametrize("pot", [0, 1, 3])
def test_what_the_text_says_of_one_failure_less(pot: int) -> None:
    studio = load_start("quay-gas-kg").studio
    ledger = list(studio.ledger)
    assert ledger[pot].why in ("Cracked", "Leaking")
    ledger[pot] = ledger[pot].model_copy(update={"why": "Planned"})
    answer = compute(studio.model_copy(update={"ledger": tuple(ledger)}), Capacity())
    assert answer.value("shape_used") == 2
    assert answer.value("replace_sentence") == (
        "Change it at about 120 uses: that saves 10 % against running it until it fails."
    )
    assert "about 120 uses and 10 %" in re.sub(r"\s+", " ", PAGE)


def test_what_the_text_says_of_november_and_december() -> None:
    """The two bills lean opposite ways, and together they are explained."""
    known = results("quay-gas-kg")
    november, december = known.columns["bill_unexplained"][2:4]
    billed = sum(bill.use or 0 for bill in load_start("quay-gas-kg").studio.bills[2:4])
    limit = known.value("unexplained_used")
    assert isinstance(november, float) and isinstance(december, float) and isinstance(limit, float)
    assert november < 0 < december
    assert abs(november + december) / billed < limit


def test_what_the_text_says_of_the_risk_of_a_crack() -> None:
    known = results("lakeside-lb")
    cold, crack, idle = (known.value(name) for name in ("cold_cost_once", "crack_cost", "idle_day_cost"))
    assert isinstance(cold, float) and isinstance(crack, float) and isinstance(idle, float)
    assert (cold - crack) / idle == pytest.approx(15.6, abs=0.05)
    assert "cross at 15.6 days" in re.sub(r"\s+", " ", PAGE)
