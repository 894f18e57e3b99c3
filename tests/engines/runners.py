"""The spreadsheet engines that check the workbook, each behind the same three members.

    for path, values in LibreOffice().recalculate([path], tmp_path).items():
        assert_agrees("LibreOffice", expected, values)

`recalculate` works every formula out anew and leaves the file that it is given as it was. Hand several files
to one call where you can: the office programs take a second to start.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import os
import re
import shutil
import subprocess
import tempfile
import warnings
from collections.abc import Callable, Sequence
from importlib import metadata
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Protocol

from .compare import Mismatch, assert_agrees, compare, describe
from .poison import POISON_NUMBER, POISON_TEXT, poison, poison_left
from .values import CellError, CellKey, Value, Values, read_formulas, read_values

__all__ = [
    "ENGINES",
    "OFFICE_ENGINES",
    "POISON_NUMBER",
    "POISON_TEXT",
    "CellError",
    "CellKey",
    "Engine",
    "EngineError",
    "Formualizer",
    "Formulas",
    "Gnumeric",
    "LibreOffice",
    "Mismatch",
    "Value",
    "Values",
    "assert_agrees",
    "compare",
    "describe",
    "poison",
    "poison_left",
    "read_formulas",
    "read_values",
    "recalculate_one",
]

TIMEOUT = 900.0


class EngineError(Exception):
    """An engine that could not do its work, with what it said."""


class Engine(Protocol):
    """A program that can work a workbook out."""

    @property
    def name(self) -> str: ...

    def available(self) -> str | None:
        """Why the engine cannot run on this machine, or None when it can."""

    def recalculate(self, paths: Sequence[Path], workdir: Path) -> dict[Path, Values]:
        """The recalculated values of each workbook. Whatever is written goes below `workdir`."""


def recalculate_one(engine: Engine, path: Path, workdir: Path) -> Values:
    """The recalculated values of one workbook."""
    return engine.recalculate([path], workdir)[path]


# ------------------------------------------------------------------------------------------ office programs

_PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
{items}</oor:items>
"""
_ITEM = '<item oor:path="{path}"><prop oor:name="{name}" oor:op="fuse"><value>{value}</value></prop></item>\n'
_XLSX = "xlsx:Calc MS Excel 2007 XML"


class LibreOffice:
    """LibreOffice without a window, in a profile of its own that recalculates on loading.

    By default it trusts the cached values of a file; the profile tells it never to. With a `locale` such as
    "de-DE" it works as it does in an office in that country.
    """

    def __init__(self, locale: str | None = None) -> None:
        self.locale = locale
        self.name = "LibreOffice" if locale is None else f"LibreOffice {locale}"

    def available(self) -> str | None:
        if _soffice() is None:
            return "neither soffice nor libreoffice is on the path (Debian: libreoffice-calc-nogui)"
        return None

    def recalculate(self, paths: Sequence[Path], workdir: Path) -> dict[Path, Values]:
        return {path: read_values(result) for path, result in self.convert(paths, workdir, _XLSX, "xlsx").items()}

    def convert(self, paths: Sequence[Path], workdir: Path, filter_name: str, suffix: str) -> dict[Path, Path]:
        """Convert each workbook and return the files. `("pdf", "pdf")` prints to PDF."""
        work = _own_folder(workdir, "libreoffice-")
        self._write_profile(work / "profile")
        (work / "in").mkdir()
        (work / "out").mkdir()
        copies = {path: _copy(path, work / "in" / f"{n:04d}.xlsx") for n, path in enumerate(paths)}
        results = {path: work / "out" / f"{copy.stem}.{suffix}" for path, copy in copies.items()}
        said = _run(
            [
                _soffice() or "soffice",
                f"-env:UserInstallation={(work / 'profile').as_uri()}",
                "--headless",
                "--norestore",
                "--convert-to",
                filter_name,
                "--outdir",
                str(work / "out"),
                *map(str, copies.values()),
            ],
            work,
        )
        for path, result in results.items():
            if not result.exists():
                raise EngineError(f"LibreOffice made nothing of {path}:\n{said}")
        return results

    def _write_profile(self, folder: Path) -> None:
        # 0 is "always recalculate"; the other choices are "never" and "ask".
        items = _ITEM.format(path="/org.openoffice.Office.Calc/Formula/Load", name="OOXMLRecalcMode", value=0)
        if self.locale is not None:
            items += _ITEM.format(path="/org.openoffice.Setup/L10N", name="ooSetupSystemLocale", value=self.locale)
        registry = folder / "user" / "registrymodifications.xcu"
        registry.parent.mkdir(parents=True)
        registry.write_text(_PROFILE.format(items=items), encoding="utf-8")


class Gnumeric:
    """Gnumeric's converter, told to recalculate."""

    name = "Gnumeric"

    def available(self) -> str | None:
        if shutil.which("ssconvert") is None:
            return "ssconvert is not on the path (Debian: gnumeric)"
        return None

    def recalculate(self, paths: Sequence[Path], workdir: Path) -> dict[Path, Values]:
        work = _own_folder(workdir, "gnumeric-")
        found: dict[Path, Values] = {}
        for n, path in enumerate(paths):
            result = work / f"{n:04d}.xlsx"
            said = _run(["ssconvert", "--recalc", str(path.resolve()), str(result)], work)
            if not result.exists():
                raise EngineError(f"Gnumeric made nothing of {path}:\n{said}")
            found[path] = read_values(result)
        return found


def _soffice() -> str | None:
    return shutil.which("soffice") or shutil.which("libreoffice")


def _own_folder(workdir: Path, prefix: str) -> Path:
    workdir.mkdir(parents=True, exist_ok=True)
    return Path(tempfile.mkdtemp(prefix=prefix, dir=workdir)).resolve()


