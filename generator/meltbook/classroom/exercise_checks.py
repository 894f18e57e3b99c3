"""What has to fit together in an exercise, beyond what each key takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from meltbook.errors import Problem

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Exercise


def cross_check(exercise: Exercise, place: str) -> list[Problem]:
    """Everything that doesn't fit."""
    return []
