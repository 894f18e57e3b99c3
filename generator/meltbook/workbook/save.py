"""Write over an owner's workbook: with a copy of the old one beside it, and never by halves."""

from __future__ import annotations

import contextlib
import datetime as dt
import glob
import os
import time
from pathlib import Path

from meltbook.errors import UsageError
from meltbook.workbook.files import put_in_place, refuse_if_there
from meltbook.workbook.package import open_elsewhere

_LEFT_OVER = 600
"""Seconds after which an unfinished file beside a workbook is what a stopped run left behind."""


def same_file(one: Path, other: Path) -> bool:
    """Whether both names lead to one file."""
    try:
        return one.samefile(other)
    except OSError:
        return False


def save(path: Path, data: bytes, *, overwrite: bool = False) -> None:
    """Put the whole file in its place; until then the old one stays. A link stays a link."""
    path = path.resolve() if path.is_symlink() else path
    if overwrite and open_elsewhere(path):
        raise UsageError(
            f"{path} is open in another program.",
            hint="Close it there first: saving there later would undo what is written now.",
        )
    if overwrite and path.exists() and not os.access(path, os.W_OK):
        raise UsageError(f"{path} is write-protected.", hint="Take the protection off, or choose another name.")
    _sweep(path)
    try:
        put_in_place(path, data, overwrite=overwrite)
    except PermissionError as error:
        raise UsageError(
            f"{path} can't be written: permission denied.",
            hint="Close it where it is open, choose another folder, or ask for the right to write there.",
        ) from error
    except OSError as error:
        raise UsageError(
            f"{path} can't be written: {(error.strerror or 'no reason given').lower()}.",
            hint="The old file, if there was one, is as it was.",
        ) from error


def back_up(path: Path, data: bytes, today: dt.date | None = None) -> Path:
    """Keep the old content beside the workbook, under a name with the date that nothing has yet.

    ``book.xlsx`` becomes ``book.backup-2026-11-25.xlsx``, then ``book.backup-2026-11-25-2.xlsx``.
    """
    path = path.resolve() if path.is_symlink() else path
    day = (today or dt.date.today()).isoformat()
    number = 1
    while True:
        suffix = "" if number == 1 else f"-{number}"
        backup = path.with_name(f"{path.stem}.backup-{day}{suffix}{path.suffix}")
        if not backup.exists():
            try:
                save(backup, data)
                return backup
            except UsageError:
                if not backup.exists():
                    raise
        number += 1


def check_target(source: Path, target: Path, *, overwrite: bool) -> bool:
    """Whether the source itself is to be written; raises if another file is in the way."""
    in_place = same_file(source, target)
    if not in_place:
        refuse_if_there(target, overwrite=overwrite)
    elif open_elsewhere(target.resolve()):
        raise UsageError(
            f"{target} is open in another program.",
            hint="Save and close it there first, then do this again.",
        )
    return in_place


def write_result(
    source: Path, target: Path, data: bytes, old: bytes, *, overwrite: bool, today: dt.date | None = None
) -> Path | None:
    """Write the new workbook. Where it takes the place of its source, the old one is kept; returns its
    name.
    """
    if not check_target(source, target, overwrite=overwrite):
        save(target, data, overwrite=overwrite)
        return None
    backup = back_up(target, old, today)
    save(target, data, overwrite=True)
    return backup


def _sweep(path: Path) -> None:
    """Take away what a run that was stopped while it wrote this file has left in the folder."""
    with contextlib.suppress(OSError):
        for left in path.parent.glob(f".{glob.escape(path.name)}.*.part"):
            if time.time() - left.stat().st_mtime > _LEFT_OVER:
                left.unlink()
