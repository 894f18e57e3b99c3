"""Twists of where a piece is sold: which ways count for it, and in which of them its tag loses money."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.studio.capacity import CHANNEL_SLOTS
from tests.mutation.right import Cells, Right, Twist, only

SLOTS = tuple(enumerate(CHANNEL_SLOTS, start=1))
NAMES = [f"{name} way" for name in CHANNEL_SLOTS]
"""What the ways of selling are called here."""


def where_sold(right: Right) -> Iterator[Twist]:
    """All of them, for the second piece."""
    yield from _ways(right)
    yield from _sold()
    yield from _counted(right)
    yield from _counted_again(right)
    yield from _losing()


def _ways(right: Right) -> Iterator[Twist]:
    """The line that says which way is which."""
    for number, _ in SLOTS:
        first = only(right, "channel_used", number, 1)
        named = {f"channel_name.{at}": NAMES[at - 1] for at, _ in SLOTS}
        shown = {f"channel_legend.{at}": f"{number} {NAMES[number - 1]}" if at == number else None for at, _ in SLOTS}
        yield Twist({**named, **first}, shown)
        if number > 1:
            used = {**first, "channel_used.1": 1}
            yield Twist({**named, **used}, {f"channel_legend.{number}": f", {number} {NAMES[number - 1]}"})
        yield Twist({"rank_slot": number}, {f"channel_rank.{at}": int(at == number) for at, _ in SLOTS})
        for must, can in ((1, 1), (1, 0), (0, 1), (0, 0)):
            typed: Cells = {f"channel_must.{number}": must, f"channel_can.{number}": can}
            yield Twist(typed, {f"channel_stuck.{number}": int(must == 1 and can == 0)})
    words = {f"channel_legend.{number}": f"{number}," for number, _ in SLOTS}
    yield Twist(words, {"ways_legend": "1,2,3,4,5,6,"})


def _sold() -> Iterator[Twist]:
    for number, slot in SLOTS:
        sold: Cells = {"piece_name.2": "Cup", f"channel_used.{number}": 1, f"piece_sold_{slot}.2": None}
        yield Twist(sold, {f"sells_{slot}.2": 1})
        yield Twist({**sold, f"piece_sold_{slot}.2": "Yes"}, {f"sells_{slot}.2": 1})
        yield Twist({**sold, f"piece_sold_{slot}.2": "No"}, {f"sells_{slot}.2": 0})
        yield Twist({**sold, f"channel_used.{number}": 0}, {f"sells_{slot}.2": 0})
        yield Twist({**sold, "piece_name.2": None}, {f"sells_{slot}.2": 0})
        unsold: Cells = {f"sells_{slot}.2": 0, f"channel_can.{number}": 1, f"channel_open.{number}": 1}
        blank = dict.fromkeys((f"{word}_{slot}.2" for word in ("tag_exact", "net", "lowest", "left")), None)
        yield Twist({**unsold, f"channel_used.{number}": 1}, blank)


def _counted(right: Right) -> Iterator[Twist]:
    """A count over the ways, each of them alone; sold in none or in one."""
    unsold: Cells = {f"sells_{slot}.2": 0 for slot in CHANNEL_SLOTS}
    for count, each in (
        ("must_here", "channel_must"),
        ("must_stuck", "channel_stuck"),
        ("open_here", "channel_open"),
        ("rank_sold", "channel_rank"),
    ):
        for number, slot in SLOTS:
            alone = only(right, each, number, 1)
            yield Twist({**unsold, **alone, f"sells_{slot}.2": 1}, {f"{count}.2": 1})
            yield Twist({**dict.fromkeys(unsold, 1), **alone, f"sells_{slot}.2": 0}, {f"{count}.2": 0})
    unsold = {**unsold, "piece_listed.2": None}
    used = only(right, "channel_used", 3, 1)
    yield Twist({**unsold, **used, "piece_name.2": "Cup"}, {"sold_nowhere_row.2": 1})
    yield Twist({**unsold, **used, "piece_name.2": None}, {"sold_nowhere_row.2": 0})
    kept_off: Cells = {"piece_name.2": "Cup", "piece_listed.2": "No"}
    yield Twist({**unsold, **used, **kept_off}, {"sold_nowhere_row.2": 0})
    yield Twist({**unsold, **only(right, "channel_used", 3, 0), "piece_name.2": "Cup"}, {"sold_nowhere_row.2": 0})
    for row in (1, 6):
        yield Twist({**unsold, **only(right, "channel_used", row, 1), "piece_name.2": "Cup"}, {"sold_nowhere_row.2": 1})
    for slot in CHANNEL_SLOTS:
        yield Twist({**unsold, **used, "piece_name.2": "Cup", f"sells_{slot}.2": 1}, {"sold_nowhere_row.2": 0})
    wanted: Cells = {"must_here.2": 1, "must_stuck.2": 0, "must_count": 1, "must_blocked": 0}
    tags = {f"must_tag_{slot}.2": number for number, slot in SLOTS}
    for column in ("tag_wanted", "after_wanted"):
        cells: Cells = {"cost_good.2": 5, "cost_after.2": 5, **tags, **{f"after_{slot}.2": 6 for slot in CHANNEL_SLOTS}}
        yield Twist({**wanted, **cells}, {f"{column}.2": 6})
        yield Twist({**wanted, **cells, "must_stuck.2": 1}, {f"{column}.2": "No tag can do it"})
        yield Twist({**wanted, **cells, "must_here.2": 0, "must_stuck.2": 1}, {f"{column}.2": None})
    yield Twist({"rank_sold.2": 0, "tag_plain.2": 9, "low_good.2": 3, "bench_hours_good.2": 1}, {"left_ranked.2": None})
    yield Twist({"picture_row": 2, "rank_sold.2": 0, "picture_plain": 9, "picture_cost": 3}, {"picture_net": None})


def _counted_again(right: Right) -> Iterator[Twist]:
    """All pieces but one are sold so, the first or the last; a piece without a name is not counted."""
    pieces = right.rows("piece_name")
    for number, slot in SLOTS:
        cells: Cells = {
            **{f"channel_used.{number}": 1, "pieces_named": pieces[-1]},
            **dict.fromkeys(right.cells("piece_named"), 1),
            **dict.fromkeys(right.cells("piece_costed"), 0),
        }
        for row in (1, pieces[-1]):
            said = only(right, f"piece_sold_{slot}", row, "No", rest=None)
            again = f"slot_sells_again.{number}"
            yield Twist({**cells, **said}, {again: pieces[-1] - 1})
            yield Twist({**cells, **said, f"piece_named.{row}": 0}, {again: pieces[-1]})
            yield Twist({**cells, **said, f"channel_used.{number}": 0}, {again: 0})


def _losing() -> Iterator[Twist]:
    calm = {f"losing_{slot}.2": 0 for slot in CHANNEL_SLOTS}
    for number, slot in SLOTS:
        for tag, lowest, loses in (
            (30, 30, 0),
            (29.5, 30, 1),
            (29.75, 30, 0),
            (31, 30, 0),
            (29, "No tag can do it", 0),
            (None, 30, 0),
        ):
            typed: Cells = {"tag_in_force.2": tag, f"lowest_{slot}.2": lowest, "close_enough": 0.25}
            yield Twist({**typed, "tag_plain.2": None}, {f"losing_{slot}.2": loses})
        alone = {**calm, f"losing_{slot}.2": 1, f"channel_used.{number}": 0}
        yield Twist(alone, {"losing_ways.2": 1, "losing_way.2": number})
        named = {f"channel_name.{number}": NAMES[number - 1], "losing_way.2": number}
        yield Twist({**named, "losing_ways.2": 1}, {"loses_where.2": NAMES[number - 1]})
    yield Twist({"losing_way.2": 1, "losing_ways.2": 2}, {"loses_where.2": "2 ways of selling"})
    yield Twist({"losing_way.2": 1, "losing_ways.2": 0}, {"loses_where.2": None})
