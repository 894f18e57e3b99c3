"""Reading a currency's code the way people type it: in small letters, or nearly right."""

from __future__ import annotations

from difflib import get_close_matches
from functools import lru_cache

from babel.core import get_global

from meltbook.errors import UsageError
from meltbook.units import check_currency


@lru_cache(maxsize=1)
def current_currencies() -> tuple[str, ...]:
    """The codes of ISO 4217 that are legal tender somewhere today."""
    territories = get_global("territory_currencies")
    codes = {
        code for entries in territories.values() for code, _start, end, tender in entries if end is None and tender
    }
    return tuple(sorted(codes))


def is_currency(code: str) -> bool:
    """Whether ISO 4217 knows this code, which must be in capitals."""
    try:
        check_currency(code)
    except UsageError:
        return False
    return True


def read_currency(text: str) -> str:
    """The code in capitals; an error names the codes that are near to what was typed."""
    code = text.strip().upper()
    if is_currency(code):
        return code
    near = get_close_matches(code, current_currencies(), n=3, cutoff=0.6)
    raise UsageError(
        f"{text!r} is not a currency.",
        hint="Give the three letters of ISO 4217, such as USD, EUR or JPY"
        + (f"; near to it: {', '.join(near)}." if near else "."),
    )
