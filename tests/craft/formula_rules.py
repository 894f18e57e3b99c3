"""Rules that formulas, inputs and checks keep, as the file holds them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

from meltbook.fields.kernel import Figure, Fixed, Input, Shape
from meltbook.workbook.formula_rules import formula_faults
from meltbook.workbook.formulas import FUNCTIONS
from meltbook.workbook.lint import lint_book
from meltbook.workbook.style import INPUT_BORDER, INPUT_FILL
from tests.craft.opened import Opened, address
from tests.craft.sheet_rules import colour, fill, heading_of, unit_of

VOLATILE = frozenset({"CELL", "INDIRECT", "INFO", "NOW", "OFFSET", "RAND", "RANDARRAY", "RANDBETWEEN", "TODAY"})
_ROW = re.compile(r"(\$?[A-Z]{1,3})([0-9]+)\b(?!\()")
MEASURED = {
    Shape.MONEY,
    Shape.RATE,
    Shape.WEIGHT,
    Shape.ENERGY,
    Shape.KILOWATTS,
    Shape.DAYS,
    Shape.MINUTES,
    Shape.HOURS,
}
"""Shapes whose number says nothing without a unit. A share shows its percent sign, a date is a date."""

SEES = {
    "a formula typed over": ("log_formulas",),
    "text where a number belongs": ("log_numbers", "shop_numbers"),
    "a row below the last prepared one": ("below_last",),
    "a meter that runs backwards": ("readings_back",),
    "dates out of order": ("log_dates", "tariff_order"),
    "a tariff gap": ("tariff_cover",),
    "an unknown name": ("unknown_names", "glass_names"),
    "cents typed as money": ("tariff_size",),
    "an emptied input": ("inputs_missing",),
    "a nearly full log": ("log_room",),
    "days missing from the log": ("log_gaps",),
}
"""What checks have to catch, and those that catch it."""


def one_formula_down_each_column(opened: Opened) -> Iterator[str]:
    """The file's text with its own row written as 0 is the same in all rows of a column."""
    for name, spot in opened.placement.columns.items():
        table, item = opened.vocabulary.columns[name]
        if not isinstance(item, Figure):
            continue
        if item.formulas:
            if table.grows or table.seeded:
                yield f"{name} has unlike rows in a table that the owner adds rows to"
            continue
        tab = opened.file[spot.sheet]
        texts = {
            relative(tab.cell(row + 1, spot.col + 1).value, row + 1)
            for row in range(spot.first, spot.first + spot.rows)
        }
        if len(texts) != 1 or None in texts:
            yield f"{name} has {len(texts)} formulas down its column: {sorted(map(str, texts))[:2]}"


def relative(formula: Any, row: int) -> str | None:
    if not isinstance(formula, str) or not formula.startswith("="):
        return None
    return _ROW.sub(lambda found: f"{found[1]}[{int(found[2]) - row}]", formula)


def formulas_are_short_and_shallow(opened: Opened) -> Iterator[str]:
    yield from formula_faults(opened.vocabulary)


def nothing_is_volatile(opened: Opened) -> Iterator[str]:
    yield from (f"{name} is on the list of functions" for name in sorted(FUNCTIONS & VOLATILE))


def the_file_is_sound(opened: Opened) -> Iterator[str]:
    """Functions, links, macros, merged and hidden things, whole columns, names, alt texts: see the lint."""
    yield from lint_book(opened.path)


def everything_says_what_it_is(opened: Opened) -> Iterator[str]:
    """A label on all; on what is typed also a note with where the number comes from, and a unit."""
    for item in opened.items():
        if not item.label:
            yield f"{item.name} has no label"
        if not isinstance(item, Input) or item.name in opened.watched:
            continue
        if not item.note.rstrip().endswith((".", "?", "!")):
            yield f"{item.name}: the note is no sentence: {item.note!r}"
        if item.shape in MEASURED and not item.unit:
            yield f"{item.name} is {item.shape.value} without a unit"


def every_input_is_to_be_seen(opened: Opened) -> Iterator[str]:
    """A label, a unit, a word that says it is typed, a tint, a border, an open lock, a prompt."""
    rules = {tab.title: list(tab.data_validations.dataValidation) for _, tab in opened.tabs()}
    for item, tab, cell, is_column in opened.inputs():
        one, where = tab[cell], f"{item.name} ({tab.title}!{cell})"
        said = (
            heading_of(tab, cell)
            if is_column
            else " ".join(str(of.value or "") for of in tab[one.row][: one.column - 1])
        )
        unit = said if is_column else unit_of(tab, cell)
        if item.label not in said.replace("\n", " "):
            yield f"{where} has no label: {said!r}"
        if "type" not in said.split() and "type" not in re.split(r"[\s,]+", said):
            yield f"{where} does not say that it is typed: {said!r}"
        words = {"currency": opened.currency, "weight": opened.weight, "energy": opened.energy}
        for word in item.unit.format_map(words).split():
            if word.casefold() not in unit.casefold():
                yield f"{where} does not show its unit {item.unit!r}: {unit!r}"
                break
        if fill(one).upper() != INPUT_FILL or colour(one.border.left.color, "") != INPUT_BORDER:
            yield f"{where} has another tint or border"
        if one.protection.locked:
            yield f"{where} is locked"
        prompts = [rule.prompt for rule in rules[tab.title] if cell in rule.sqref]
        if len(prompts) != 1 or not prompts[0]:
            yield f"{where} has {len(prompts)} rules, or no prompt"


def every_cell_of_an_input_column_is_ruled(opened: Opened) -> Iterator[str]:
    rules = {tab.title: list(tab.data_validations.dataValidation) for _, tab in opened.tabs()}
    for item, tab, cell, is_column in opened.inputs():
        if is_column:
            spot = opened.placement.columns[item.name]
            last = address(spot.first + spot.rows - 1, spot.col)
            if not any(cell in rule.sqref and last in rule.sqref for rule in rules[tab.title]):
                yield f"{item.name}: the rule does not reach from {cell} to {last}"


def checks_see_what_goes_wrong(opened: Opened) -> Iterator[str]:
    """Each of the usual accidents has a check, and each check says what to do."""
    column = opened.vocabulary.columns["check_id"][1]
    assert isinstance(column, Fixed)
    for accident, keys in SEES.items():
        yield from (f"no check {key} for {accident}" for key in keys if key not in column.values)
    for name in ("check_title", "check_do"):
        texts = opened.vocabulary.columns[name][1]
        assert isinstance(texts, Fixed)
        if len(texts.values) != len(column.values) or not all(texts.values):
            yield f"{name} is not given for every check"
    twice = [key for key, count in Counter(column.values).items() if count > 1]
    yield from (f"two checks are called {key}" for key in twice)


def shipped_books_pass_their_checks(opened: Opened) -> Iterator[str]:
    spot = opened.placement.scalars["checks_state"]
    said = opened.values[spot.sheet].cell(spot.row + 1, spot.col + 1).value
    if said not in ("All checks pass", "Nothing to check yet"):
        yield f"a new book says {said!r}"
