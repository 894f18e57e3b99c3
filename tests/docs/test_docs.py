"""The documentation does what it says: its commands run, its studio file makes a book, its links lead somewhere."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from meltbook.classroom.exercise import load_exercise
from meltbook.cli import main
from meltbook.studio.load import load_studio
from tests.tools.make_docs import command_docs

ROOT = Path(__file__).parents[2]
PAGES = sorted([ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")])
COMMAND = re.compile(r"^\$ (meltbook .*)$", re.MULTILINE)


def commands(page: Path) -> list[list[str]]:
    return [shlex.split(line, comments=True)[1:] for line in COMMAND.findall(page.read_text(encoding="utf-8"))]


def prepare_class(folder: Path) -> None:
    """The roster of the example class, and the exercise that the page for teachers shows."""
    shutil.copy(ROOT / "output_examples" / "class" / "roster.csv", folder / "roster.csv")
    (folder / "annealer.toml").write_text(exercise_of_the_docs(), encoding="utf-8")


def exercise_of_the_docs() -> str:
    page = (ROOT / "docs" / "classes.md").read_text(encoding="utf-8")
    return page.split("```toml\n", 1)[1].split("```", 1)[0]


@pytest.mark.parametrize("page", [page for page in PAGES if commands(page)], ids=lambda page: page.name)
def test_every_command_of_a_page_runs(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    runner = CliRunner()
    if not any(words[:2] == ["new", "studio.xlsx"] for words in commands(page)):
        assert runner.invoke(main, ["new", "studio.xlsx", "--from", "lakeside-lb"]).exit_code == 0
    if page.name == "README.md":
        Path("demo.xlsx").write_bytes(b"what make demo has left")
    prepare_class(tmp_path)
    for words in commands(page):
        if words[:3] == ["class", "mark", "returned"] and not Path("returned").exists():
            shutil.copytree("ladder/workbooks", "returned")  # a class that hands in what it was given
        result = runner.invoke(main, words)
        assert result.exit_code == 0, f"meltbook {' '.join(words)}\n{result.output}"


def test_the_page_of_commands_is_what_the_commands_say() -> None:
    assert (ROOT / "docs" / "commands.md").read_text(encoding="utf-8") == command_docs(), (
        "run: python tests/tools/make_docs.py docs/commands.md"
    )


def test_the_studio_file_of_the_docs_makes_a_book(tmp_path: Path) -> None:
    page = (ROOT / "docs" / "studio-files.md").read_text(encoding="utf-8")
    text = page.split("```toml\n", 1)[1].split("```", 1)[0]
    path = tmp_path / "studio.toml"
    path.write_text(text, encoding="utf-8")
    assert len(load_studio(path).studio.log) == 2
    result = CliRunner().invoke(main, ["new", str(tmp_path / "b.xlsx"), "--from", str(path), "--rows", "20"])
    assert result.exit_code == 0, result.output


def test_the_exercise_of_the_docs_has_one_of_everything(tmp_path: Path) -> None:
    path = tmp_path / "annealer.toml"
    path.write_text(exercise_of_the_docs(), encoding="utf-8")
    exercise = load_exercise(str(path))
    assert {step.by for step in exercise.steps} == {"guess", "formula", "choice"}
    assert any(step.slips for step in exercise.steps)
    assert any(len(step.hints) == 2 for step in exercise.steps)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#:]+)\)", text):
        assert (page.parent / target).exists(), f"{page.name} links to {target}, which is not there"


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, *_ = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")
    assert title == "# meltbook"
    assert len(paragraph.split()) > 80
    assert "|" not in paragraph
