"""The pages on the method say what the program does: their arithmetic is worked out, names and files exist."""

from __future__ import annotations

import ast
import operator
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from meltbook.fields import CHAPTERS
from meltbook.method import Results, compute
from meltbook.studio.furnaces import MoreFurnace
from meltbook.studio.model import Studio
from meltbook.workbook.book import vocabulary_for
from tests.worked.cases import CAPACITY, Case, load_cases

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "generator" / "meltbook"
METHOD = ROOT / "docs" / "method.md"
HOW = ROOT / "docs" / "how-a-figure-is-made.md"

BLOCK = re.compile(r"^```worked (\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINE = re.compile(r"^(?P<figure>[a-z_]+)(?:\.(?P<row>\d+))?\s*= (?P<sum>.+) = (?P<value>\S+)$")
CASES = {case.name: case for case in load_cases()}


def lines(page: Path) -> list[tuple[str, str]]:
    """Each line of arithmetic on a page, with the worked case that it is about."""
    blocks = BLOCK.findall(page.read_text(encoding="utf-8"))
    return [(case, line) for case, text in blocks for line in text.strip().splitlines()]


OPERATORS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


def work_out(text: str) -> float:
    """A sum as the page writes it: numbers, brackets and + − × ÷ ^, nothing else."""

    def value(node: ast.expr) -> float:
        match node:
            case ast.Constant(value=int() | float() as number):
                return float(number)
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return -value(operand)
            case ast.BinOp(left=left, op=sign, right=right):
                return OPERATORS[type(sign)](value(left), value(right))
        raise ValueError(f"{text!r} is more than a sum")

    return value(ast.parse(text.translate(str.maketrans({"×": "*", "÷": "/", "−": "-", "^": "**"})), mode="eval").body)


@cache
def results(name: str) -> Results:
    case: Case = CASES[name]
    return compute(case.studio, case.capacity)


@pytest.mark.parametrize(("name", "line"), sorted({*lines(METHOD), *lines(HOW)}))
def test_a_line_of_arithmetic_is_what_the_program_finds(name: str, line: str) -> None:
    parts = LINE.match(line)
    assert parts, f"{line!r} should read: figure.row = arithmetic = value"
    figure, row = parts["figure"], int(parts["row"]) if parts["row"] else None
    shown = parts["value"].replace("−", "-")
    digits = len(shown.partition(".")[2])
    near = 0.5000001 * 10**-digits  # as near as the digits that are shown
    assert work_out(parts["sum"]) == pytest.approx(float(shown), abs=near, rel=0)
    assert results(name).value(figure, row) == pytest.approx(float(shown), abs=near, rel=0)
    assert any((each.figure, each.row) == (figure, row) for each in CASES[name].expected), (
        f"{figure} is not worked by hand in tests/worked/{name}.toml"
    )


def test_the_page_shows_every_worked_case() -> None:
    assert {name for name, _ in lines(METHOD)} == set(CASES)


def test_a_sum_is_only_a_sum() -> None:
    assert work_out("(1 + 2) × 3 ÷ 2 − 0.5") == 4
    with pytest.raises(ValueError, match="more than a sum"):
        work_out("print(1)")


def quoted(page: Path) -> set[str]:
    """What stands in backticks on a page, fenced blocks left out."""
    text = re.sub(r"^```.*?^```$", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL)
    return set(re.findall(r"`([^`\n]+)`", text))


@pytest.mark.parametrize("page", [METHOD, HOW], ids=lambda page: page.name)
def test_the_files_that_a_page_names_exist(page: Path) -> None:
    paths = {text for text in quoted(page) if re.fullmatch(r"[\w./-]+/[\w.-]*", text)}
    assert len(paths) > 5
    assert [text for text in sorted(paths) if not ((ROOT / text).exists() or (PACKAGE / text).exists())] == []


@pytest.mark.parametrize("page", [METHOD, HOW], ids=lambda page: page.name)
def test_the_figures_that_a_page_names_are_in_the_book(page: Path) -> None:
    book = vocabulary_for(Studio(more_furnaces=(MoreFurnace(),)), CAPACITY)
    named = {text.partition(".")[0] for text in quoted(page) if re.fullmatch(r"[a-z]+(_[a-z]+)+(\.\d+)?", text)}
    assert len(named) > 3
    assert sorted(named - book.scalars.keys() - book.columns.keys()) == []


NOT_A_CHAPTER = {"__init__", "context", "kernel", "words", "labels", "pair", "constants", "chapters_b", "bars"}
"""Modules of ``fields`` that hold no part of the method: tools, tables of words, and the numbers behind pictures."""


def test_every_chapter_of_the_vocabulary_is_on_the_page() -> None:
    chapters = {chapter.__name__.rpartition(".")[2] for chapter in CHAPTERS} - NOT_A_CHAPTER
    assert {f"fields/{name}.py" for name in chapters} - quoted(METHOD) == set()
