"""The figures that a short print-out of a book names, in reading order."""

from __future__ import annotations

KEY_FIGURES: tuple[str, ...] = (
    # state of the book
    "checks_state",
    "log_rows_used",
    "log_last_day",
    "last_measured_day",
    "waiting_rows",
    "campaign_count",
    "starts_all",
    "kw_in_use",
    "price_now",
    # all time: the first row of the periods
    "period_weight",
    "period_charges",
    "period_days",
    "period_hot_days",
    "period_use",
    "period_cost",
    "use_a_weight",
    "use_a_day",
    # the ladder, what happened
    "happened_charge",
    "happened_melt",
    "happened_hot",
    "happened_line_standing",
    "happened_line_wear",
    "happened_line_glass",
    "happened_line_own",
    "happened_line_sold",
    # the ladder, to price with
    "price_charge",
    "price_melt",
    "price_hot",
    "price_line_standing",
    "price_line_wear",
    "price_line_glass",
    "price_line_own",
    "price_line_sold",
    # the bench
    "furnace_rate",
    "overhead_hour",
    "low_rate",
    # what was made
    "made_pieces",
    "made_value_total",
    "made_recovered",
    # each piece
    "cost_good",
    "tag_suggested",
    "tag_in_force",
    "margin_worst",
    "lowest_worst",
)
"""Scalars and columns alike: of the period columns the first row, all time, is meant; of the piece columns,
each row that has a name."""

OF_SEVERAL: tuple[str, ...] = (
    "all_price_hot",
    "all_price_line_own",
    "all_happened",
    "each_price_line_own",
    "each_furnace_rate",
)
"""What a book with several furnaces has besides: of all of them, and a row for each."""
