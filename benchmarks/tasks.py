"""What is measured: each task in a process of its own, so that its memory is its own too.

``python -m benchmarks.tasks NAME ROWS FOLDER`` does one task once and prints seconds and megabytes as JSON.
Getting ready (importing, making the studio, reading a recording) is not timed. The task ``prepare`` comes
first: it writes the book and the recording that the others read, and prints how many cells the book has.
"""

from __future__ import annotations

import gc
import json
import pickle
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

import openpyxl.formula  # noqa: F401  (the writer loads it when it first needs it, which is not to be timed)

from benchmarks.classes import CLASS_TASKS, prepare_class
from benchmarks.furnaces import FURNACE_TASKS, prepare_furnaces
from benchmarks.plain import plain_loop, record, replay
from benchmarks.studios import long_studio
from meltbook.method import compute
from meltbook.sheets import book_sheets
from meltbook.units import money_digits
from meltbook.workbook.book import vocabulary_for
from meltbook.workbook.write import BookOptions, VerbatimTab, write_book
from tests.engines.runners import LibreOffice

Job = Callable[[], object]


def _book(folder: Path, rows: int) -> Path:
    return folder / f"book-{rows}.xlsx"


def _recording(folder: Path, rows: int) -> Path:
    return folder / f"recording-{rows}.pickle"


def _writing(rows: int, path: Path) -> Job:
    """Write a book whose cached values are known already: from declarations to a file."""
    studio, room = long_studio(rows)
    results = compute(studio, room)
    digits = money_digits(studio.shop.currency)

    def job() -> None:
        options = BookOptions(capacities=asdict(room), money_digits=digits, overwrite=True)
        write_book(path, vocabulary_for(studio, room), book_sheets(), studio, results, options)

    return job


def prepare(rows: int, folder: Path) -> int:
    """Write the book and the recording that the other tasks read; returns how many cells the book has."""
    recording = record(_writing(rows, _book(folder, rows)))
    _recording(folder, rows).write_bytes(pickle.dumps(recording))
    return recording.cells


def _write(rows: int, folder: Path) -> Job:
    return _writing(rows, folder / "written.xlsx")


def _bare(rows: int, folder: Path) -> Job:
    recording = pickle.loads(_recording(folder, rows).read_bytes())
    return lambda: (folder / "bare.xlsx").write_bytes(replay(recording))


def _bare_quick(rows: int, folder: Path) -> Job:
    recording = pickle.loads(_recording(folder, rows).read_bytes())
    return lambda: (folder / "bare.xlsx").write_bytes(replay(recording, VerbatimTab))


def _reference(rows: int, folder: Path) -> Job:
    studio, room = long_studio(rows)
    return lambda: compute(studio, room)


def _loop(rows: int, folder: Path) -> Job:
    studio, _ = long_studio(rows)
    return lambda: plain_loop(studio)


LETTER = ("--from", "2100-01-01", "--price", "0.3")
"""A letter that is later than all days of the longest log."""


def _process(command: list[str], fine: tuple[int, ...] = (0,)) -> Job:
    """A program from its start to its end."""

    def job() -> None:
        done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
        if done.returncode not in fine:
            raise RuntimeError(done.stderr.decode(errors="replace"))

    return job


def _command(name: str, *options: str, fine: tuple[int, ...] = (0,)) -> Callable[[int, Path], Job]:
    """A command on the book. Where an option is ``{out}``, it writes a file."""
    program = str(Path(sys.executable).with_name("meltbook"))

    def ready(rows: int, folder: Path) -> Job:
        rest = [option.format(out=folder / "new.xlsx") for option in options]
        return _process([program, name, str(_book(folder, rows)), *rest], fine)

    return ready


def _openpyxl(rows: int, folder: Path) -> Job:
    """What a script does to the same file that types into it with a library."""
    script = "import openpyxl, sys; openpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])"
    return _process([sys.executable, "-c", script, str(_book(folder, rows)), str(folder / "openpyxl.xlsx")])


class _TrustingLibreOffice(LibreOffice):
    """LibreOffice as people have it: it shows the values that the file brings and calculates nothing."""

    def _write_profile(self, folder: Path) -> None:
        super()._write_profile(folder)
        registry = folder / "user" / "registrymodifications.xcu"
        always, never = "<value>0</value>", "<value>1</value>"
        registry.write_text(registry.read_text(encoding="utf-8").replace(always, never), encoding="utf-8")


def _libreoffice(engine: LibreOffice) -> Callable[[int, Path], Job]:
    def ready(rows: int, folder: Path) -> Job:
        return lambda: engine.convert([_book(folder, rows)], folder, "xlsx:Calc MS Excel 2007 XML", "xlsx")

    return ready


def _gnumeric(*, recalculate: bool) -> Callable[[int, Path], Job]:
    def ready(rows: int, folder: Path) -> Job:
        option = ["--recalc"] if recalculate else []
        command = ["ssconvert", *option, str(_book(folder, rows)), str(folder / "gnumeric.xlsx")]
        return lambda: subprocess.run(command, capture_output=True, check=True)

    return ready


TASKS: dict[str, Callable[[int, Path], Job]] = {
    "write": _write,
    "bare": _bare,
    "bare-quick": _bare_quick,
    "reference": _reference,
    "loop": _loop,
    "check": _command("check", fine=(0, 1)),  # 1: it found something in the book
    "figures": _command("figures", fine=(0, 1)),
    "preview": _command("tariff", *LETTER),
    "apply": _command("tariff", *LETTER, "--apply", "--retag", "--out", "{out}", "--force"),
    "openpyxl": _openpyxl,
    "libreoffice": _libreoffice(LibreOffice()),
    "libreoffice-open": _libreoffice(_TrustingLibreOffice()),
    "gnumeric": _gnumeric(recalculate=True),
    "gnumeric-open": _gnumeric(recalculate=False),
}


def _processor_seconds() -> float:
    programs = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + programs.ru_utime + programs.ru_stime


def run(name: str, rows: int, folder: Path) -> dict[str, float]:
    """Do a task once. Memory is the most that this process held, or the program that it started.

    Seconds are the processor's, in this process and the program, so that others on the machine count little.
    """
    job = {**TASKS, **CLASS_TASKS, **FURNACE_TASKS}[name](rows, folder)
    gc.collect()
    gc.freeze()  # what was made ready is not the task's to look through
    start = _processor_seconds()
    job()
    seconds = _processor_seconds() - start
    children = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return {"seconds": seconds, "megabytes": (children or resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) / 1024}


def main(name: str, rows: int, folder: Path) -> None:
    """Do what the command line says."""
    first = {"prepare": prepare, "prepare-class": prepare_class, "prepare-furnaces": prepare_furnaces}
    print(json.dumps(first[name](rows, folder) if name in first else run(name, rows, folder)))


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), Path(sys.argv[3]))
