"""A furnace's side of the book, from its meter to the rates that pieces are costed with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import Maybe
from meltbook.method.bench import Rates, bench_rates, overheads_yearly
from meltbook.method.called import Called
from meltbook.method.energy import FurnaceLog, mark_measured, read_log
from meltbook.method.equipment import EquipmentCost, equipment_costs
from meltbook.method.first_steps import FirstSteps, first_steps
from meltbook.method.glass import GlassUse, charge_glass
from meltbook.method.late import Late, mark_late
from meltbook.method.letter import LetterRates, read_letter
from meltbook.method.log_words import mark_rows
from meltbook.method.machines import Machines, UnitPrice, work_out_machines
from meltbook.method.melt import Melt, read_melt
from meltbook.method.melt_prices import PriceWith, price_with
from meltbook.method.pieces import Workshop
from meltbook.method.tariff import Tariff, TariffNow, price_rows, price_today, read_tariff
from meltbook.method.wear import Ledger, read_ledger, wear_rows
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio


@dataclass(slots=True)
class Side:
    """What is known of one furnace, and what a piece drawn from it is costed with."""

    studio: Studio
    log: FurnaceLog
    tariff: Tariff
    letter: LetterRates
    late: Late
    now: TariffNow
    ledger: Ledger
    glasses: list[GlassUse]
    melt: Melt
    prices: PriceWith
    yearly: Sequence[Maybe]
    machines: Machines
    equipment: list[EquipmentCost]
    rates: Rates
    called: Called = field(default_factory=Called)

    @property
    def first_steps(self) -> FirstSteps:
        """How far the owner has come with it."""
        return first_steps(self.studio.furnace, self.log, self.melt, self.called)

    @property
    def workshop(self) -> Workshop:
        """What pieces from this furnace are costed against."""
        return Workshop(self.studio.shop, self.rates, self.equipment, self.glasses, self.prices, self.melt.shares)


def furnace_side(
    studio: Studio, capacity: Capacity, shared: Machines | None = None, sheets: Called | None = None
) -> Side:
    """Work out the furnace of a studio that has one.

    ``shared`` are the machines of a shop with several furnaces; without it, they run on the source of the furnace.
    ``sheets`` are the furnace's in a book with several.
    """
    sheets = sheets or Called()
    log = read_log(studio, capacity.log)
    tariff = read_tariff(studio.tariffs, capacity.tariffs, studio.shop.price_limit)
    price_rows(log, tariff)
    mark_measured(log)
    letter = read_letter(studio.letter, tariff, sheets.tariffs)
    late = mark_late(log, letter)
    now = price_today(studio.shop, log, tariff)

    ledger = read_ledger(studio, log, capacity.part_kinds, capacity.ledger, now.pricing_date_used)
    wear_rows(log, ledger)

    glasses = charge_glass(log, studio.glasses, capacity.glasses)
    melt = read_melt(studio, log, ledger, now, glasses, capacity.campaigns)
    mark_rows(log)
    prices = price_with(studio, melt, ledger, now)

    minutes = studio.shop.minutes_a_day
    machines = shared or work_out_machines(
        studio.machines, capacity.machines, {"First": price_of(now, letter)}, minutes
    )
    equipment = equipment_costs(studio.equipment, minutes, machines, studio.hire.hire_open_hours)
    yearly = overheads_yearly(studio.overheads, capacity.overheads)
    rates = bench_rates(studio, melt, prices, yearly)
    return Side(
        studio,
        log,
        tariff,
        letter,
        late,
        now,
        ledger,
        glasses,
        melt,
        prices,
        yearly,
        machines,
        equipment,
        rates,
        sheets,
    )


def price_of(now: TariffNow, letter: LetterRates) -> UnitPrice:
    """What a unit of a source's energy costs, now and under its letter."""
    return UnitPrice(now.price_now, letter.new_all_in)
