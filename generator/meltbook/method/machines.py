"""Equipment beside the furnace in detail: what an hour, a day or a load of each machine costs, and who pays for it.

A machine costs its energy and its part of a year's ownership. Machines that feed the same equipment and are paid
for in the same way, by the hour or by the load, share the pieces: each takes as many as it has turns in a year. So
such a group is worked out whole, as the mean over its machines by their turns. Machines that burn all day are not
shared out: every piece pays for all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import Maybe, flag, opt, over, plus, times, total
from meltbook.method.constants import MONTHS_IN_YEAR
from meltbook.studio.machines import Machine

FEEDS: dict[str, int] = {"glory hole": 1, "annealer": 2, "other equipment": 3}
"""As which equipment pieces pay for a machine: its row, by its name in small letters."""

NO_WAY, ALL_DAY, BY_HOUR, BY_LOAD = 0, 1, 2, 3
"""How pieces pay for it: not at all, by their part of a day, by their minutes, by their part of a load."""

COUNTED = "Counted"
CHOOSE, TYPE_ENERGY, TYPE_TARIFF, TYPE_LIFE = (
    "Choose hour, day or load.",
    "Type its energy, or 0.",
    "Type a tariff first.",
    "Type its life.",
)
TYPE_RUNS, TYPE_MINUTES, TYPE_HOURS = (
    "Type how often it runs in a year.",
    "Type piece minutes a day on Shop.",
    "Type the hours of a load.",
)

TYPED_USE = ("feeds", "use", "per", "hours", "metered", "metered_runs", "price")
TYPED_OWN = ("runs", "purchase", "worth_end", "life", "upkeep")
"""What is typed of a machine beside its name; its source only where there are two."""


@dataclass(frozen=True, slots=True)
class UnitPrice:
    """What a unit of a source's energy costs: now, and under the letter that is on the table."""

    now: Maybe = None
    letter: Maybe = None

    @property
    def after(self) -> Maybe:
        """What it costs then; as now where there is no letter for this source."""
        return self.now if self.letter is None else self.letter


@dataclass(slots=True)
class MachineCost:
    """A machine with all its figures. A row without a name stays blank."""

    typed: Machine
    machine_named: int = 0
    machine_feeds_row: int = 0
    machine_use_used: Maybe = None
    machine_price_used: Maybe = None
    machine_price_after: Maybe = None
    machine_energy: Maybe = None
    machine_own_year: Maybe = None
    machine_own: Maybe = None
    machine_cost: Maybe = None
    machine_way: int = NO_WAY
    machine_turns: float = 0.0
    machine_group_turns: float = 0.0
    machine_part: Maybe = None
    machine_a_minute: Maybe = None
    machine_a_load: Maybe = None
    machine_minute: Maybe = None
    machine_load: Maybe = None
    machine_driven_minute: Maybe = None
    machine_driven_load: Maybe = None
    machine_more: Maybe = None
    machine_more_minute: Maybe = None
    machine_more_load: Maybe = None
    machine_ready: int = 0
    machine_year_use: Maybe = None
    machine_on_bill: int = 0
    machine_unmetered: int = 0
    machine_year_more: Maybe = None
    machine_asks_use: str | None = None
    machine_asks_own: str | None = None
    machine_asks_feeds: str | None = None
    machine_asks_runs: str | None = None
    machine_says: str | None = None
    machine_typed_use: int = 0
    machine_typed_own: int = 0
    machine_nameless: int = 0
    machine_runs_missing: int = 0

    @property
    def group(self) -> tuple[int, int]:
        """The machines with which it shares the pieces: those that feed the same, paid for in the same way."""
        return self.machine_feeds_row, self.machine_way

    @property
    def length(self) -> float:
        """So many of what its cost is for make a load."""
        return opt(self.typed.hours) if self.typed.per == "Hour" else 1.0


@dataclass(frozen=True, slots=True)
class Shared:
    """What all machines of one equipment come to, for a minute and for a load of a piece.

    ``day_minute`` is the part of ``cost_minute`` that comes from machines that burn all day.
    """

    cost_minute: float = 0.0
    cost_load: float = 0.0
    day_minute: float = 0.0
    driven_minute: float = 0.0
    driven_load: float = 0.0
    more_minute: float = 0.0
    more_load: float = 0.0


@dataclass(slots=True)
class Machines:
    """All machines, one by one and together. With two sources the year's use is that of the first one's machines."""

    rows: list[MachineCost]
    feeding: dict[int, list[MachineCost]] = field(default_factory=dict)
    shared: dict[int, Shared] = field(default_factory=dict)
    sources: dict[str, BilledUse] = field(default_factory=dict)
    machines_named: int = 0
    machines_complete: int = 0
    machines_unknown: int = 0
    machines_words: str | None = None
    machines_are: str = "machines are counted."
    machines_sentence: str = "No machine typed: the single costs on Shop are used."
    machines_year_use: float = 0.0
    machines_year_unmetered: float = 0.0
    effect_equipment: Maybe = None
    effect_equipment_month: Maybe = None


