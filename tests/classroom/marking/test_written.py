"""Numbers as students write them."""

from __future__ import annotations

import pytest

from meltbook.classroom.written import read_number

MONEY = "USD/lb"


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("12,50", MONEY, 12.5),
        ("12.50", MONEY, 12.5),
        ("$12.50", MONEY, 12.5),
        ("12.50 $", MONEY, 12.5),
        ("€ 12,50", MONEY, 12.5),
        ("USD 12.50 per lb", MONEY, 12.5),
        ("12.50 usd/lb", MONEY, 12.5),
        ("1,234.5", "kWh", 1234.5),
        ("1.234,5", "kWh", 1234.5),
        ("1 234,5", "kWh", 1234.5),
        ("1\u00a0234.5", "kWh", 1234.5),
        ("1'234.5", "kWh", 1234.5),
        ("1,234,567", "kWh", 1234567),
        ("1.234.567,8 kWh", "kWh", 1234567.8),
        ("12.50 kWh", "kWh", 12.5),
        ("12.50kwh", "kWh", 12.5),
        ("0,135", MONEY, 0.135),
        ("0.135", MONEY, 0.135),
        (",5", MONEY, 0.5),
        ("-3,25", MONEY, -3.25),
        ("−3.25", MONEY, -3.25),
        ("1234,567", "kWh", 1234.567),
        ("15 %", "%", 0.15),
        ("15%", "%", 0.15),
        ("15,5 percent", "%", 0.155),
        ("0.15", "%", 0.15),
        ("15", "%", 15),
        ("512 hours", "h", 512),
        ("512", "", 512),
        ("42 lbs", "lb", 42),
        ("\uff11\uff12.\uff15", "kWh", 12.5),
    ],
)
def test_read_in_one_way(text: str, unit: str, value: float) -> None:
    written = read_number(text, unit, "USD")
    assert written.value == pytest.approx(value) and not written.note


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("1,234", "kWh"),
        ("1.234", "kWh"),
        ("12.345", "kWh"),
        ("about 12", "kWh"),
        ("12 or 13", "kWh"),
        ("12-13", "kWh"),
        ("?", "kWh"),
        ("", "kWh"),
        ("15 %", "kWh"),
        ("12 kWh", "h"),
        ("$12", "kWh"),
        ("12 EUR", MONEY),
        ("=C8*C9", "kWh"),
        ("1,23,4", "kWh"),
        ("1.2.3", "kWh"),
        ("12.5.2026", "kWh"),
        ("1,23.4", "kWh"),
        ("3/4", "kWh"),
        ("1e5", "kWh"),
        ("9" * 400, "kWh"),
        ("1" * 59 + "x", "kWh"),
    ],
)
def test_not_read(text: str, unit: str) -> None:
    written = read_number(text, unit, "USD")
    assert written.value is None and written.note
