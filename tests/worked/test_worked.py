"""The reference engine against studios that were worked out by hand."""

from __future__ import annotations

import pytest

from meltbook.method import compute
from tests.worked.cases import Case, load_cases

CASES = load_cases()


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_case(case: Case) -> None:
    results = compute(case.studio, case.capacity)
    wrong = [
        f"{expected}; found {found!r}"
        for expected in case.expected
        if not expected.met_by(found := results.value(expected.figure, expected.row))
    ]
    assert not wrong, "\n".join([case.title, *wrong])


def test_every_case_shows_its_arithmetic() -> None:
    assert len(CASES) >= 5
    assert all(expected.how for case in CASES for expected in case.expected)
