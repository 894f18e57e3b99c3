"""``meltbook class mark``: a folder of files that came back, and the key, become a workbook of marks.

Everything is read and marked first; the results are written last, each file in one go.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from meltbook.classroom.gathering import ClassMarks, Kind, Progress, gather
from meltbook.classroom.key import KEY_NAME, Key, read_key
from meltbook.classroom.results import results_bytes, results_csv
from meltbook.errors import UsageError
from meltbook.workbook.files import refuse_if_there
from meltbook.workbook.paper import Paper
from meltbook.workbook.save import same_file, save

RESULTS_SUFFIX, CSV_SUFFIX = ".xlsx", ".csv"
_BOM = "\ufeff"
"""Without it, some spreadsheet programs take the accents of a CSV file for something else."""


@dataclass(frozen=True, slots=True)
class ClassMarked:
    """What was marked and where it was written."""

    key: Path
    results: Path
    csv: Path
    marks: ClassMarks

    def count(self, kind: Kind) -> int:
        """How often something was told."""
        return sum(told.kind is kind for told in self.marks.told)


def mark_class(
    folder: Path,
    results: Path,
    *,
    key: Path | None = None,
    overwrite: bool = False,
    progress: Progress | None = None,
) -> ClassMarked:
    """Mark every file in a folder and write the results, and a CSV file of the same name beside them.

    Raises:
        UsageError: the folder or the key is not there, or something would be overwritten.
        BookFileError: the key can't be read.
    """
    if results.suffix.lower() != RESULTS_SUFFIX:
        raise UsageError(f"{results} is no .xlsx file.", hint="The results are a workbook: call it results.xlsx.")
    table = results.with_suffix(CSV_SUFFIX)
    if not results.absolute().parent.is_dir():
        raise UsageError(f"There is no folder {results.absolute().parent}.", hint="Make it first, or name another one.")
    for path in (results, table):
        refuse_if_there(path, overwrite=overwrite)
        if path.is_dir():
            raise UsageError(f"{path} is a folder.", hint="Choose another name for the results.")
    if not folder.is_dir():
        raise UsageError(f"There is no folder {folder}.", hint="Name the folder with the files that came back.")
    place = key or _key_beside(folder)
    if same_file(place, results):
        raise UsageError(f"{results} is the key.", hint="Choose another name for the results.")
    read = read_key(place)
    marks = gather(folder, read, (place, results, table), progress)
    save(results, results_bytes(marks, paper=_paper(read)), overwrite=overwrite)
    save(table, (_BOM + results_csv(marks)).encode(), overwrite=overwrite)
    return ClassMarked(place, results, table, marks)


def _paper(key: Key) -> Paper:
    return "A4" if key.paper == "A4" else "Letter"


def _key_beside(folder: Path) -> Path:
    """The key of a folder: in it, or beside it."""
    for place in (folder / KEY_NAME, folder.absolute().parent / KEY_NAME):
        if place.is_file():
            return place
    raise UsageError(
        f"There is no {KEY_NAME} in {folder} or beside it.", hint="Name the key of the class with --key KEY."
    )
