"""Studios made up by throwing dice, with every table full to its last row.

A mutant that loses the last row of a range is only seen where the last row says something, and one that takes
the field next door only where the two differ. So here every prepared row is used, hardly two numbers are equal,
and ``filled`` says how likely an optional cell is typed. ``odd`` says how likely something is that a careful owner
would not do: a row left out, a name that is not on the list, a part retired before it was fitted, a 0. The dice
are Python's own and the same every time.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from random import Random
from typing import Any, TypeVar

from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

T = TypeVar("T")

GLASSES = ("Clear", "Cullet", "Opal", "Jade")
LETTERS, DECISIONS, BILLS, MACHINES, HIRE = 10_000, 20_000, 30_000, 40_000, 60_000
"""These have dice of their own: the rest of a studio is what it was without them."""

KINDS_OF_PART = ("Pot", "Elements", "Door", "Burner", "Floor")
RUN = ("Heat-up", "Heat-up", "Charge", "Blow", "Charge", "Idle", "Cold")
"""A campaign as a studio runs it; the dice leave some out and repeat others."""

FED = ("Glory hole", "Annealer", "Other equipment")

Row = dict[str, Any]

STRAY: Row = {"note": "to be continued"}
NO_KIND: Row = {"days": 3, "charges": 2, "weight": 44.0, "gathers": 12.0, "reading": 61.5, "new_kw": 9.5}
STRAY_KW: Row = {"kind": "Idle", "new_kw": 11.5, "weight": 0.0, "glass": "Not listed"}


class Dice:
    """Throws that are the same in every release of Python, since they use ``random()`` alone."""

    def __init__(self, seed: int, filled: float, odd: float) -> None:
        self._random = Random(seed).random
        self.filled = filled
        self._odd = odd

    def odd(self, likely: float = 1) -> bool:
        """Whether something odd happens here."""
        return self.chance(self._odd * likely)

    def chance(self, share: float) -> bool:
        return self._random() < share

    def of(self, choices: Sequence[T]) -> T:
        return choices[int(self._random() * len(choices))]

    def number(self, low: float, high: float) -> float:
        """A number with two digits behind the point; now and then 0 or a half, among odd things."""
        if self.odd(0.3):
            return self.of((0.0, 0.0, 0.5))
        return self.more(low, high)

    def more(self, low: float, high: float) -> float:
        """A number that is never 0."""
        return round(low + self._random() * (high - low), 2)

    def whole(self, low: int, high: int) -> int:
        return low + int(self._random() * (high + 1 - low))

    def row(self, **cells: Any) -> Row:
        """The cells of a row, each there or left blank."""
        return {name: value for name, value in cells.items() if value is not None and self.chance(self.filled)}


def invented(seed: int, room: Capacity, filled: float = 1.0, odd: float = 0.0) -> Studio:
    """One studio."""
    dice = Dice(seed, filled, odd)
    metered = dice.chance(0.85)
    first = date(2024, 2, 20) + timedelta(days=dice.whole(0, 20))
    log, days = _log(dice, first, metered, room.log)
    last = days[-1]
    data: Row = {
        "shop": _shop(dice, first, last, days),
        "furnace": _furnace(dice, metered),
        "wear": {
            "wear_method": dice.of(("Used up", "Paid")),
            "wear_counted": "None" if dice.chance(0.1) else "Count",
        },
        "day_kinds": [
            dice.row(weighting=dice.number(0.4, 1.6), use=dice.number(20, 300)) for _ in range(room.day_kinds)
        ],
        "glasses": [dice.row(price=dice.number(0.3, 2)) | {"name": name} for name in GLASSES[: room.glasses]],
        "people": [dice.row(rate=dice.number(12, 60), hired=dice.of(("Yes", "No"))) for _ in range(room.people)],
        "overheads": [
            dice.row(amount=dice.number(100, 4000), per=dice.of(("Month", "Year"))) for _ in range(room.overheads)
        ],
        "equipment": [
            dice.row(
                cost=dice.number(1, 40),
                per=dice.of(("Hour", "Day", "Load")),
                hours=dice.number(3, 20) if dice.chance(0.6) else None,
            )
            for _ in range(room.equipment)
        ],
        "channels": [_channel(dice, number) for number in range(1, room.channels + 1)],
        "tariffs": _tariffs(dice, first, last, room.tariffs),
        "log": log,
        "part_kinds": [
            dice.row(
                basis=dice.of(("Charges", "Hot days", "Heat-ups")),
                life=dice.number(20, 200),
                cost_now=dice.number(200, 3000) if dice.chance(0.5) else None,
                gone=dice.of(("Yes", "No", None)),
            )
            | ({} if dice.odd() else {"name": name})
            for name in KINDS_OF_PART[: room.part_kinds]
        ],
        "ledger": [_part(dice, first, last, room.part_kinds) for _ in range(room.ledger)],
        "pieces": [_piece(dice, number, room.glasses) for number in range(1, room.pieces + 1)],
        "letter": _letter(Dice(LETTERS + seed, 0.6 * filled, odd), days),
        "decisions": _decisions(Dice(DECISIONS + seed, 0.75 * filled, odd), room.part_kinds),
        "bills": [_bill(dice, days) for dice in [Dice(BILLS + seed, 0.95 * filled, odd)] for _ in range(6)],
    }
    data |= _machines(Dice(MACHINES + seed, 0.85 * filled, odd), data["equipment"], room.machines)
    data |= _hire(Dice(HIRE + seed, 0.9 * filled, odd), room.courses)
    return Studio.model_validate(data)


def _shop(dice: Dice, first: date, last: date, days: Sequence[date]) -> Row:
    span = (last - first).days
    turned = [day + timedelta(days=364) for day in days if day + timedelta(days=364) <= last]
    shop = dice.row(
        studio_name="North Shed",
        sales_tax=dice.number(0.03, 0.25),
        pricing_date=_priced_on(dice, first, span, turned),
        period_from=dice.of(days),
        period_to=dice.of(days),
        ordinary_weight=dice.number(3000, 9000) if dice.chance(0.6) else None,
        ordinary_hours=dice.number(400, 1500),
        window_hours=dice.number(50, 900) if dice.chance(0.6) else None,
        paid_factor=dice.number(1, 1.5),
        minutes_a_day=dice.number(100, 400),
        share_drawn=dice.number(0.5, 0.95),
        share_in_pieces=dice.number(0.4, 0.9) if dice.chance(0.6) else None,
        share_good=dice.number(0.6, 0.98),
        gather_weight=dice.number(0.3, 0.9) if dice.chance(0.5) else None,
        tag_ending=dice.of((0.0, 0.5, 0.9, 0.95)),
        price_limit=dice.number(0.2, 1),
        recovery_tolerance=dice.number(0.1, 0.5),
        rank_channel="Nowhere" if dice.odd() else f"Way {dice.whole(1, 6)}",
        picture_piece="Nothing" if dice.odd() else f"Piece {dice.whole(1, 5)}",
    )
    for name in ("paid_factor", "share_drawn", "recovery_tolerance", "tag_ending"):
        shop.setdefault(name, None)
    return shop | {
        "weight_unit": dice.of(("lb", "kg")),
        "currency": dice.of(("USD", "EUR", "JPY", "KWD")),
        "tax_inside": dice.of(("Yes", "No")),
        "furnace_by": dice.of(("Weight", "Weight", "Gathers", "Bench minutes")),
        "tag_step": dice.of((1.0, 0.05, 5.0, 0.5)),
        "made_when": dice.of(("All time", "Between your dates")),
    }


def _priced_on(dice: Dice, first: date, span: int, turned: Sequence[date]) -> date | None:
    """The day of the prices: often one whose twelve months begin on the very day of a row."""
    if turned and dice.chance(0.6):
        return dice.of(turned)
    if dice.chance(0.4):
        return None
    return first + timedelta(days=dice.whole(-9 if dice.odd(2) else span // 2, span + 60))


def _furnace(dice: Dice, metered: bool) -> Row:
    return dice.row(
        opening_reading=dice.number(1, 90),
        connected_kw=dice.number(8, 20) if dice.chance(0.5) else None,
        measured_amps=dice.number(20, 70) if dice.chance(0.7) else None,
        measured_volts=dice.number(220, 400),
        measured_phases=dice.of((1, 3)),
        measured_on=date(2024, 1, 5),
        nameplate_kw=dice.number(8, 20),
        nameplate_volts=dice.number(220, 400),
        supply_volts=dice.number(220, 400),
        cullet_share=dice.number(0.05, 0.9),
        furnace_purchase=dice.number(3000, 30000),
        furnace_worth_end=dice.number(100, 2000),
        furnace_life=dice.number(5, 20),
        furnace_maintenance=dice.number(100, 900),
    ) | {"meter_kind": dice.of(("Hour meter", "Hour meter", "kWh meter")) if metered else "No meter"}


def _log(dice: Dice, first: date, metered: bool, rows: int) -> tuple[list[Row], list[date]]:
    """The rows, and the days on which they begin; the last of these is when the log ends."""
    log: list[Row] = []
    slow = dice.more(0, 1)
    reading, day = dice.number(50, 500), first
    begins: list[date] = []
    while len(log) < rows:
        for kind in RUN if log else RUN[dice.whole(0, 6) :]:
            if len(log) == rows or dice.chance(0.25):
                continue
            if dice.odd():
                log.append(dice.of(({}, STRAY, NO_KIND, STRAY_KW)))
                continue
            if metered and dice.chance(0.05):
                reading = dice.number(0, 40)
                cells = dice.row(reading=reading, new_kw=dice.of((None, dice.number(8, 20))))
                log.append({"kind": "New meter"} | cells | ({"days": 2} if dice.odd(3) else {}))
                continue
            days = dice.of((None, 1, 2, 3, 5, 9, 14, 30, 0) if slow < 0.5 else (None, 2, 9, 30, 60, 90, 0))
            row: Row = {"kind": kind} | ({} if days is None else {"days": days})
            if not (log or dice.odd(3)) or dice.chance(0.3):
                day += timedelta(days=dice.of((0, 0, 0, 1, 4, -1) if dice.odd(5) else (0,)))
                row["date"] = day
            begins.append(day)
            day += timedelta(days=1 if days is None else days)
            last_row = len(log) == rows - 1
            if kind == "Charge" or last_row or dice.chance(0.1):
                row |= dice.row(
                    weight=dice.number(20, 400),
                    charges=dice.whole(1, 5),
                    glass=dice.of((*GLASSES[:3], None, "Not listed" if dice.chance(0.05) else None)),
                    gathers=dice.number(10, 90),
                )
            if metered and (last_row or dice.chance(0.45)):
                reading = round(max(0, reading + (-10 if dice.odd() else dice.number(5, 200))), 2)
                row["reading"] = reading
            if dice.chance(0.1):
                row["note"] = "slow morning"
            log.append(row)
    return log[:rows], [*begins, day]


def _tariffs(dice: Dice, first: date, last: date, rows: int) -> list[Row]:
    step = max(1, (last - first).days // rows)
    by_time = [dice.chance(0.5) for _ in range(rows)]
    return [
        dice.row(
            price_two=dice.number(0.05, 0.5),
            price_three=dice.number(0.05, 0.5),
            share_one=dice.number(0.1, 0.5) if shared else None,
            share_two=dice.number(0.1, 0.5) if shared else None,
            share_three=dice.number(0.1, 0.5) if shared else None,
            surcharge=dice.number(-0.03, 0.06),
            tax=dice.number(0.05, 0.25),
            service=dice.number(1, 30),
            service_per=dice.of(("Day", "Month")),
            service_share=dice.number(0.1, 1),
            demand=dice.number(1, 20),
            demand_kw=dice.number(5, 20),
            demand_share=dice.number(0.1, 1),
            block=dice.of(("Yes", "No")),
        )
        | ({} if dice.odd() else {"start": first + timedelta(days=_starts(dice, number, step))})
        | ({} if dice.odd() else {"price": dice.number(0.08, 0.4) * (4 if dice.chance(0.1) else 1)})
        for number, shared in enumerate(by_time)
    ]


def _starts(dice: Dice, number: int, step: int) -> int:
    """On which day after the log's first a letter comes into force."""
    if dice.odd():
        return (number - 1) * step
    return number * step - dice.whole(0, 1) - (0 if number or dice.odd(4) else 5)


