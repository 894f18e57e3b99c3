"""Two ways to the figures of the machines on Equipment, and to what Other equipment takes from them."""

from __future__ import annotations

from meltbook.fields.check_twins import NUMBER
from meltbook.fields.pair import Pair

CHECK = "machines_add_up"
_NAMED = "machine_named.all,1"
_HOURS = f'COUNTIFS({_NAMED},machine_per.all,"Hour")'
_TYPED = f"equipment_cost.all,{NUMBER}"


def _uses() -> tuple[Pair, ...]:
    return (
        Pair(CHECK, "Machines with a name", "SUM(machine_named.all)", "COUNTA(machine_name.all)"),
        Pair(
            CHECK,
            "What machines feed",
            "SUM(machine_feeds_row.all)",
            "SUMPRODUCT(equipment_no.all,equipment_fed.all)",
        ),
        Pair(
            CHECK,
            "Energy typed",
            "SUMPRODUCT(machine_use_used.all,machine_run_count.all)"
            f'+SUMIFS(machine_use.all,{_NAMED},machine_metered.all,{NUMBER},machine_metered_runs.all,">0")',
            f'SUMIFS(machine_metered.all,{_NAMED},machine_metered_runs.all,">0")+SUMIFS(machine_use.all,{_NAMED})',
        ),
        Pair(
            CHECK,
            "Prices of it",
            "SUM(machine_price_used.all)",
            f"SUMIFS(machine_price.all,{_NAMED})+SUM(machine_on_bill.all)*SUM(price_now)",
        ),
        Pair(
            CHECK,
            "Energy of machines",
            "SUM(machine_energy.all)",
            "SUMPRODUCT(machine_use_used.all,machine_price_used.all)",
        ),
    )


def _owning() -> tuple[Pair, ...]:
    return (
        Pair(
            CHECK,
            "Owning them, a year",
            "SUM(machine_own_year.all)",
            "SUMPRODUCT(machine_a_life.all,machine_purchase.all)-SUMPRODUCT(machine_a_life.all,machine_worth_end.all)"
            f"+SUMIFS(machine_upkeep.all,{_NAMED})",
        ),
        Pair(
            CHECK,
            "Owning them, each run",
            "SUMPRODUCT(machine_own.all,machine_runs_again.all)",
            'SUMIFS(machine_own_year.all,machine_runs.all,">0")',
        ),
        Pair(
            CHECK,
            "Cost of machines",
            "SUM(machine_cost.all)",
            f"SUMIFS(machine_energy.all,machine_own.all,{NUMBER})+SUMIFS(machine_own.all,machine_energy.all,{NUMBER})",
        ),
    )


def _sharing() -> tuple[Pair, ...]:
    day, hour = "machine_way.all,1", "machine_way.all,2"
    return (
        Pair(
            CHECK,
            "How they run",
            f'SUM(machine_way.all)-COUNTIFS({_NAMED},machine_per.all,"Day")'
            f'-COUNTIFS({_NAMED},machine_per.all,"Load")*(1+2)',
            f'2*{_HOURS}+COUNTIFS({_NAMED},machine_per.all,"Hour",machine_hours.all,{NUMBER})',
        ),
        Pair(
            CHECK,
            "Their turns",
            "SUMPRODUCT(machine_turns.all,machine_load_hours.all+(machine_load_hours.all=0))",
            'SUMIFS(machine_runs_again.all,machine_way.all,">1",machine_feeds_row.all,">0")',
        ),
        Pair(CHECK, "Turns together", "SUM(machine_group_turns.all)", "SUM(machine_turns_shared.all)"),
        Pair(
            CHECK,
            "Parts of the pieces",
            "SUM(machine_part.all)",
            f'COUNTIFS({day},machine_feeds_row.all,">0")+SUM(equipment_ways.all)',
        ),
        Pair(
            CHECK,
            "Part of a minute",
            f"SUMIFS(machine_a_minute.all,{day})*(IF(SUM(minutes_a_day)>0,minutes_a_day,1)-60)"
            "+SUM(machine_a_minute.all)*60",
            f"SUMIFS(machine_part.all,{day})*IF(SUM(minutes_a_day)>0,1,0)+SUMIFS(machine_part.all,{hour})",
        ),
        Pair(
            CHECK,
            "Part of a load",
            "SUM(machine_a_load.all)",
            "SUMPRODUCT((machine_way.all>2)*1,machine_part.all,machine_load_hours.all)",
        ),
    )


def _paid() -> tuple[Pair, ...]:
    ready = "machine_no_life.all,0"
    return (
        Pair(
            CHECK,
            "What pieces pay for them",
            "SUM(machine_minute.all)+SUM(machine_load.all)",
            "SUMPRODUCT(machine_cost.all,machine_a_minute.all)+SUMPRODUCT(machine_cost.all,machine_a_load.all)",
        ),
        Pair(
            CHECK,
            "Energy that pieces drive",
            "SUM(machine_driven_minute.all)+SUM(machine_driven_load.all)",
            "SUMPRODUCT((machine_way.all=2)*1,machine_energy.all,machine_a_minute.all)"
            "+SUMPRODUCT(machine_energy.all,machine_a_load.all)",
        ),
        Pair(
            CHECK,
            "Machines that are ready",
            "SUM(machine_ready.all)",
            f'COUNTIFS(machine_cost.all,0,{ready})+COUNTIFS(machine_minute.all,">0",{ready})'
            f'+COUNTIFS(machine_load.all,">0",{ready})',
        ),
    )


def _taken() -> tuple[Pair, ...]:
    def with_typed(what: str, one: str, fed: str) -> Pair:
        """What Other equipment takes, and what it would take if no cost were typed there, are all of it."""
        return Pair(CHECK, what, f"{one}+SUMIFS({fed}.all,{_TYPED})", f"SUM({fed}.all)")

    return (
        with_typed("Rows that count", "SUM(equipment_detail.all)", "equipment_fed"),
        with_typed("Ready among them", "SUM(equipment_detail_ready.all)", "equipment_fed_ready"),
        with_typed(
            "Equipment from machines",
            "SUM(equipment_detail_minute.all)+SUM(equipment_detail_load.all)",
            "equipment_fed_cost",
        ),
        Pair(
            CHECK,
            "Equipment that counts",
            "SUM(equipment_counted.all)",
            'COUNT(equipment_cost.all)+COUNTIFS(equipment_detail.all,">0")',
        ),
    )


PAIRS: tuple[Pair, ...] = (*_uses(), *_owning(), *_sharing(), *_paid(), *_taken())
"""All of one check."""
