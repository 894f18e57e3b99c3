"""Twists of the line on Start that names the first check to look at, in a book with one list of checks or several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tests.mutation.right import Cells, Right, Twist


def first_looks(right: Right, ends: Sequence[str]) -> Iterator[Twist]:
    """The first line of Checks that wants a look; while a step waits, only of those where something is wrong."""
    done: Cells = dict.fromkeys(right.cells("step_done"), 1)
    for end in ends:
        whose = {"": "", "_fuel": "Source 2, "}.get(end, "Furnace 2, ")
        looks, wrongs = f"check_look{end}", f"check_wrong{end}"
        none: Cells = {**done, **dict.fromkeys((*right.cells(looks), *right.cells(wrongs)), 0)}
        rows = right.rows(looks)
        for row in (rows[0], rows[1], rows[-1]):
            said: Cells = {f"first_look{end}": f'{whose}the line "A line"'}
            titles: Cells = {
                **dict.fromkeys(right.cells(f"check_title{end}"), "Another"),
                f"check_title{end}.{row}": "A line",
            }
            yield Twist({**none, **titles, f"{looks}.{row}": 1}, said)
            for step in (1, right.rows("step_done")[-1]):
                waiting: Cells = {**none, **titles, f"step_done.{step}": 0, f"{wrongs}.{row}": 1}
                yield Twist(waiting, said)
                yield Twist({**waiting, f"{looks}.{rows[0]}": 1, f"{looks}.{row}": 1}, said)
        yield Twist(none, {f"first_look{end}": None})


def first_of_all(ends: Sequence[str]) -> Iterator[Twist]:
    """Of the lists that have one to look at, the first."""
    lists = len(ends)
    says: Cells = {f"list_look.{row}": f"in list {row}" for row in range(1, lists + 1)}
    for row, end in enumerate(ends, start=1):
        there: Cells = {f"list_looks.{other}": int(other >= row) for other in range(1, lists + 1)}
        yield Twist({**says, **there}, {"look_of_all": f"in list {row}"})
        yield Twist({f"list_look.{row}": "in a list"}, {f"list_looks.{row}": 1})
        yield Twist({f"list_look.{row}": None}, {f"list_looks.{row}": 0})
        yield Twist({f"first_look{end}": "in a list"}, {f"list_look.{row}": "in a list"})
    yield Twist({f"list_looks.{row}": 0 for row in range(1, lists + 1)}, {"look_of_all": None})
    yield Twist(
        {"look_of_all": "a line", "first_look": "another", "step_waiting": "a step"},
        {"next_step": "Look at Checks, a line"},
    )
    yield Twist({"look_of_all": None, "first_look": "another", "step_waiting": "a step"}, {"next_step": "a step"})
