"""The same command gives the same bytes, whatever the hash seed, the time zone and the language."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

WORLDS = (
    {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "C"},
    {"PYTHONHASHSEED": "4711", "TZ": "America/Anchorage", "LC_ALL": "C.UTF-8", "LANG": "de_DE.UTF-8"},
)


@pytest.mark.parametrize(
    "words", [("--from", "blank"), ("--from", "harbour-kg"), ("--unit", "kg", "--currency", "EUR")]
)
def test_a_book_is_the_same_everywhere(words: tuple[str, ...], tmp_path: Path) -> None:
    digests = []
    for number, world in enumerate(WORLDS):
        folder = tmp_path / f"world-{number}"
        folder.mkdir()
        command = [sys.executable, "-c", "from meltbook.cli import main; main()", "new", "book.xlsx", *words]
        done = subprocess.run(command, cwd=folder, env={**os.environ, **world}, capture_output=True, check=False)
        assert done.returncode == 0, done.stderr.decode(errors="replace")
        digests.append(hashlib.sha256((folder / "book.xlsx").read_bytes()).hexdigest())
    assert digests[0] == digests[1]
