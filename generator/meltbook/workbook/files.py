"""Put a finished file in its place, or leave what is there as it was."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

from meltbook.errors import UsageError


def refuse_if_there(path: Path, *, overwrite: bool) -> None:
    """Raise if a file would be overwritten without leave."""
    if not overwrite and path.exists():
        raise UsageError(f"{path} is there already", hint="Choose another name, or say that it may be overwritten.")


def put_in_place(path: Path, data: bytes, *, overwrite: bool = False) -> None:
    """Write a file so that at any moment the path holds the old file or the whole new one.

    The data goes to a file of its own in the same folder, is forced to the disk, and takes the name last.
    """
    refuse_if_there(path, overwrite=overwrite)
    if not path.parent.is_dir():
        raise UsageError(f"the folder {path.parent} is not there", hint="Make it first, or choose another.")
    beside = path.parent / f".{path.name}.{secrets.token_hex(4)}.part"
    try:
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if not overwrite:
            _claim(beside, path)
        else:
            with contextlib.suppress(OSError):
                beside.chmod(path.stat().st_mode & 0o777)
            beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    with contextlib.suppress(OSError):  # not every system lets a folder be opened
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _claim(beside: Path, path: Path) -> None:
    """Give the file its name unless somebody has taken it in the meantime."""
    try:
        os.link(beside, path)
    except FileExistsError:
        refuse_if_there(path, overwrite=False)
    except OSError:  # a file system without hard links
        refuse_if_there(path, overwrite=False)
        beside.replace(path)
