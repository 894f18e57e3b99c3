"""The rules that every field of the furnace's side keeps."""

from __future__ import annotations

import re

import pytest

from meltbook.fields import build
from meltbook.fields.kernel import Figure, Fixed, Input, Shape
from meltbook.studio.capacity import Capacity
from meltbook.studio.expect import expectations, input_name
from meltbook.studio.model import PREFIXES
from meltbook.workbook.formula_rules import formula_faults
from meltbook.workbook.formulas import iter_formulas
from meltbook.workbook.place import place

from .furnace_side import items, sheets, vocabulary

FIELDS = vocabulary(Capacity())
OURS = ("furnace", "wear", "day_kinds", "log", "tariffs", "glasses", "part_kinds", "ledger")
OURS_ON_SHOP = {
    "pricing_date",
    "period_from",
    "period_to",
    "ordinary_weight",
    "share_drawn",
    "share_in_pieces",
    "share_good",
    "price_limit",
}


def test_the_formulas_keep_the_rules() -> None:
    assert formula_faults(FIELDS) == []


def test_every_name_in_every_formula_is_known() -> None:
    count = sum(1 for _ in iter_formulas(FIELDS, place(sheets(FIELDS), FIELDS)))
    assert count > 50_000  # placing and translating refuses what it doesn't know


def test_the_furnaces_side_needs_nothing_of_the_shops_side() -> None:
    whole = build(weight_unit="lb", currency="USD", money_digits=2, capacity=Capacity())
    assert set(FIELDS.scalars) < set(whole.scalars)
    assert set(FIELDS.columns) < set(whole.columns)


@pytest.mark.parametrize("item", items(FIELDS), ids=lambda item: item.name)
def test_a_field_says_what_it_is(item: Figure | Fixed | Input) -> None:
    assert 2 < len(item.label) <= 32
    assert re.fullmatch(r"[A-Z0-9].*[.]", item.note), "a note is a sentence or two"
    assert set(re.findall(r"\{(.*?)\}", item.unit)) <= {"currency", "weight", "energy"}
    said = (item.label + item.note).replace("{energy}", "")  # filled in when the book is written
    assert "{" not in said
    if item.shape is Shape.RATE and isinstance(item, Figure):
        assert "{currency}" in item.unit
    if isinstance(item, Input):
        assert len(item.note) <= 190, "what to type must fit into the prompt with it"


@pytest.mark.parametrize("table", OURS)
def test_every_key_of_a_studio_has_its_cell(table: str) -> None:
    for key, expected in expectations(table).items():
        name = input_name(table, key)
        item = FIELDS.columns[name][1] if table in PREFIXES else FIELDS.scalars[name]
        assert isinstance(item, Input), name
        typed = item.typed
        if expected.sort == "choice" and not typed.choices_from:
            assert typed.choices == tuple(map(str, expected.choices)), name
        assert typed.whole == (expected.sort == "whole"), name
        assert (item.shape is Shape.DATE) == (expected.sort == "date"), name
        if expected.is_share:
            assert (item.shape, typed.minimum, typed.maximum) == (Shape.SHARE, 0, 1), name
        elif expected.minimum == 0:
            assert typed.minimum == 0, name


def test_the_words_of_the_log_are_those_of_the_studio() -> None:
    kinds = FIELDS.columns["kind_name"][1]
    assert isinstance(kinds, Fixed)
    assert kinds.values == expectations("log")["kind"].choices


def test_the_shops_part_is_here() -> None:
    assert {name for name in OURS_ON_SHOP if isinstance(FIELDS.scalars[name], Input)} == OURS_ON_SHOP


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("connected_kw", "never open the panel yourself"),
        ("log_new_kw", "licensed electrician"),
        ("part_retired", "Stop a cracked or leaking pot at once"),
        ("part_why", "leaking pot at once"),
        ("part_left", "leaking pot at once"),
        ("part_expected", "never a safety limit"),
        ("kind_of_part_life", "Not a safety limit"),
    ],
)
def test_a_number_that_could_tempt_carries_its_caution(name: str, words: str) -> None:
    item = FIELDS.scalars.get(name) or FIELDS.columns[name][1]
    assert words in item.note


def test_columns_of_a_list_have_a_value_a_row() -> None:
    for table, item in FIELDS.columns.values():
        if isinstance(item, Fixed):
            assert len(item.values) == table.rows, item.name


def test_units_follow_the_book() -> None:
    kilograms = build(weight_unit="kg", currency="JPY", money_digits=0, capacity=Capacity(pieces=5))
    pounds = build(weight_unit="lb", currency="USD", money_digits=2, capacity=Capacity(glasses=3))
    values = {
        (name, unit): book.scalars[name].values  # type: ignore[attr-defined]
        for unit, book in (("kg", kilograms), ("lb", pounds))
        for name in ("weight_in_kg", "money_digits")
    }
    assert values == {
        ("weight_in_kg", "kg"): (1.0,),
        ("money_digits", "kg"): (0,),
        ("weight_in_kg", "lb"): (0.45359237,),
        ("money_digits", "lb"): (2,),
    }
    assert pounds.tables["glasses"].rows == 3
