"""What a furnace does in a generated studio: its log, its tariff, its parts."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from meltbook.studio.capacity import Capacity
from tests.strategies.chance import Chance, without_blanks

Row = dict[str, Any]

KINDS = ("Heat-up", "Charge", "Blow", "Idle", "Cold")
LONG_RUN = ("Heat-up", "Charge", "Blow", "Charge", "Idle", "Charge", "Blow", "Idle", "Cold")
SHORT_RUN = ("Heat-up", "Charge", "Idle")
ONE_CHARGE = ("Charge",)
FIRST_DAYS = (date(2025, 6, 1), date(2024, 2, 27), date(2023, 12, 28), date(2026, 1, 1))
PART_NAMES = ("Pot", "Elements", "Door")
GLASSES = ("Clear", "Cullet")


def furnace(chance: Chance, meter: str) -> Row:
    """The furnace's sheet: kW by one of the three ways, and what it cost."""
    owned = chance.likely(85)
    return without_blanks(
        {
            "meter_kind": meter,
            "opening_reading": chance.of(None, 0.0, 40.0),
            "connected_kw": chance.odd(chance.of(12.0, 12.0, None), 0.0, None),
            "measured_amps": chance.of(50.0, None),
            "measured_volts": chance.odd(240.0, None),
            "measured_phases": chance.of(None, 1, 3),
            "nameplate_kw": chance.of(14.0, None),
            "nameplate_volts": chance.odd(240.0, None, 0.0),
            "supply_volts": chance.odd(230.0, None),
            "cullet_share": chance.of(None, 0.0, 0.15, 1.0),
            "furnace_purchase": chance.odd(chance.of(12000.0, 0.0) if owned else None, None),
            "furnace_worth_end": chance.of(None, 500.0),
            "furnace_life": chance.odd(10.0, 0.0, None),
            "furnace_maintenance": chance.of(None, 300.0),
        }
    )


def day_kinds(chance: Chance, meter: str) -> list[Row]:
    """How days share a reading: alike, idle days less, or each in its own way, one of them not at all."""
    weights = chance.of((None,) * 6, (1.0, 1.0, 1.0, 0.6), (1.25, 1.0, 0.75, 0.55), (0.1, 0.3, 0.2, 0.1), (1.0, 0.0))
    metered = meter != "No meter"
    rows = []
    for at in range(6):
        weight = weights[at] if at < len(weights) else None
        use = chance.of(260.0, 120.0, 0.3) if not metered or chance.strange() else None
        rows.append(without_blanks({"weighting": chance.odd(weight, 0.0, 2.0), "use": chance.odd(use, None, 0.0)}))
    return rows


# ---------------------------------------------------------------------------------------------------- the log


