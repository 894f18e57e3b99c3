"""Units against NIST and Pint, and the heat that melting takes against its source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pint
import pytest

from tests.published.both import answer, both, factor, given, units

WITH_A_SECOND_SOURCE = [name for name, entry in units().items() if "pint" in entry]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry()


@pytest.mark.parametrize("name", WITH_A_SECOND_SOURCE)
def test_a_second_source_has_the_same_factor(name: str, registry: pint.UnitRegistry[Any]) -> None:
    """Source: NIST SP 811 (2008), Appendix B; second source: the Pint library."""
    unit, other = units()[name]["pint"]
    assert registry.Quantity(1, unit).to(other).magnitude == pytest.approx(factor(name), rel=1e-12)


def test_a_short_ton_is_two_thousand_pounds() -> None:
    """2,000 x 0.45359237 = 907.18474."""
    assert factor("short_ton") == pytest.approx(2000 * factor("pound"), rel=1e-15)


def test_three_phases() -> None:
    """The square root of 3 is 1.7320508; 1.732 lies 0.003 % below it."""
    assert factor("three_phase") == pytest.approx(3**0.5, rel=5e-5)


def test_the_two_therms_are_not_one(registry: pint.UnitRegistry[Any]) -> None:
    """Source: NIST SP 811 (2008), Appendix B: 1.054 804 (US) and 1.055 06 (EC), times 10^8 J.

    Pint's ``therm`` is 100,000 Btu of 1055.056 J, 1.055056 x 10^8 J: near the EC therm, but neither of the two.
    """
    pints = registry.Quantity(1, "therm").to("J").magnitude
    assert pints == pytest.approx(factor("therm_ec"), rel=5e-6)
    assert pints != pytest.approx(factor("therm_ec"), rel=1e-6)
    assert pints != pytest.approx(factor("therm_us"), rel=1e-4)


def test_the_heat_of_natural_gas() -> None:
    """Source: US EIA, frequently asked questions, no. 45: 1,038 Btu/ft³ (2023), so 100 ft³ hold 1.038 therm.

    With the US therm of NIST: 103,800 x 1055.05585262 / 105,480,400 = 1.0382, the same to three decimals.
    """
    hundred = 100 * given("natural_gas_heat")["btu_per_cubic_foot"]
    assert hundred / 100_000 == answer("natural_gas_heat")
    assert round(hundred * factor("btu") / factor("therm_us"), 3) == answer("natural_gas_heat")


@pytest.mark.parametrize("name", ["heat_all_cullet", "heat_all_batch"])
def test_the_heat_to_melt(tmp_path: Path, name: str) -> None:
    """Source: Encyclopedia of Glass Science, Technology, History, and Culture (Wiley, 2021).

    All cullet: 1523.8 / 3600 = 0.42328 kWh/kg, x 0.45359237 = 0.19200 kWh/lb.
    All batch: (1523.8 + 461.8) / 3600 = 0.55156 kWh/kg, x 0.45359237 = 0.25018 kWh/lb.
    """
    furnace = {"cullet_share": given(name)["cullet_share"]}
    pounds = both(tmp_path, shop={"weight_unit": "lb"}, furnace=furnace).number("heat_to_melt")
    assert round(pounds, 3) == answer(name)
    kilograms = both(tmp_path, shop={"weight_unit": "kg"}, furnace=furnace).number("heat_to_melt")
    assert pounds == pytest.approx(kilograms * factor("pound"))


def test_half_cullet_lies_half_way(tmp_path: Path) -> None:
    """Ours: (1523.8 + 0.5 x 461.8) / 3600 x 0.45359237 = 0.22109 kWh/lb."""
    found = both(tmp_path, furnace={"cullet_share": 0.5}).number("heat_to_melt")
    assert found == pytest.approx((1523.8 + 0.5 * 461.8) / 3600 * 0.45359237)


def test_what_industry_melts_with(tmp_path: Path) -> None:
    """Source: Energetics for US DOE, Energy and Environmental Profile of the U.S. Glass Industry (2002), Table 1.2.

    7.30 million Btu a short ton: 7,300,000 x 1055.05585262 / 3,600,000 = 2,139.42 kWh for 2,000 lb, 1.06971 a pound.
    Of that, batch takes up 0.25018: an efficiency of 0.2339.
    """
    kwh_a_ton = answer("industry_melting") * 1_000_000 * factor("btu") / 1000 / factor("kilowatt_hour")
    book = both(
        tmp_path,
        furnace={"meter_kind": "kWh meter", "cullet_share": 0.0},
        tariffs=[{"start": "2020-01-01", "price": 0.10}],
        log=[{"date": "2020-06-01", "kind": "Charge", "charges": 10, "weight": 2000, "reading": kwh_a_ton}],
    )
    assert round(book.number("use_a_weight", 1), 3) == answer("industry_melting_a_pound")
    assert round(book.number("furnace_efficiency"), 4) == 0.2339
