"""Studio files: a studio written down as TOML.

A file has the sections ``[shop]``, ``[furnace]`` and ``[wear]``, one ``[[table]]`` for each row of a table
(``[[log]]``, ``[[tariffs]]``, ``[[pieces]]``, …) and, if wanted, a line ``about = "…"`` at the top. The keys
are those of the models in this package; what is left out is empty, or has the model's default.

Everything that is wrong is found in one reading and raised together. Types are strict: ``"12.50"`` in quotes
is text, and text is not a number.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from meltbook.errors import Problem, StudioError, UsageError
from meltbook.studio.calendar_end import logs_past_the_calendar
from meltbook.studio.complaints import problems_of, shown
from meltbook.studio.currency import is_currency
from meltbook.studio.model import PREFIXES, Studio

LARGEST_FILE = 20_000_000
"""Bytes. A thousand rows of a log are about 100 kB."""

_PLACE = re.compile(r" \(at line (\d+), column (\d+)\)$| \(at end of document\)$")


@dataclass(frozen=True, slots=True)
class StudioFile:
    """A studio as read, with the line that says what it is."""

    studio: Studio
    about: str = ""


def load_studio(path: Path) -> StudioFile:
    """Read a studio file."""
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder, not a studio file.", hint="Name a file that ends in .toml.")
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise UsageError(
            f"There is no studio file {path}.",
            hint="Give the path of a .toml file, or a name that `meltbook starts` lists.",
        ) from error
    except OSError as error:
        raise UsageError(
            f"{path} can't be read: {(error.strerror or 'it is not a plain file').lower()}.",
            hint="Check who may read it, and whether another program holds it open.",
        ) from error
    if len(raw) > LARGEST_FILE:
        raise UsageError(f"{path} is too large for a studio file.", hint="Is it another kind of file?")
    if raw[:4] == b"PK\x03\x04":
        raise UsageError(
            f"{path} is a workbook or another zip file, not a studio file.",
            hint="A studio file is TOML text.",
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise StudioError(
            f"{path} is not UTF-8 text (byte {error.start + 1}).",
            hint="Save it as UTF-8 in your text editor.",
        ) from error
    return parse_studio(text, str(path))


def parse_studio(text: str, place: str) -> StudioFile:
    """Read a studio from TOML text; ``place`` is what messages call it."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise StudioError(f"{place} can't be read as TOML.", [_syntax(str(error), text, place)]) from error
    except RecursionError as error:
        raise StudioError(f"{place} can't be read as TOML: it is nested too deeply.") from error
    about = data.pop("about", "")
    problems: list[Problem] = []
    if not isinstance(about, str) or "\n" in about:
        problems.append(Problem(place, None, "about", shown(about), "one line of text", "Say it in one line."))
        about = ""
    studio = _validated(data, place, problems)
    if studio is None or problems:
        count = "1 thing" if len(problems) == 1 else f"{len(problems)} things"
        raise StudioError(f"{place} has {count} to correct.", problems)
    return StudioFile(studio, about)


def _validated(data: dict[str, Any], place: str, problems: list[Problem]) -> Studio | None:
    rows = _as_tuples(data)
    try:
        studio = Studio.model_validate(rows, strict=True)
    except ValidationError as error:
        problems.extend(problems_of(error, place=place))
        return None
    problems.extend(logs_past_the_calendar(studio))
    if not is_currency(studio.shop.currency):
        problems.append(
            Problem(
                "shop",
                None,
                "currency",
                shown(studio.shop.currency),
                "a currency's three letters (ISO 4217)",
                "Such as USD, EUR or JPY.",
            )
        )
    if studio.second_source is None:
        problems.extend(
            Problem(
                f"furnace {number}",
                None,
                "source",
                "Second",
                "First, or a second source",
                "Describe the second source in the section [second_source].",
            )
            for number, furnace in enumerate(studio.more_furnaces, start=2)
            if furnace.source == "Second"
        )
    return studio


def _as_tuples(data: dict[str, Any]) -> dict[str, Any]:
    """Strict types want tuples where TOML has lists: of a table's rows, and within further furnaces."""
    found: dict[str, Any] = {}
    for key, part in data.items():
        if key in PREFIXES and isinstance(part, list):
            found[key] = tuple(part)
        elif key == "more_furnaces" and isinstance(part, list):
            found[key] = tuple(_as_tuples(one) if isinstance(one, dict) else one for one in part)
        elif key == "second_source" and isinstance(part, dict):
            found[key] = _as_tuples(part)
        else:
            found[key] = part
    return found


def _syntax(message: str, text: str, place: str) -> Problem:
    match = _PLACE.search(message)
    said = _PLACE.sub("", message)
    lines = text.splitlines() or [""]
    line, column = (int(match[1]), int(match[2])) if match and match[1] else (len(lines), len(lines[-1]) + 1)
    written = lines[line - 1].strip() if line <= len(lines) else ""
    return Problem(
        place,
        None,
        f"line {line}, column {column}",
        f"`{written[:60]}`" if written else "the end of the file",
        "TOML",
        f"{said}.",
    )
