"""The rules of a workbook that people can trust and read, one by one, on each book that comes with the project.

The rules follow the FAST standard, the twenty principles of the ICAEW for good spreadsheets, and the Web Content
Accessibility Guidelines 2.2. A rule is a function from an opened book to sentences that say what breaks it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from tests.craft import formula_rules, sheet_rules
from tests.craft.opened import Opened

RULES: dict[str, Callable[[Opened], Iterator[str]]] = {
    "inputs, workings, outputs and checks are apart": sheet_rules.inputs_stand_on_sheets_to_type_on,
    "the flow is type, read, print, check": sheet_rules.the_order_is_type_read_print_check,
    "workings stand to the right of what is printed": sheet_rules.workings_are_not_printed,
    "one formula down each column of a block": formula_rules.one_formula_down_each_column,
    "formulas are short, with no IF too deep and no bare number": formula_rules.formulas_are_short_and_shallow,
    "no function is volatile": formula_rules.nothing_is_volatile,
    "no link, macro, hidden or merged cell, whole column": formula_rules.the_file_is_sound,
    "everything has a label; what is typed, a unit and a note": formula_rules.everything_says_what_it_is,
    "every input is labelled, tinted, bordered, named typed, and prompts": formula_rules.every_input_is_to_be_seen,
    "every cell of an input column is ruled": formula_rules.every_cell_of_an_input_column_is_ruled,
    "every sheet has title, purpose, state and a way back": sheet_rules.every_sheet_has_its_top_lines,
    "headings stay in view": sheet_rules.headings_stay_in_view,
    "print is one page wide and legible on Letter and A4": sheet_rules.print_is_one_page_wide_and_legible,
    "checks see the usual accidents and say what to do": formula_rules.checks_see_what_goes_wrong,
    "a shipped book passes its own checks": formula_rules.shipped_books_pass_their_checks,
    "text can be read on its fill": sheet_rules.text_can_be_read_on_its_fill,
    "bars stand out from paper": sheet_rules.bars_stand_out,
    "dates are yyyy-mm-dd, money names its currency once": sheet_rules.dates_and_money,
    "the line for adding rows lies inside every range": sheet_rules.a_last_line_lies_in_every_range,
}


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_rule(opened: Opened, rule: Callable[[Opened], Iterator[str]]) -> None:
    faults = list(rule(opened))
    assert not faults, "\n".join(faults[:20])
