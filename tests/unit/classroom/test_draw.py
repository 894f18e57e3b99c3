"""Drawn numbers: the same for ever, another student's are others, and all of them on their raster."""

from __future__ import annotations

from collections import Counter

from meltbook.classroom.draw import Numbers, Stream, draw
from meltbook.classroom.exercise import parse_exercise
from tests.unit.classroom.tiny import changed, student, tiny


def drawn(number: int = 1, *, seed: int = 1, stage: str = "own", attempt: int = 0, weight: str = "lb") -> Numbers:
    return draw(tiny(), seed=seed, student=student(number), stage=stage, attempt=attempt, weight_unit=weight)


def test_the_same_numbers_for_ever() -> None:
    """A class that is made again in ten years gets these. If this test fails, no key fits its workbooks any more."""
    assert drawn().values == {"connected_kw": 11.0, "price": 0.19, "months": 12.0}
    assert drawn().columns["log_reading"] == [2524.0, 2743.0, None, 2977.0]
    chance = Stream(1, "tiny", "pupil-1", "own", 0)
    assert [chance.below(1000) for _ in range(8)] == [401, 449, 206, 324, 176, 278, 357, 62]


def test_anything_else_gives_other_numbers() -> None:
    others = [drawn(), drawn(2), drawn(seed=2), drawn(stage="first"), drawn(attempt=1)]
    assert len({str(each) for each in others}) == len(others)
    assert drawn() == drawn()


def test_a_class_in_kg_draws_from_its_own_raster() -> None:
    for number in range(1, 40):
        assert 0.21 <= drawn(number, weight="kg").values["price"] <= 0.39
        assert 0.11 <= drawn(number).values["price"] <= 0.29


def test_every_number_of_a_raster_is_drawn_about_as_often() -> None:
    found = Counter(drawn(number).values["connected_kw"] for number in range(1, 1701))
    assert sorted(found) == [6 + place / 2 for place in range(17)]
    assert min(found.values()) > 60 and max(found.values()) < 145, "a hundred each, more or less"


def test_a_meter_rises_and_skips_the_rows_that_are_not_read() -> None:
    for number in range(1, 40):
        start, charge, cold, idle = drawn(number).columns["log_reading"]
        assert cold is None
        assert isinstance(start, float) and isinstance(charge, float) and isinstance(idle, float)
        assert 1100 <= start <= 3240
        assert 100 <= charge - start <= 240 and 100 <= idle - charge <= 240
        assert drawn(number).columns["log_kind"] == ["Start", "Charge", "Cold", "Idle"]


def test_numbers_have_no_dust() -> None:
    text = changed("from = 100\nto = 240\nstep = 1", "from = 0.1\nto = 0.9\nstep = 0.1")
    exercise = parse_exercise(text, name="tiny", place="tiny")
    for number in range(1, 30):
        one = draw(exercise, seed=1, student=student(number), stage="own", attempt=0, weight_unit="lb")
        for value in one.drawn():
            assert len(repr(value)) <= 7, value
    assert len(list(one.drawn())) == 6


def test_a_stream_is_even() -> None:
    chance = Stream(7, "a", "b", "c", 0)
    found = Counter(chance.below(7) for _ in range(7000))
    assert sorted(found) == list(range(7)) and all(850 < count < 1150 for count in found.values())
