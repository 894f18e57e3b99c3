"""Findings that may follow from a cell that can't be read: what is in it counts as not typed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from meltbook.errors import Problem


def sent_to_the_root(findings: Sequence[Problem], roots: Sequence[Problem]) -> Iterator[Problem]:
    """Each finding; in the row of an unreadable cell, and in the next row below that has one, which to mend first."""
    for finding in findings:
        root = _root(finding, findings, roots)
        if root is None:
            yield finding
        else:
            where = "in this row" if root.row == finding.row else f"in row {root.row}"
            yield replace(finding, do=f"First correct {root.column} {where}: this may follow from it. {finding.do}")


def _root(finding: Problem, findings: Sequence[Problem], roots: Sequence[Problem]) -> Problem | None:
    """The unreadable cell nearest above on the sheet, unless another finding lies between."""
    at = finding.row
    above = [root for root in roots if root.sheet == finding.sheet and root.row and at and root.row <= at]
    nearest = max(above, key=lambda root: root.row or 0, default=None)
    if nearest is None or at is None or nearest.row is None or nearest.row == at:
        return nearest
    between = range(nearest.row + 1, at)
    return None if any(other.sheet == finding.sheet and other.row in between for other in findings) else nearest