def log(chance: Chance, meter: str, capacity: Capacity, first: date) -> list[Row]:
    """Rows of a log, or none, or one."""
    rows = _Log(chance, meter, first)
    count = chance.of(1, 1, 0) if chance.likely(10) else chance.whole(max(1, capacity.log // 3), capacity.log)
    while len(rows.made) < count:
        if chance.likely(7):
            rows.made.append({})
        elif meter != "No meter" and rows.made and chance.likely(rows.meters):
            rows.new_meter()
        else:
            rows.stretch(last=len(rows.made) == count - 1)
    return rows.made[:count]


class _Log:
    """A log that is being written, and what its writer has to remember: the day and the meter."""

    def __init__(self, chance: Chance, meter: str, first: date) -> None:
        self.chance = chance
        self.metered = meter != "No meter"
        self.day = first
        self.reading = chance.of(40.0, 120.5, 0.1)
        self.made: list[Row] = []
        self.at = chance.whole(0, 3)
        self.lengths = chance.of((1, None, 2, 3, 0), (None, 1, 5, 14, 0), (14, 30, 61, 7, 0))
        self.run = chance.of(LONG_RUN, SHORT_RUN, LONG_RUN, SHORT_RUN, ONE_CHARGE)
        self.every = chance.of(40, 90, 12, 40, 90, 12, 12, 0)  # how many of a hundred rows are read
        self.meters = chance.of(2, 2, 12)  # ... and how many bring a new meter
        self.gathers = chance.likely(80)
        self.unit = chance.of(0.1, 1.0, 30.0)  # of the readings: 0.1 + 0.2 is not 0.3 for a computer

    def new_meter(self) -> None:
        """The old meter's last reading, and the new one's first; now and then one of them is forgotten."""
        if not self.chance.strange(3):
            self.made.append({"kind": "Idle", "days": 0, "reading": self.read()})
        self.reading = self.chance.of(0.0, 0.3, 12.0)
        row = {"kind": "New meter", "reading": self.chance.of(self.reading, self.reading, None)}
        if row["reading"] is None:
            self.reading = 0.0
        self.made.append(without_blanks({**row, "new_kw": self.chance.of(None, 14.5)}))

    def read(self) -> float:
        use = self.chance.of(1, 2, 3, 7) * self.unit
        back = self.chance.strange(0.5)
        self.reading = max(0.0, round(self.reading + (-use if back else use), 2))
        return self.reading

    def stretch(self, last: bool) -> None:
        chance = self.chance
        kind = chance.odd(self.run[self.at % len(self.run)], *KINDS)
        self.at += chance.of(1, 1, 2, 0)
        days = chance.of(*self.lengths)
        row: Row = {"kind": kind, "days": days}
        if not self.made or chance.likely(25):
            self.day += timedelta(days=chance.odd(0, 0, 1, -1, 30))
            row["date"] = chance.odd(self.day, self.day, self.day, None)
        self.day += timedelta(days=1 if days is None else days)
        if kind == "Charge" or chance.likely(6):
            self.charge(row)
        elif self.gathers and kind == "Blow":
            row["gathers"] = chance.whole(0, 60)
        if self.metered and (chance.likely(self.every) or (last and self.every and not chance.strange(2))):
            row["reading"] = self.read()
        row["new_kw"] = chance.odd(None, 9.5)
        row["note"] = chance.odd(None, "=1+1 & a note")
        self.made.append(without_blanks(row if not chance.strange(0.3) else chance.of({"note": "later"}, {"days": 3})))

    def charge(self, row: Row) -> None:
        chance = self.chance
        row["weight"] = chance.odd(chance.of(150.0, chance.hundredths(1, 300), 0.1, 0.2), None, 0.0)
        row["charges"] = chance.of(None, 1, 2, 0)
        row["glass"] = chance.odd(chance.of(None, *GLASSES), "Unknown glass")
        if self.gathers:
            row["gathers"] = chance.whole(0, 60)


# ------------------------------------------------------------------------------------------------- the tariff


def tariffs(chance: Chance, most: int, first: date) -> list[Row]:
    """Letters of the utility, from before the log on; each after the one before, but for odd ones."""
    rows: list[Row] = []
    day = first + timedelta(days=chance.odd(chance.of(-400, -1, 0), 3, 60))
    steps = chance.of((40, 9, 3), (366, 120), (1, 2))
    for _ in range(chance.odd(chance.of(chance.whole(1, most), most), 0)):
        if chance.likely(8):
            rows.append({})
            continue
        rows.append(_letter(chance, day))
        day += timedelta(days=chance.odd(chance.of(*steps), 0, -5))
    return rows


def _letter(chance: Chance, day: date) -> Row:
    row: Row = {
        "start": chance.odd(day, None),
        "price": chance.odd(chance.of(0.1, 0.3, 0.15, 0.2, 0.07, 0.21), None, 14.0, 0.0),
    }
    if chance.likely(30):
        row |= {"price_two": chance.of(0.2, 0.1), "share_one": 0.45, "share_two": chance.odd(0.55, 0.3, None)}
    if chance.likely(20):
        shares = {"share_one": 0.1, "share_two": 0.2, "share_three": chance.odd(0.7, 0.25)}
        row |= {"price_two": 0.2, "price_three": 0.07} | shares
    row["surcharge"] = chance.of(None, 0.01, -0.02, 0.2)
    row["tax"] = chance.of(None, 0.07, 0.2)
    if chance.likely(50):
        row |= {"service": chance.hundredths(0, 60), "service_per": chance.of("Month", "Day", None)}
        row["service_share"] = chance.of(None, 0.6, 0.0)
    if chance.likely(40):
        row |= {"demand": chance.hundredths(0, 20), "demand_kw": chance.odd(chance.of(14.0, 7.5), None)}
        row["demand_share"] = chance.of(None, 0.7)
    row["block"] = chance.odd(None, "Yes")
    return without_blanks(row)


# -------------------------------------------------------------------------------------------------- the parts


def part_kinds(chance: Chance, most: int) -> list[Row]:
    """The kinds of part, each counted in its own way."""
    return [
        without_blanks(
            {
                "name": chance.odd(name, None),
                "basis": chance.of(basis, basis, "Heat-ups", None),
                "life": chance.odd(chance.of(100.0, 0.3), None, 0.0),
                "cost_now": chance.of(None, 700.0),
                "gone": chance.of(None, "No", "Yes"),
            }
        )
        for name, basis in zip(PART_NAMES[:most], ("Charges", "Hot days", "Heat-ups"), strict=False)
    ]


def ledger(chance: Chance, most: int, first: date) -> list[Row]:
    """Parts that were fitted, before the log or in it; often so many pots that their own lives count."""
    rows: list[Row] = []
    names = chance.of(PART_NAMES, ("Pot",), ("Pot", "Elements"))
    for _ in range(chance.odd(chance.whole(1, most), 0)):
        fitted = first + timedelta(days=chance.of(-40, 0, 3, 11, 90, 400))
        gone = chance.of(None, fitted + timedelta(days=8), fitted + timedelta(days=40), fitted)
        row: Row = {
            "name": chance.odd(chance.of(*names), "Unknown part", None),
            "installed": chance.odd(fitted, None),
            "retired": chance.odd(gone, fitted - timedelta(days=3)),
            "cost": chance.odd(chance.hundredths(1, 3000), None, 0.0),
            "uses_before": chance.of(None, 12.0),
            "life": chance.odd(chance.of(None, 80.0), 0.0),
            "why": chance.of(None, "Cracked", "Leaking", "Planned"),
        }
        rows.append(without_blanks(row))
    return rows


def letter(chance: Chance, first: date) -> Row:
    """A letter on the table; no owner has one all the time."""
    if not chance.likely(80):
        return {"retag_tolerance": chance.odd(0.01, None)}
    cents = chance.of(None, "Money", "Cents")
    price = chance.of(None, 0.2, 0.26, 0.9)
    shares = chance.likely(20)
    return without_blanks(
        {
            "letter_start": first + timedelta(days=chance.of(3, 12, 60, 400, -900)),
            "letter_in": cents,
            "letter_tax_in": chance.of(None, "Without tax", "With tax"),
            "letter_change": chance.of(None, 0.08, -0.2, 0.6),
            "letter_price": None if price is None else price * (100 if cents == "Cents" else 1),
            "letter_price_two": chance.of(None, None, 0.12),
            "letter_price_three": chance.of(None, None, 0.05),
            "letter_share_one": 0.4 if shares else None,
            "letter_share_two": 0.35 if shares else None,
            "letter_share_three": 0.25 if shares else None,
            "letter_surcharge": chance.of(None, 0.01, -0.01),
            "letter_tax": chance.of(None, 0.19),
            "letter_service": chance.of(None, 50.0),
            "letter_service_per": chance.of(None, "Day", "Month"),
            "letter_demand": chance.of(None, 7.0),
            "letter_demand_kw": chance.of(None, 11.0),
            "letter_reference": chance.of(None, "Letter of May"),
            "retag_tolerance": chance.of(0.01, 0.0, 0.2),
        }
    )


def decisions(chance: Chance) -> Row:
    """What the owner knows for the decisions: all of it, some, or nothing."""
    if chance.likely(25):
        return {}
    return without_blanks(
        {
            "pot_kind": chance.of(None, "Pot", "Elements", chance.odd(None, "Crown")),
            "gap_days": chance.of(None, 1.0, 2.5, 6.0, 14.0, 0.0),
            "idle_day_typed": chance.of(None, None, 120.0, chance.odd(90.5, 0.0)),
            "cooling_days": chance.of(None, 1.0, 2.0),
            "cooling_use": chance.of(None, 30.0),
            "heatup_days_typed": chance.of(None, 3.0, 0.0),
            "heatup_use_typed": chance.of(None, 800.0, chance.odd(640.0, 0.0)),
            "crack_chance": chance.of(None, 0.05, 0.1, 1.0),
            "glass_worth": chance.of(None, 150.0),
            "cold_labour": chance.of(None, 80.0),
            "day_value": chance.of(None, 0.0, 120.0),
            "saving_share": chance.of(None, 0.02, 0.005, chance.odd(0.001, 0.0, 1.0)),
            "full_charge": chance.of(None, 150.0, chance.odd(80.0, 0.0)),
            "shape_typed": chance.of(None, 1.0, 0.7, 3.5, 20.0),
            "planned_typed": chance.of(None, 900.0, chance.odd(1200.0, 0.0)),
            "repair_cost": chance.of(None, 300.0),
            "lost_days": chance.of(None, 5.0),
        }
    )
