"""Looks over the cells of one sheet of a written workbook: their order, their styles and their formulas."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from xml.etree.ElementTree import Element

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_CELL = re.compile(r"^([A-Z]{1,3})([1-9][0-9]*)$")
_TEXTS = re.compile(r'"(?:[^"]|"")*"')
_FUNCTION = re.compile(r"([A-Za-z_][A-Za-z0-9_.]*)\(")
_WHOLE = re.compile(r"\$?\b[A-Z]{1,3}:\$?[A-Z]{1,3}\b|\$?\b[0-9]+:\$?[0-9]+\b")
_ERRORS = re.compile(r"#[A-Z/0!?]+")


@dataclass(frozen=True, slots=True)
class CellRules:
    """How many styles and strings the workbook has, and what its formulas may be."""

    styles: int
    strings: int
    functions: frozenset[str]
    longest: int


def lint_cells(name: str, sheet: Element, rules: CellRules) -> list[str]:
    """What is wrong with the cells of a sheet."""
    faults: list[str] = []
    last_row = 0
    for row in sheet.iter(f"{_MAIN}row"):
        number = int(row.get("r", "0"))
        if number <= last_row:
            faults.append(f"{name}: row {number} is out of order")
        last_row = number
        if row.get("hidden") in ("1", "true") or row.get("ht") == "0":
            faults.append(f"{name}: row {number} is hidden")
        last_column = 0
        for cell in row:
            address = cell.get("r", "")
            match = _CELL.match(address)
            if match is None or int(match[2]) != number:
                faults.append(f"{name}: {address!r} is no cell of row {number}")
                continue
            column = _column(match[1])
            if column <= last_column:
                faults.append(f"{name}: {address} is out of order, or there twice")
            last_column = column
            faults += (f"{name}!{address}: {fault}" for fault in _cell(cell, rules))
    return faults


def _cell(cell: Element, rules: CellRules) -> list[str]:
    faults: list[str] = []
    if not 0 <= int(cell.get("s", "0")) < rules.styles:
        faults.append(f"style {cell.get('s')} is not there")
    value = cell.findtext(f"{_MAIN}v")
    kind = cell.get("t", "n")
    if kind == "s" and not 0 <= int(value or "-1") < rules.strings:
        faults.append(f"string {value} is not there")
    if kind == "n" and value:
        try:
            float(value)
        except ValueError:
            faults.append(f"{value!r} is not a number")
    if kind == "e":
        faults.append(f"holds the error {value}")
    formula = cell.find(f"{_MAIN}f")
    if formula is not None:
        if formula.get("t") is not None:
            faults.append(f"is a formula of the kind {formula.get('t')}")
        faults += formula_text_faults(formula.text or "", rules.functions, rules.longest)
    return faults


def formula_text_faults(text: str, functions: frozenset[str], longest: int) -> list[str]:
    """What is wrong with the text of a formula as a file holds it."""
    faults: list[str] = []
    if not text:
        faults.append("is an empty formula")
    if len(text) > longest:
        faults.append(f"is {len(text)} characters long")
    bare = _TEXTS.sub('""', text)
    for function in _FUNCTION.findall(bare):
        if function not in functions:
            faults.append(f"uses {function}, which is not on the list of functions")
    if "[" in bare:
        faults.append("refers to another workbook, or to a table by its headings")
    if "{" in bare:
        faults.append("holds an array")
    if _WHOLE.search(bare.replace("'", "")):
        faults.append("refers to whole columns or rows")
    error = _ERRORS.search(bare)
    if error is not None:
        faults.append(f"holds {error[0]}")
    if bare.count("(") != bare.count(")"):
        faults.append("has brackets that do not pair up")
    return faults


@lru_cache(maxsize=1024)
def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number
