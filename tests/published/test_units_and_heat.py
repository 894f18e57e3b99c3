"""Units against NIST and Pint, and the heat that melting takes against its source."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pint
import pytest

from meltbook.method import heat
from meltbook.units import BILLED_KILOJOULES, HEAT_KILOJOULES
from tests.published.both import Both, answer, both, factor, given, units

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
    pints = registry.Quantity(1, "therm").to("kJ").magnitude
    assert pints == pytest.approx(factor("therm_ec"), rel=5e-6)
    assert pints != pytest.approx(factor("therm_ec"), rel=1e-6)
    assert pints != pytest.approx(factor("therm_us"), rel=1e-4)


WRITTEN = {entry["written"]: name for name, entry in units().items() if "written" in entry}
"""Each unit that a book may count energy or heat in, and its entry in shared/."""


def test_every_unit_of_energy_has_its_source() -> None:
    assert set(WRITTEN) == set(BILLED_KILOJOULES) | set(HEAT_KILOJOULES)
    for written, name in WRITTEN.items():
        if units()[name]["unit"] == "kJ":
            tables = [table for table in (BILLED_KILOJOULES, HEAT_KILOJOULES) if written in table]
            assert {table[written] for table in tables} == {Fraction(units()[name]["value"])}, written
        else:
            assert BILLED_KILOJOULES[written] is None, f"the heat in one {written} depends on the gas"


def test_both_hands_know_the_same_units_of_heat() -> None:
    """The workbook's factors are the fractions of ``units``; the reference engine writes its own down."""
    for ours, table in ((heat.KWH_BILLED, BILLED_KILOJOULES), (heat.KWH_TYPED, HEAT_KILOJOULES)):
        known = {unit: float(kilojoules / 3600) for unit, kilojoules in table.items() if kilojoules is not None}
        assert ours == pytest.approx(known, rel=1e-15)


def test_a_hundred_cubic_feet(registry: pint.UnitRegistry[Any]) -> None:
    """100 x 0.028316846592 = 2.8316846592 m³."""
    assert factor("hundred_cubic_feet") == pytest.approx(100 * factor("cubic_foot"), rel=1e-15)
    assert registry.Quantity(100, "ft**3").to("m**3").magnitude == pytest.approx(factor("hundred_cubic_feet"))


def gas(folder: Path, unit: str, weight: str = "kg", **furnace: Any) -> Both:
    """Ten days, 500 counts of a gas meter, 250 of glass, all of it cullet."""
    return both(
        folder,
        shop={"energy_unit": unit, "weight_unit": weight},
        furnace={"meter_kind": "Gas meter", "cullet_share": 1.0, **furnace},
        tariffs=[{"start": "2020-01-01", "price": 1.10}],
        log=[{"date": "2023-06-01", "kind": "Charge", "days": 10, "weight": 250, "reading": 500}],
    )


def test_the_heat_of_natural_gas(tmp_path: Path) -> None:
    """Source: US EIA, frequently asked questions, no. 45: 1,038 Btu/ft³ (2023), so 100 ft³ hold 1.038 therm.

    With the US therm of NIST: 103,800 x 1055.05585262 / 105,480,400 = 1.0382, the same to three decimals. The book
    is billed in Ccf: of 103,800 Btu each, 30.42 kWh; and a therm (US) is 105,480.4 / 3,600 = 29.30 kWh.
    """
    hundred = 100 * given("natural_gas_heat")["btu_per_cubic_foot"]
    assert hundred / 100_000 == answer("natural_gas_heat")
    volume = gas(tmp_path, "Ccf", heat_content=hundred, heat_content_in="Btu").number("heat_in_unit")
    therm = gas(tmp_path, "therm (US)").number("heat_in_unit")
    assert (round(volume, 2), round(therm, 2)) == (30.42, 29.30)
    assert round(volume / therm, 3) == answer("natural_gas_heat")


def test_a_bill_in_therms_from_a_meter_of_cubic_feet(tmp_path: Path) -> None:
    """500 Ccf x 1.038 = 519 therm. The heat in the glass is the same as in the book that is billed in Ccf."""
    factor_billed = answer("natural_gas_heat")
    therms = gas(tmp_path, "therm (US)", billing_factor=factor_billed)
    assert therms.number("energy_used", 1) == pytest.approx(519)
    assert therms.number("energy_cost", 1) == pytest.approx(519 * 1.10)
    volume = gas(tmp_path, "Ccf", heat_content=factor_billed, heat_content_in="therm (US)")
    assert volume.number("energy_used", 1) == 500
    assert volume.number("furnace_efficiency") == pytest.approx(therms.number("furnace_efficiency"), rel=1e-12)


def test_a_book_tells_the_two_therms_apart(tmp_path: Path) -> None:
    """29.30011 and 29.30722 kWh: 0.024 % more heat for the same money, so 0.024 % less of it is in the glass."""
    us, ec = gas(tmp_path, "therm (US)"), gas(tmp_path, "therm (EC)")
    assert round(us.number("heat_in_unit"), 5) == 29.30011
    assert round(ec.number("heat_in_unit"), 5) == 29.30722
    apart = us.number("furnace_efficiency") / ec.number("furnace_efficiency")
    assert apart == pytest.approx(factor("therm_ec") / factor("therm_us"), rel=1e-12)


@pytest.mark.parametrize(
    ("written", "content"), [("kWh", 10.7), ("MJ", 38.5), ("Btu", 36_500.0), ("therm (US)", 0.365)]
)
def test_the_heat_of_a_cubic_metre(
    tmp_path: Path, registry: pint.UnitRegistry[Any], written: str, content: float
) -> None:
    """Second source: the Pint library turns what is typed into kWh."""
    unit = {"Btu": "Btu_it", "therm (US)": "US_therm"}.get(written, written)
    kwh = registry.Quantity(content, unit).to("kWh").magnitude
    found = gas(tmp_path, "m³", heat_content=content, heat_content_in=written)
    assert found.number("heat_in_unit") == pytest.approx(kwh, rel=1e-12)
    assert found.number("furnace_efficiency") == pytest.approx(1523.8 / 3600 / (2 * kwh), rel=1e-12)


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
    kwh_a_ton = answer("industry_melting") * 1_000_000 * factor("btu") / factor("kilowatt_hour")
    book = both(
        tmp_path,
        furnace={"meter_kind": "kWh meter", "cullet_share": 0.0},
        tariffs=[{"start": "2020-01-01", "price": 0.10}],
        log=[{"date": "2020-06-01", "kind": "Charge", "charges": 10, "weight": 2000, "reading": kwh_a_ton}],
    )
    assert round(book.number("use_a_weight", 1), 3) == answer("industry_melting_a_pound")
    assert round(book.number("furnace_efficiency"), 4) == 0.2339