@dataclass(frozen=True, slots=True)
class BilledUse:
    """What the machines on a source's bill use in a year, and those of them that no meter of their own counts."""

    everything: float = 0.0
    unmetered: float = 0.0


def work_out_machines(
    typed: Sequence[Machine], prepared: int, prices: Mapping[str, UnitPrice], minutes_a_day: Maybe
) -> Machines:
    """Every machine, and what they come to. ``prices`` has the one source, or both, by name."""
    rows = [*typed, *(Machine() for _ in range(prepared - len(typed)))]
    machines = Machines([MachineCost(row) for row in rows])
    named = [machine for machine in machines.rows if machine.typed.name]
    for machine in named:
        source = _source(machine.typed, prices)
        _alone(machine, prices[source])
    groups: dict[tuple[int, int], list[MachineCost]] = {}
    for machine in named:
        if machine.machine_feeds_row:
            groups.setdefault(machine.group, []).append(machine)
            machines.feeding.setdefault(machine.machine_feeds_row, []).append(machine)
    a_day = 1 / minutes_a_day if minutes_a_day is not None and minutes_a_day > 0 else 0.0
    for (_, way), members in groups.items():
        _share_out(members, way)
    for machine in named:
        _paid_for(machine, a_day)
        _ask(machine)
    machines.shared = {place: _together(members, a_day) for place, members in machines.feeding.items()}
    for machine in machines.rows:
        asked = (*TYPED_USE, "source") if len(prices) > 1 else TYPED_USE
        machine.machine_typed_use, machine.machine_typed_own = _typed(machine, asked), _typed(machine, TYPED_OWN)
        anything = machine.machine_typed_use + machine.machine_typed_own > 0
        machine.machine_nameless = flag(not machine.typed.name and anything)
    machines.sources = {
        name: _billed(machine for machine in named if _source(machine.typed, prices) == name) for name in prices
    }
    _add_up(machines, named, prices)
    return machines


def _source(row: Machine, prices: Mapping[str, UnitPrice]) -> str:
    """Whose energy it uses: the first one's, unless there are two and the other is named."""
    return "Second" if row.source == "Second" and "Second" in prices else "First"


def _typed(machine: MachineCost, keys: Iterable[str]) -> int:
    return sum(getattr(machine.typed, key) is not None for key in keys)


# ------------------------------------------------------------------------------------------- a machine by itself


def _alone(machine: MachineCost, price: UnitPrice) -> None:
    """What it uses and costs, whoever pays for it."""
    row = machine.typed
    machine.machine_named = 1
    machine.machine_feeds_row = FEEDS.get((row.feeds or "").casefold(), 0)
    if row.metered is not None and opt(row.metered_runs) > 0:
        machine.machine_use_used = over(row.metered, row.metered_runs)
    else:
        machine.machine_use_used = row.use
    own_price = UnitPrice(row.price) if row.price is not None else price
    machine.machine_price_used, machine.machine_price_after = own_price.now, own_price.after
    machine.machine_energy = times(machine.machine_use_used, own_price.now)
    machine.machine_more = times(machine.machine_use_used, plus(own_price.after, times(-1, own_price.now)))

    lost = opt(row.purchase) - opt(row.worth_end)
    machine.machine_own_year = (lost / opt(row.life) if opt(row.life) > 0 else 0.0) + opt(row.upkeep)
    machine.machine_own = 0.0 if machine.machine_own_year == 0 else over(machine.machine_own_year, row.runs)
    machine.machine_cost = plus(machine.machine_energy, machine.machine_own)

    machine.machine_way = _way(row)
    machine.machine_year_use = times(machine.machine_use_used, opt(row.runs))
    machine.machine_year_more = times(machine.machine_more, opt(row.runs))
    machine.machine_on_bill = flag(row.price is None)
    machine.machine_unmetered = flag(row.metered is None)


def _way(row: Machine) -> int:
    if row.per == "Day":
        return ALL_DAY
    if row.per == "Load" or (row.per == "Hour" and row.hours is not None):
        return BY_LOAD
    return BY_HOUR if row.per == "Hour" else NO_WAY


# --------------------------------------------------------------------------------------- machines that share pieces


def _share_out(members: Sequence[MachineCost], way: int) -> None:
    """The part of the pieces that goes through each machine of a group."""
    for machine in members:
        if way in (BY_HOUR, BY_LOAD):
            row = machine.typed
            often = opt(row.runs) or 1.0
            machine.machine_turns = often / machine.length if way == BY_LOAD and machine.length > 0 else often
            machine.machine_runs_missing = flag(opt(row.runs) == 0 and len(members) > 1)
    turns = total(machine.machine_turns for machine in members)
    for machine in members:
        machine.machine_group_turns = turns
        if way == ALL_DAY:
            machine.machine_part = 1.0
        elif way != NO_WAY:
            machine.machine_part = machine.machine_turns / turns


