"""Campaigns, and which rows of the log count.

A run of Heat-up rows is one start, and a campaign runs from it to the row before the next start. Rows
before the first start are campaign 1; that start then begins campaign 2. Rows of 0 days (a reading, a new
meter) neither break a run of Heat-ups nor begin a campaign.

Measured rows are those whose energy and price are both known. Every figure of the cost of glass uses them
only, so that use, weight, charges and days always belong together.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Item, Shape


def log_columns() -> tuple[Figure, ...]:
    """The log's columns for starts, campaigns and measured rows."""
    return (
        Figure(
            "run_kind",
            "Kind running",
            Shape.COUNT,
            note="The kind of the last row with days in it.",
            formula="IF(row_days>0,row_kind,run_kind.prev)",
            seed=0,
        ),
        Figure(
            "row_starts",
            "Starts",
            Shape.COUNT,
            note="1 on the first row of a run of Heat-up rows.",
            formula="IF(AND(row_kind=heatup_kind,row_days>0,run_kind.prev<>heatup_kind),1,0)",
        ),
        Figure(
            "campaign_no",
            "Campaign",
            Shape.COUNT,
            note="Goes up by 1 at each start; rows before the first start are campaign 1.",
            formula="campaign_no.prev+IF(AND(row_days>0,OR(campaign_no.prev=0,row_starts=1)),1,0)",
            seed=0,
        ),
        Figure(
            "row_measured",
            "Measured",
            Shape.COUNT,
            note="1 if a good reading closes the row's stretch (or no meter is used) and a price is in force.",
            formula="IF(AND(row_kind>0,energy_known=1,row_priced=1,OR(meter_code=no_meter_code,stretch_state=1)),1,0)",
            seed=0,
            end=0,
        ),
        Figure(
            "row_own",
            "Tells its own use",
            Shape.COUNT,
            note="1 if the row's energy is its own kind's, not a share of a stretch of several kinds.",
            formula="IF(AND(row_measured=1,OR(own_basis=1,stretch_kind=row_kind)),1,0)",
        ),
        Figure(
            "measured_to",
            "Measured up to",
            Shape.DATE,
            note="The last day of a measured row.",
            formula="IF(row_measured=1,next_day-1,0)",
        ),
        Figure(
            "row_past",
            "Days past your dates",
            Shape.DAYS,
            note="How far a row that begins between your dates runs on after them.",
            formula="IF(AND(row_measured=1,first_day>=chosen_from,first_day<=chosen_to),MAX(0,next_day-1-chosen_to),0)",
        ),
    )


def log_scalars() -> tuple[Item, ...]:
    """Counts over the whole log."""
    return (
        Figure(
            "campaign_count",
            "Campaigns",
            Shape.COUNT,
            note="How many campaigns the log holds.",
            formula="MAX(campaign_no.all)",
        ),
        Figure(
            "starts_all",
            "Heat-ups",
            Shape.COUNT,
            note="How many times the furnace was brought up, over all rows.",
            formula="SUM(row_starts.all)",
        ),
    )
