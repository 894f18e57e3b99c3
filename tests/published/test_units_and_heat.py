"""Units and the heat that melting takes, against their sources."""

from __future__ import annotations

from pathlib import Path

import pint
import pytest

from meltbook import units
from meltbook.fields import constants as field_constants
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Fixed
from meltbook.method import constants as method_constants
from tests.published.both import CAPACITY, both, published


def test_the_pound_and_the_kilowatt_hour_are_those_of_nist_and_of_pint() -> None:
    """Source: NIST SP 811 (2008), Appendix B; second source: the Pint library."""
    registry = pint.UnitRegistry()
    assert float(units.KG_IN_POUND) == published()["pound"]["value"]
    assert float(units.KG_IN_POUND) == pytest.approx(registry("1 lb").to("kg").magnitude, rel=1e-12)
    assert float(units.KILOJOULES_IN_KWH) == published()["kilowatt_hour"]["value"]
    assert float(units.KILOJOULES_IN_KWH) == pytest.approx(registry("1 kWh").to("kJ").magnitude, rel=1e-12)


def test_both_hands_use_the_published_numbers() -> None:
    fixed = {
        item.name: item.values[0]
        for item in field_constants.scalars(BookContext("lb", "USD", 2, CAPACITY))
        if isinstance(item, Fixed) and item.values
    }
    for name, value in (("melt_heat", method_constants.MELT_HEAT), ("batch_heat", method_constants.BATCH_HEAT)):
        assert fixed[name] == value == published()[name]["value"]
    assert fixed["kilojoules_in_kwh"] == method_constants.KILOJOULES_IN_KWH == published()["kilowatt_hour"]["value"]
    assert fixed["weight_in_kg"] == published()["pound"]["value"]


@pytest.mark.parametrize(("cullet", "known"), [(1.0, "heat_all_cullet"), (0.0, "heat_all_batch")])
def test_the_heat_to_melt(tmp_path: Path, cullet: float, known: str) -> None:
    """Source: Encyclopedia of Glass Science, Technology, History, and Culture (Wiley, 2021).

    All cullet: 1523.8 / 3600 x 0.45359237 = 0.19200 kWh/lb; all batch: (1523.8 + 461.8) / 3600 x 0.45359237 = 0.25018.
    """
    found = both(tmp_path, shop={"weight_unit": "lb"}, furnace={"cullet_share": cullet}).number("heat_to_melt")
    assert round(found, 3) == published()[known]["value"]
    in_kg = both(tmp_path, shop={"weight_unit": "kg"}, furnace={"cullet_share": cullet}).number("heat_to_melt")
    assert found == pytest.approx(in_kg * 0.45359237)
