import pytest

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Input, Item, Shape, Table, Vocabulary
from meltbook.workbook.formulas import Compiler, Reference, guarded, iter_formulas, parse
from meltbook.workbook.place import place
from meltbook.workbook.placement import ColumnSpot, Placement, Spot
from tests.unit.workbook import sample


def money(name: str, **more: object) -> Figure:
    return Figure(name, name, Shape.MONEY, **more)  # type: ignore[arg-type]


LOG = Table(
    "log",
    "Log",
    (Input("log_days", "Days", Shape.DAYS), Input("log_use", "Use", Shape.ENERGY)),
    rows=3,
    seeded=True,
    grows=True,
)
PLAIN = Table("plain", "Plain", (Input("plain_key", "Key", Shape.TEXT),), rows=3)
TWIN = Table("twin", "Twin", (Input("twin_key", "Key", Shape.TEXT),), rows=3, aligned="plain")
PLACES = Placement(
    {"unit_price": Spot("Start", 4, 2), "the_scalar": Spot("Start", 5, 2)},
    {
        "log_days": ColumnSpot("Furnace log", 2, 7, 3, True, True),
        "log_use": ColumnSpot("Furnace log", 27, 7, 3, True, True),
        "plain_key": ColumnSpot("Start", 1, 20, 3),
        "twin_key": ColumnSpot("It's 5 %", 1, 40, 3),
        "the_column": ColumnSpot("Furnace log", 5, 7, 3, True, True),
        "the_twin": ColumnSpot("Start", 5, 20, 3),
    },
)


def compiler(*scalars: Item, log: tuple[Item, ...] = (), twin: tuple[Item, ...] = ()) -> Compiler:
    from dataclasses import replace

    tables = (
        replace(LOG, columns=LOG.columns + log),
        replace(PLAIN, columns=PLAIN.columns + twin),
        TWIN,
    )
    return Compiler(Vocabulary.of([Input("unit_price", "Price", Shape.RATE), *scalars], tables), PLACES)


def scalar(formula: str) -> str | None:
    return compiler(money("the_scalar", formula=formula)).scalar("the_scalar")


def column(formula: str, index: int = 0, **more: object) -> str:
    made = compiler(log=(money("the_column", formula=formula, **more),)).column("the_column")
    assert made is not None and not isinstance(made, tuple)
    return made.at(index)


def test_scalars_and_whole_columns_are_their_own_names() -> None:
    assert scalar("SUM(log_days.all) * unit_price") == "SUM(log_days)*unit_price"


def test_a_row_of_a_column_and_a_range_of_rows() -> None:
    assert scalar("log_days.2") == "'Furnace log'!$C$9"
    assert scalar("SUM(log_days.1:log_days.3)") == "SUM('Furnace log'!$C$8:$C$10)"
    assert column("SUM(log_days.1:log_days)", 2) == "SUM($C$8:$C10)"


def test_seed_and_end_rows_can_be_read_from_anywhere() -> None:
    assert scalar("log_days.seed + log_days.end") == "'Furnace log'!$C$7+'Furnace log'!$C$11"


def test_a_bare_name_is_the_cell_of_this_row() -> None:
    assert column("log_days * log_use + unit_price", 1) == "$C9*$AB9+unit_price"


def test_rows_above_and_below() -> None:
    assert column("the_column.prev + log_use.next") == "$F7+$AB9"
    assert column("the_column.prev + log_use.next", 2) == "$F9+$AB11"


def test_a_table_with_the_same_rows_is_reached_across_sheets() -> None:
    made = compiler(twin=(money("the_twin", formula='twin_key & "%"'),)).column("the_twin")
    assert made is not None and not isinstance(made, tuple)
    assert made.at(1) == "'It''s 5 %'!$B42&\"%\""


def test_names_inside_texts_stay_words() -> None:
    assert scalar('"log_days ""unit_price"" " & unit_price') == '"log_days ""unit_price"" "&unit_price'


def test_spaces_and_line_breaks_go() -> None:
    assert scalar("IF( unit_price > 0 ,\n unit_price,\n 0 )") == "IF(unit_price>0,unit_price,0)"


def test_seed_and_end_formulas_stand_in_their_rows() -> None:
    item = money("the_column", formula="the_column.prev", seed="=log_days+log_use.next", end="=log_days.prev")
    made = compiler(log=(item,))
    assert made.seed("the_column") == "=$C7+$AB8"
    assert made.end("the_column") == "=$C10"
    plain = compiler(log=(money("the_column", formula="1", seed=0, end="none"),))
    assert (plain.seed("the_column"), plain.end("the_column")) == (0, "none")


def test_one_formula_a_row() -> None:
    made = compiler(log=(money("the_column", formulas=("unit_price", "log_days")),)).column("the_column")
    assert isinstance(made, tuple)
    assert [template.at(index) for index, template in enumerate(made)] == ["unit_price", "$C9"]
    with pytest.raises(DeclarationError, match="4 formulas for 3 rows"):
        compiler(log=(money("the_column", formulas=("1",) * 4),)).column("the_column")
    with pytest.raises(DeclarationError, match="one of them is too many"):
        compiler(log=(money("the_column", formula="1", formulas=("1",)),)).column("the_column")


