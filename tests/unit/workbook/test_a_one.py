"""Formulas in different spellings, and formulas that differ."""

from __future__ import annotations

import pytest

from meltbook.workbook.a_one import same_formula, shifted

SHEET = "Furnace log"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("$C7*$D7", "C7*D7"),
        ("'Furnace log'!C7*D7", "$C7*$D7"),
        ("'Furnace log'!C7:'Furnace log'!C9", "C7:C9"),
        ("SUM('Furnace log'!C7:C9)", "SUM(C$7:C$9)"),
        ("SUM(Shop!C7:Shop!C9)", "SUM(Shop!C7:C9)"),
        ("'shop'!c7", "Shop!$C$7"),
        ("sum( a1 , 2 )", "SUM(A1,2)"),
        ("_xlfn.COUNTIFS(A1:A2,1)", "COUNTIFS(A1:A2,1)"),
        ("ROUND(x_y+0.000000001,2)", "ROUND(x_y+1E-09,2)"),
        ("ROUND(x_y+0.000000001,2)", "ROUND(x_y+1e-009,2.0)"),
        ("(A1*B1)/C1", "A1*B1/C1"),
        ('IF((A1>0),(B1),"")', 'IF(A1>0,B1,"")'),
        ("A1+(B1*C1)", "A1+B1*C1"),
        ("+A1", "A1"),
        ("Log_Date+1", "log_date+1"),
        ("IF(A1,,2)", "IF( A1,,2 )"),
    ],
)
def test_the_same(one: str, other: str) -> None:
    assert same_formula(one, other, SHEET)
    assert same_formula(other, one, SHEET)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("C7*D7", "C7+D7"),
        ("C7*D7", "C8*D7"),
        ("C7*D7", "Shop!C7*D7"),
        ("SUM(C7:C9)", "SUM(C7:C8)"),
        ("SUM(C7,C9)", "SUM(C7:C9)"),
        ("A1-(B1-C1)", "A1-B1-C1"),
        ("A1/(B1*C1)", "A1/B1*C1"),
        ("(-A1)^2", "-(A1^2)"),
        ('IF(A1="","",1)', 'IF(A1=" ","",1)'),
        ('"Charge"', '"charge"'),
        ("ROUND(A1,2)", "ROUND(A1,3)"),
        ("A1", "-A1"),
        ("A1", "A1%"),
        ("A1", "A1)"),
        ("A1", "#REF!"),
        ("A1>=B1", "A1>B1"),
        ("A1&B1", "A1+B1"),
        ("A1", ""),
        ("IF(A1,1,2)", "IF(A1,2,1)"),
    ],
)
def test_not_the_same(one: str, other: str) -> None:
    assert not same_formula(one, other, SHEET)
    assert not same_formula(other, one, SHEET)


@pytest.mark.parametrize("formula", ["A1[x]", "(" * 2000 + "A1" + ")" * 2000, "SUM(", "A1 B1", "\x00", "@A1"])
def test_what_is_no_formula_is_never_the_same_as_one(formula: str) -> None:
    assert not same_formula(formula, "A1", SHEET)


def test_copied_down_and_past_the_edges() -> None:
    assert shifted("A1+$B$2+C$3+$D4", 2, 1) == "B3+$B$2+D$3+$D6"
    assert shifted('"A1"&A1&log_date', 1, 0) == '"A1"&A2&log_date'
    assert shifted("'A1 x'!A1", 1, 0) == "'A1 x'!A2"
    assert shifted("A1", -1, -1) == "XFD1048576"
    assert shifted("LOG10(A1)", 1, 0) == "LOG10(A2)"
