"""Codes of currencies as people type them."""

from __future__ import annotations

import pytest

from meltbook.errors import UsageError
from meltbook.studio.currency import is_currency, read_currency


@pytest.mark.parametrize(("typed", "code"), [("USD", "USD"), ("eur", "EUR"), (" jpy ", "JPY")])
def test_codes(typed: str, code: str) -> None:
    assert read_currency(typed) == code


@pytest.mark.parametrize("typed", ["", "EURO", "$", "US", "QQQ", "ÄÖÜ"])
def test_no_codes(typed: str) -> None:
    with pytest.raises(UsageError, match="not a currency") as caught:
        read_currency(typed)
    assert "ISO 4217" in caught.value.hint


def test_a_near_code_is_named() -> None:
    with pytest.raises(UsageError) as caught:
        read_currency("EURO")
    assert "EUR" in caught.value.hint


def test_capitals_matter_in_a_studio_file() -> None:
    assert is_currency("USD")
    assert not is_currency("usd")
