import pytest

from meltbook.errors import DeclarationError
from meltbook.workbook.address import absolute_range, cell_address, column_letters, quoted_sheet
from meltbook.workbook.names import checked_name, defined_names
from meltbook.workbook.placement import ColumnSpot, Placement, Spot


def test_names_stand_for_cells_and_whole_columns() -> None:
    placement = Placement(
        {"unit_price": Spot("Start", 4, 2)}, {"log_days": ColumnSpot("Furnace log", 27, 7, 3, True, True)}
    )
    assert defined_names(placement) == {
        "log_days": "'Furnace log'!$AB$7:$AB$11",
        "unit_price": "Start!$C$5",
    }


@pytest.mark.parametrize(
    "name", ["pot1", "TAR1", "RC", "rc", "price", "a__b", "_a_b", "a_b_", "a_1", "Log_x", "a b", ""]
)
def test_names_that_some_program_reads_as_a_cell_are_refused(name: str) -> None:
    with pytest.raises(DeclarationError, match="can't be a defined name"):
        checked_name(name)
    with pytest.raises(DeclarationError):
        defined_names(Placement({name: Spot("Start", 0, 0)}, {}))


def test_long_and_shared_names_are_refused() -> None:
    with pytest.raises(DeclarationError, match="over 255"):
        checked_name("a_" + "b" * 254)
    with pytest.raises(DeclarationError, match="both a cell and a column"):
        defined_names(Placement({"a_b": Spot("S", 0, 0)}, {"a_b": ColumnSpot("S", 0, 0, 1)}))


def test_addresses() -> None:
    assert [column_letters(col) for col in (0, 25, 26, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]
    assert cell_address(0, 0) == "A1"
    assert absolute_range("Log", 3, 3, 0) == "Log!$A$4"


@pytest.mark.parametrize(
    ("name", "quoted"),
    [("Log", "Log"), ("Pieces", "Pieces"), ("Price list", "'Price list'"), ("It's", "'It''s'"), ("R", "'R'")],
)
def test_sheet_names_are_quoted_where_they_could_be_misread(name: str, quoted: str) -> None:
    assert quoted_sheet(name) == quoted