def _copy(source: Path, target: Path) -> Path:
    shutil.copyfile(source, target)
    return target


def _run(command: list[str], home: Path) -> str:
    """Run a program that has `home` for its home, and return what it printed."""
    try:
        done = subprocess.run(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            timeout=TIMEOUT,
            env={**os.environ, "HOME": str(home)},
            check=False,
        )
    except subprocess.TimeoutExpired as late:
        raise EngineError(f"{command[0]} was stopped after {TIMEOUT:.0f} seconds") from late
    said = done.stdout.decode(errors="replace")
    if done.returncode != 0:
        raise EngineError(f"{command[0]} ended with {done.returncode}:\n{said}")
    return said


# ---------------------------------------------------------------------------------------- Python libraries

_ERROR_CODES = {
    "Div": "#DIV/0!",
    "Na": "#N/A",
    "Name": "#NAME?",
    "Null": "#NULL!",
    "Num": "#NUM!",
    "Ref": "#REF!",
    "Value": "#VALUE!",
}
_EPOCH = dt.datetime(1899, 12, 30)
_MARCH = dt.datetime(1900, 3, 1)
"""Spreadsheets believe in a 29 February 1900, so that days before this one are a number lower."""


class Formualizer:
    """formualizer, an engine in Rust. The generator also fills the cached values with it."""

    name = "formualizer"

    def available(self) -> str | None:
        return _missing_module("formualizer")

    def recalculate(self, paths: Sequence[Path], workdir: Path) -> dict[Path, Values]:
        import formualizer

        found: dict[Path, Values] = {}
        for path in paths:
            book = formualizer.load_workbook(str(path), strategy="eager_all")
            book.evaluate_all()
            found[path] = {
                (sheet, cell): self._value(book.get_value(sheet, *_row_and_column(cell)))
                for sheet, cell in read_values(path)
            }
        return found

    @staticmethod
    def _value(value: Any) -> Value:
        if isinstance(value, dict):
            return CellError(_ERROR_CODES.get(value["kind"], f"#{value['kind']}"))
        return _plain(value)


class Formulas:
    """The formulas library: slow, so for workbooks of some hundred formulas."""

    name = "formulas"

    def available(self) -> str | None:
        return _missing_module("formulas")

    def recalculate(self, paths: Sequence[Path], workdir: Path) -> dict[Path, Values]:
        return {path: self._one(path) for path in paths}

    def _one(self, path: Path) -> Values:
        stored, worked_out = read_values(path), read_formulas(path)
        found = {key: value for key, value in stored.items() if key not in worked_out}
        sheets = {sheet.upper(): sheet for sheet, _ in stored}  # it reports sheet names in capitals
        with warnings.catch_warnings(), contextlib.redirect_stderr(io.StringIO()):
            warnings.simplefilter("ignore")
            import formulas

            solution = formulas.ExcelModel().loads(str(path.resolve())).finish().calculate()
            for key, result in solution.items():
                place = _FORMULAS_KEY.fullmatch(str(key))
                if place is not None and place["sheet"].replace("''", "'") in sheets:
                    sheet = sheets[place["sheet"].replace("''", "'")]
                    found[sheet, place["cell"]] = self._value(result.value[0][0])
        return found

    @staticmethod
    def _value(value: Any) -> Value:
        if type(value).__name__ == "XlError":
            return CellError(str(value))
        if type(value).__name__ == "Token":  # the mark for an empty cell
            return None
        return _plain(value)


_FORMULAS_KEY = re.compile(r"'\[[^\]]*\](?P<sheet>.*)'!(?P<cell>[A-Z]+[0-9]+)")
_CELL_NAME = re.compile(r"([A-Z]+)([0-9]+)")


def _missing_module(name: str) -> str | None:
    if find_spec(name) is None:
        return f"the Python package {name} is not installed (make test installs it)"
    return None


def _plain(value: Any) -> Value:
    """A value of a Python engine as one of ours."""
    if hasattr(value, "item"):  # a number of numpy
        value = value.item()
    if value is None or value == "":
        return None
    if isinstance(value, bool | str):
        return str(value) if isinstance(value, str) else value
    if isinstance(value, dt.datetime):
        return (value - _EPOCH) / dt.timedelta(days=1) - (value < _MARCH)
    if isinstance(value, dt.date):
        return float((value - _EPOCH.date()).days - (value < _MARCH.date()))
    if isinstance(value, dt.timedelta):
        return value / dt.timedelta(days=1)
    if isinstance(value, dt.time):
        return (dt.datetime.combine(_EPOCH, value) - _EPOCH) / dt.timedelta(days=1)
    return float(value)


def _row_and_column(cell: str) -> tuple[int, int]:
    match = _CELL_NAME.fullmatch(cell)
    if match is None:
        raise ValueError(f"{cell!r} is not the name of a cell")
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(match[2]), column


ENGINES: dict[str, Callable[[], Engine]] = {
    "libreoffice": LibreOffice,
    "gnumeric": Gnumeric,
    "formualizer": Formualizer,
    "formulas": Formulas,
}
OFFICE_ENGINES = ("libreoffice", "gnumeric")


def version(engine: Engine) -> str:
    """Which release of an engine is installed, for the end of the test run."""
    if isinstance(engine, LibreOffice):
        return _first_line([_soffice() or "soffice", "--version"]).split()[1]
    if isinstance(engine, Gnumeric):
        return _first_line(["ssconvert", "--version"]).split("'")[1]
    return metadata.version(engine.name)


def _first_line(command: list[str]) -> str:
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, timeout=60, check=False, text=True)
    return (done.stdout + done.stderr).strip().splitlines()[0]
