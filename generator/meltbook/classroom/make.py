"""``meltbook class make``: a roster and an exercise become a folder of workbooks, a key and sheets of data.

Everything is read and checked first, then written to a folder beside the place where it belongs, and moved
there last. Until then nothing that was there is touched; a run that fails or is stopped leaves nothing behind.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from meltbook.classroom.book import handout_bytes
from meltbook.classroom.data_sheets import SHEETS_NAME, data_sheets_bytes
from meltbook.classroom.exercise import exercise_text, load_exercise
from meltbook.classroom.handout import make_handout
from meltbook.classroom.in_clear import in_clear
from meltbook.classroom.key import KEY_NAME, key_bytes
from meltbook.classroom.roster import read_roster_file
from meltbook.errors import StudioError, UsageError
from meltbook.units import check_currency, weight_in_kg
from meltbook.workbook.files import put_in_place
from meltbook.workbook.package import open_elsewhere

if TYPE_CHECKING:
    from meltbook.classroom.handout import Handout
    from meltbook.workbook.paper import Paper

WORKBOOKS = "workbooks"
Progress = Callable[[int, int], None]
"""Called with how many workbooks are written, of how many."""


@dataclass(frozen=True, slots=True)
class ClassMade:
    """What was written.

    ``others`` are files in the folder of workbooks that are of no student of this class. ``guess`` is a sentence
    where the roster's letters had to be guessed, else empty.
    """

    folder: Path
    exercise: str
    students: int
    workbooks: tuple[Path, ...]
    key: Path
    data_sheets: Path
    others: tuple[Path, ...]
    guess: str = ""


def make_class(
    roster: Path,
    exercise_name: str,
    folder: Path,
    *,
    seed: int = 1,
    weight_unit: str = "lb",
    currency: str = "USD",
    paper: Paper = "Letter",
    overwrite: bool = False,
    progress: Progress | None = None,
) -> ClassMade:
    """Write a workbook for each student on the roster, the key and the data sheets.

    Raises:
        UsageError: the roster or the exercise is not there, or something would be overwritten.
        StudioError: the roster or the exercise can't be used; nothing was written.
    """
    weight_in_kg(weight_unit)
    check_currency(currency)
    exercise, text = load_exercise(exercise_name), exercise_text(exercise_name)
    read = read_roster_file(roster)
    students = read.students
    names = [f"{student.stem}.xlsx" for student in students]
    _check_folder(folder)
    targets = {f"{WORKBOOKS}/{name}": folder / WORKBOOKS / name for name in names}
    targets |= {name: folder / name for name in (KEY_NAME, SHEETS_NAME)}
    _check_targets(targets.values(), overwrite=overwrite)
    made_folder = not folder.exists()
    try:
        folder.mkdir(exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".class-", suffix=".part", dir=folder) as held:
            work = Path(held)
            (work / WORKBOOKS).mkdir()
            handouts: list[Handout] = []
            for number, (student, name) in enumerate(zip(students, names, strict=True), 1):
                handout = make_handout(exercise, student, seed=seed, weight_unit=weight_unit, currency=currency)
                put_in_place(work / WORKBOOKS / name, _workbook(handout, paper))
                handouts.append(handout)
                if progress:
                    progress(number, len(students))
            put_in_place(work / KEY_NAME, key_bytes(exercise, text, handouts, paper=paper))
            put_in_place(work / SHEETS_NAME, data_sheets_bytes(handouts, paper=paper))
            _move(work, targets, overwrite=overwrite)
    except BaseException:
        if made_folder:
            shutil.rmtree(folder, ignore_errors=True)
        raise
    here = set(targets.values())
    others = tuple(path for path in sorted((folder / WORKBOOKS).glob("*.xlsx")) if path not in here)
    return ClassMade(
        folder,
        exercise.name,
        len(students),
        tuple(folder / WORKBOOKS / name for name in names),
        folder / KEY_NAME,
        folder / SHEETS_NAME,
        others,
        read.guess,
    )


def _workbook(handout: Handout, paper: Paper) -> bytes:
    """A student's workbook, after a look at whether an answer can be read in it."""
    data = handout_bytes(handout, paper=paper)
    seen = in_clear(data, handout)
    if seen:
        raise StudioError(
            f"The workbook of {handout.student.name} would show an answer in clear: {', '.join(seen)}.",
            hint="Choose another --seed, or give the exercise's numbers wider ranges.",
        )
    return data


def _check_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"{folder} is a file, not a folder.", hint="Name a folder for the class.")
    if not folder.exists() and not folder.absolute().parent.is_dir():
        raise UsageError(f"There is no folder {folder.absolute().parent}.", hint="Make it first, or name another one.")
    books = folder / WORKBOOKS
    if books.exists() and not books.is_dir():
        raise UsageError(f"{books} is a file, not a folder.", hint="Name another folder for the class.")


def _check_targets(targets: Iterable[Path], *, overwrite: bool) -> None:
    there = [path for path in targets if path.exists()]
    if there and not overwrite:
        more = f", and {len(there) - 1} more" if len(there) > 1 else ""
        raise UsageError(
            f"{there[0]} is there already{more}.", hint="Choose another folder, or overwrite them with --force."
        )
    for path in there:
        if path.is_dir():
            raise UsageError(f"{path} is a folder.", hint="Choose another folder for the class.")
        if open_elsewhere(path):
            raise UsageError(f"{path} is open in another program.", hint="Close it there first.")


def _move(work: Path, targets: dict[str, Path], *, overwrite: bool) -> None:
    """Give each file its place. What was moved goes back if another can't be; what it replaced is kept until then."""
    done: list[tuple[Path, Path | None]] = []
    old = work / "old"
    old.mkdir()
    made = not (work.parent / WORKBOOKS).exists()
    (work.parent / WORKBOOKS).mkdir(exist_ok=True)
    try:
        for number, (name, target) in enumerate(targets.items()):
            kept: Path | None = None
            if target.exists():
                if not overwrite:
                    raise UsageError(f"{target} is there already.", hint="Choose another folder, or use --force.")
                kept = old / str(number)
                target.rename(kept)
            done.append((target, kept))
            (work / name).rename(target)
    except BaseException:
        for target, kept in reversed(done):
            target.unlink(missing_ok=True)
            if kept is not None:
                kept.rename(target)
        if made:
            (work.parent / WORKBOOKS).rmdir()
        raise
