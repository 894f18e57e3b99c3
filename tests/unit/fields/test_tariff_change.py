"""The chapter of the new tariff: what it declares, the rules it keeps, and a letter worked out by hand."""

from __future__ import annotations

import re
from dataclasses import asdict
from pathlib import Path

import pytest

from meltbook.fields import build, letter, tariff_change
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape
from meltbook.fields.late import log_columns
from meltbook.fields.sheet_names import FIRST
from meltbook.sheets import book_sheets
from meltbook.studio.capacity import CHANNEL_SLOTS, Capacity
from meltbook.studio.expect import expectations
from meltbook.workbook.address import cell_address
from meltbook.workbook.formula_rules import formula_faults
from meltbook.workbook.place import lay_out
from meltbook.workbook.write import BookOptions, write_book
from tests.engines.runners import Formualizer, recalculate_one
from tests.worked.cases import CAPACITY, load_cases

CONTEXT = BookContext("kg", "EUR", 2, Capacity(pieces=7, tariffs=9))
BOOK = build(weight_unit="kg", currency="EUR", money_digits=2, capacity=Capacity(pieces=7, tariffs=9))

PRICES = (
    "price price_two price_three share_one share_two share_three surcharge service demand demand_kw all_in standing"
)
LETTER = """letter_shares letter_figures letter_given letter_day letter_position letter_base_from letter_base_row
    letter_until base_shares base_tax base_service_share base_demand_share base_service_daily base_service_per
    letter_tax_new letter_untax letter_scale new_shares new_mix new_service_daily new_service_per new_service_day
    change_price change_price_two change_price_three change_surcharge change_service change_demand change_all_in
    change_standing"""
STUDIO = """tariff_rows_made letter_line letter_jump letter_code letter_state letter_rest
    price_before price_after standing_day_before standing_day_after hot_before hot_after standing_before
    standing_after pool_after rate_after year_logged year_use effect_days effect_note
    effect_energy effect_standing effect_year effect_energy_month
    effect_standing_month effect_month default_tolerance retag_tolerance_used retag_count short_count keep_count
    retag_list_count retag_sentence retag_told retag_studio retag_heading retag_empty retag_none"""
LATE = """letter_difference late_rows late_waiting late_energy late_standing late_logged late_words late_waits
    late_note"""
BY_SLOT = ("short_now", "net_after", "margin_after", "short_after", "after")
TABLES = {
    "letter_cases": "letter_word letter_case",
    "piece_after": f"""after_tag_now after_cost_now after_margin_now piece_more_hot piece_more_kiln cost_after
        {" ".join(f"{word}_{slot}" for word in BY_SLOT for slot in CHANNEL_SLOTS)}
        short_now short_after margin_after_lowest margin_after after_wanted after_cents tag_after tag_change
        tag_new tag_rise
        tag_verdict retag_flag retag_key retag_place""",
    "retag_list": """retag_no retag_row retag_name retag_size retag_old retag_new retag_why retag_short
        retag_short_words retag_before retag_before_words""",
}


def test_the_letter_has_a_cell_for_every_key() -> None:
    typed = {item.name: item for item in letter.scalars(CONTEXT) if isinstance(item, Input)}
    assert list(typed) == list(expectations("letter"))
    for name, expected in expectations("letter").items():
        item = typed[name]
        if expected.sort == "choice":
            assert item.typed.choices == expected.choices, name
        assert (item.shape is Shape.DATE) == (expected.sort == "date"), name
        if expected.is_share:
            assert (item.shape, item.typed.minimum, item.typed.maximum) == (Shape.SHARE, 0, 1), name


def test_the_letters_figures() -> None:
    both = {f"{side}_{word}" for side in ("base", "new") for word in PRICES.split()}
    named = {item.name for item in letter.scalars(CONTEXT) if isinstance(item, Figure)}
    assert named == both | set(LETTER.split())