def _paid_for(machine: MachineCost, a_day: float) -> None:
    """What it adds to a minute and to a load of every piece."""
    part = machine.machine_part = opt(machine.machine_part)
    way = machine.machine_way
    minute = machine.machine_a_minute = {ALL_DAY: a_day * part, BY_HOUR: part / 60}.get(way, 0.0)
    load = machine.machine_a_load = part * machine.length if way == BY_LOAD else 0.0
    machine.machine_minute = times(machine.machine_cost, minute)
    machine.machine_load = times(machine.machine_cost, load)
    machine.machine_more_minute = times(machine.machine_more, minute)
    machine.machine_more_load = times(machine.machine_more, load)
    machine.machine_driven_minute = times(machine.machine_energy, minute if way == BY_HOUR else 0.0)
    machine.machine_driven_load = times(machine.machine_energy, load)

    paid = plus(machine.machine_minute, machine.machine_load)
    worn = opt(machine.typed.purchase) == 0 or opt(machine.typed.life) > 0
    machine.machine_ready = flag(worn and paid is not None and (machine.machine_cost == 0 or paid > 0))


def _ask(machine: MachineCost) -> None:
    """What the owner is asked for next: the first thing that is missing, in the order of the table."""
    row = machine.typed
    no_life = opt(row.purchase) > 0 and opt(row.life) == 0
    machine.machine_asks_use = _first((row.per is None, CHOOSE), (machine.machine_use_used is None, TYPE_ENERGY))
    machine.machine_asks_own = _first((machine.machine_price_used is None, TYPE_TARIFF), (no_life, TYPE_LIFE))
    paid = machine.machine_feeds_row == 0 or machine.machine_ready == 1
    machine.machine_asks_feeds = _first(
        (paid, COUNTED), (machine.machine_way == ALL_DAY, TYPE_MINUTES), (True, TYPE_HOURS)
    )
    machine.machine_asks_runs = TYPE_RUNS if machine.machine_own is None else machine.machine_asks_feeds
    machine.machine_says = machine.machine_asks_use or machine.machine_asks_own or machine.machine_asks_runs


def _first(*cases: tuple[bool, str]) -> str | None:
    return next((words for holds, words in cases if holds), None)


def _together(members: Sequence[MachineCost], a_day: float) -> Shared:
    """What the machines of one equipment come to: the mean by turns of those that share, and all that burn all day.

    A machine whose cost is not known yet takes its turns all the same; the equipment isn't known until it is.
    """

    def of(way: int, worth: Callable[[MachineCost], Maybe]) -> float:
        some = [machine for machine in members if machine.machine_way == way]
        if way == ALL_DAY:
            return total(worth(machine) for machine in some) * a_day
        return opt(over(total(times(worth(each), each.machine_turns) for each in some), total(_turns(some))))

    def a_load(worth: Callable[[MachineCost], Maybe]) -> float:
        return of(BY_LOAD, lambda machine: times(worth(machine), machine.length))

    def a_minute(worth: Callable[[MachineCost], Maybe]) -> float:
        return of(BY_HOUR, worth) / 60

    all_day = of(ALL_DAY, _cost)
    return Shared(
        cost_minute=a_minute(_cost) + all_day,
        cost_load=a_load(_cost),
        day_minute=all_day,
        driven_minute=a_minute(_energy),
        driven_load=a_load(_energy),
        more_minute=a_minute(_more) + of(ALL_DAY, _more),
        more_load=a_load(_more),
    )


def _turns(machines: Iterable[MachineCost]) -> list[float]:
    return [machine.machine_turns for machine in machines]


def _cost(machine: MachineCost) -> Maybe:
    return machine.machine_cost


def _energy(machine: MachineCost) -> Maybe:
    return machine.machine_energy


def _more(machine: MachineCost) -> Maybe:
    return machine.machine_more


# ------------------------------------------------------------------------------------------------- all machines


def _billed(machines: Iterable[MachineCost]) -> BilledUse:
    """The year's use of machines that are on their source's bill: a price of its own says that it is on another."""
    on_it = [machine for machine in machines if machine.machine_on_bill]
    return BilledUse(
        total(machine.machine_year_use for machine in on_it),
        total(machine.machine_year_use for machine in on_it if machine.machine_unmetered),
    )


def _add_up(machines: Machines, named: Sequence[MachineCost], prices: Mapping[str, UnitPrice]) -> None:
    count = machines.machines_named = len(named)
    machines.machines_unknown = sum(bool(machine.typed.feeds and not machine.machine_feeds_row) for machine in named)
    counted = machines.machines_complete = sum(machine.machine_says == COUNTED for machine in named)
    if counted < count:
        machines.machines_words = f"{counted} of {count}"
    elif count:
        machines.machines_words = "The one" if count == 1 else f"All {count}"
    if counted == count == 1:
        machines.machines_are = "machine is counted."
    if count:
        machines.machines_sentence = f"{machines.machines_words} {machines.machines_are}"
    first = machines.sources["First"]
    machines.machines_year_use, machines.machines_year_unmetered = first.everything, first.unmetered
    if any(price.letter is not None for price in prices.values()):
        machines.effect_equipment = total(machine.machine_year_more for machine in named)
        machines.effect_equipment_month = over(machines.effect_equipment, MONTHS_IN_YEAR)
