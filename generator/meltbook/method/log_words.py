"""What each row of the log says about itself: what is wrong with it, what it waits for, and what it cost."""

from __future__ import annotations

from meltbook.method.constants import CHARGE, FAULT_WORDS, FLOW_WORDS, NEW_METER, NO_METER
from meltbook.method.energy import FELL_BACK, WAITING, FurnaceLog, LogDay

NO_KIND, NOT_A_NUMBER, UNKNOWN_GLASS, STRAY_KW = 1, 2, 3, 4
NO_DATE, OVERLAP, GAP = 1, 2, 3
READING_BACK, METER_NOT_READ, TOO_MANY_HOURS = 4, 5, 9
NO_TARIFF, CHARGES_ASKED, WAITS = 6, 7, 8


def mark_rows(log: FurnaceLog) -> None:
    """Judge every row, then fill in what it shows."""
    carried_open = False  # hot days since the last reading, with no reading at the end of the row above
    for row in log.rows:
        row.row_typed = sum(value not in (None, "") for _, value in row.typed)
        row.row_other_fault = _other_fault(row)
        row.row_fault = _fault(row)
        if row.row_kind:
            row.row_flow_dates = _dates(row)
            row.row_flow_reading = _reading(row, carried_open)
            row.row_flow_rest = _rest(row, log.meter.meter_code)
            row.row_flow = row.row_flow_dates or row.row_flow_reading or row.row_flow_rest
            row.log_day_shown = row.first_day or None
            row.log_campaign_shown = row.campaign_no or None
            if row.row_measured:
                row.log_energy_shown = row.energy_used
                row.log_cost_shown = row.energy_cost
        carried_open = row.days_since > 0 and row.stretch_close == 0
        if row.row_fault:
            row.log_status = FAULT_WORDS[row.row_fault - 1]
        elif row.row_flow:
            row.log_status = FLOW_WORDS[row.row_flow - 1]


def _fault(row: LogDay) -> int:
    """A studio's values are checked when they are read, so text where a number belongs can't come up here."""
    if row.row_kind == 0:
        return NO_KIND if row.row_typed else 0
    return row.row_other_fault


def _other_fault(row: LogDay) -> int:
    if row.row_kind == 0:
        return 0
    if row.typed.weight is not None and row.row_glass == 0:
        return UNKNOWN_GLASS
    if row.typed.new_kw is not None and row.row_kind != NEW_METER:
        return STRAY_KW
    return 0


def _dates(row: LogDay) -> int:
    if row.first_day == 0:
        return NO_DATE
    if row.day_gap < 0:
        return OVERLAP
    return GAP if row.day_gap > 0 else 0


def _reading(row: LogDay, carried_open: bool) -> int:
    if row.stretch_close == FELL_BACK:
        return READING_BACK
    if row.row_kind == NEW_METER and carried_open:
        return METER_NOT_READ
    return TOO_MANY_HOURS if row.hours_over else 0


def asks_for_charges(row: LogDay) -> bool:
    """A Charge row of several days without its charges: one is counted, and that may be wrong."""
    return row.row_kind == CHARGE and row.row_days > 2 and row.typed.charges is None


def _rest(row: LogDay, meter_code: int) -> int:
    if row.row_priced == 0:
        return NO_TARIFF
    if asks_for_charges(row):
        return CHARGES_ASKED
    return WAITS if row.stretch_state == WAITING and meter_code != NO_METER else 0