def test_the_studios_figures() -> None:
    assert {item.name for item in tariff_change.scalars(CONTEXT)} == set(STUDIO.split())
    assert set(LATE.split()) < set(BOOK.scalars)


def test_tables() -> None:
    declared = {table.name: table for table in tariff_change.tables(CONTEXT)}
    assert {name: {item.name for item in table.columns} for name, table in declared.items()} == {
        name: set(columns.split()) for name, columns in TABLES.items()
    }
    assert declared["piece_after"].aligned == "pieces"
    assert {declared["piece_after"].rows, declared["retag_list"].rows} == {7}
    assert {"late_days", "late_change"} == {item.name for item in log_columns()}
    assert {"tariff_no", "tariff_line"} < set(BOOK.columns)


def test_the_table_of_tariffs_says_how_long_it_is() -> None:
    rows = BOOK.scalars["tariff_rows_made"]
    assert isinstance(rows, Fixed) and rows.values == (9,)


def _items() -> tuple[Item, ...]:
    columns = (item for table in tariff_change.tables(CONTEXT) for item in table.columns)
    return (*letter.scalars(CONTEXT), *tariff_change.scalars(CONTEXT), *columns)


def test_the_formulas_keep_the_rules() -> None:
    ours = {item.name for item in (*_items(), *log_columns())} | set(LATE.split())
    assert [fault for fault in formula_faults(BOOK) if re.split("[,:]", fault)[0] in ours] == []


@pytest.mark.parametrize("item", _items(), ids=lambda item: item.name)
def test_a_field_says_what_it_is(item: Item) -> None:
    item = FIRST.item(item)
    assert 2 < len(item.label) <= 36
    assert not item.note or re.fullmatch(r"[A-Z0-9].*[.]", item.note)
    assert item.note or isinstance(item, Fixed)
    assert "{" not in (item.label + item.note).replace("{energy}", "")
    if item.shape is Shape.RATE:
        assert "{currency}" in item.unit


def test_nothing_else_reads_the_letter() -> None:
    """The book goes on with the tariffs in force until the owner types the letter into their table."""
    ours = {item.name for item in (*_items(), *log_columns())} | set(LATE.split())
    lists = {item.name for table in tariff_change.tables(CONTEXT) for item in table.columns}
    readers = {
        item.name
        for item in (*BOOK.scalars.values(), *(item for _, item in BOOK.columns.values()))
        if isinstance(item, Figure) and item.name not in ours
        for text in (item.formula, *item.formulas, *item.needs)
        if set(re.findall(r"[a-z]+(?:_[a-z]+)+", text)) & (ours | lists)
    }
    machines = {"machine_price_after", "effect_equipment"}  # they are shown on New tariff, and pieces read them there
    assert readers == {"check_found", "number_texts"} | machines


def test_a_letter_worked_by_hand(formualizer: Formualizer, tmp_path: Path) -> None:
    """The same case judges the reference engine; here an engine meets it without the reference in between."""
    [case] = [case for case in load_cases() if case.name == "a_letter_with_half_more"]
    book = build(weight_unit="lb", currency="USD", money_digits=2, capacity=CAPACITY)
    spots = lay_out(book_sheets(), book, asdict(CAPACITY)).placement
    write_book(tmp_path / "b.xlsx", book, book_sheets(), case.studio, None, BookOptions(capacities=asdict(CAPACITY)))
    values = recalculate_one(formualizer, tmp_path / "b.xlsx", tmp_path)

    def found(figure: str, row: int | None) -> object:
        if row is None:
            spot = spots.scalars[figure]
            return values.get((spot.sheet, cell_address(spot.row, spot.col)))
        column = spots.columns[figure]
        return values.get((column.sheet, cell_address(column.first + row - 1, column.col)))

    wrong = [
        f"{expected}; found {value!r}"
        for expected in case.expected
        if not expected.met_by(value := found(expected.figure, expected.row))
    ]
    assert not wrong, "\n".join(wrong)
