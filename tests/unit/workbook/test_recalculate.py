"""Cells of an untrusted workbook, worked out from what is typed; what is stored is never believed."""

from __future__ import annotations

import time
from collections.abc import Mapping
from pathlib import Path

import pytest

from meltbook.workbook.cells import CellError, CellValue
from meltbook.workbook.read import read_file
from meltbook.workbook.recalculate import KNOWN, LONGEST_TEXT, Recalculation, Worked
from tests.unit.workbook.small_books import parts, write

LIE = "<v>777</v>"


def book(path: Path, cells: Mapping[str, str | float], names: str = "", other: str = "") -> Recalculation:
    """A workbook with these cells on its sheet One; text that begins with = is a formula, with a lie beside it."""
    rows: dict[int, list[str]] = {}
    for address, content in cells.items():
        row = int("".join(letter for letter in address if letter.isdigit()))
        rows.setdefault(row, []).append(_cell(address, content))
    sheet = "".join(f'<row r="{row}">{"".join(cells)}</row>' for row, cells in sorted(rows.items()))
    write(path, parts({"One": sheet, "Bo's 2nd": other}, names=names))
    return Recalculation(read_file(path))


def _cell(address: str, content: str | float) -> str:
    if isinstance(content, str) and content.startswith("<"):
        return f'<c r="{address}">{content}{LIE}</c>'
    if isinstance(content, str) and content.startswith("="):
        escaped = content[1:].replace("&", "&amp;").replace("<", "&lt;")
        return f'<c r="{address}"><f>{escaped}</f>{LIE}</c>'
    if isinstance(content, str):
        return f'<c r="{address}" t="inlineStr"><is><t>{content}</t></is></c>'
    return f'<c r="{address}"><v>{content}</v></c>'


def worked(tmp_path: Path, formula: str, names: str = "", **cells: str | float) -> Worked:
    work = book(
        tmp_path / "book.xlsx",
        {"A1": 2.0, "A2": 3.0, "A3": 5.0, "B1": "Charge", "B2": "Blow", **cells, "D9": formula},
        names,
    )
    spot = ("One", 8, 3)
    return work.values([spot])[spot]


OTHER = '<row r="1"><c r="A1"><v>11</v></c></row>'
NAMES = (
    "<definedName name=\"own_kw\">'One'!$A$2</definedName>"
    '<definedName name="own_log_kind">One!$B$1:$B$3</definedName>'
    '<definedName name="own_log_use">One!$A$1:$A$3</definedName>'
    '<definedName name="rate">0.15</definedName>'
    '<definedName name="Twice">One!$A$1*2</definedName>'
    '<definedName name="gone_cell">#REF!</definedName>'
    '<definedName name="loop">loop+1</definedName>'
)


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        ("=A1*A2", 6.0),
        ("=$A$1*One!A2", 6.0),
        ("=own_kw*2", 6.0),
        ("=OWN_KW*2", 6.0),
        ("=SUM(own_log_use)", 10.0),
        ('=SUMIF(own_log_kind,"Charge",own_log_use)', 2.0),
        ("=SUM(A:A)", 10.0),
        ("=SUM(A1:A1048576)", 10.0),
        ("=SUM($A:$A)+SUM(One!A:A)", 20.0),
        ("=INDEX(own_log_use,2)", 3.0),
        ("=own_kw*rate", 0.45),
        ("=twice+1", 5.0),
        ("=15%*A1", 0.3),
        ("=-A1^2", 4.0),
        ("=1E-1*A1", 0.2),
        ("=ROUND(A3/A2,2)", 1.67),
        ("=_xlfn.IFNA(A1,0)", 2.0),
        ("=IF(A1<A2,A3,0)", 5.0),
        ('=A1&" kWh"', "2 kWh"),
        ("=A9", 0.0),
        ("=A9+1", 1.0),
        ("=A1=2", True),
        ("=1/A9", CellError("#DIV/0!")),
        ("=IFERROR(1/A9,7)", 7.0),
        ("=NA()", CellError("#N/A")),
        ("=D9", CellError("#CIRCULAR!")),
        ("=D9+1", CellError("#CIRCULAR!")),
    ],
)
def test_a_formula(formula: str, value: CellValue, tmp_path: Path) -> None:
    found = worked(tmp_path, formula, NAMES)
    assert not found.reason
    assert found.value == (pytest.approx(value) if isinstance(value, float) and not isinstance(value, bool) else value)


