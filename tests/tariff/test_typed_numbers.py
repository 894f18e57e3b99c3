"""Numbers and dates as they are typed on the command line: one reading, or none."""

from __future__ import annotations

import datetime as dt

import click
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meltbook.cli.typed_numbers import Day, Number, Percent, read_number


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("0.151", 0.151),
        (" 15.1 ", 15.1),
        (".5", 0.5),
        ("5.", 5),
        ("+2", 2),
        ("-0.02", -0.02),
        ("−0.02", -0.02),
        ("0", 0),
    ],
)
def test_a_number_with_a_point(text: str, number: float) -> None:
    assert read_number(text) == number


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0,151", "0.151 or as 151"),
        ("1,234", "1.234 or as 1234"),
        ("-1,234", "-1.234 or as -1234"),
        ("0,15", r"type 0\.15\."),
        (",5", r"type 0\.5\."),
        ("0,1512", r"type 0\.1512\."),
        ("1,234.50", "with a point for the decimals"),
        ("1.234,50", "with a point for the decimals"),
        ("1,234,567", "no other sign"),
        ("1 234", "no number"),
        ("1e3", "no number"),
        ("nan", "no number"),
        ("inf", "no number"),
        ("٣", "no number"),
        ("0x1F", "no number"),
        ("1_000", "no number"),
        ("$5", "no number"),
        ("", "no number"),
        ("9" * 20, "too large"),
        ("9" * 400, "too large"),
    ],
)
def test_anything_else_is_refused_with_what_it_could_be(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        read_number(text)


@given(st.floats(-1e9, 1e9))
def test_every_number_is_read_as_it_is_written(number: float) -> None:
    assert read_number(f"{number:.10f}") == float(f"{number:.10f}")


@given(st.text("0123456789.,-+ e%'", max_size=12))
def test_what_is_read_is_what_python_reads(text: str) -> None:
    try:
        number = read_number(text)
    except ValueError:
        return
    assert number == float(text)


OUTSIDE = "not from 0 to 100 %"


def test_below_zero_only_where_it_can_be_meant() -> None:
    assert Number(negative=True).convert("-0.02", None, None) == -0.02
    with pytest.raises(click.BadParameter, match="below 0"):
        Number().convert("-0.02", None, None)
    with pytest.raises(click.BadParameter, match=r"0\.151 or as 151"):
        Number().convert("0,151", None, None)


@pytest.mark.parametrize(
    ("text", "share"),
    [("8%", 0.08), ("8", 0.08), ("8 %", 0.08), ("-3.5%", -0.035), ("0.5%", 0.005), ("0", 0), ("1%", 0.01)],
)
def test_a_percentage(text: str, share: float) -> None:
    assert Percent(-99, 10_000).convert(text, None, None) == pytest.approx(share)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0.08", "0.08 % or as 8 %"),
        ("1", "1 % or as 100 %"),
        ("-0.5", "-0.5 % or as -50 %"),
        ("101%", OUTSIDE),
        ("-1%", OUTSIDE),
        ("8%%", "no number"),
        ("%", "no number"),
        ("8,5%", r"type 8\.5"),
    ],
)
def test_a_percentage_that_is_none_or_two(text: str, said: str) -> None:
    share = Percent(0, 100) if said == OUTSIDE else Percent(-99, 10_000)
    with pytest.raises(click.BadParameter, match=said):
        share.convert(text, None, None)


def test_a_date() -> None:
    assert Day().convert("2027-01-01", None, None) == dt.date(2027, 1, 1)
    assert Day().convert(" 2028-2-29", None, None) == dt.date(2028, 2, 29)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2027-02-30", "no day 2027-02-30"),
        ("2027-13-01", "no day"),
        ("2027-02-29", "no day"),
        ("03/04/2027", "2027-03-04 or 2027-04-03"),
        ("3.4.2027", "2027-03-04 or 2027-04-03"),
        ("04/04/2027", r"2027-04-04\."),
        ("13/04/2027", r"year-month-day: 2027-04-13\."),
        ("04-13-2027", r"year-month-day: 2027-04-13\."),
        ("13/14/2027", "such as 2027-01-01"),
        ("27-01-01", "no date"),
        ("1 Jan 2027", "no date"),
        ("46388", "no date"),
        ("", "no date"),
        ("0001-01-01", "is not from"),
        ("9999-12-31", "is not from"),
    ],
)
def test_a_date_that_is_none_or_two(text: str, said: str) -> None:
    with pytest.raises(click.BadParameter, match=said):
        Day().convert(text, None, None)
