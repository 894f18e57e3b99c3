"""The page on a new tariff: its arithmetic is worked out, and its commands answer what is printed below them."""

from __future__ import annotations

import re
import shlex
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from meltbook.cli import main
from meltbook.method import Results, compute
from meltbook.studio.letter import Letter
from meltbook.studio.starts import load_start
from tests.docs.test_method_page import LINE, work_out
from tests.tools.make_examples import LETTER

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "new-tariff.md"

LETTERS = {
    "": LETTER,
    "with_tax": LETTER.model_copy(
        update={
            "letter_tax_in": "With tax",
            "letter_price": 28.6,
            "letter_price_two": 18.096,
            "letter_service": 35.36,
        }
    ),
    "eight_percent": Letter(letter_start=LETTER.letter_start, letter_change=0.08),
    "one_price": Letter(letter_start=LETTER.letter_start, letter_price=0.149, letter_share_one=1),
    "demand": Letter(letter_start=LETTER.letter_start, letter_demand=6.5, letter_demand_kw=11),
}
"""The demo's letter, and those that the page tells in words, by the word behind ``letter`` on the page."""

BLOCK = re.compile(r"^```letter ?(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
CONSOLE = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def lines() -> list[tuple[str, str]]:
    return [
        (letter, line) for letter, text in BLOCK.findall(PAGE.read_text(encoding="utf-8")) for line in text.splitlines()
    ]


@cache
def results(letter: str) -> Results:
    return compute(load_start("lakeside-lb").studio.model_copy(update={"letter": LETTERS[letter]}))


@pytest.mark.parametrize(("letter", "line"), sorted({*lines()}))
def test_a_line_of_arithmetic_is_what_the_program_finds(letter: str, line: str) -> None:
    parts = LINE.match(line)
    assert parts, f"{line!r} should read: figure.row = arithmetic = value"
    found = results(letter).value(parts["figure"], int(parts["row"]) if parts["row"] else None)
    shown = parts["value"].replace("−", "-")
    near = 0.5000001 * 10 ** -len(shown.partition(".")[2])
    assert work_out(parts["sum"]) == pytest.approx(float(shown), abs=near, rel=0)
    assert work_out(parts["sum"]) == pytest.approx(found, rel=1e-6)
    assert found == pytest.approx(float(shown), abs=near, rel=0)


def test_every_letter_is_on_the_page() -> None:
    assert {letter for letter, _ in lines()} == set(LETTERS)


def consoles(page: Path) -> list[tuple[str, list[str]]]:
    """Each command of a page, and what is printed below it."""
    found: list[tuple[str, list[str]]] = []
    for block in CONSOLE.findall(page.read_text(encoding="utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line[2:], []))
            else:
                found[-1][1].append(line)
    # The commands of a class stand in the README, too; tests/docs/test_docs.py runs them, with a roster at hand.
    mine = [(command, shown) for command, shown in found if command.startswith("meltbook ")]
    return [(command, shown) for command, shown in mine if not command.startswith("meltbook class ")]


@pytest.mark.parametrize(
    "page", [PAGE, pytest.param(ROOT / "README.md", marks=pytest.mark.exhaustive)], ids=lambda page: page.name
)
def test_the_commands_answer_so(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    if page != PAGE:
        Path("demo.xlsx").write_bytes(b"what make demo has left")
    runner = CliRunner()
    answered = 0
    for command, shown in consoles(page):
        result = runner.invoke(main, shlex.split(command, comments=True)[1:])
        assert result.exit_code == 0, result.output
        left = result.output.splitlines()
        for line in shown:
            if line != "...":
                assert line in left, f"{command}\n{line!r} is not in\n{result.output}"
                left = left[left.index(line) + 1 :]
                answered += 1
    assert answered or page != PAGE


def test_the_command_and_the_example_are_the_same_letter() -> None:
    command = next(command for command, shown in consoles(PAGE) if shown)
    said = dict(re.findall(r"--([a-z-]+) (\"[^\"]+\"|\d[\d.-]*)", command))
    assert said == {
        "from": str(LETTER.letter_start),
        "price": f"{LETTER.letter_price:g}",
        "price-two": f"{LETTER.letter_price_two:g}",
        "service": f"{LETTER.letter_service:g}",
        "ref": f'"{LETTER.letter_reference}"',
    }
    assert "--cents" in command and LETTER.letter_in == "Cents"
