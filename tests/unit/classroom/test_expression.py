"""Formulas of exercises: against values worked out by hand, and against a spreadsheet engine given the same text."""

from __future__ import annotations

import itertools
import math
import re

import formualizer
import pytest

from meltbook.classroom.answers import answers, known_values
from meltbook.classroom.draw import draw
from meltbook.classroom.exercise import load_exercise, shipped
from meltbook.classroom.expression import Cells, Expression
from meltbook.classroom.formula_text import ExpressionError
from tests.unit.classroom.tiny import student

VALUES: dict[str, float | Cells] = {
    "a": 7.0,
    "b": 2.5,
    "c": -3.0,
    "zero": 0.0,
    "tiny": 0.0005,
    "two": 2.0,
    "is_in": 4.0,
    "log_kind": ("Start", "Charge", "Idle", "charge", "Cold"),
    "log_days": (None, 3.0, 2.0, 4.0, 1.0),
    "log_use": (10.0, 200.5, 90.0, None, 0.0),
    "log_none": (None, None, None, None, None),
}

BY_HAND = {
    "a + b * c": -0.5,
    "(a + b) * c": -28.5,
    "a - b - c": 7.5,
    "a / b / two": 1.4,
    "-a + b": -4.5,
    "a * -b": -17.5,
    "a--b": 9.5,
    "60 * a / 100": 4.2,
    "SUM(log_days)": 10.0,
    "SUM(a, b, log_days, 1)": 20.5,
    "SUM(log_none)": 0.0,
    "MIN(log_days)": 1.0,
    "MAX(log_use)": 200.5,
    "MAX(a, b, c)": 7.0,
    "MIN(log_none)": 0.0,
    "MAX(c, log_none)": -3.0,
    'SUMIF(log_kind,"Charge",log_days)': 7.0,
    'SUMIF(log_kind, "Cold" , log_use)': 0.0,
    'COUNTIF(log_kind,"Charge")': 2.0,
    "SUMPRODUCT(log_days*log_use)": 781.5,
    "SUMPRODUCT(log_days*log_use*log_days)": 2164.5,
    "INDEX(log_days,2)": 3.0,
    "INDEX(log_days,1)": 0.0,
    "INDEX(log_use,two) - INDEX(log_use,1)": 190.5,
    "ROUND(b, 0)": 3.0,
    "ROUND(-b, 0)": -3.0,
    "ROUND(a / 60, 2)": 0.12,
    "ROUND(tiny * 1, 2) + ROUND(1 / 2, 0)": 1.0,
    "ROUNDUP(b, 0)": 3.0,
    "ROUNDUP(c / two, 0)": -2.0,
    "ROUNDUP(ROUND(a / tiny, 6), 0) * tiny": 7.0,
    "INT(b)": 2.0,
    "INT(-b)": -3.0,
    "INT(ROUND(a / two, 6) + 0.5) * two": 8.0,
    "ABS(c)": 3.0,
    "IF(a > b, 1, 2)": 1.0,
    "IF(a <= b * two + two, b, c)": 2.5,
    "IF(a < b, a / zero, IF(b >= c, is_in, 0))": 4.0,
    "(a)": 7.0,
    "is_in": 4.0,
}
NOTHING = ("a / zero", "a / (b - b)", "missing + a", "IF(a > b, a / zero, 1)", "SUM(missing)")


