"""What only the checks need of machines: the cells that they count by, and what each pair of sums comes to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from meltbook.method.arithmetic import flag, opt, total
from meltbook.method.equipment import EquipmentCost
from meltbook.method.machines import ALL_DAY, BY_HOUR, BY_LOAD, MachineCost
from meltbook.method.results import Results


def publish_machines_again(
    results: Results, machines: Sequence[MachineCost], equipment: Sequence[EquipmentCost]
) -> None:
    """Add the columns that stand beside the machines and the equipment on Checks."""
    results.column("name_machine", [machine.typed.name or None for machine in machines])
    sizes = Counter(machine.group for machine in machines)
    results.column("machine_run_count", [_runs_counted(machine) for machine in machines])
    results.column("machine_a_life", [1 / life if (life := _life(machine)) > 0 else 0.0 for machine in machines])
    results.column("machine_runs_again", [_runs(machine) for machine in machines])
    results.column("machine_load_hours", [machine.length for machine in machines])
    results.column("machine_no_life", [flag(_no_life(machine)) for machine in machines])
    shared = [machine.machine_turns * sizes[machine.group] for machine in machines]
    results.column("machine_turns_shared", shared)

    fed = [[machine for machine in machines if machine.machine_feeds_row == place] for place in _places(equipment)]
    results.column("equipment_fed", [len(some) for some in fed])
    results.column("equipment_fed_cost", [_fed_cost(some) for some in fed])
    results.column("equipment_fed_low", [_fed_low(some) for some in fed])
    results.column("equipment_fed_ready", [sum(machine.machine_ready for machine in some) for some in fed])
    results.column("equipment_ways", [_ways(some) for some in fed])


def machine_pairs(
    machines: Sequence[MachineCost], equipment: Sequence[EquipmentCost], price_now: float
) -> Iterator[float]:
    """What the pairs of the check on machines come to, in order. ``price_now`` is that of the first source."""
    named = [machine for machine in machines if machine.machine_named]
    fed = [machine for machine in named if machine.machine_feeds_row]
    yield len(named)
    yield sum(machine.machine_feeds_row for machine in named)
    metered = total(machine.typed.metered for machine in named if opt(machine.typed.metered_runs) > 0)
    yield metered + total(machine.typed.use for machine in named)
    yield total(price_now if machine.typed.price is None else machine.typed.price for machine in named)
    yield total(machine.machine_energy for machine in named)
    yield total(machine.machine_own_year for machine in named)
    yield total(machine.machine_own_year for machine in named if opt(machine.typed.runs) > 0)
    yield total(machine.machine_cost for machine in named)
    hourly = [machine for machine in named if machine.typed.per == "Hour"]
    yield 2 * len(hourly) + sum(machine.typed.hours is not None for machine in hourly)
    sharing = [machine for machine in fed if machine.machine_way in (BY_HOUR, BY_LOAD)]
    yield total(_runs(machine) for machine in sharing)
    yield total(machine.machine_group_turns for machine in sharing)
    all_day = sum(machine.machine_way == ALL_DAY for machine in fed)
    yield all_day + len({machine.group for machine in sharing})
    by_hour = {machine.machine_feeds_row for machine in sharing if machine.machine_way == BY_HOUR}
    burning = any(opt(machine.machine_a_minute) > 0 for machine in fed if machine.machine_way == ALL_DAY)
    yield len(by_hour) + (all_day if burning else 0)
    yield total(machine.machine_a_load for machine in named)
    yield _fed_cost(fed)
    yield _fed_low(fed)
    yield sum(machine.machine_ready for machine in named)
    yield len(fed)
    yield sum(machine.machine_ready for machine in fed)
    yield _fed_cost(fed)
    yield sum(opt(each.equipment_counted) for each in equipment)


def _places(equipment: Sequence[EquipmentCost]) -> range:
    return range(1, len(equipment) + 1)


def _runs_counted(machine: MachineCost) -> float:
    runs = opt(machine.typed.metered_runs)
    return runs if machine.typed.metered is not None and runs > 0 else 1.0


def _runs(machine: MachineCost) -> float:
    return opt(machine.typed.runs) or 1.0


def _life(machine: MachineCost) -> float:
    return opt(machine.typed.life) if machine.machine_named else 0.0


def _no_life(machine: MachineCost) -> bool:
    return opt(machine.typed.purchase) != 0 and opt(machine.typed.life) <= 0


def _fed_cost(machines: Sequence[MachineCost]) -> float:
    return total(cost for machine in machines for cost in (machine.machine_minute, machine.machine_load))


def _fed_low(machines: Sequence[MachineCost]) -> float:
    return total(cost for machine in machines for cost in (machine.machine_driven_minute, machine.machine_driven_load))


def _ways(machines: Sequence[MachineCost]) -> int:
    """In how many ways that machines share the pieces pay for them."""
    return len({machine.machine_way for machine in machines} & {BY_HOUR, BY_LOAD})
