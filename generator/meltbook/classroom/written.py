"""Numbers as students write them: ``12,50``, ``$12.50``, ``1,234.5``, ``12.50 kWh``, ``15 %``.

A text is read where it can be read in one way only. ``1,234`` can be a thousand and more or a little over one;
which of the two was meant is for the teacher to say.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

_NUMBER = re.compile(r"[-+]?\s?(?:\d[\d.,' ]*|[.,]\d+)")
_SPACES = re.compile(r"\s+")
_GROUPED = re.compile(r"\d{1,3}(?:([,.' ])\d{3})(?:\1\d{3})*")
_WORD = re.compile(r"[^\W\d_]+|\S")
_JOINING = frozenset(["/", "per", "a", "."])
_MANNERS: dict[str, frozenset[str]] = {
    "h": frozenset(["hour", "hours", "hr", "hrs"]),
    "days": frozenset(["day", "d"]),
    "lb": frozenset(["lbs", "pound", "pounds"]),
    "kg": frozenset(["kgs", "kilo", "kilos"]),
    "kw": frozenset(["kilowatt", "kilowatts"]),
    "min": frozenset(["mins", "minute", "minutes"]),
    "cents": frozenset(["cent", "ct", "¢"]),
}
"""Other ways to write a unit; both in small letters."""
_LONGEST = 60
PERCENT = "%"


@dataclass(frozen=True, slots=True)
class Written:
    """What a text says: a number, or why it can't be read as one."""

    value: float | None
    note: str = ""


def read_number(text: str, unit: str = "", currency: str = "") -> Written:
    """The number that a text says, the step being asked in ``unit`` (of the class: ``USD/lb``, ``%``, ``kWh``)."""
    plain = _SPACES.sub(" ", unicodedata.normalize("NFKC", text)).replace("−", "-").replace("’", "'").strip()
    if plain.startswith("="):
        return Written(None, "A formula that is kept as text works nothing out.")
    found = _NUMBER.findall(plain) if len(plain) <= _LONGEST else []
    if len(found) != 1:
        return Written(None, "That is no number." if not found else "That can't be read as one number.")
    beside = plain.replace(found[0], " ", 1)
    is_percent = PERCENT in beside or "percent" in beside.casefold()
    unknown = [word for word in _WORD.findall(beside.casefold()) if word not in _allowed(unit, currency)]
    if unknown or (is_percent and unit != PERCENT):
        return Written(None, "What stands beside the number is not the unit that was asked.")
    readings = {_signed(found[0], digits) for digits in _readings(found[0].lstrip("+- ").rstrip(" .,'"))}
    if len(readings) != 1:
        two = " or as ".join(f"{value:g}" for value in sorted(readings))
        return Written(None, f"That can be read as {two}." if two else "That is no number.")
    (value,) = readings
    return Written(value / 100 if is_percent else value)


def _signed(found: str, digits: float) -> float:
    return -digits if found.lstrip().startswith("-") else digits


def _readings(body: str) -> Iterator[float]:
    """Every number that digits with points, commas and spaces can stand for."""
    if body.isdigit():
        yield float(body)
        return
    if _GROUPED.fullmatch(body):
        whole = re.sub(r"[,.' ]", "", body)
        separator = next(sign for sign in body if not sign.isdigit())
        once = body.count(separator) == 1 and separator in ".,"
        if not body.startswith("0"):
            yield float(whole)
        if once:
            yield float(body.replace(",", "."))
        return
    for point in (".", ","):
        before, found, after = body.rpartition(point)
        if not found or not after.isdigit() or point in before:
            continue
        if before == "" or before.isdigit() or _is_grouped(before, point):
            yield float(f"{re.sub(r'[^0-9]', '', before) or '0'}.{after}")


def _is_grouped(before: str, point: str) -> bool:
    return _GROUPED.fullmatch(before) is not None and point not in before


def _allowed(unit: str, currency: str) -> frozenset[str]:
    """The words that may stand beside a number of this unit."""
    words = {word for word in _WORD.findall(unit.casefold()) if word not in _JOINING}
    allowed = set(_JOINING) | words | {manner for word in words for manner in _MANNERS.get(word, ())}
    if currency and currency.casefold() in words:
        allowed |= {"$", "€", "£", "¥", "dollar", "dollars", "euro", "euros"}
    if PERCENT in unit:
        allowed |= {PERCENT, "percent"}
    return frozenset(allowed)
