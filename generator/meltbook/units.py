"""Exact factors between units.

Factors are fractions, so that nothing is rounded before the last step. Sources:

* pound, kilowatt-hour: NIST SP 811 (2008), Appendix B (1 lb = 0.453 592 37 kg and 1 kWh = 3.6 MJ, both exact);
* therm (US), therm (EC) and Btu (IT): NIST SP 811 (2008), Appendix B; the two therms are not the same;
* heat to melt: *Encyclopedia of Glass Science, Technology, History, and Culture* (Wiley, 2021), the article on
  the energetics of glass melting: melt at 1300 °C relative to 25 °C, and the chemical demand of the batch;
* currencies: ISO 4217 by way of Babel's copy of the Unicode CLDR.
"""

from __future__ import annotations

from fractions import Fraction

from babel.core import Locale
from babel.numbers import get_currency_precision

from meltbook.errors import UsageError

KG_IN_POUND = Fraction("0.45359237")
KILOJOULES_IN_KWH = Fraction(3600)
KILOJOULES_IN_THERM_US = Fraction("105480.4")
KILOJOULES_IN_THERM_EC = Fraction("105506")
KILOJOULES_IN_BTU = Fraction("1.05505585262")
KILOJOULES_IN_MEGAJOULE = Fraction(1000)
MELT_HEAT = Fraction("1523.8")
"""Kilojoules to bring a kilogram of cullet from 25 °C to a melt at 1300 °C (MJ per tonne is the same number)."""
BATCH_HEAT = Fraction("461.8")
"""Kilojoules that a kilogram of batch takes up chemically, besides."""
SPREADSHEET_DAY_ZERO = (1899, 12, 30)
"""The date that spreadsheet day numbers count from, for all days after 1900-02-28."""

HEAT_KILOJOULES: dict[str, Fraction | None] = {
    "kWh": KILOJOULES_IN_KWH,
    "MJ": KILOJOULES_IN_MEGAJOULE,
    "Btu": KILOJOULES_IN_BTU,
    "therm (US)": KILOJOULES_IN_THERM_US,
}
"""The units that a bill may give the heat content of gas in."""
BILLED_KILOJOULES: dict[str, Fraction | None] = {
    "kWh": KILOJOULES_IN_KWH,
    "therm (US)": KILOJOULES_IN_THERM_US,
    "therm (EC)": KILOJOULES_IN_THERM_EC,
    "m³": None,
    "ft³": None,
    "Ccf": None,
    "litre": None,
    "kg": None,
}
"""The units that energy is billed in. How much heat a volume or a weight of gas holds depends on the gas: ``None``."""

_NAMES = Locale("en").currencies
_KG: dict[str, Fraction] = {"kg": Fraction(1), "lb": KG_IN_POUND}


def weight_in_kg(unit: str) -> Fraction:
    """How many kilograms one ``lb`` or ``kg`` is."""
    try:
        return _KG[unit]
    except KeyError:
        raise UsageError(f"{unit!r} is not a weight that meltbook knows", hint="Use lb or kg.") from None


def check_currency(code: str) -> str:
    """Return the code if ISO 4217 knows it.

    Raises:
        UsageError: no such currency.
    """
    if code not in _NAMES:
        raise UsageError(
            f"{code!r} is not a currency code of ISO 4217",
            hint="Three capital letters, such as USD, EUR, GBP, CAD, SEK or JPY.",
        )
    return code


def money_digits(currency: str) -> int:
    """How many digits stand behind the point in amounts of an ISO 4217 currency: 2 for USD, 0 for JPY."""
    return int(get_currency_precision(check_currency(currency)))


def kwh_in(unit: str, table: dict[str, Fraction | None]) -> float:
    """How many kWh one unit of a table above is; 0 where that depends on the gas.

    Raises:
        UsageError: the table has no such unit.
    """
    if unit not in table:
        raise UsageError(f"{unit!r} is not a unit of energy that meltbook knows", hint=f"Use {', '.join(table)}.")
    kilojoules = table[unit]
    return 0.0 if kilojoules is None else float(kilojoules / KILOJOULES_IN_KWH)