def _part(dice: Dice, first: date, last: date, kinds: int) -> Row:
    span = (last - first).days
    fitted = first + timedelta(days=dice.whole(-40, span))
    gone = fitted + timedelta(days=dice.whole(-9 if dice.odd() else 0, span)) if dice.chance(0.6) else None
    cells = {"name": "Unknown" if dice.odd() else dice.of(KINDS_OF_PART[:kinds]), "installed": fitted}
    cells["cost"] = dice.number(100, 4000)
    return dice.row(
        retired=gone,
        uses_before=dice.number(1, 20),
        life=dice.number(20, 200) if dice.chance(0.5) else None,
        why=dice.of(("Cracked", "Leaking", "Planned", "Other")) if gone else None,
    ) | {key: value for key, value in cells.items() if not dice.odd(0.5)}


def _channel(dice: Dice, number: int) -> Row:
    return dice.row(
        tag_share=dice.number(0.5, 1),
        commission=1.0 if dice.odd(0.5) else dice.number(0.05, 0.5),
        fee=1.0 if dice.odd(0.3) else dice.number(0.01, 0.1),
        fee_base=dice.of(("What is left", "Tag", "Tag with tax")),
        fixed_fee=dice.number(0.1, 2),
        postage_paid=dice.number(3, 15),
        postage_charged=90.0 if dice.odd() else dice.number(2, 12),
        lost_share=dice.number(0.01, 0.2),
        lost_how=dice.of(("Replaced", "Refunded")),
        margin=1.0 if dice.odd(0.5) else dice.number(0.1, 0.6),
        must_earn="Yes" if dice.chance(0.7) else "No",
    ) | ({} if dice.odd() else {"name": f"Way {number}"})


