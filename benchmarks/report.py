"""Turns measurements into one table, with what each of them is compared with and what it should be."""

from __future__ import annotations

import datetime as dt
import os
import platform
from collections.abc import Mapping, Sequence
from importlib import metadata
from pathlib import Path
from typing import NamedTuple

from tests.engines.runners import Gnumeric, LibreOffice, version


class Measured(NamedTuple):
    """Seconds, and the most memory that was held. The smaller time is the better measurement."""

    seconds: float
    megabytes: float


WORDS: dict[str, str] = {
    "write": "Write the book, values given",
    "bare": "... the same cells, XlsxWriter alone",
    "bare-quick": "... XlsxWriter alone, formulas taken as they are",
    "reference": "Reference engine",
    "loop": "... a plain loop for one figure",
    "check": "`meltbook check`",
    "figures": "`meltbook figures`",
    "preview": "`meltbook tariff`: what a letter changes",
    "apply": "`meltbook tariff --apply --retag`: a new file",
    "openpyxl": "... openpyxl: load the same file and save it",
    "libreoffice": "LibreOffice: open, recalculate, save",
    "libreoffice-open": "... open and save only",
    "gnumeric": "Gnumeric: open, recalculate, save",
    "gnumeric-open": "... open and save only",
}

AIMS: dict[str, str] = {
    "write": "at most linear",
    "reference": "10,000 rows under 1 s",
    "preview": "under 2 s, at most linear",
    "apply": "under 4 s, at most linear",
    "libreoffice": "at most linear",
    "gnumeric": "at most linear",
}

BASELINES: dict[str, tuple[str, str]] = {
    "write": ("bare", "at most 1.3"),
    "reference": ("loop", ""),
    "preview": ("openpyxl", "under 1"),
    "apply": ("openpyxl", "under 1"),
    "libreoffice": ("libreoffice-open", ""),
    "gnumeric": ("gnumeric-open", ""),
}

Results = Mapping[tuple[str, int], Measured]


def report(best: Results, cells: Mapping[int, int], facts: Sequence[str], left_out: Sequence[str]) -> str:
    """The page ``benchmarks/results.md``."""
    small, large = sorted(cells)
    lines = [
        "# Benchmarks",
        "",
        "Written by `make bench`; the numbers of another machine will differ, the ratios should not by much.",
        "",
        *(f"- {fact}" for fact in facts),
        f"- Books: {small:,} log rows, all filled ({cells[small]:,} cells), and {large:,} ({cells[large]:,} cells).",
        "- Seconds are of processor time, the best of several runs, each in a process of its own; memory is the most "
        "it held.",
        "",
        f"| | {small:,} rows, s | {large:,} rows, s | growth | aim | {small:,} rows, MB | {large:,} rows, MB |",
        "|---|--:|--:|--:|---|--:|--:|",
    ]
    for name, words in WORDS.items():
        if (name, large) not in best:
            continue
        one, other = best[name, small], best[name, large]
        growth = other.seconds / one.seconds
        lines.append(
            f"| {words} | {_seconds(one.seconds)} | {_seconds(other.seconds)} | {growth:.1f} | {AIMS.get(name, '')} "
            f"| {one.megabytes:.0f} | {other.megabytes:.0f} |"
        )
    lines += ["", *_ratios(best, small, large), "", *_notes(best, small, large)]
    lines += [f"- {WORDS[name]}: left out, the program is not on this machine." for name in left_out]
    return "\n".join(lines) + "\n"


def _seconds(seconds: float) -> str:
    return f"{seconds:.2f}" if seconds >= 0.1 else f"{seconds:.4f}"


def _ratios(best: Results, small: int, large: int) -> list[str]:
    lines = [f"| compared with its baseline | {small:,} rows | {large:,} rows | aim |", "|---|--:|--:|---|"]
    pairs = [(name, base, aim) for name, (base, aim) in BASELINES.items()] + [("write", "bare-quick", "at most 1.3")]
    for name, base, aim in pairs:
        if (name, large) not in best:
            continue
        ratios = [best[name, rows].seconds / best[base, rows].seconds for rows in (small, large)]
        words = f"{WORDS[name]} / {WORDS[base].removeprefix('... ')}"
        lines.append(f"| {words} | {ratios[0]:.2f} | {ratios[1]:.2f} | {aim} |")
    return lines


def _notes(best: Results, small: int, large: int) -> list[str]:
    notes = [f"Growth is the time at {large:,} rows ÷ that at {small:,}; {large / small:.0f} is linear.", ""]
    if ("apply", large) in best:
        notes.append(
            "- `meltbook tariff` is measured from the start of the process to its end, and so is openpyxl. Taking a "
            "letter over compares each formula with the book's own and reads the new file back. The book measured has "
            "no other formulas; where an owner has added some, all are worked out in a second program (formualizer) "
            "if no sheet has more than 100,000 of them, which takes longer."
        )
    for program in ("libreoffice", "gnumeric"):
        if (program, large) not in best:
            continue
        shares = [best[program, rows].seconds - best[f"{program}-open", rows].seconds for rows in (small, large)]
        name = {"libreoffice": "LibreOffice", "gnumeric": "Gnumeric"}[program]
        notes.append(
            f"- {name}: calculating is {_seconds(shares[0])} s of the {small:,} rows and {_seconds(shares[1])} s of "
            f"the {large:,}, as far as two runs can be subtracted from one another."
        )
    return notes


def machine_facts() -> list[str]:
    """What the numbers depend on."""
    info = Path("/proc/cpuinfo")
    models = [line.partition(":")[2].strip() for line in _lines(info) if line.startswith("model name")]
    load = f", load {os.getloadavg()[0]:.1f} at the start" if hasattr(os, "getloadavg") else ""
    engines = [
        f"{engine.name} {version(engine)}" for engine in (LibreOffice(), Gnumeric()) if engine.available() is None
    ]
    return [
        f"{dt.date.today().isoformat()}, {platform.system()} {platform.machine()}, "
        f"{models[0] if models else platform.processor() or 'unknown processor'}, {os.cpu_count()} cores{load}.",
        f"Python {platform.python_version()}, XlsxWriter {metadata.version('XlsxWriter')}, "
        f"openpyxl {metadata.version('openpyxl')}"
        f"{''.join(f', {engine}' for engine in engines)}.",
    ]


def _lines(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
