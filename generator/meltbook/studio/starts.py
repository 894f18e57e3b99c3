"""The studios that come with meltbook, to start a workbook from. They are data in ``meltbook_templates``."""

from __future__ import annotations

from difflib import get_close_matches
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from meltbook.errors import MissingError, UsageError
from meltbook.studio.load import StudioFile, load_studio, parse_studio

SUFFIX = ".toml"
DEFAULT_START = "blank"


def _folder() -> Traversable:
    return files("meltbook_templates") / "starts"


def start_names() -> tuple[str, ...]:
    """The names of all shipped starts; the default comes first."""
    folder = _folder()
    if not folder.is_dir():
        raise MissingError(
            "The studios that come with meltbook are not where it is installed.",
            hint="Install meltbook again.",
        )
    names = sorted(
        entry.name.removesuffix(SUFFIX)
        for entry in folder.iterdir()
        if entry.name.endswith(SUFFIX) and not entry.name.startswith((".", "_"))
    )
    return tuple(sorted(names, key=lambda name: name != DEFAULT_START))


def load_start(name: str) -> StudioFile:
    """Read a shipped start by its name."""
    names = start_names()
    if name not in names:
        near = get_close_matches(name, names, n=1)
        raise UsageError(
            f"There is no start called {name!r}.",
            hint=f"Did you mean {near[0]}?" if near else f"There are: {', '.join(names)}.",
        )
    return parse_studio((_folder() / f"{name}{SUFFIX}").read_text(encoding="utf-8"), name)


def find_studio(wanted: str) -> StudioFile:
    """A shipped start where the text is the name of one; otherwise the studio file at that path."""
    if wanted in start_names():
        return load_start(wanted)
    if wanted.endswith(SUFFIX) or "/" in wanted or "\\" in wanted or Path(wanted).exists():
        return load_studio(Path(wanted))
    return load_start(wanted)
