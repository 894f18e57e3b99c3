"""Twists of the new tariff: borders that are met exactly, and copies of a cell typed over."""

from __future__ import annotations

from collections.abc import Iterator

from meltbook.studio.capacity import CHANNEL_SLOTS
from tests.mutation.right import Cells, Right, Twist, Value, only

SLOTS = tuple(enumerate(CHANNEL_SLOTS, start=1))


def letter_side(right: Right) -> Iterator[Twist]:
    """All of them, in the order of the chapter."""
    yield from _the_letter()
    yield from _logged_already(right)
    yield from _a_year(right)
    yield from _dropped()
    yield from _slots()
    yield from _tags()
    yield from _verdicts()
    yield from _the_list(right)


def _the_letter() -> Iterator[Twist]:
    yield Twist({"letter_start": 44000, "letter_figures": 0}, {"letter_given": 0})
    yield Twist({"letter_start": 44000, "letter_figures": 1}, {"letter_given": 1})
    yield Twist({"letter_start": -5, "letter_given": 1}, {"letter_position": 1})
    for before, after, jumps in ((1, 3, 0), (1, 3.25, 1), (0.5, 1, 0), (0, 5, 0), (None, None, 0)):
        yield Twist({"base_all_in": before, "new_all_in": after, "jump_limit": 3}, {"letter_jump": jumps})
    for newest, late in ((44000, 1), (44001, 1), (43999, 0), (None, 0)):
        yield Twist({"letter_start": 44000, "tariff_newest": newest}, {"letter_case.5": late})
    yield Twist({"letter_start": None, "tariff_newest": 44000}, {"letter_case.5": 0})
    for line, full in ((8, 0), (9, 1)):
        yield Twist({"letter_line": line, "tariff_rows_made": 8}, {"letter_case.4": full})
    yield Twist({"new_all_in": 0.25, "base_all_in": 0}, {"change_all_in": None})
    rates = {"furnace_rate": 2, "pool_after": 30}
    yield Twist({**rates, "furnace_pool": 20}, {"rate_after": 3})
    yield Twist({**rates, "furnace_pool": 0}, {"rate_after": None})


def _logged_already(right: Right) -> Iterator[Twist]:
    """A row of the log, the first or the last, that alone lies under the letter."""
    for row in (1, right.rows("late_days")[-1]):
        alone = {**only(right, "late_days", row, 4), "letter_given": 1, "new_standing": 5, "base_standing": 3}
        own: Cells = {f"row_own.{row}": 0}
        yield Twist({**alone, **own, f"row_measured.{row}": 0}, {"late_rows": 0, "late_waiting": 1, "late_standing": 0})
        yield Twist({**alone, **own, f"row_measured.{row}": 1}, {"late_rows": 1, "late_waiting": 0, "late_standing": 8})


def _a_year(right: Right) -> Iterator[Twist]:
    """A row of the log, the first or the last, that alone reaches back twelve months, or misses that by a day."""
    for row in (1, right.rows("late_days")[-1]):
        alone: dict[str, Value] = {**only(right, "row_measured", row, 1), f"row_own.{row}": 0, "window_start": 44000}
        for first, logged in ((45000, 1), (45001, 0)):
            yield Twist({**alone, f"first_day.{row}": first, "window_low": 45000}, {"year_logged": logged})
    for days, said in ((1, "1 logged day, × 365 ÷ 1."), (2, "2 logged days, × 365 ÷ 2."), (0, None)):
        note = said and f"A year's use: from {said}"
        yield Twist({"effect_days": days, "year_logged": 0}, {"effect_note": note})


def _dropped() -> Iterator[Twist]:
    """A text where a charge belongs is another check's: nothing is blank there."""
    for word in ("tax", "service", "demand"):
        before: Cells = {f"tariff_{word}.2": 0.5, "tariff_kept.2": 2, "tariff_valid.3": 1}
        for typed, dropped in (("none", 0), (0, 0), (None, 1)):
            yield Twist({**before, f"tariff_{word}.3": typed}, {f"{word}_dropped.3": dropped})


