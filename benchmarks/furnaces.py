"""Ten years of several furnaces: the tasks, and their part of the page.

Every furnace has a log of one row a day and pots of its own. Growth is looked at in both directions: ten times as
many rows with all furnaces, and six times as many furnaces with all rows.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from benchmarks.report import Measured
from benchmarks.studios import long_studio
from meltbook.method import compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import MOST_FURNACES, Melt, MoreFurnace
from meltbook.studio.model import Studio
from meltbook.workbook.book import make_book
from tests.engines.runners import LibreOffice

ROWS = (365, 3650)
FURNACES = (1, MOST_FURNACES)
CASES: tuple[tuple[int, int], ...] = (
    (FURNACES[0], ROWS[1]),
    (FURNACES[1], ROWS[0]),
    (FURNACES[1], ROWS[1]),
)
"""Furnaces and rows of each log: one for ten years, six for one year, six for ten."""

Job = Callable[[], object]


def size_of(furnaces: int, rows: int) -> int:
    """One number for a case, as the measuring takes it."""
    return furnaces * 10_000 + rows


def furnaces_studio(furnaces: int, rows: int) -> tuple[Studio, Capacity]:
    """So many furnaces with logs of so many rows."""
    studio, room = long_studio(rows)
    more = MoreFurnace(
        melt=Melt(ordinary_weight=studio.shop.ordinary_weight, share_drawn=studio.shop.share_drawn),
        furnace=studio.furnace,
        wear=studio.wear,
        decisions=studio.decisions,
        day_kinds=studio.day_kinds,
        log=studio.log,
        part_kinds=studio.part_kinds,
        ledger=studio.ledger,
    )
    several = studio.model_copy(update={"more_furnaces": (more,) * (furnaces - 1)})
    return several, replace(room, more=(room,) * (furnaces - 1))


def _case(size: int) -> tuple[Studio, Capacity]:
    return furnaces_studio(size // 10_000, size % 10_000)


def _path(folder: Path, size: int) -> Path:
    return folder / f"furnaces-{size}.xlsx"


def prepare_furnaces(size: int, folder: Path) -> int:
    """Write the book that the programs open; returns its bytes."""
    studio, room = _case(size)
    make_book(studio, _path(folder, size), capacity=room, overwrite=True)
    return _path(folder, size).stat().st_size


def _write(size: int, folder: Path) -> Job:
    studio, room = _case(size)
    return lambda: make_book(studio, folder / "furnaces.xlsx", capacity=room, overwrite=True)


def _reference(size: int, folder: Path) -> Job:
    studio, room = _case(size)
    return lambda: compute(studio, room)


def _libreoffice(size: int, folder: Path) -> Job:
    return lambda: LibreOffice().convert([_path(folder, size)], folder, "xlsx:Calc MS Excel 2007 XML", "xlsx")


def _gnumeric(size: int, folder: Path) -> Job:
    command = ["ssconvert", "--recalc", str(_path(folder, size)), str(folder / "gnumeric.xlsx")]
    return lambda: subprocess.run(command, capture_output=True, check=True)


FURNACE_TASKS: Mapping[str, Callable[[int, Path], Job]] = {
    "furnaces-write": _write,
    "furnaces-reference": _reference,
    "furnaces-libreoffice": _libreoffice,
    "furnaces-gnumeric": _gnumeric,
}
_WORDS = {
    "furnaces-write": "Work out and write the book",
    "furnaces-reference": "... the reference engine alone",
    "furnaces-libreoffice": "LibreOffice: open, recalculate, save",
    "furnaces-gnumeric": "Gnumeric: open, recalculate, save",
}


_GNUMERIC = (
    "From one run to another these ratios move by some 5 %. On opening a book Gnumeric drops formulas that repeat, and "
    "looks for each block of memory that becomes free in a list of all blocks: `perf` shows that search "
    "(`g_slist_remove`) as 5 % of its time with six furnaces of ten years and under 1 % with one. The book itself has "
    "5.8 times as many formula cells with six furnaces as with one."
)
"""What to know of the ratios; seen in Gnumeric 1.12.55."""


def furnace_report(best: Mapping[tuple[str, int], Measured], sizes: Mapping[int, int]) -> str:
    """The part of the page on several furnaces."""
    one, short, whole = (size_of(*case) for case in CASES)
    lines = [
        "",
        "## Several furnaces",
        "",
        f"- Logs of one row a day: {ROWS[0]} rows are a year, {ROWS[1]:,} ten years.",
        f"- Files: {_size(sizes[one])} with one furnace and ten years, {_size(sizes[short])} with six and one year, "
        f"{_size(sizes[whole])} with six and ten years.",
        "",
        "| | 1 furnace, 10 years, s | 6 furnaces, 1 year, s | 6 furnaces, 10 years, s | MB | growth in furnaces "
        "(6 is linear) | growth in rows (10 is linear) |",
        "|---|--:|--:|--:|--:|--:|--:|",
    ]
    for name, words in _WORDS.items():
        if (name, whole) not in best:
            lines.append(f"| {words} | left out: the program is not on this machine |")
            continue
        first, less, most = (best[name, size] for size in (one, short, whole))
        lines.append(
            f"| {words} | {first.seconds:.2f} | {less.seconds:.2f} | {most.seconds:.2f} | {most.megabytes:.0f} "
            f"| {most.seconds / first.seconds:.1f} | {most.seconds / less.seconds:.1f} |"
        )
    if ("furnaces-gnumeric", whole) in best:
        lines += ["", _GNUMERIC]
    return "\n".join(lines) + "\n"


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB"
