"""How many rows a book prepares."""

from __future__ import annotations

import pytest

from meltbook.errors import StudioError, UsageError
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.studio.room import FEWEST_ROWS, MOST_ROWS, capacity_for


def studio(**rows: int) -> Studio:
    return Studio.model_validate({table: ({},) * count for table, count in rows.items()}, strict=True)


def test_a_small_studio_gets_what_every_book_has() -> None:
    assert capacity_for(studio(log=20)) == (Capacity(), ())


def test_rows_asked_for() -> None:
    assert capacity_for(studio(log=20), 50)[0].log == 50


@pytest.mark.parametrize("rows", [FEWEST_ROWS - 1, MOST_ROWS + 1, 0, -5])
def test_rows_out_of_range(rows: int) -> None:
    with pytest.raises(UsageError) as caught:
        capacity_for(Studio(), rows)
    assert "10 to 20000" in caught.value.hint


def test_more_rows_in_the_studio_than_asked_for() -> None:
    with pytest.raises(UsageError) as caught:
        capacity_for(studio(log=20), 15)
    assert "at least 20" in caught.value.hint


def test_tables_grow_and_it_is_said() -> None:
    capacity, told = capacity_for(studio(log=1200, pieces=41))
    assert capacity.log >= 1200
    assert capacity.pieces >= 41
    assert len(told) == 2


def test_some_tables_cannot_grow() -> None:
    with pytest.raises(StudioError) as caught:
        capacity_for(studio(channels=7, people=5))
    assert {problem.sheet for problem in caught.value.problems} == {"channels", "people"}