def _slots() -> Iterator[Twist]:
    """A piece in each way of selling."""
    for number, slot in SLOTS:
        sold: Cells = {f"channel_must.{number}": 1, f"net_{slot}.2": 40, f"channel_replaced.{number}": 0.5}
        dearer: Cells = {"cost_after.2": 12, "cost_good.2": 10, "cost_lines.2": 9}
        yield Twist({**sold, **dearer}, {f"net_after_{slot}.2": 39})
        yield Twist({**sold, **dearer, f"channel_must.{number}": 0}, {f"net_after_{slot}.2": None})
        wide: Cells = {"close_enough": 0.25, "cost_after.2": 0.2}
        for net, margin in ((0.25, -1), (0.5, 0.6), (0, -1), (-2, -1)):
            yield Twist({**wide, f"net_after_{slot}.2": net}, {f"margin_after_{slot}.2": margin})
        terms: Cells = {f"channel_on_cost.{number}": 2, f"channel_factor.{number}": 0.5, f"channel_open.{number}": 1}
        for must, can, cost, costs, tag in (
            (1, 1, 10, 1, 42),
            (1, 1, 0.05, 0, 0.2),
            (1, 1, 1, -5, 0),
            (1, 0, 10, 1, None),
            (0, 1, 10, 1, None),
        ):
            asked = {f"channel_must.{number}": must, f"channel_can.{number}": can, "cost_after.2": cost}
            asked |= {f"channel_costs.{number}": costs, f"sells_{slot}.2": 1}
            yield Twist({**terms, **asked}, {f"after_{slot}.2": tag})
            yield Twist({**terms, **asked, f"sells_{slot}.2": 0}, {f"after_{slot}.2": None})
    yield Twist({"cost_good.2": 5, "cost_lines.2": 4}, {"after_cost_now.2": 5})
    moved: Cells = {"piece_furnace_units.2": 3, "rate_after": 5, "furnace_rate": 4, "good_share.2": 0.5}
    machines: Cells = {"piece_more_hot.2": 1, "piece_more_kiln.2": 4, "kiln_share.2": 0.75}
    # 10 + (3 × (5 − 4) + 1 + 0.75 × 4) ÷ 0.5 = 24
    yield Twist({**moved, **machines, "cost_good.2": 10, "cost_lines.2": 9}, {"cost_after.2": 24})
    worst = ("short_now.2", "short_after.2", "margin_after_lowest.2")
    yield Twist({"tag_plain.2": 40, "cost_after.2": 10, "must_here.2": 0}, dict.fromkeys(worst, None))


def _tags() -> Iterator[Twist]:
    yield Twist({"after_wanted.2": 1.005, "tag_factor": 1, "money_digits": 2}, {"after_cents.2": 1.01})
    for lowest, shown in ((-0.75, "At a loss"), (-0.5, -0.5), (-1, "At a loss"), (0.25, 0.25), (None, None)):
        yield Twist({"margin_after_lowest.2": lowest, "close_enough": 0.25}, {"margin_after.2": shown})
    steps: Cells = {"tag_step_used": 1, "tag_ending_used": 0, "money_digits": 2}
    yield Twist({**steps, "after_cents.2": 2.0000003}, {"tag_after.2": 2})
    yield Twist({**steps, "after_cents.2": 0.5, "tag_ending_used": 0.95}, {"tag_after.2": 0.95})
    yield Twist({**steps, "after_cents.2": None, "after_wanted.2": 5.5}, {"tag_after.2": 5.5})
    kept: Cells = {"retag_flag.2": 0, "tag_after.2": 5}
    for blank in ("after_cents.2", "tag_change.2"):
        yield Twist({**kept, blank: None}, {"tag_new.2": None})


def _verdicts() -> Iterator[Twist]:
    """Short by more than the tolerance and by more than what counts as equal, and the same of the new tag."""
    limits: Cells = {"retag_tolerance_used": 0.25, "default_tolerance": 0.01, "close_enough": 0.25, "tag_after.2": 50}
    some: tuple[tuple[Value, Value, Value, str | None], ...] = (
        (0.5, 0.5, 1, "Keep"),
        (0.5, 0.625, 1, "Retag"),
        (0.625, 0.625, 1, "Already short"),
        (0.625, 0.5, 1, "Keep"),
        (0.5, 0.625, 0.25, "Keep"),
        (0.5, 0.625, 0.375, "Retag"),
        (0.5, 0.625, -1, "Keep"),
        (0.5, 0.625, None, "Keep"),
        (0.5, None, 1, None),
    )
    for now, after, change, verdict in some:
        short: Cells = {"short_now.2": now, "short_after.2": after, "tag_change.2": change}
        yield Twist({**limits, **short}, {"tag_verdict.2": verdict})


def _the_list(right: Right) -> Iterator[Twist]:
    """Of two equal keys the upper row goes first; a percentage in words is to the nearest hundredth."""
    for name in ("retag_short", "retag_before"):
        for percent, words in ((0.994999998, "1.00"), (1.99, "1.99"), (0.05, "0.05")):
            yield Twist({f"{name}.2": percent}, {f"{name}_words.2": words})
    for keys, places in (((3, 3, 1, 3, 9), (2, 3, 1, 4, 5)), ((9, 3, 8, 9, 9), (3, 1, 2, 4, 5))):
        typed: dict[str, Value] = dict.fromkeys(right.cells("retag_flag"), 1)
        typed |= dict(zip(right.cells("retag_key"), keys, strict=True))
        yield Twist(typed, dict(zip(right.cells("retag_place"), places, strict=True)))
