import pytest

from meltbook.errors import DeclarationError
from meltbook.sheets.kernel import Grid, Picture, Series, Sheet, is_name


def sheet(**changes: object) -> Sheet:
    facts: dict[str, object] = {"key": "log", "name": "Log", "title": "Log", "purpose": "Days.", "blocks": ()}
    return Sheet(**{**facts, **changes})  # type: ignore[arg-type]


def test_a_sheet_names_the_cell_that_repeats_the_state_of_checks() -> None:
    assert sheet(key="price_list").state_name == "state_on_price_list"


@pytest.mark.parametrize(
    "changes",
    [
        {"key": "log2"},
        {"key": "Log"},
        {"key": ""},
        {"name": ""},
        {"name": "x" * 32},
        {"name": "Log [a]"},
        {"name": "What's new"},
        {"name": " Log"},
        {"name": "A2"},
        {"name": "Q12"},
        {"name": "R1C1"},
        {"name": "Sheet1"},
        {"title": ""},
        {"purpose": ""},
        {"purpose": "two\nlines"},
        {"role": "write"},
    ],
)
def test_a_sheet_that_some_program_would_misread_is_refused(changes: dict[str, object]) -> None:
    with pytest.raises(DeclarationError):
        sheet(**changes)


@pytest.mark.parametrize("name", ["Furnace log", "Pieces", "Price list", "Tariffs & letters"])
def test_plain_names_are_taken(name: str) -> None:
    assert sheet(name=name).name == name


@pytest.mark.parametrize("row", [("Energy",), ("Energy", "a_b"), ("Energy", "a_b", "c_d", "says so", "more")])
def test_a_grid_row_has_a_name_for_each_heading(row: tuple[str, ...]) -> None:
    with pytest.raises(DeclarationError, match="2 names or blanks"):
        Grid("Ladder", ("Then", "Now"), (row,))


def test_a_chart_needs_a_text_and_something_to_show() -> None:
    with pytest.raises(DeclarationError, match="can't see it"):
        Picture("bar", "Costs", "a_b", (Series("x", "a_b"),), "", " ")
    with pytest.raises(DeclarationError, match="shows nothing"):
        Picture("waterfall", "Costs", "a_b", (Series("x", "a_b", hidden=True),), "", "Bars.")


def test_names_and_words_are_told_apart() -> None:
    assert is_name("ladder_sentence")
    assert not is_name("per day")
    assert not is_name("Energy_used")
    assert not is_name("energy")
