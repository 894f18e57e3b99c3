"""What is written in shared/, in the vocabulary and in the reference engine is one number each."""

from __future__ import annotations

from fractions import Fraction

import pytest

from meltbook import units as exact
from meltbook.fields import constants as vocabulary
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Fixed
from meltbook.method import constants as method
from tests.published.both import CAPACITY, published, units

TWICE = {
    "days_in_year": method.DAYS_IN_YEAR,
    "months_in_year": method.MONTHS_IN_YEAR,
    "three_phase": method.THREE_PHASE,
    "watts_in_kilowatt": method.WATTS_IN_KILOWATT,
    "melt_heat": method.MELT_HEAT,
    "batch_heat": method.BATCH_HEAT,
    "kilojoules_in_kwh": method.KILOJOULES_IN_KWH,
    "far_date": method.FAR_DATE,
    "far_campaign": method.FAR_CAMPAIGN,
    "lives_needed": method.LIVES_NEEDED,
    "jump_limit": method.JUMP_LIMIT,
    "rows_low": method.ROWS_LOW,
    "close_enough": method.CLOSENESS,
    "mixed_kinds": method.MIXED_KINDS,
    "no_meter_code": method.NO_METER,
    "heatup_kind": method.HEAT_UP,
    "charge_kind": method.CHARGE,
    "blow_kind": method.BLOW,
    "idle_kind": method.IDLE,
    "cold_kind": method.COLD,
    "new_meter_kind": method.NEW_METER,
}
"""Constants that both hands write down, each for itself."""


def fixed(weight_unit: str) -> dict[str, object]:
    """The fixed numbers of a book."""
    items = vocabulary.scalars(BookContext(weight_unit, "USD", 2, CAPACITY))
    return {item.name: item.values[0] for item in items if isinstance(item, Fixed)}


@pytest.mark.parametrize("name", TWICE)
def test_both_hands_hold_the_same_number(name: str) -> None:
    assert fixed("lb")[name] == TWICE[name]


def used() -> list[tuple[str, str]]:
    return [(name, place) for name, entry in units().items() for place in entry["used_by"]]


@pytest.mark.parametrize(("name", "place"), used())
def test_a_unit_is_the_same_wherever_it_is_used(name: str, place: str) -> None:
    value = Fraction(units()[name]["value"])
    module, _, constant = place.rpartition(".")
    if module == "units":
        assert getattr(exact, constant) == value
    elif module == "method":
        assert getattr(method, constant) == float(value)
    else:
        assert fixed("lb")[constant] == float(value)


def test_each_factor_of_the_units_module_is_in_shared() -> None:
    """Nobody adds a factor without a source: each Fraction of units.py stands in shared/."""
    known = {Fraction(entry["value"]) for entry in units().values()}
    known |= {Fraction(str(published()[name]["value"])) for name in ("melt_heat", "batch_heat")}
    factors = {name: value for name, value in vars(exact).items() if isinstance(value, Fraction)}
    assert factors
    assert {name for name, value in factors.items() if value not in known} == set()


@pytest.mark.parametrize("name", ["melt_heat", "batch_heat"])
def test_both_hands_use_the_published_heat(name: str) -> None:
    heat = published()[name]["value"]
    assert fixed("lb")[name] == getattr(method, name.upper()) == float(getattr(exact, name.upper())) == heat


def test_a_book_in_kilograms_converts_nothing() -> None:
    assert fixed("kg")["weight_in_kg"] == 1 == exact.weight_in_kg("kg")
    assert fixed("lb")["weight_in_kg"] == float(exact.weight_in_kg("lb"))
