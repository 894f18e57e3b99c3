"""The rules that every formula of the shop's side keeps, so that people can read it and programs agree."""

from __future__ import annotations

import re
from collections.abc import Iterator

from meltbook.fields import build, collect
from meltbook.fields.chapters_b import CHAPTERS
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape
from meltbook.studio.capacity import Capacity
from meltbook.workbook.formulas import parse

CONTEXT = BookContext("lb", "USD", 2, Capacity())
BOOK = build(weight_unit="lb", currency="USD", money_digits=2, capacity=Capacity())
OURS = collect(CHAPTERS, CONTEXT)
ITEMS: tuple[Item, ...] = (*OURS.scalars.values(), *(item for _, item in OURS.columns.values()))
LONGEST = 160
NUMBERS = {"0", "1", "2", "60", "100"}
ROUNDING = {
    "tag_cents": {"0.000000001"},
    "tag_suggested": {"6"},
    "rank_key": {"0.000000001", "6"},
    "tag_over": {"0.000000001", "6"},
    "tag_off": {"6"},
    "slot_margin": {"6"},
    "slot_margin_again": {"6"},
    "kinds_sentence": {"6", "0.5"},
    "start_percent": {"6", "0.5"},
    "check_first": {"6", "0.5"},
    "hire_ask": {"6"},
    "course_ask": {"6"},
    "course_even": {"6"},
    "course_breaks": {"6", "0.5"},
    **{
        f"{amount}_words": {"6", "0.5"}
        for amount in ("hot", "line", "tag", "left", "suggested", "hire_open", "hire_needed")
    },
}
"""The patterns that round alike in every program."""


def formulas() -> Iterator[tuple[str, str]]:
    for item in ITEMS:
        if isinstance(item, Figure):
            for text in item.formulas or (item.formula,):
                yield item.name, text


def plain(text: str) -> str:
    """A formula without the texts in it."""
    return re.sub(r'"[^"]*"', '""', text)


def if_depth(text: str) -> int:
    """How deep IFs stand within one another."""
    deepest = depth = 0
    stack: list[bool] = []
    for match in re.finditer(r"([A-Z]+)?\(|\)", plain(text)):
        if match[0] == ")":
            depth -= stack.pop()
        else:
            stack.append(match[1] == "IF")
            depth += stack[-1]
            deepest = max(deepest, depth)
    return deepest


def test_formulas_are_short_and_shallow() -> None:
    wrong = {name: text for name, text in formulas() if len(text) > LONGEST or if_depth(text) > 2}
    assert not wrong


def test_formulas_hold_no_bare_numbers() -> None:
    wrong = {}
    for name, text in formulas():
        bare = set(re.findall(r"(?<![\w.])\d+(?:\.\d+)?", plain(text))) - NUMBERS
        if bare - ROUNDING.get(name, set()):
            wrong[name] = text
    assert not wrong


def test_formulas_name_what_the_book_has() -> None:
    unknown = {
        (name, part.name)
        for name, text in formulas()
        for part in parse(text)
        if not isinstance(part, str) and part.name not in BOOK.scalars and part.name not in BOOK.columns
    }
    assert not unknown


def test_guards_name_what_the_book_has() -> None:
    for item in ITEMS:
        if isinstance(item, Figure):
            for name in (*item.needs, *item.nonzero, *([item.blank_if] if item.blank_if else [])):
                field, _, row = name.partition(".")
                assert field in BOOK.scalars or field in BOOK.columns, (item.name, name)
                assert row.isdigit() or not row, (item.name, name)


def test_figures_have_one_formula_and_a_sentence() -> None:
    for item in ITEMS:
        if isinstance(item, Figure):
            assert item.label and item.note.endswith("."), item.name
            assert bool(item.formula) != bool(item.formulas), item.name


def test_inputs_say_where_their_number_comes_from() -> None:
    measured = (Shape.MONEY, Shape.SHARE, Shape.WEIGHT, Shape.MINUTES, Shape.HOURS, Shape.RATE)
    for item in ITEMS:
        if isinstance(item, Input):
            assert item.label and item.note.endswith("."), item.name
            if item.shape in measured:
                assert item.unit and item.typed.minimum is not None, item.name
            if item.typed.choices_from:
                assert item.typed.choices_from in BOOK.columns, item.name


def test_fixed_columns_have_a_value_in_each_row() -> None:
    for table, item in OURS.columns.values():
        if isinstance(item, Fixed):
            assert len(item.values) == table.rows, item.name


def test_no_typed_column_is_multiplied() -> None:
    """A text in a typed cell makes `*` an error; SUMPRODUCT counts it as 0 in a list of columns."""
    for name, text in formulas():
        for inside in re.findall(r"SUMPRODUCT\(([^()]*)\)", text):
            for factor in inside.split(","):
                for column in re.findall(r"([a-z_]+)\.all", factor):
                    alone = factor == f"{column}.all"
                    assert alone or not isinstance(BOOK.columns[column][1], Input), (name, column)


def test_labels_fit_above_a_column() -> None:
    for table, item in OURS.columns.values():
        longest = max(len(word) for word in item.label.split())
        assert len(item.label) <= 24 and longest <= 12, (table.name, item.label)