def test_guards_stand_in_order_around_the_body() -> None:
    item = money(
        "the_column",
        formula="log_use / log_days",
        needs=("log_use", "log_days"),
        nonzero=("log_days",),
        blank_if="log_use",
    )
    made = compiler(log=(item,)).column("the_column")
    assert made is not None and not isinstance(made, tuple)
    assert made.at(0) == 'IF($AB8="","",IF(COUNT($AB8,$C8)<2,"",IF($C8=0,"",$AB8/$C8)))'
    assert guarded(money("a_b", nonzero=("c_d", "e_f")), "1") == 'IF(OR(c_d=0,e_f=0),"",1)'
    assert guarded(money("a_b"), "1") == "1"


# -------------------------------------------------------------------------------------------------- mistakes


@pytest.mark.parametrize(
    ("formula", "says"),
    [
        ("unit_pricee", r"unknown name 'unit_pricee'; did you mean 'unit_price'\?"),
        ("zebra_crossing_ahead", r"unknown name 'zebra_crossing_ahead'$"),
        ("log_days", r"column of another table \(log\); write log_days.all or log_days.1"),
        ("log_days.prev", "column of another table"),
        ("log_days.4", "rows 1 to 3, not 4"),
        ("log_days.0", "rows 1 to 3, not 0"),
        ("plain_key.seed", "no seed row"),
        ("plain_key.end", "no end row"),
        ("unit_price.all", "single cell"),
        ("SUM(unit_price:unit_price)", "single cell"),
        ("SUM(log_days.all:log_use.all)", "a range already"),
        ("XLOOKUP(unit_price,log_days.all,log_use.all)", "XLOOKUP is not on the list"),
        ("NOW()", "NOW is not on the list"),
        ("sum(log_days.all)", "sum is not on the list"),
        ("IF((unit_price>0,1,0)", "do not pair up"),
        ("IF(unit_price>0,1,0))", "not a formula|do not pair up"),
        ("A1+unit_price", "'A1' is neither"),
        ("Start!A1", "neither"),
        ("price", "neither"),
        ("log_days.first", "neither"),
        ("SUM(log_days.1:log_days.2:log_days.3)", "neither"),
        ("{1,2}", "not the same in every"),
        ("TRUE", "not the same in every"),
        ("#N/A", "not the same in every"),
        ("unit_price unit_price", "an operator or comma is missing"),
        ("unit_price (1)", "an operator or comma is missing"),
        ("unit_price +", "ends too early"),
        ("", "is empty"),
        ('"open', "."),
        ("+".join(["unit_price"] * 900), "8192 is the most"),
    ],
)
def test_mistakes_are_named(formula: str, says: str) -> None:
    with pytest.raises(DeclarationError, match=says) as caught:
        scalar(formula)
    assert "the formula of the_scalar" in str(caught.value)


def test_rows_that_are_not_there() -> None:
    def plain(formula: str, **more: object) -> object:
        return compiler(twin=(money("the_twin", formula=formula, **more),)).column("the_twin")

    with pytest.raises(DeclarationError, match="no row there"):
        plain("plain_key.prev")
    with pytest.raises(DeclarationError, match="no row there"):
        plain("plain_key.next")
    with pytest.raises(DeclarationError, match="does not have"):
        compiler(twin=(money("the_twin", formula="1", seed=0),)).seed("the_twin")
    for edge in ({"seed": "=log_days.prev"}, {"end": "=log_days.next"}):
        made = compiler(log=(money("the_column", formula="1", **edge),))
        with pytest.raises(DeclarationError, match="no row there"):
            made.seed("the_column"), made.end("the_column")


def test_fields_that_stand_nowhere() -> None:
    made = compiler(Input("lost_one", "Lost", Shape.TEXT), money("the_scalar", formula="lost_one"))
    with pytest.raises(DeclarationError, match="lost_one stands on no sheet"):
        made.scalar("the_scalar")


def test_a_formula_is_taken_apart() -> None:
    assert parse("IF(log_days.prev>0,1,2)") == (
        "IF(",
        Reference("log_days", "prev"),
        ">",
        "0",
        ",",
        "1",
        ",",
        "2",
        ")",
    )


# ------------------------------------------------------------------------------------------------ the whole


def test_every_formula_of_a_book_comes_once_and_in_the_same_order() -> None:
    vocabulary = sample.vocabulary()
    placement = place(sample.sheets(), vocabulary)
    found = list(iter_formulas(vocabulary, placement))
    assert found == list(iter_formulas(vocabulary, placement))
    cells = [(one.sheet, one.cell) for one in found]
    assert len(set(cells)) == len(cells)
    named = {(one.name, one.row): one.text for one in found}
    assert named["run_left", "end"] == "$J15*0"
    assert named["run_left", 5] == "$L16+IF(ISNUMBER($G15),$G15,0)"
    assert named["price_name", 3] == 'IF(Costs!$B24="","",Costs!$B24)'
    assert ("run_total", "seed") not in named, "a plain seed is not a formula"
    assert ("check_state", 2) not in named, "there is no third check"
    assert named["state_on_log", None] == "checks_state"
    assert sum(name.startswith("state_on_") for name, _ in named) == len(sample.sheets())
