"""The chapter of the bill check, and what gas adds to the meter: what they declare, and the rules they keep."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import pytest

from meltbook.fields import BookContext, bills, build, meter
from meltbook.fields.drawn_from import bill_source
from meltbook.fields.kernel import Fixed, Input, Item, Shape
from meltbook.method import bills as reference
from meltbook.sheets import book_sheets
from meltbook.studio.capacity import Capacity
from meltbook.studio.energy import HeatIn, MeterKind
from meltbook.studio.expect import expectations
from meltbook.studio.model import Studio
from meltbook.units import BILLED_KILOJOULES, HEAT_KILOJOULES
from meltbook.workbook.book import make_book
from meltbook.workbook.formula_rules import formula_faults

ROOM = Capacity(bills=9)
CONTEXT = BookContext("kg", "EUR", 2, ROOM, "m³")
BOOK = build(weight_unit="kg", currency="EUR", money_digits=2, capacity=ROOM, energy_unit="m³")

SCALARS = """unexplained_limit default_unexplained bill_cells unexplained_used bills_given bills_in bills_left bills_use
    bills_furnace bills_known bills_share bills_percent bills_main bills_out bills_sentence"""
COLUMNS = """bill_start bill_end bill_use bill_metered bill_estimated bill_ref bill_given bill_close bill_before_rows
    bill_before_days bill_until_rows bill_until_days bill_furnace bill_estimate_used bill_known bill_unexplained
    bill_share bill_waiting bill_unlogged bill_counted bill_side bill_verdict bill_word"""
GAS = "billing_factor heat_content heat_content_in heat_content_on unit_in_kwh heat_factor heat_in_unit"


def table() -> dict[str, Item]:
    (declared,) = bills.tables(CONTEXT)
    assert (declared.name, declared.rows, declared.capacity) == ("bills", 9, "bills")
    return {item.name: item for item in declared.columns}


def test_names() -> None:
    assert {item.name for item in bills.scalars(CONTEXT)} == set(SCALARS.split())
    assert set(table()) == set(COLUMNS.split())
    assert set(GAS.split()) <= {item.name for item in meter.scalars(CONTEXT)}


def test_a_bill_has_a_cell_for_every_key() -> None:
    typed = {name.removeprefix("bill_"): item for name, item in table().items() if isinstance(item, Input)}
    typed["source"] = bill_source("kWh")  # asked for only where there are two
    assert set(typed) == set(expectations("bills"))
    for name, expected in expectations("bills").items():
        assert (typed[name].shape is Shape.DATE) == (expected.sort == "date"), name


def test_formulas_keep_to_what_all_programs_agree_on() -> None:
    ours = {item.name for item in (*bills.scalars(CONTEXT), *meter.scalars(CONTEXT), *table().values())}
    assert [fault for fault in formula_faults(BOOK) if re.split("[,:]", fault)[0] in ours] == []


def test_the_words_are_those_of_the_other_hand() -> None:
    assert (bills.WAITS, bills.ENDS) == (reference.ROWS_WAIT, reference.LOG_ENDS)
    assert bills.EXPLAINED == reference.EXPLAINED
    assert (bills.MORE_BILLED, bills.MORE_COUNTED) == (reference.MORE_BILLED, reference.MORE_COUNTED)


def test_the_sheet_shows_every_column_of_a_bill() -> None:
    sheet = next(sheet for sheet in book_sheets() if sheet.key == "bill_check")
    shown = {name for block in sheet.blocks for name in getattr(block, "columns", ())}
    shown |= {name for block in sheet.blocks for name in getattr(block, "workings", ())}
    assert shown == set(COLUMNS.split())


@pytest.mark.parametrize("unit", BILLED_KILOJOULES)
def test_energy_has_the_unit_of_the_bill_wherever_it_stands(unit: str) -> None:
    book = build(weight_unit="kg", currency="EUR", money_digits=2, capacity=ROOM, energy_unit=unit)
    shown = book.scalars["energy_unit"]
    assert isinstance(shown, Fixed) and shown.values == (unit,)
    assert book.columns["bill_use"][1].unit == book.columns["energy_used"][1].unit == "{energy}"


def test_the_meters_and_the_units_of_heat_are_those_of_a_studio() -> None:
    choices = {item.name: item.typed.choices for item in meter.scalars(CONTEXT) if isinstance(item, Input)}
    assert choices["meter_kind"] == MeterKind.__args__  # type: ignore[attr-defined]
    assert choices["heat_content_in"] == HeatIn.__args__ == tuple(HEAT_KILOJOULES)  # type: ignore[attr-defined]


def test_a_written_book_says_the_unit_everywhere(tmp_path: Path) -> None:
    """In headings, notes and prompts; no book shows what stands for the unit."""
    studio = Studio.model_validate({"shop": {"energy_unit": "m³"}})
    make_book(studio, tmp_path / "b.xlsx", capacity=Capacity(log=25))
    with zipfile.ZipFile(tmp_path / "b.xlsx") as book:
        texts = {name: book.read(name).decode("utf-8") for name in book.namelist() if name.endswith(".xml")}
    assert [name for name, text in texts.items() if "{energy}" in text] == []
    assert sum("m³" in text for text in texts.values()) > 5
    assert not any(f"{word} kWh" in text for text in texts.values() for word in ("type here,", "of a", "Price of a"))