@pytest.mark.parametrize("text", BY_HAND)
def test_by_hand(text: str) -> None:
    assert Expression.parse(text).evaluate(VALUES) == pytest.approx(BY_HAND[text], rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("text", NOTHING)
def test_nothing_where_nothing_can_be_worked_out(text: str) -> None:
    assert Expression.parse(text).evaluate(VALUES) is None


def test_no_row_no_end_no_word() -> None:
    assert Expression.parse("INDEX(log_days,a)").evaluate(VALUES) is None, "there is no seventh row"
    assert Expression.parse("INDEX(log_days,b)").evaluate(VALUES) is None
    assert Expression.parse("a * a").evaluate({"a": 1e300}) is None
    assert Expression.parse("a - a").evaluate({"a": math.inf}) is None
    assert Expression.parse("INDEX(log_kind,1)").evaluate(VALUES) is None
    assert Expression.parse("a").evaluate({"a": VALUES["log_days"]}) is None
    assert Expression.parse("ROUND(a, 0) + INT(a)").evaluate({"a": 1e20}) == 2e20


def test_names() -> None:
    one = Expression.parse('SUMIF(log_kind,"Charge",log_days) * a + INDEX(log_use,two) + SUM(b)')
    assert one.names == {"log_kind", "log_days", "log_use", "a", "b", "two"}
    assert one.uses.kinds == {"log_kind"} and one.uses.columns == {"log_days", "log_use"}
    assert one.uses.either == {"b"} and one.uses.figures == {"a", "two"}
    assert one.uses.words == [("log_kind", "Charge")] and one.uses.rows == [("log_use", "two")]


@pytest.mark.parametrize("word", ["in", "is", "not", "lambda", "if", "and", "none", "print"])
def test_a_name_may_be_a_word_of_python(word: str) -> None:
    assert Expression.parse(f"{word} * 2").evaluate({word: 4.0}) == 8.0


@pytest.mark.parametrize(
    ("text", "found", "expected"),
    [
        ("", "``", "as in a spreadsheet"),
        ("a +", "`a +`", "as in a spreadsheet"),
        ("(a", "`(a`", "as in a spreadsheet"),
        ("a ** b", "`a ** b`", "as in a spreadsheet"),
        ("a b", "`a b`", "as in a spreadsheet"),
        ("=a+b", "=", "without it"),
        ("a ^ 2", "^", "names"),
        ("a & b", "&", "names"),
        ("15%", "%", "names"),
        ("a; b", ";", "a comma"),
        ("a * 12", "the number 12", "0, 1, 2, 60, 100"),
        ("a * 0.5", "the number 0.5", "0, 1, 2, 60, 100"),
        ("6 * a", "the number 6", "a name"),
        ("INT(0.5 * a)", "the number 0.5", "a name"),
        ("ROUND(a, 3)", "the number 3", "0, 1, 2, 6"),
        ("ROUND(a, b)", "`b`", "a number"),
        ("a * 1e2", "1e2", "plain number"),
        ("1_000 * a", "1_000", "plain number"),
        ("0x2", "0x2", "plain number"),
        ("Total + a", "Total", "small letters"),
        ("a1 + b", "a1", "small letters"),
        ("sum(a)", "sum(…)", "SUM(…)"),
        ("price(a)", "price(…)", "one of SUM"),
        ("MEDIAN(a, b)", "the function MEDIAN", "SUMIF"),
        ("VLOOKUP(a)", "the function VLOOKUP", "one of SUM"),
        ("SUM", "SUM", "SUM(…)"),
        ("SUM(a,)", "a comma before )", "after each comma"),
        ("IF(a, b, c)", "`a`", "one comparison"),
        ("IF(a > b > c, b, c)", "`a > b > c`", "one comparison"),
        ("IF(a = b, b, c)", "=", "without it"),
        ("IF(a > b, c)", "`IF(a > b, c)`", "IF(comparison, number, number)"),
        ("IF(a>b,IF(a>b,IF(a>b,a,b),b),b)", "an IF in an IF in an IF", "two at most"),
        ("a > b", "`a > b`", "a number"),
        ('a + "Charge"', "`'Charge'`", "a number"),
        ('SUMIF(log_kind,"Charge")', "`SUMIF(log_kind, 'Charge')`", "SUMIF(column"),
        ("SUMIF(log_kind,a,log_days)", "`a`", "SUMIF(column"),
        ('COUNTIF(a+b,"x")', "`a + b`", "COUNTIF(column"),
        ("SUMPRODUCT(log_days+log_use)", "`log_days + log_use`", "SUMPRODUCT(column*column)"),
        ("SUMPRODUCT(log_days*2)", "`2`", "SUMPRODUCT(column*column)"),
        ("INDEX(log_days,0)", "`0`", "the row"),
        ("INDEX(log_days,5)", "the number 5", "0, 1, 2"),
        ("INDEX(log_days,a+1)", "`a + 1`", "the row"),
        ("SUM(*a)", "`SUM(*a)`", "SUM(column)"),
        ("a.b", "a.b", "small letters"),
        ("(a, b)", "`(a, b)`", "a number"),
        ('"x', "a quote", "between two quotes"),
        ('COUNTIF(log_kind,"a""b")', '"a""b"', "one word"),
        ("__import__", "__import__", "small letters"),
        ("___", "___", "small letters"),
        ("a\\b", "`\\`", "names"),
        ("+".join(["abc"] * 50), "a formula of 199 characters", "at most 160"),
        ("(" * 79 + "a" + ")" * 79 + "b", "`((", "as in a spreadsheet"),
    ],
)
def test_what_a_formula_may_not_hold(text: str, found: str, expected: str) -> None:
    with pytest.raises(ExpressionError) as told:
        Expression.parse(text)
    assert told.value.found.startswith(found), told.value.found
    assert expected in told.value.expected, told.value.expected
    assert told.value.do


# --------------------------------------------------------------------------------------- the same text in an engine


def in_an_engine(texts: list[str], values: dict[str, float | Cells]) -> list[object]:
    """What a spreadsheet engine makes of formulas, each name in them replaced by the cells that hold its value."""
    book = formualizer.Workbook()
    book.add_sheet("Data")
    where: dict[str, str] = {}
    for number, (name, value) in enumerate(values.items()):
        letter = column_letters(number)
        cells = (value,) if isinstance(value, int | float) else value
        for row, cell in enumerate(cells, 1):
            if cell is not None:
                book.set_value("Data", row, number + 1, cell)
        where[name] = f"${letter}$1" if isinstance(value, int | float) else f"${letter}$1:${letter}${len(cells)}"
    for row, text in enumerate(texts, 101):
        moved = re.sub(r'"[^"]*"|[a-z]+(?:_[a-z]+)*', lambda part: where.get(part[0], part[0]), text)
        book.set_formula("Data", row, 1, f"={moved}")
    book.evaluate_all()
    return [book.get_value("Data", row, 1) for row in range(101, 101 + len(texts))]


def column_letters(number: int) -> str:
    """The letters of a column, the first of which is 0."""
    return (chr(64 + number // 26) if number >= 26 else "") + chr(65 + number % 26)


def test_an_engine_agrees_on_what_was_worked_out_by_hand() -> None:
    texts = list(BY_HAND)
    for text, shown in zip(texts, in_an_engine(texts, VALUES), strict=True):
        assert shown == pytest.approx(BY_HAND[text], rel=1e-12, abs=1e-12), text


def test_an_engine_agrees_on_combinations() -> None:
    """Every pair of parts with every sign between them, in brackets and without."""
    parts = ["a", "b", "c", "ABS(c)", "INT(b)", "SUM(log_days)", "MAX(log_use)", "ROUNDUP(b,0)", "IF(a>b,c,b)", "60"]
    texts = [
        text
        for one, other, sign, last in itertools.product(parts, parts, "+-*/", ("- b", "* c"))
        for text in (f"{one} {sign} {other} {last}", f"{one} {sign} ({other} {last})")
    ]
    for text, shown in zip(texts, in_an_engine(texts, VALUES), strict=True):
        found = Expression.parse(text).evaluate(VALUES)
        if found is None:
            assert isinstance(shown, dict) or not isinstance(shown, int | float), (text, shown)
        else:
            assert shown == pytest.approx(found, rel=1e-12, abs=1e-9), text


@pytest.mark.parametrize("name", shipped())
def test_an_engine_agrees_on_the_shipped_exercises(name: str) -> None:
    """On the formula of each step and of each slip, with the numbers of two students."""
    exercise = load_exercise(name)
    for number, unit in ((1, "lb"), (2, "kg")):
        numbers = draw(exercise, seed=5, student=student(number), stage="own", attempt=0, weight_unit=unit)
        values = dict(known_values(numbers))
        values |= {key: value for key, value in answers(exercise, numbers).items() if isinstance(value, float)}
        texts = [step.formula for step in exercise.steps if step.formula]
        texts += [slip.formula for step in exercise.steps for slip in step.slips]
        for text, shown in zip(texts, in_an_engine(texts, values), strict=True):
            assert shown == pytest.approx(Expression.parse(text).evaluate(values), rel=1e-12), text