def _piece(dice: Dice, number: int, glasses: int) -> Row:
    return dice.row(
        size=f"{number + 3} in",
        order=dice.number(1, 9) if dice.chance(0.7) else None,
        glass="Not listed" if dice.odd(0.5) else dice.of(GLASSES[:glasses]),
        drawn=dice.number(1, 6) if dice.chance(0.6) else None,
        gathers=dice.number(1, 6),
        finished=dice.number(0.5, 5),
        recovered=dice.number(0.1, 0.9),
        colour_weight=dice.number(0.05, 0.5),
        colour_price=dice.number(10, 40),
        colour_waste=dice.number(0.05, 0.5),
        materials=dice.number(0.2, 4),
        minutes=dice.number(8, 90),
        first_minutes=dice.number(4, 60),
        second_minutes=dice.number(2, 30),
        off_minutes=dice.number(2, 40),
        glory_minutes=dice.number(5, 60) if dice.chance(0.5) else None,
        other_minutes=dice.number(5, 60),
        per_load=dice.more(2, 30),
        load_share=dice.number(0.02, 0.4) if dice.chance(0.5) else None,
        loss=dice.number(0.02, 0.4),
        seconds=dice.number(0.1, 0.9),
        second_value=dice.number(2, 30),
        loss_after=dice.number(0.01, 0.2) if dice.chance(0.7) else None,
        seconds_after=dice.number(0.1, 0.9),
        second_value_after=dice.number(2, 30),
        packing=dice.number(0.5, 5),
        made=float(dice.whole(1, 60)),
        tag=dice.number(20, 300) if dice.chance(0.5) else None,
        listed=dice.of(("Yes", "Yes", "No")),
    ) | ({} if dice.odd() else {"name": f"Piece {dice.of((1, 2)) if dice.odd() else number}"})


