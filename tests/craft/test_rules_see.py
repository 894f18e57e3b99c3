"""Each rule is broken once in a book of its own, since a rule that nothing can break holds nothing."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import pytest
from openpyxl.styles import Font, PatternFill, Protection

from meltbook.fields.kernel import Vocabulary
from meltbook.studio.capacity import Capacity
from tests.craft.opened import Opened, open_book
from tests.craft.test_rules import RULES


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Opened:
    return open_book("blank", "Letter", tmp_path_factory.mktemp("craft") / "book.xlsx", Capacity(log=20))


@pytest.fixture
def opened(written: Opened) -> Opened:
    """The book opened anew, to be broken."""
    return dataclasses.replace(written)


def first(opened: Opened, name: str) -> Any:
    """The first cell of a column, or the cell of a single figure."""
    column = opened.placement.columns.get(name)
    if column is not None:
        return opened.file[column.sheet].cell(column.first + 2, column.col + 1)
    spot = opened.placement.scalars[name]
    return opened.file[spot.sheet].cell(spot.row + 1, spot.col + 1)


def declared(opened: Opened, name: str, **changes: Any) -> Opened:
    """The book with one field declared otherwise."""
    vocabulary = opened.vocabulary
    scalars, columns = dict(vocabulary.scalars), dict(vocabulary.columns)
    if name in scalars:
        scalars[name] = dataclasses.replace(scalars[name], **changes)
    else:
        table, item = columns[name]
        columns[name] = (table, dataclasses.replace(item, **changes))
    return dataclasses.replace(opened, vocabulary=Vocabulary(scalars, vocabulary.tables, columns))


def set_cell(name: str, **changes: Any) -> Callable[[Opened], None]:
    def change(opened: Opened) -> None:
        for key, value in changes.items():
            setattr(first(opened, name), key, value)

    return change


def set_tab(sheet: str, **changes: Any) -> Callable[[Opened], None]:
    def change(opened: Opened) -> None:
        for key, value in changes.items():
            setattr(opened.file[sheet], key, value)

    return change


def wide(opened: Opened) -> None:
    opened.file["Shop"].column_dimensions["B"].width = 150


def unruled(opened: Opened) -> None:
    rules = opened.file["Furnace log"].data_validations
    rules.dataValidation = [rule for rule in rules.dataValidation if rule.promptTitle != "Days"]


def half_ruled(opened: Opened) -> None:
    for rule in opened.file["Furnace log"].data_validations.dataValidation:
        rule.sqref = type(rule.sqref)(str(rule.sqref).partition(":")[0])


def cut_range(opened: Opened) -> None:
    name = opened.file.defined_names["log_days"]
    start, _, last = name.attr_text.rpartition("$")
    name.attr_text = f"{start}${int(last) - 1}"


GREY_ON_GREY = {"font": Font(color="FF888888"), "fill": PatternFill("solid", fgColor="FFAAAAAA")}

IN_THE_FILE: tuple[tuple[str, Callable[[Opened], None]], ...] = (
    ("inputs, workings, outputs and checks are apart", set_cell("price_hot", protection=Protection(locked=False))),
    ("one formula down each column of a block", set_cell("energy_used", value=12)),
    ("one formula down each column of a block", set_cell("energy_used", value="=weighted_days*2")),
    ("every input is labelled, tinted, bordered, named typed, and prompts", unruled),
    (
        "every input is labelled, tinted, bordered, named typed, and prompts",
        set_cell("gather_weight", fill=PatternFill()),
    ),
    ("every cell of an input column is ruled", half_ruled),
    ("every sheet has title, purpose, state and a way back", lambda o: o.file["Shop"].__setitem__("A1", None)),
    ("every sheet has title, purpose, state and a way back", lambda o: o.file["Shop"].__setitem__("B3", "OK")),
    ("headings stay in view", set_tab("Shop", freeze_panes=None)),
    ("print is one page wide and legible on Letter and A4", wide),
    ("print is one page wide and legible on Letter and A4", set_tab("Shop", print_area="A1:AZ60")),
    ("workings stand to the right of what is printed", set_tab("Furnace log", print_area="A1:AZ60")),
    ("text can be read on its fill", lambda o: [setattr(o.file["Shop"]["B6"], *pair) for pair in GREY_ON_GREY.items()]),
    (
        "dates are yyyy-mm-dd, money names its currency once",
        set_cell("log_date", number_format="dd.mm.yyyy", value=46023),
    ),
    ("the line for adding rows lies inside every range", cut_range),
)


@pytest.mark.parametrize(("rule", "breaking"), IN_THE_FILE, ids=range(len(IN_THE_FILE)))
def test_a_breach_in_the_file_is_seen(opened: Opened, rule: str, breaking: Callable[[Opened], None]) -> None:
    before = set(RULES[rule](opened))
    breaking(opened)
    assert set(RULES[rule](opened)) - before


DECLARED: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("formulas are short, with no IF too deep and no bare number", "energy_cost", {"formula": "energy_used*365"}),
    ("everything has a label; what is typed, a unit and a note", "log_weight", {"unit": ""}),
    ("everything has a label; what is typed, a unit and a note", "log_weight", {"note": "No sentence"}),
    ("everything has a label; what is typed, a unit and a note", "energy_cost", {"label": ""}),
    ("checks see the usual accidents and say what to do", "check_id", {"values": ("log_kinds",)}),
)


@pytest.mark.parametrize(("rule", "name", "changes"), DECLARED)
def test_a_breach_in_a_declaration_is_seen(opened: Opened, rule: str, name: str, changes: dict[str, Any]) -> None:
    before = set(RULES[rule](opened))
    assert set(RULES[rule](declared(opened, name, **changes))) - before


def test_sheets_in_a_wrong_order_are_seen(opened: Opened) -> None:
    rule = RULES["the flow is type, read, print, check"]
    assert not list(rule(opened))
    assert list(rule(dataclasses.replace(opened, sheets=opened.sheets[::-1])))
