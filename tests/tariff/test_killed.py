"""Killed at any moment of writing: the workbook is whole, and no half-written one ever has its name."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from meltbook.workbook.edited import read_book
from tests.tariff.books import START, tariff

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system can't kill at once")

RUN = """
import os, sys, time
from pathlib import Path
from meltbook.workbook import files

moment, number = sys.argv[1], int(sys.argv[2])
seen = 0

def wait():
    print("now", flush=True)
    time.sleep(60)

def reached(name):
    global seen
    seen += name == moment
    return name == moment and seen == number

real_fdopen, real_fsync, real_link, real_replace = os.fdopen, os.fsync, os.link, Path.replace

class Half:
    def __init__(self, file): self.file = file
    def __enter__(self): return self
    def __exit__(self, *_): self.file.close()
    def write(self, data):
        self.file.write(data[: len(data) // 2])
        self.file.flush()
        wait()

def fdopen(handle, mode):
    file = real_fdopen(handle, mode)
    return Half(file) if reached("half") else file

def fsync(handle):
    if reached("whole"):
        wait()
    real_fsync(handle)

def link(one, other):
    if reached("before the name"):
        wait()
    real_link(one, other)
    if reached("after the name"):
        wait()

def replace(one, other):
    if reached("before the name"):
        wait()
    done = real_replace(one, other)
    if reached("after the name"):
        wait()
    return done

files.os.fdopen, files.os.fsync, files.os.link, Path.replace = fdopen, fsync, link, replace
from meltbook.cli import main
main(sys.argv[3:])
"""

WORDS = ("--from", START, "--price", "0.35", "--apply", "--retag")
MOMENTS = ("half", "whole", "before the name", "after the name")


def kill_at(moment: str, number: int, *words: str) -> None:
    """Run the command and kill it when it comes to this moment for the so manieth time."""
    command = [sys.executable, "-c", RUN, moment, str(number), "tariff", *words]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "now\n"
        run.send_signal(signal.SIGKILL)
    assert run.returncode == -signal.SIGKILL


def workbooks(folder: Path) -> set[Path]:
    """What looks like a workbook there. What a killed run has left begins with a point and ends in .part."""
    left = {path for path in folder.iterdir() if path.name.startswith(".")}
    assert all(path.suffix == ".part" for path in left)
    return set(folder.iterdir()) - left


SLOW = pytest.mark.exhaustive


@pytest.mark.parametrize("moment", [pytest.param(one, marks=() if one == "half" else SLOW) for one in MOMENTS])
def test_a_new_file_is_whole_or_not_there(book: Path, moment: str) -> None:
    old, new = book.read_bytes(), book.with_name("glass.with-new-tariff.xlsx")
    kill_at(moment, 1, str(book), *WORDS)
    assert book.read_bytes() == old
    assert workbooks(book.parent) == ({book, new} if moment == "after the name" else {book})
    if new.exists():
        assert read_book(new).usable
    assert tariff(book, *WORDS, "--force")["applied"]["file"] == str(new)  # and the next run is not disturbed
    assert str(read_book(new).studio.tariffs[3].start) == START


@pytest.mark.parametrize(
    ("moment", "number"),
    [
        pytest.param("half", 1, marks=SLOW),
        pytest.param("after the name", 1, marks=SLOW),
        ("half", 2),
        pytest.param("before the name", 2, marks=SLOW),
        pytest.param("after the name", 2, marks=SLOW),
    ],
)
def test_in_place_the_old_file_is_never_lost(book: Path, moment: str, number: int) -> None:
    """The backup is written first, then the workbook."""
    old = book.read_bytes()
    kill_at(moment, number, str(book), *WORDS, "--in-place")
    found = {path: path.read_bytes() for path in workbooks(book.parent)}
    assert old in found.values()
    if (moment, number) == ("after the name", 2):
        assert read_book(book).usable
        assert read_book(book).studio.tariffs != ()
        assert found[book] != old
    else:
        assert set(found.values()) == {old}
    assert len(found) == (1 if (moment, number) == ("half", 1) else 2)
