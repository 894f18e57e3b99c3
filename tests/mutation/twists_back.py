"""Twists of the bill check and of what looks back: rows of no days, one cell alone in its column, full pictures."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutation.right import ERROR, Cells, Right, Twist, Value, only
from tests.mutation.twists_decisions import each_blank

CAUSES = (
    ("melt", "step_melt", "step_hot"),
    ("standing", "step_standing", "step_hot"),
    ("wear", "step_wear", "step_standing"),
    ("glass", "step_glass", "step_wear"),
    ("own", "step_own", "line_standing"),
)
"""The bars of a campaign: the last part of the name, where it comes from, and what stands beside that."""


def looking_back_side(right: Right) -> Iterator[Twist]:
    """All of them, in the order of the chapters."""
    yield from _efficiency()
    yield from _furnace_in_bills(right)
    yield from _one_bill(right)
    yield from _all_bills(right)
    yield from _which_campaigns(right)
    yield from _campaign_bars(right)
    yield from _lives(right)


def _efficiency() -> Iterator[Twist]:
    yield Twist({"use_a_weight.1": 2, "heat_in_unit": 0}, {"furnace_efficiency": None})


def _furnace_in_bills(right: Right) -> Iterator[Twist]:
    """One row of the log holds all energy: it counts by its days, hot or cold, and not at all without days."""
    day = 44000
    for name, column in (("before", "bill_start"), ("until", "bill_close")):
        bill: Cells = {"bill_given.1": 1, f"{column}.1": day}
        row: Cells = {**only(right, "energy_used", 3, 12), "row_measured.3": 1, "row_hot_days.3": 0}
        for days, used in ((4, 12), (0, 0)):
            ended: Cells = {"first_day.3": day - 9, "next_day.3": day, "row_days.3": days}
            yield Twist({**bill, **row, **ended}, {f"bill_{name}_rows.1": used, f"bill_{name}_days.1": 0})
        under_way: Cells = {"first_day.3": day - 1, "next_day.3": day + 3, "row_days.3": 4}
        yield Twist({**bill, **row, **under_way}, {f"bill_{name}_rows.1": 0, f"bill_{name}_days.1": 3})


def _one_bill(right: Right) -> Iterator[Twist]:
    more, fewer = "More billed than you know of", "You count more than was billed"
    for share, side in ((0.0000003, fewer), (0.0000007, more)):
        yield Twist({"bill_share.1": share, "bill_unexplained.1": 5000 * share}, {"bill_side.1": side})
    wide: Cells = {"unexplained_used": 0.25, "close_enough": 0.25, "bill_side.1": "That side"}
    for share, word in ((0.5, "Explained"), (-0.5, "Explained"), (0.625, "That side"), (-0.625, "That side")):
        yield Twist({**wide, "bill_share.1": share}, {"bill_verdict.1": word})
    known: Cells = {"bill_share.1": 0.5, "bill_verdict.1": "That", "bill_waiting.1": 0, "bill_unlogged.1": 0}
    yield Twist(known, {"bill_word.1": "That"})
    yield Twist({**known, "bill_unlogged.1": 1}, {"bill_word.1": "Log ends before this bill does"})
    yield Twist({**known, "bill_waiting.1": None}, {"bill_word.1": None})
    yield Twist({**known, "bill_share.1": None, "bill_waiting.1": 2}, {"bill_word.1": None})
    for days, counted in ((0, 1), (1, 0)):
        yield Twist({"bill_given.1": 1, "bill_unlogged.1": days}, {"bill_counted.1": counted})
    none = dict.fromkeys(right.cells("row_days"), 0)
    waits: Cells = {"row_days.3": 2, "row_measured.3": 0, "first_day.3": 44000, "next_day.3": 44002}
    bill: Cells = {"bill_furnace.1": 1, "bill_start.1": 43990, "bill_end.1": 44000}
    yield Twist({**none, **waits, **bill}, {"bill_waiting.1": 1})


def _all_bills(right: Right) -> Iterator[Twist]:
    yield from each_blank(("bills_use", "bills_known"), {}, "bills_share")
    yield Twist({"bills_use": 0, "bills_known": 5}, {"bills_share": None})
    known: Cells = {"bills_use": 1, "bills_known": 0.124999997}
    yield Twist(known, {"bills_percent": 13})
    by = "what the first source billed" if "bills_main_fuel" in right.vocabulary.scalars else "all that was billed"
    for percent, said in (
        (99, f"Of {by} you know of 99 %."),
        (100, f"Of {by} you know of 100 %."),
        (101, f"You count 101 % of {by}."),
    ):
        yield Twist({"bills_percent": percent, "bills_share": 0.5}, {"bills_main": said})
    for left, out in (
        (0, None),
        (1, "1 bill is left out: the log ends before."),
        (2, "2 bills are left out: the log ends before."),
    ):
        yield Twist({"bills_left": left, "bills_given": 3 - left, "bills_in": 3 - left}, {"bills_out": out})
    for left, counted, main, out, said in (
        (0, 2, "Known.", None, "Known."),
        (1, 2, "Known.", "Some left out.", "Known. Some left out."),
        (2, 1, "Known.", "Some left out.", "Known. Some left out."),
        (2, 0, None, "Some left out.", "Some left out."),
        (2, 1, None, "Some left out.", "Some left out."),
    ):
        sums: Cells = {"bills_given": 2, "bills_left": left, "bills_in": counted, "bills_main": main, "bills_out": out}
        yield Twist(sums, {"bills_sentence": said})
    yield Twist({"bills_given": 0, "bills_left": 0, "bills_in": 2, "bills_main": "Known."}, {"bills_sentence": None})


def _which_campaigns(right: Right) -> Iterator[Twist]:
    for row in (1, right.rows("period_number")[-1]):
        numbers = {**only(right, "period_number", row, 3), **dict.fromkeys(right.cells("campaign_from"), 0)}
        yield Twist({**numbers, "campaign_count": 7}, {"recent_last": 3})
    for last, drawn in ((9, (2, 3, 9)), (8, (1, 2, 8)), (3, (1, 2, 0))):
        cells = dict(zip(("recent_campaign.1", "recent_campaign.2", "recent_campaign.8"), drawn, strict=True))
        yield Twist({"recent_last": last}, cells)
    yield Twist({"recent_campaign.2": 4, "recent_row.2": 0}, {"recent_label.2": "Campaign 4", "recent_row.2": 7})
    yield Twist({"recent_campaign.2": 0, "recent_row.2": 7}, {"recent_label.2": None, "recent_row.2": 0})


def _campaign_bars(right: Right) -> Iterator[Twist]:
    for part, source, beside in CAUSES:
        alone: Cells = {"recent_row.2": 4, f"{source}.4": 5, f"{beside}.4": None}
        yield Twist(alone, {f"recent_{part}.2": 5})
        yield Twist({**alone, f"{source}.4": ERROR}, {f"recent_{part}.2": None})
        # Looked up at place 0, a column gives all of itself.
        nowhere: Cells = {**only(right, source, 1, 5, rest=None), "recent_row.2": 0}
        yield Twist(nowhere, {f"recent_{part}.2": None})
    unplaced: Cells = {"recent_row.2": 0, "recent_melt.2": 5}
    yield Twist(unplaced, {"recent_waiting.2": None, "recent_total.2": None})
    unit = right.value("weight_unit")
    last = right.rows("recent_total")[-1]
    for row in (1, last):
        totals: dict[str, Value] = {**only(right, "recent_total", row, 4, rest=None)}
        yield Twist(totals, {"recent_dearest": 4})
        named: Cells = {"recent_dearest": 4, f"recent_campaign.{row}": 30 + row}
        yield Twist({**totals, **named}, {"recent_name": f"Campaign {30 + row}"})
        told: Cells = {"recent_dearest": 4, "recent_words": "4.00", "recent_name": "That one"}
        yield Twist({**totals, **told}, {"recent_sentence": f"That one cost 4.00 for each {unit}."})
        two: Cells = {**totals, "recent_total.1": 4, f"recent_total.{last}": 4}
        yield Twist({**two, **told}, {"recent_sentence": f"That one was the dearest: 4.00 for each {unit}."})
    nothing: Cells = {"recent_dearest": 0, "recent_words": "0.00"}
    yield Twist(nothing, {"recent_name": None, "recent_sentence": None})


def _lives(right: Right) -> Iterator[Twist]:
    """Twelve lives, of which the last ten are drawn: the first bar is the third life."""
    for row in (1, right.rows("life_no")[-1]):
        typed: Cells = {**only(right, "life_no", row, 3), "lives_counted": 12, "lives_failed": 4}
        yield Twist(typed, {"life_at.1": row + 1})
