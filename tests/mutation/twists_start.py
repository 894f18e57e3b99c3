"""Twists of what Start shows of each of several furnaces, of whose a sheet is, and of the list of each one's checks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tests.mutation.right import Cells, Right, Twist, only
from tests.mutation.twists import IN_WORDS
from tests.mutation.twists_looks import first_looks, first_of_all

DONE = ("meter_done", "charge_done", "reading_done", "opening_done")
"""The first steps with a furnace."""

NUMBERS_ASKED = {
    "number_texts_second.5": ("share_drawn_second", "share_in_pieces_second", "ordinary_weight_second"),
    "number_texts_second.6": ("furnace_purchase_second", "furnace_worth_end_second", "furnace_life_second"),
    "number_texts_fuel.1": ("price_limit_fuel",),
    "number_texts_fuel.10": ("letter_demand_kw_fuel",),
}
"""Lines of the lists of cells that ask for numbers which are no copies of the first furnace's, and their cells."""


def start_of_several(right: Right, ends: Sequence[str]) -> Iterator[Twist]:
    """All of them; the names of what furnaces and sources have as their own end in ``ends``."""
    yield from _furnaces_on_start()
    for end in ("", "_second"):
        for one in DONE:
            done: Cells = {f"{name}{end}": int(name != one) for name in DONE}
            yield Twist({**done, f"meter_row{end}": 2}, {f"furnace_done{end}": 0})
        yield from _whose(right, end)
    read: Cells = {"reading_done_second": 1, "furnace_done_second": 0}
    yield Twist({**read, "charge_done_second": 1}, {"log_waits_second": None})
    yield Twist(read, {f"step_done.{right.rows('step_done')[-2]}": 0})
    yield from _begun(ends)
    yield from first_looks(right, ends)
    yield from first_of_all(ends)
    for end in ends:
        yield from _numbers_asked(end, right)
    for row in (1, right.rows("tag_verdict")[-1]):
        verdicts = only(right, "tag_verdict", row, "Retag", rest=None)
        yield Twist({**verdicts, "any_rate_after": 1}, {"retag_count": 1})


def _furnaces_on_start() -> Iterator[Twist]:
    for amount, words in IN_WORDS:
        yield Twist({"start_hot.1": amount, "start_line.1": -amount}, {"start_hot_words.1": words})
        yield Twist({"start_line.1": amount, "start_hot.1": -amount}, {"start_line_words.1": words})
    both: Cells = {"start_hot.1": 3, "start_line.1": 4, "start_hot_words.1": "three", "start_line_words.1": "four"}
    for missing in ("start_hot.1", "start_line.1"):
        yield Twist({**both, missing: None}, {"start_cost_words.1": None})


def _whose(right: Right, end: str) -> Iterator[Twist]:
    """A sheet shows the furnace, and not what another sheet shows."""
    sheets = [
        name
        for name in right.vocabulary.scalars
        if name.startswith("whose_") and name.endswith("_second") == bool(end) and name != "whose_pictures"
    ]
    row = 2 if end else 1
    typed: Cells = {**dict.fromkeys(sheets, "Another"), f"furnace_words{end}": "This one"}
    yield Twist(typed, {**dict.fromkeys(sheets, "This one"), f"start_furnace.{row}": "This one"})
    if not end:
        said = "This one. All furnaces has the others beside it; the picture of one price is of any piece."
        yield Twist(typed, {"whose_pictures": said})


def _begun(ends: Sequence[str]) -> Iterator[Twist]:
    """The checks begin with the first log, piece or tariff, whosever it is."""
    sources = [end for end in ends if end != "_second"]
    newest = [f"tariff_newest{end}" for end in sources]
    unlike = [f"{name}{end}" for end in sources for name in ("price_now_from", "letter_start")]
    logs = ["log_rows_used", "log_rows_used_second"]
    none: Cells = {**dict.fromkeys((*logs, "pieces_named"), 0), **dict.fromkeys(newest, None)}
    # What else is typed begins nothing.
    elsewhere: Cells = {"pieces_final": 2, **dict.fromkeys(unlike, 45000)}
    yield Twist({**none, **elsewhere}, {"checks_begun": 0})
    blank: Cells = {"pieces_final": 0, **dict.fromkeys(unlike, None)}
    begun = [*((name, 1) for name in (*logs, "pieces_named")), *((name, 45000) for name in newest)]
    for name, value in begun:
        yield Twist({**none, **blank, name: value}, {"checks_begun": 1})
        for other, beside in begun:
            if other != name:
                yield Twist({**none, **blank, name: value, other: beside}, {"checks_begun": 1})


def _numbers_asked(end: str, right: Right) -> Iterator[Twist]:
    """A text where a number belongs is counted, a number isn't, nor is what stands beside."""
    for line, names in NUMBERS_ASKED.items():
        if not end or not line.partition(".")[0].endswith(end):
            continue
        none: Cells = dict.fromkeys(names, None)
        beside: Cells = {"change_standing_fuel": 1} if "change_standing_fuel" in right.vocabulary.scalars else {}
        for name in names:
            yield Twist({**none, name: "12,50"}, {line: 1})
            yield Twist({**none, **beside, name: 12.5}, {line: 0})
        yield Twist({**none, **beside}, {line: 0})
