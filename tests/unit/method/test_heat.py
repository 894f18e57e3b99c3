"""The heat in what is billed: fixed for kWh and therms, else by the bill's heat content."""

from __future__ import annotations

from typing import Any

import pytest

from .studios import day, run


def heat(unit: str, **furnace: Any) -> tuple[Any, Any]:
    results = run(
        shop={"energy_unit": unit, "weight_unit": "kg"},
        furnace={"meter_kind": "Gas meter", **furnace},
        tariffs=[{"start": "2025-01-01", "price": 0.7}],
        log=[day("Charge", 10, date="2025-03-01", weight=100, reading=50)],
    )
    return results.scalars["heat_in_unit"], results.scalars["furnace_efficiency"]


@pytest.mark.parametrize(
    ("unit", "typed", "kwh"),
    [
        ("kWh", {}, 1),
        ("kWh", {"heat_content": 7.0}, 1),
        ("therm (US)", {}, 105.4804 / 3.6),
        ("therm (EC)", {"heat_content": 7.0, "heat_content_in": "MJ"}, 105.506 / 3.6),
        ("m³", {"heat_content": 10.6}, 10.6),
        ("m³", {"heat_content": 36.0, "heat_content_in": "MJ"}, 10),
        ("Ccf", {"heat_content": 1.038, "heat_content_in": "therm (US)"}, 1.038 * 105.4804 / 3.6),
        ("ft³", {"heat_content": 1038.0, "heat_content_in": "Btu"}, 1038 * 1055.05585262 / 3.6e6),
        ("litre", {"heat_content": 7.1, "heat_content_in": "kWh"}, 7.1),
        ("kg", {"heat_content": 13.8}, 13.8),
    ],
)
def test_heat_in_a_unit(unit: str, typed: dict[str, Any], kwh: float) -> None:
    """Half a unit for a kilogram, of which melting batch takes (1523.8 + 461.8) / 3600 = 0.55156 kWh."""
    found, efficiency = heat(unit, **typed)
    assert found == pytest.approx(kwh, rel=1e-12)
    assert efficiency == pytest.approx((1523.8 + 461.8) / 3600 / 0.5 / kwh)


@pytest.mark.parametrize("unit", ["m³", "ft³", "Ccf", "litre", "kg"])
def test_without_a_heat_content_the_heat_is_not_known(unit: str) -> None:
    assert heat(unit, heat_content_in="MJ") == (None, None)


@pytest.mark.parametrize(
    ("furnace", "used"),
    [
        ({}, 50),
        ({"billing_factor": 0.974}, 48.7),
        ({"billing_factor": 0.0}, 0),
        ({"meter_kind": "kWh meter", "billing_factor": 40.0}, 2000),
        ({"meter_kind": "Hour meter", "connected_kw": 9.0, "billing_factor": 40.0}, 450),
    ],
)
def test_a_count_is_as_much_as_the_bill_makes_of_it(furnace: dict[str, Any], used: float) -> None:
    results = run(
        shop={"energy_unit": "m³"},
        furnace={"meter_kind": "Gas meter", **furnace},
        tariffs=[{"start": "2025-01-01", "price": 0.7}],
        log=[day("Charge", 10, date="2025-03-01", weight=100, reading=50)],
    )
    assert results.value("energy_used", 1) == pytest.approx(used)
    assert results.value("energy_cost", 1) == pytest.approx(used * 0.7)
