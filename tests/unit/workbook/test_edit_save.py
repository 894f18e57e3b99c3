"""The owner's file is whole at every moment, and the one before is kept."""

from __future__ import annotations

import datetime as dt
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from meltbook.errors import UsageError
from meltbook.workbook.edit import edit_cells
from meltbook.workbook.save import back_up, save
from tests.engines.values import read_values
from tests.unit.workbook.edit_book import write_everything

DAY = dt.date(2026, 11, 25)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    write_everything(path)
    return path


def type_in(book: Path, value: float) -> Path:
    report = edit_cells(book, book, {("Log", "C5"): value}, today=DAY)
    assert report.backup is not None
    return report.backup


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


# ------------------------------------------------------------------------------------------------- backups


def test_the_old_file_is_kept_with_the_date(book: Path) -> None:
    old = book.read_bytes()
    backup = type_in(book, 77)
    assert backup.name == "book.backup-2026-11-25.xlsx"
    assert backup.read_bytes() == old
    assert read_values(book)["Log", "C5"] == 77


def test_no_backup_is_ever_written_over(book: Path, tmp_path: Path) -> None:
    old = [book.read_bytes()]
    for value in (1, 2, 3):
        type_in(book, value)
        old.append(book.read_bytes())
    kept = [tmp_path / f"book.backup-2026-11-25{suffix}.xlsx" for suffix in ("", "-2", "-3")]
    assert [path.read_bytes() for path in kept] == old[:3]
    assert names(tmp_path) == {"book.xlsx", *(path.name for path in kept)}


def test_two_names_of_one_file_are_in_place(book: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.xlsx"
    link.symlink_to(book)
    report = edit_cells(book, link, {("Log", "C5"): 5}, today=DAY)
    assert report.backup == tmp_path / "book.backup-2026-11-25.xlsx"
    assert link.is_symlink()
    assert read_values(book)["Log", "C5"] == 5


def test_the_rights_of_the_file_stay(book: Path) -> None:
    book.chmod(0o640)
    type_in(book, 1)
    assert book.stat().st_mode & 0o777 == 0o640


# ------------------------------------------------------------------------------------------------ refusals


def test_another_file_is_not_written_over_unasked(book: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.xlsx"
    other.write_bytes(b"precious")
    with pytest.raises(UsageError, match="is there already"):
        edit_cells(book, other, {("Log", "C5"): 1})
    assert other.read_bytes() == b"precious"
    assert edit_cells(book, other, {("Log", "C5"): 1}, overwrite=True).backup is None
    assert read_values(other)["Log", "C5"] == 1


@pytest.mark.parametrize("mark", [".~lock.book.xlsx#", "~$book.xlsx"])
def test_a_workbook_that_is_open_elsewhere_is_left_alone(book: Path, tmp_path: Path, mark: str) -> None:
    (tmp_path / mark).write_text("somebody")
    old = book.read_bytes()
    with pytest.raises(UsageError, match="is open in another program"):
        type_in(book, 1)
    assert book.read_bytes() == old
    assert names(tmp_path) == {"book.xlsx", mark}
    edit_cells(book, tmp_path / "copy.xlsx", {("Log", "C5"): 1})  # a copy may be made


def refuse(*_: object, **__: object) -> None:
    raise PermissionError(13, "Permission denied")


@pytest.mark.parametrize("step", ["open", "fsync"])
def test_a_folder_that_may_not_be_written(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    monkeypatch.setattr(f"meltbook.workbook.files.os.{step}", refuse)
    with pytest.raises(UsageError, match="permission denied") as caught:
        edit_cells(book, tmp_path / "copy.xlsx", {("Log", "C5"): 1})
    assert caught.value.hint
    assert names(tmp_path) == {"book.xlsx"}


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_the_right_to_write(book: Path, tmp_path: Path) -> None:
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(UsageError, match="permission denied"):
            type_in(book, 1)
    finally:
        tmp_path.chmod(0o755)


def test_a_write_protected_file(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("meltbook.workbook.save.os.access", lambda *_: False)
    with pytest.raises(UsageError, match="write-protected"):
        save(book, b"new", overwrite=True)


def test_a_full_disk_leaves_the_old_file(book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    old = book.read_bytes()
    monkeypatch.setattr("meltbook.workbook.files.os.fsync", full)
    with pytest.raises(UsageError, match="no space left"):
        type_in(book, 1)
    assert book.read_bytes() == old
    assert names(tmp_path) == {"book.xlsx"}


def test_a_missing_folder(book: Path, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="is not there"):
        edit_cells(book, tmp_path / "none" / "copy.xlsx", {("Log", "C5"): 1})


def test_a_missing_workbook(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="no file"):
        edit_cells(tmp_path / "none.xlsx", tmp_path / "copy.xlsx", {("Log", "C5"): 1})


# ------------------------------------------------------------------------------------------ killed half-way

KILLED = """
import os, sys, time
from datetime import date
from pathlib import Path
from meltbook.workbook import files
from meltbook.workbook.edit import edit_cells

real, seen = os.fdopen, 0

def slow(handle, mode):
    global seen
    seen += 1
    file = real(handle, mode)
    if seen < int(sys.argv[2]):
        return file
    whole = file.write
    class Half:
        def __enter__(self): return self
        def __exit__(self, *_): file.close()
        def write(self, data):
            whole(data[: len(data) // 2])
            file.flush()
            print("half", flush=True)
            time.sleep(60)
    return Half()

files.os.fdopen = slow
edit_cells(Path(sys.argv[1]), Path(sys.argv[1]), {("Log", "C5"): 77}, today=date(2026, 11, 25))
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system can't kill at once")
@pytest.mark.parametrize("write", [1, 2], ids=["while the backup is written", "while the workbook is written"])
def test_a_killed_run_leaves_no_half_workbook(book: Path, tmp_path: Path, write: int) -> None:
    old = book.read_bytes()
    command = [sys.executable, "-c", KILLED, str(book), str(write)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "half\n"
        run.send_signal(signal.SIGKILL)
    assert book.read_bytes() == old
    workbooks = {path for path in tmp_path.glob("*.xlsx") if not path.name.startswith(".")}
    assert len(workbooks) == write  # the backup is there once it is whole
    assert all(path.read_bytes() == old for path in workbooks)

    (left,) = (path for path in tmp_path.iterdir() if path not in workbooks)
    assert left.name.startswith(".")
    assert left.suffix == ".part"
    long_ago = time.time() - 3600
    os.utime(left, (long_ago, long_ago))
    type_in(book, 78)
    type_in(book, 79)
    assert read_values(book)["Log", "C5"] == 79
    assert not left.exists()


def test_what_another_run_is_writing_now_is_left_alone(book: Path, tmp_path: Path) -> None:
    (tmp_path / ".book.xlsx.abcd.part").write_bytes(b"half")
    type_in(book, 1)
    assert (tmp_path / ".book.xlsx.abcd.part").exists()


def test_a_backup_of_another_is_not_taken_for_free(tmp_path: Path) -> None:
    book = tmp_path / "a.b.xlsx"
    first, second = back_up(book, b"one", DAY), back_up(book, b"two", DAY)
    assert (first.name, second.name) == ("a.b.backup-2026-11-25.xlsx", "a.b.backup-2026-11-25-2.xlsx")
    assert (first.read_bytes(), second.read_bytes()) == (b"one", b"two")