def _letter(dice: Dice, days: Sequence[date]) -> Row:
    """A letter that changes some things and leaves others, from about a day on which a row of the log begins."""
    cents = dice.of(("Money", "Cents", None))
    dear = 100 if cents == "Cents" else 1
    shared = dice.chance(0.4)

    def price(low: float, high: float) -> float:
        return dice.number(low, high) * dear

    start = dice.of(days) + timedelta(days=dice.of((0, 0, 1, 2, 40, -60 if dice.odd() else 0)))
    letter = dice.row(
        letter_tax_in=dice.of(("Without tax", "With tax", "With tax")),
        letter_change=dice.number(-0.3, 0.9),
        letter_price=price(0.1, 0.5) * (5 if dice.chance(0.1) else 1),
        letter_price_two=price(0.06, 0.6),
        letter_price_three=price(0.06, 0.6),
        letter_share_one=dice.number(0.1, 0.5) if shared else None,
        letter_share_two=dice.number(0.1, 0.5) if shared else None,
        letter_share_three=dice.number(0.1, 0.5) if shared else None,
        letter_surcharge=price(-0.03, 0.06),
        letter_tax=dice.number(0.05, 0.25),
        letter_service=dice.number(1, 30),
        letter_service_per=dice.of(("Day", "Month")),
        letter_demand=dice.number(1, 20),
        letter_demand_kw=dice.number(5, 20),
        letter_reference="Letter of May",
        retag_tolerance=dice.number(0.01, 0.2),
    ) | {"letter_in": cents, "letter_start": None if dice.odd() else start}
    return {"retag_tolerance": None} | letter  # left out, it would be what a new book has