@pytest.mark.parametrize(
    ("formula", "why"),
    [
        ("=FILTER(A1:A3,A1:A3>2)", "the function FILTER"),
        ("=INDIRECT(B1)", "the function INDIRECT"),
        ("=RAND()*A1", "the function RAND"),
        ("=NOW()", "the function NOW"),
        ("=IFERROR(WEBSERVICE(B1),A1)", "the function WEBSERVICE"),
        ("=own_kwh*2", "no name own_kwh"),
        ("=gone_cell*2", "no name gone_cell"),
        ("=loop", "no name loop"),
        ("=Sheet9!A1", "a sheet that is not there"),
        ("=[1]One!A1", "not understood"),
        ("=One:Two!A1", "a sheet that is not there"),
        ("=A1:A3 A2:B2", "two ranges cross"),
        ("=Table1[Use]", "not understood"),
        ("=A1**2", "can't be worked out"),
        ("=(A1", "can't be worked out"),
        ("=" + "A1+" * 900 + "A1", "too long"),
        ("=" + "(" * 900 + "A1" + ")" * 900, "can't be worked out"),
        ("=SUM(A1:XFD50000)", "too many cells"),
        ("=SUMPRODUCT(A1:A9000*A1:ZZ1)", "too many cells"),
    ],
)
def test_a_formula_that_cannot_be_worked_out_says_why(formula: str, why: str, tmp_path: Path) -> None:
    far = {"ZZ1": 1.0, "A50000": 1.0}
    found = worked(tmp_path, formula, NAMES, **far)
    assert why in found.reason and isinstance(found.value, CellError)


def test_what_rests_on_a_formula_that_cannot_be_worked_out_says_so_too(tmp_path: Path) -> None:
    found = worked(tmp_path, "=IFERROR(C1,5)", C1="=OFFSET(A1,0,0)")
    assert "OFFSET" in found.reason, "what IFERROR makes of it would be a guess"


def test_sheets_with_odd_names_and_shared_formulas(tmp_path: Path) -> None:
    cells: dict[str, str | float] = {
        "A1": 1.0,
        "A2": 2.0,
        "B1": '<f t="shared" ref="B1:B2" si="0">A1*10</f>',
        "B2": '<f t="shared" si="0"/>',
        "C1": "='Bo''s 2nd'!A1+B2",
    }
    work = book(tmp_path / "book.xlsx", cells, other=OTHER)
    spot = ("One", 0, 2)
    assert work.values([spot])[spot].value == 31.0
    assert work.refers(spot) and not work.refers(("One", 0, 0))


def test_instead_takes_the_place_of_what_stands_there_and_is_forgotten(tmp_path: Path) -> None:
    work = book(tmp_path / "book.xlsx", {"A1": 1.0, "B1": "=A1*10", "C1": "=B1+SUM(A1:A5)"})
    spot = ("One", 0, 2)
    assert work.values([spot])[spot].value == 11.0
    assert work.values([spot], {("One", 0, 0): 2.0})[spot].value == 22.0
    assert work.values([spot], {("One", 0, 1): 5.0, ("One", 3, 0): 4.0})[spot].value == 10.0
    assert work.values([spot])[spot].value == 11.0


def test_a_formula_that_points_at_itself_alone_refers_to_nothing(tmp_path: Path) -> None:
    work = book(tmp_path / "book.xlsx", {"A1": "=A1", "A2": "=2*3", "A3": "=A1"})
    assert [work.refers(("One", row, 0)) for row in range(3)] == [False, False, True]


def test_a_long_chain(tmp_path: Path) -> None:
    cells: dict[str, str | float] = {"A1": 1.0} | {f"A{row}": f"=A{row - 1}+1" for row in range(2, 3001)}
    work = book(tmp_path / "book.xlsx", cells)
    spot = ("One", 2999, 0)
    started = time.monotonic()
    assert work.values([spot])[spot].value == 3000.0
    assert time.monotonic() - started < 20


def test_a_ring(tmp_path: Path) -> None:
    work = book(tmp_path / "book.xlsx", {"A1": "=B1+1", "B1": "=C1+1", "C1": "=A1+1", "D1": "=2"})
    spots = [("One", 0, col) for col in range(4)]
    found = work.values(spots)
    assert all(isinstance(found[spot].value, CellError) for spot in spots[:3])
    assert found[spots[3]].value == 2.0


def test_text_that_doubles_from_cell_to_cell_ends(tmp_path: Path) -> None:
    cells: dict[str, str | float] = {"A1": "x" * 100} | {f"A{row}": f"=A{row - 1}&A{row - 1}" for row in range(2, 60)}
    work = book(tmp_path / "book.xlsx", cells)
    spot = ("One", 58, 0)
    assert work.values([spot])[spot].value == "x" * LONGEST_TEXT


def test_every_function_that_is_known_is_there() -> None:
    import formualizer

    probe = formualizer.Workbook()
    probe.add_sheet("S")
    lacking = []
    for row, name in enumerate(sorted(KNOWN), 1):
        probe.set_formula("S", row, 1, f"={name}()")
        value = probe.evaluate_cell("S", row, 1)
        if isinstance(value, dict) and value.get("kind") == "Name":
            lacking.append(name)
    assert not lacking
