"""What holds for every command: help with examples, one way of failing, exit codes."""

from __future__ import annotations

import io
import json
import sys
import time
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

import click
import pytest

from meltbook.cli import main, output
from meltbook.cli.group import Commands
from meltbook.cli.output import plural
from meltbook.errors import EXIT_MISSING, EXIT_PROBLEMS, EXIT_USAGE, MissingError, Problem, StudioError
from tests.unit.cli.run import run
from tests.unit.workbook.hostile import HOSTILE


def commands(group: click.Group = main, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    yield path
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, (*path, name))
        else:
            yield (*path, name)


def command(path: tuple[str, ...]) -> click.Command:
    found: click.Command = main
    for name in path:
        assert isinstance(found, click.Group)
        found = found.commands[name]
    return found


@pytest.mark.parametrize("path", list(commands()))
def test_every_command_has_help_and_examples(path: tuple[str, ...]) -> None:
    result = run(*path, "--help")
    assert result.exit_code == 0
    assert "Examples:" in result.stdout
    words = " ".join(("meltbook", *path))
    assert f"  {words} " in result.stdout or f"  {words}\n" in result.stdout
    assert (command(path).help or "").strip().splitlines()[0].endswith((".", "and look after it."))


@pytest.mark.parametrize("path", list(commands()))
def test_every_option_says_what_it_is(path: tuple[str, ...]) -> None:
    for parameter in command(path).params:
        if isinstance(parameter, click.Option):
            assert parameter.help, parameter.name


@pytest.mark.parametrize("path", list(commands()))
def test_help_fits_a_terminal(path: tuple[str, ...]) -> None:
    assert all(len(line) <= 110 for line in run(*path, "-h").stdout.splitlines())


def test_help_says_how_to_complete_words() -> None:
    for shell in ("bash", "zsh", "fish"):
        assert f"_MELTBOOK_COMPLETE={shell}_source" in run("--help").stdout


def test_completion_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("_MELTBOOK_COMPLETE", "zsh_source")
    assert "#compdef meltbook" in run().stdout


def test_the_version() -> None:
    assert run("--version").stdout.strip() == f"meltbook {version('meltbook')}"


def test_no_command() -> None:
    result = run()
    assert result.exit_code == EXIT_USAGE
    assert "Commands:" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize(
    "words",
    [("nothing",), ("check",), ("check", "a", "b"), ("new", "--nothing"), ("new", "a.xlsx", "--unit", "oz")],
)
def test_wrong_use(words: tuple[str, ...]) -> None:
    result = run(*words)
    assert result.exit_code == EXIT_USAGE
    assert result.stdout == ""
    assert result.stderr.startswith("Error: ")
    assert "--help" in result.stderr


@pytest.mark.parametrize("name", ["check", "figures"])
@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_files(name: str, kind: str, tmp_path: Path) -> None:
    file = HOSTILE[kind][0](tmp_path / "book.xlsx")
    before = file.read_bytes()
    result = run(name, file)
    assert result.exit_code == EXIT_PROBLEMS
    assert result.stdout == ""
    first, second = result.stderr.splitlines()
    assert first.startswith("Error: book.xlsx ")
    assert second.strip()
    assert file.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["book.xlsx"]


@pytest.mark.parametrize("name", ["check", "figures"])
def test_errors_as_json(name: str, tmp_path: Path) -> None:
    for file, code in (
        (tmp_path / "none.xlsx", EXIT_USAGE),
        (HOSTILE["bomb"][0](tmp_path / "b.xlsx"), EXIT_PROBLEMS),
    ):
        result = run(name, file, "--json")
        document = json.loads(result.stdout)
        assert result.exit_code == document["exit_code"] == code
        assert document["ok"] is False
        assert document["error"]["message"]
        assert document["error"]["hint"]


def test_wrong_use_as_json() -> None:
    document = json.loads(run("check", "--json").stdout)
    assert document["exit_code"] == EXIT_USAGE
    assert "BOOK" in document["error"]["message"]


@pytest.mark.parametrize(
    ("error", "code", "said"),
    [
        (MissingError("No engine.", hint="Install one."), EXIT_MISSING, "Install one."),
        (
            StudioError("Two things.", [Problem("log", 3, "weight", "'x'", "a number", "Type one.")]),
            EXIT_PROBLEMS,
            "log, row 3, weight: found 'x'; expected a number. Type one.",
        ),
        (PermissionError(13, "Permission denied", "/x/y"), EXIT_USAGE, "/x/y: permission denied."),
        (OSError(28, "No space left on device"), EXIT_USAGE, "no space left on device."),
        (MemoryError(), EXIT_MISSING, "not enough memory"),
        (ImportError("no babel"), EXIT_MISSING, "A part of meltbook is missing: no babel."),
        (ZeroDivisionError("oops"), EXIT_MISSING, "MELTBOOK_TRACEBACK=1"),
        (RecursionError("deep"), EXIT_MISSING, "The fault is not yours."),
        (KeyboardInterrupt(), 130, "Stopped; nothing was written."),
    ],
)
def test_whatever_is_raised_is_told(error: BaseException, code: int, said: str) -> None:
    @click.group(cls=Commands)
    def group() -> None: ...

    @group.command()
    def fail() -> None:
        raise error

    from click.testing import CliRunner

    result = CliRunner().invoke(group, ["fail"])
    assert result.exit_code == code
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""


def test_the_traceback_can_be_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    @click.group(cls=Commands)
    def group() -> None: ...

    @group.command()
    def fail() -> None:
        raise ZeroDivisionError

    from click.testing import CliRunner

    monkeypatch.setenv("MELTBOOK_TRACEBACK", "1")
    assert "Traceback" in CliRunner().invoke(group, ["fail"]).stderr


def test_counts_with_their_words() -> None:
    assert [plural(1, "cell"), plural(1000, "cell"), plural(2, "differs", "differ")] == [
        "1 cell",
        "1,000 cells",
        "2 differ",
    ]


def test_starts() -> None:
    names = run("starts").stdout.split()
    assert names[0] == "blank"
    lines = run("starts", "--long").stdout.splitlines()
    assert [line.split()[0] for line in lines] == names
    assert all(len(line.split()) > 4 for line in lines)


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_long_work_says_that_it_goes_on_only_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(output, "PATIENCE", 0.01)
    monkeypatch.setenv("TERM", "xterm")
    said = []
    for stream, quiet in ((_Terminal(), False), (_Terminal(), True), (io.StringIO(), False)):
        monkeypatch.setattr(sys, "stderr", stream)
        with output.working("Counting stars", quiet=quiet):
            time.sleep(0.2)
        said.append("Counting stars" in stream.getvalue())
    assert said == [True, False, False]


def test_short_work_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = _Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with output.working("Counting stars"):
        pass
    assert "Counting" not in stream.getvalue()