def _decisions(dice: Dice, kinds: int) -> Row:
    """What the owner knows for the decisions."""
    return dice.row(
        pot_kind=dice.of((*KINDS_OF_PART[:kinds], None, "Crown" if dice.odd() else None)),
        gap_days=dice.of((float(dice.whole(1, 40)), dice.number(1, 30))),
        idle_day_typed=dice.number(60, 200) if dice.chance(0.5) else None,
        cooling_days=float(dice.whole(0, 3)),
        cooling_use=dice.number(5, 40),
        heatup_days_typed=float(dice.whole(1, 5)) if dice.chance(0.6) else None,
        heatup_use_typed=dice.number(300, 1500) if dice.chance(0.6) else None,
        crack_chance=dice.number(0.01, 0.3),
        glass_worth=dice.number(20, 300),
        cold_labour=dice.number(20, 300),
        day_value=dice.number(5, 200),
        saving_share=dice.of((dice.number(0.01, 0.1), round(dice.more(0.1, 5), 1) / 100)),
        full_charge=dice.number(40, 300) if dice.chance(0.6) else None,
        shape_typed=dice.of((0.8, 1.0, 2.5, 4.0)),
        planned_typed=dice.number(200, 2000) if dice.chance(0.6) else None,
        repair_cost=dice.number(50, 9000),
        lost_days=float(dice.whole(1, 12)),
    )


def _bill(dice: Dice, days: Sequence[date]) -> Row:
    """A bill that begins and ends on, or near, days on which rows of the log begin."""
    start = dice.of(days) + timedelta(days=dice.of((0, 0, 1, -1)))
    bill = dice.row(
        start=start,
        end=start + timedelta(days=dice.whole(-1 if dice.odd() else 0, 40)),
        use=dice.number(200, 9000),
        metered=dice.number(20, 900),
        estimated=dice.number(20, 900),
        ref="May",
    )
    return bill


def _machines(dice: Dice, equipment: Sequence[Row], rows: int) -> Row:
    """Machines for the equipment on Shop, some of which loses its typed cost to them."""
    kept = [{} if dice.chance(0.6) else row for row in equipment]
    machines = []
    for number in range(1, rows + 1):
        row = dice.row(
            feeds=dice.of((*FED, *FED, None)),
            use=dice.number(0.5, 60),
            hours=dice.number(3, 20) if dice.chance(0.4) else None,
            metered=dice.number(10, 90) if dice.chance(0.4) else None,
            metered_runs=dice.number(1, 9),
            price=dice.number(0.5, 4) if dice.chance(0.3) else None,
            runs=dice.number(20, 900),
            purchase=dice.number(400, 9000),
            worth_end=dice.number(10, 300),
            life=dice.number(4, 20),
            upkeep=dice.number(20, 400),
        )
        if not dice.odd():
            row |= {"per": dice.of(("Hour", "Hour", "Day", "Load", "Load"))}
        machines.append(row if dice.odd() else row | {"name": f"Machine {number}"})
    return {"equipment": kept, "machines": machines}


def _hire(dice: Dice, rows: int) -> Row:
    """A bench to let, and classes: of various prices, some with too few seats, some that none are enough for."""
    hire = dice.row(
        hire_day_typed=dice.number(20, 90) if dice.chance(0.4) else None,
        hire_open_hours=dice.more(4, 12),
        hire_sold=0.0 if dice.odd(0.5) else dice.more(0.3, 0.95),
        hire_attendant=dice.number(8, 30),
        hire_loads=dice.number(0.5, 3),
        hire_margin=1.0 if dice.odd(0.5) else dice.number(0.05, 0.5),
        hire_price=dice.number(30, 200),
    )
    return {"hire": hire, "courses": [_course(dice, number) for number in range(1, rows + 1)]}


def _course(dice: Dice, number: int) -> Row:
    row = dice.row(
        seats=float(dice.whole(1, 12)),
        hours=dice.number(1, 9),
        prep=dice.number(0.3, 2),
        pay=dice.number(30, 300),
        glass=dice.number(0.4, 5),
        materials=dice.number(1, 20),
        load=dice.more(0.02, 0.4),
        packing=dice.number(0.5, 6),
        empty=1.0 if dice.odd() else dice.more(0.03, 0.5),
        fee=1.0 if dice.odd(0.3) else dice.more(0.01, 0.1),
        margin=1.0 if dice.odd(0.3) else dice.more(0.05, 0.5),
        price=dice.of((dice.more(60, 400), dice.more(30, 90), dice.more(2, 9))),
    )
    return row if dice.odd() else row | {"name": f"Class {number}"}
