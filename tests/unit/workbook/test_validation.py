import pytest

from meltbook.fields.kernel import Input, Shape, Typed
from meltbook.workbook.placement import ColumnSpot, Placement
from meltbook.workbook.validation import shortened, validation

PLACES = Placement({}, {"glass_name": ColumnSpot("Glass", 1, 9, 8, has_seed=True, has_end=True)})


def rule(shape: Shape, **typed: object) -> dict[str, object]:
    item = Input("a_price", "Price", shape, "{currency}", "From the bill.", Typed(**typed))  # type: ignore[arg-type]
    return validation(item, PLACES, lambda text: text.replace("{currency}", "USD"))


def test_numbers_are_asked_for_even_without_bounds() -> None:
    made = rule(Shape.MONEY)
    assert (made["validate"], made["criteria"]) == ("decimal", "between")
    assert made["input_message"] == "From the bill. Type a number, USD."
    assert made["error_message"] == "Type a number, or leave the cell empty."


@pytest.mark.parametrize(
    ("shape", "typed", "words"),
    [
        (Shape.MONEY, {"minimum": 0}, "a number, 0 or more"),
        (Shape.MONEY, {"maximum": 9.5}, "a number, 9.5 or less"),
        (Shape.DAYS, {"minimum": 1, "maximum": 31, "whole": True}, "a whole number from 1 to 31"),
        (Shape.SHARE, {"minimum": 0, "maximum": 1}, "a number from 0 % to 100 %"),
        (Shape.DATE, {}, "a date such as"),
        (Shape.TEXT, {}, "a text"),
        (Shape.TEXT, {"choices": ("Yes", "No")}, "one of: Yes, No"),
        (Shape.TEXT, {"choices_from": "glass_name"}, "a name from the list"),
    ],
)
def test_the_prompt_says_what_is_taken(shape: Shape, typed: dict[str, object], words: str) -> None:
    assert words in str(rule(shape, **typed)["input_message"])


def test_whole_numbers_and_dates_have_whole_bounds() -> None:
    whole = rule(Shape.COUNT, whole=True, minimum=0.0)
    assert (whole["validate"], whole["minimum"]) == ("integer", 0)
    day = rule(Shape.DATE)
    assert day["validate"] == "date"
    assert (day["minimum"], day["maximum"]) == (32874, 73415)


def test_a_list_from_a_column_leaves_its_edge_rows_out() -> None:
    assert rule(Shape.TEXT, choices_from="glass_name")["source"] == "=Glass!$B$10:$B$17"


def test_texts_are_cut_at_a_word_to_what_a_spreadsheet_takes() -> None:
    assert shortened("short", 32) == "short"
    assert shortened("one two three", 12) == "one two..."
    assert shortened("x" * 40, 32) == "x" * 29 + "..."
    assert len(shortened("\U0001f525 " * 200, 255).encode("utf-16-le")) // 2 <= 255
