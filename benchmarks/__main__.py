"""Measure everything, print one table and write ``benchmarks/results.md``.

    python -m benchmarks [--rows 1000 10000] [--students 30 300] [--rounds 2] [--results FILE]

An engine that is not installed is left out, and the table says so.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from benchmarks.classes import CLASS_TASKS, class_report
from benchmarks.furnaces import CASES, FURNACE_TASKS, furnace_report, size_of
from benchmarks.report import Measured, machine_facts, report
from benchmarks.tasks import TASKS

ROOT = Path(__file__).parents[1]
PROGRAMS = {"libreoffice": ("soffice", "libreoffice"), "gnumeric": ("ssconvert",)}


def missing(task: str) -> bool:
    """Whether the program that a task runs is not on this machine."""
    programs = PROGRAMS.get(task.removesuffix("-open").removeprefix("furnaces-"), ())
    return bool(programs) and not any(map(shutil.which, programs))


def child(name: str, rows: int, folder: Path) -> Any:
    """What a process of its own says that does one task once."""
    command = [sys.executable, "-m", "benchmarks.tasks", name, str(rows), str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{name} with {rows} rows failed:\n{done.stderr}")
    return json.loads(done.stdout)


def measure_all(
    sizes: list[int], rounds: int, folder: Path, tasks: Iterable[str] = TASKS, first: str = "prepare"
) -> tuple[dict[tuple[str, int], Measured], dict[int, int]]:
    """The best of so many rounds of each task and size, and how many cells the books have.

    What is compared takes turns, so that a slow minute of the machine falls on all of it.
    """
    best: dict[tuple[str, int], Measured] = {}
    cells = {rows: int(child(first, rows, folder)) for rows in sizes}
    for _ in range(rounds):
        for rows in sizes:
            for name in tasks:
                if missing(name):
                    continue
                print(f"{name}, {rows:,} ...", file=sys.stderr)
                once = Measured(**child(name, rows, folder))
                best[name, rows] = min(once, best.get((name, rows), once))
    return best, cells


def main(arguments: list[str] | None = None) -> None:
    """Measure and report."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument("--rows", type=int, nargs=2, default=[1000, 10000], metavar="N", help="two sizes of the log")
    parser.add_argument("--students", type=int, nargs=2, default=[30, 300], metavar="N", help="two sizes of a class")
    parser.add_argument("--rounds", type=int, default=2, help="how often each task is done; the best counts")
    parser.add_argument("--results", type=Path, default=ROOT / "benchmarks" / "results.md")
    chosen = parser.parse_args(arguments)
    facts = machine_facts()
    with tempfile.TemporaryDirectory(prefix="meltbook-bench-") as folder:
        best, cells = measure_all(chosen.rows, chosen.rounds, Path(folder))
        of_classes, of_a_student = measure_all(
            chosen.students, chosen.rounds, Path(folder), tuple(CLASS_TASKS), "prepare-class"
        )
        of_furnaces, in_bytes = measure_all(
            [size_of(*case) for case in CASES], chosen.rounds, Path(folder), tuple(FURNACE_TASKS), "prepare-furnaces"
        )
    text = report(best, cells, facts, [name for name in TASKS if missing(name)])
    text += class_report(of_classes, of_a_student)
    text += furnace_report(of_furnaces, in_bytes)
    chosen.results.write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
