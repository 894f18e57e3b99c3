"""Type into an owner's workbook and bring its stored values up to date, in one write.

The one way for a command to change a workbook: at no moment does the file hold new figures beside old
results.
"""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from meltbook.workbook.caches import CacheReport, refreshed
from meltbook.workbook.edit import EditReport, Edits, edited
from meltbook.workbook.known import Known, Runs
from meltbook.workbook.package import Package, open_package, zip_bytes
from meltbook.workbook.read import BookFile
from meltbook.workbook.save import check_target, write_result


@dataclass(frozen=True, slots=True)
class AmendReport:
    """What was typed, and how the stored values stand afterwards."""

    edit: EditReport
    caches: CacheReport


def amend(
    source: Path,
    target: Path,
    edits: Edits,
    known: Known | Runs | Callable[[], Known | Runs] | None = None,
    *,
    vouched: bool = False,
    read: BookFile | None = None,
    overwrite: bool = False,
    today: dt.date | None = None,
) -> AmendReport:
    """Set cells, refresh the stored values, and write the workbook to ``target``, which may be ``source``.

    ``known`` are the values that formulas have after the edit, or a function that works them out; see
    :func:`meltbook.workbook.caches.refreshed`, also for ``vouched``. ``read`` is the workbook as it was read before, so
    that a sheet that isn't typed into need not be read twice.
    """
    check_target(source, target, overwrite=overwrite)
    package, workbook = open_package(source)
    changed, changes = edited(package, workbook, edits)
    between = zipfile.ZipFile(io.BytesIO(changed))
    values = known() if callable(known) else known
    old = zip_bytes(package)
    typed_into = {sheet for sheet, _ in edits}
    left = {} if read is None else read.formulas_read(old)
    data, caches = refreshed(
        Package(source, between, package.names),
        workbook,
        values or {},
        vouched=vouched,
        read={name: sheet for name, sheet in left.items() if name not in typed_into},
    )
    backup = write_result(source, target, data, old, overwrite=overwrite, today=today)
    return AmendReport(EditReport(target, changes, backup), caches)
