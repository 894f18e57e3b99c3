"""Three hundred files of students who do all sorts of things, each marked as it ought to be."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from meltbook.classroom.exercise import shipped
from tests.classroom import students
from tests.classroom.marking.classes import HandedIn, hand_in
from tests.classroom.marking.files import FATES

EACH = 51
"""Files of an exercise; six exercises are shipped."""


@pytest.mark.parametrize("exercise", shipped())
def test_each_file_gets_the_mark_that_it_ought_to(exercise: str, tmp_path: Path) -> None:
    wrong: list[str] = []
    seen: Counter[tuple[str, str]] = Counter()
    for number in range(1, EACH + 1):
        # The first students do one thing at every step, the others a little of everything.
        plan = students.KINDS[number - 1] if number <= len(students.KINDS) else None
        handed = _handed(tmp_path, exercise, number, plan)
        FATES[number % len(FATES)](handed.path)
        wrong += handed.differences()
        seen.update((deed.kind, deed.state) for work in handed.works for deed in work.deeds)
        handed.path.unlink()
    assert not wrong, "\n".join(wrong[:20])
    assert {kind for kind, _ in seen} >= set(students.KINDS), "every kind of deed came up"
    wronged = sum(seen[kind, "Wrong"] for kind in ("slip", "typed wrong", "hundredfold"))
    chance = sum(seen[kind, state] for kind in ("slip", "typed wrong", "hundredfold") for state in students.CAUGHT_OUT)
    assert chance <= wronged / 20, "a wrong figure is right by chance, and seldom"


def _handed(folder: Path, exercise: str, number: int, plan: str | None) -> HandedIn:
    from tests.classroom.marking.classes import handout

    chosen = plan if plan is not None else students.by_chance(handout(exercise, number), number)
    return hand_in(folder, exercise, number, chosen, pointed=number % 3 > 0)
