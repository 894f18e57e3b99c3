from dataclasses import replace

import pytest

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Input, Shape, Table, Vocabulary
from meltbook.sheets.kernel import Fields, Rows, Sheet
from meltbook.workbook.boxes import FIRST
from meltbook.workbook.place import lay_out, place
from meltbook.workbook.placement import ColumnSpot, Spot
from tests.unit.workbook import sample


def test_every_field_has_a_place_and_no_two_share_one() -> None:
    vocabulary = sample.vocabulary()
    placement = place(sample.sheets(), vocabulary)
    assert set(vocabulary.scalars) <= set(placement.scalars)
    assert set(vocabulary.columns) == set(placement.columns)
    cells = [(spot.sheet, spot.row, spot.col) for spot in placement.scalars.values()]
    for spot in placement.columns.values():
        cells += [(spot.sheet, row, spot.col) for row in range(spot.top, spot.bottom + 1)]
    assert len(set(cells)) == len(cells)
    assert not any(col < FIRST for _, _, col in cells), "the margin is for words"


def test_a_column_runs_from_its_seed_to_its_end() -> None:
    spot = place(sample.sheets(), sample.vocabulary()).columns["run_total"]
    assert (spot.top, spot.bottom, spot.rows) == (spot.first - 1, spot.first + spot.rows, sample.LOG_ROWS)
    plain = ColumnSpot("Log", 1, 5, 3)
    assert (plain.top, plain.bottom) == (5, 7)


def test_columns_of_one_table_share_their_rows() -> None:
    columns = place(sample.sheets(), sample.vocabulary()).columns
    assert columns["log_date"].first == columns["run_left"].first
    assert columns["log_date"].col < columns["run_total"].col, "workings stand to the right"


def test_capacities_set_the_rows() -> None:
    columns = place(sample.sheets(), sample.vocabulary(), {"log": 50}).columns
    assert columns["log_date"].rows == 50
    assert columns["piece_name"].rows == sample.PIECE_ROWS
    with pytest.raises(DeclarationError, match="at least one row"):
        place(sample.sheets(), sample.vocabulary(), {"log": 0})


def test_what_is_above_moves_when_what_is_above_grows() -> None:
    before = place(sample.sheets(), sample.vocabulary())
    after = place(sample.sheets(), sample.vocabulary(), {"pieces": sample.PIECE_ROWS + 3})
    assert after.scalars["cost_sentence"].row == before.scalars["cost_sentence"].row + 3


def test_the_state_of_checks_stands_on_every_sheet() -> None:
    scalars = place(sample.sheets(), sample.vocabulary()).scalars
    for sheet in sample.sheets():
        assert scalars[sheet.state_name] == Spot(sheet.name, 2, 1)


def test_a_printed_sheet_keeps_what_speaks_to_the_owner_apart() -> None:
    layout = next(one for one in lay_out(sample.sheets(), sample.vocabulary()).sheets if one.sheet.role == "print")
    assert all(line.col >= FIRST for line in layout.lines)
    assert layout.workings > layout.printed


# -------------------------------------------------------------------------------------------------- mistakes


def small(*blocks: object, **more: object) -> Sheet:
    return Sheet("one", "One", "One", "One.", blocks, **more)  # type: ignore[arg-type]


SCALAR = Input("a_price", "Price", Shape.MONEY)
TABLE = Table("rows", "Rows", (Input("row_name", "Name", Shape.TEXT),), rows=2)
OTHER = Table("others", "Others", (Input("other_name", "Name", Shape.TEXT),), rows=2)
WORDS = Vocabulary.of([SCALAR], [TABLE, OTHER])
GOOD = small(Fields("", ("a_price",)), Rows("", "rows", ("row_name",)), Rows("", "others", ("other_name",)))


@pytest.mark.parametrize(
    ("sheets", "says"),
    [
        ((small(),), "on no sheet: a_price, row_name, other_name"),
        ((GOOD, replace(GOOD, key="two", name="Two")), "a_price stands on two places"),
        ((GOOD, GOOD), "two sheets have the key"),
        ((GOOD, replace(GOOD, key="two", name="ONE")), "two sheets have the name"),
        ((small(Fields("", ("a_pric",))),), "unknown name 'a_pric'; did you mean 'a_price'"),
        ((small(Rows("", "rows", ("row_nam",))),), "did you mean 'row_name'"),
        ((small(Rows("", "row", ("row_name",))),), "did you mean 'rows'"),
        (
            (small(Rows("", "rows", ("other_name",))),),
            "other_name is a column of others, whose rows are not those of rows",
        ),
    ],
)
def test_mistakes_are_named(sheets: tuple[Sheet, ...], says: str) -> None:
    with pytest.raises(DeclarationError, match=says):
        place(sheets, WORDS)


def test_a_part_of_a_book_can_be_placed() -> None:
    assert set(place((small(Fields("", ("a_price",))),), WORDS, complete=False).scalars) == {"a_price"}


def test_aligned_tables_have_as_many_rows() -> None:
    twin = Table("twins", "Twins", (Input("twin_name", "Name", Shape.TEXT),), rows=3, aligned="rows")
    words = Vocabulary.of([], [TABLE, twin])
    sheet = small(Rows("", "rows", ("row_name",)), Rows("", "twins", ("twin_name",)))
    with pytest.raises(DeclarationError, match="another number of rows"):
        place((sheet,), words)


def test_columns_of_an_aligned_table_may_stand_in_the_block_of_the_other() -> None:
    twin = Table("twins", "Twins", (Input("twin_name", "Name", Shape.TEXT),), rows=2, aligned="rows")
    sheet = small(Rows("", "rows", ("row_name",), workings=("twin_name",)))
    columns = place((sheet,), Vocabulary.of([], [TABLE, twin])).columns
    assert columns["row_name"].first == columns["twin_name"].first
    with pytest.raises(DeclarationError, match="needs a seed or end row"):
        place((sheet,), Vocabulary.of([], [TABLE, replace(twin, seeded=True)]))


def test_notes_break_into_rows_where_a_table_makes_columns_narrow() -> None:
    note = "A note that is long enough to need more than one line. " * 5
    words = Vocabulary.of(
        [
            Figure("a_cost", "Cost", Shape.MONEY, note=note, formula="1"),
            Figure("b_cost", "B", Shape.MONEY, formula="1"),
        ],
        [Table("wide", "Wide", tuple(Input(f"c_{x}", x, Shape.MONEY) for x in "abcdefg"), rows=1)],
    )
    fields = Fields("", ("a_cost", "b_cost"))
    alone = place((small(fields),), words, complete=False).scalars
    mixed = place((small(fields, Rows("", "wide", tuple(f"c_{x}" for x in "abcdefg"))),), words).scalars
    assert alone["b_cost"].row - alone["a_cost"].row == 1
    assert mixed["b_cost"].row - mixed["a_cost"].row > 1
