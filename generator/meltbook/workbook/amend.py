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

from meltbook.workbook.caches import CacheReport, Known, refreshed
from meltbook.workbook.edit import EditReport, Edits, edited
from meltbook.workbook.package import Package, open_package
from meltbook.workbook.repack import zip_bytes
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
    known: Known | Callable[[], Known] | None = None,
    *,
    overwrite: bool = False,
    today: dt.date | None = None,
) -> AmendReport:
    """Set cells, refresh the stored values, and write the workbook to ``target``, which may be ``source``.

    ``known`` are the values that formulas have after the edit, or a function that works them out; see
    :func:`meltbook.workbook.caches.refresh`.
    """
    check_target(source, target, overwrite=overwrite)
    package, workbook = open_package(source)
    changed, changes = edited(package, workbook, edits)
    between = zipfile.ZipFile(io.BytesIO(changed))
    values = known() if callable(known) else known
    data, caches = refreshed(Package(source, between, package.names), workbook, values or {})
    backup = write_result(source, target, data, zip_bytes(package), overwrite=overwrite, today=today)
    return AmendReport(EditReport(target, changes, backup), caches)
