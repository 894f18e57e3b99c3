"""The chapter of bench hire and classes: what it declares, where it stands, and the rules that it keeps."""

from __future__ import annotations

import re

import pytest

from meltbook.fields import BookContext, build, check_counts, courses, hire
from meltbook.fields.check_list import CHECKS
from meltbook.fields.check_pairs import rows_of
from meltbook.fields.kernel import Figure, Fixed, Input, Vocabulary
from meltbook.fields.prices import AT_A_LOSS, NO_TAG
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import Fields, Rows, Words
from meltbook.studio.capacity import Capacity
from meltbook.studio.expect import expectations
from meltbook.workbook.formula_rules import formula_faults

ROOM = Capacity(courses=5, pieces=4)
CONTEXT = BookContext("kg", "EUR", 2, ROOM)


def book(digits: int = 2, sources: tuple[str, ...] = ("First",)) -> Vocabulary:
    return build(weight_unit="kg", currency="EUR", money_digits=digits, capacity=ROOM, sources=sources)


BOOK = book()


def shown() -> set[str]:
    """What stands on the sheet."""
    [sheet] = [sheet for sheet in book_sheets() if sheet.key == "hire"]
    found: set[str] = set()
    for block in sheet.blocks:
        if isinstance(block, Fields):
            found |= {*block.names}
        elif isinstance(block, Rows):
            found |= {*block.columns, *block.workings}
        elif isinstance(block, Words):
            found |= {*block.lines}
    return found


def test_there_is_a_cell_for_every_key() -> None:
    typed = {item.name for item in hire.scalars(CONTEXT) if isinstance(item, Input)}
    assert typed == set(expectations("hire"))
    [classes, again] = hire.tables(CONTEXT)
    assert (classes.name, classes.rows, classes.capacity) == ("courses", 5, "courses")
    assert (again.rows, again.aligned) == (5, "courses")
    columns = {item.name for item in classes.columns if isinstance(item, Input)}
    assert columns == {f"course_{key}" for key in expectations("courses")}


def test_a_row_counts_as_typed_whatever_is_typed_in_it() -> None:
    counted = {"course_name", *courses.TYPED_SESSION, *courses.TYPED_STUDENT}
    assert counted == {f"course_{key}" for key in expectations("courses")}
    assert len(courses.TYPED_SESSION) + len(courses.TYPED_STUDENT) + 1 == len(counted)


def test_all_that_is_typed_stands_on_the_sheet_with_what_is_made_of_it() -> None:
    columns = {item.name for item in hire.tables(CONTEXT)[0].columns}
    workings = {"hire_lacks", "hire_lacks_equipment", "hire_lacks_rest", "hire_open_words", "hire_needed_words"}
    assert shown() == columns | {item.name for item in hire.scalars(CONTEXT)} - workings | {
        "name_course_student",
        "name_course_asked",
    }


def test_the_sheet_stands_before_the_bill_check_whatever_else_there_is() -> None:
    for sources in (("First",), ("First", "First")):
        names = [sheet.name for sheet in book_sheets(book(sources=sources))]
        assert names[names.index("Bill check") - 1] == "Hire and classes"
        assert names.count("Hire and classes") == 1


def test_formulas_keep_to_what_all_programs_agree_on() -> None:
    ours = ("hire_", "course_", "equipment_", "money_step")
    assert [fault for fault in formula_faults(BOOK) if re.split("[,:]", fault)[0].startswith(ours)] == []


def test_a_row_without_a_name_shows_nothing_of_its_own() -> None:
    """What reads what is typed is blank there; the rest is blank with the figures that it needs."""
    always = {"course_named", "course_nameless", "course_typed_session", "course_typed_student"}
    figures = {item.name: item for item in hire.tables(CONTEXT)[0].columns if isinstance(item, Figure)}
    blank = {name for name, item in figures.items() if item.blank_if == "course_name"}
    for name in figures.keys() - always - {"course_ask", "course_says"}:
        reached = {name}
        while reached and not reached & blank:
            reached = {needed for one in reached for needed in figures[one].needs if needed in figures}
        assert reached, name


def test_the_chapter_is_the_shops_in_a_book_of_several_furnaces() -> None:
    two = book(sources=("First", "First"))
    ours = [name for name in (*two.scalars, *two.columns) if name.startswith(("hire_", "course_"))]
    assert ours and not [name for name in ours if name.endswith("_second")]
    day = two.scalars["hire_day"]
    assert isinstance(day, Figure) and "furnace_pool" in day.formula and "_second" not in day.formula


@pytest.mark.parametrize(("digits", "step"), [(0, 1.0), (2, 0.01), (3, 0.001)])
def test_the_smallest_step_is_that_of_the_currency(digits: int, step: float) -> None:
    found = book(digits).scalars["money_step"]
    assert isinstance(found, Fixed) and found.values == (step,)


def test_texts_for_numbers_are_looked_for_last_so_that_other_lines_keep_their_place() -> None:
    where = BOOK.columns["number_where"][1]
    assert isinstance(where, Fixed)
    ours = [str(place).startswith(("Hire and classes: ", "Classes: ")) for place in where.values]
    assert True in ours and ours == sorted(ours)
    assert check_counts.WATCHED[-1] is hire


def test_the_checks_stand_together() -> None:
    keys = [check.key for check in CHECKS]
    place = keys.index("stray_prices")
    assert keys[place - 2 : place] == ["course_rows", "hire_adds_up"]
    assert len(rows_of("hire_adds_up")) == 2


def test_words_that_stand_in_for_an_amount_are_those_of_the_tags() -> None:
    said = {item.name: item.formula for item in hire.scalars(CONTEXT) if isinstance(item, Figure)}
    assert f'"{NO_TAG}"' in said["hire_needed"] and f'"{AT_A_LOSS}"' in said["hire_margin_now"]
    rows = {item.name: item.formula for item in hire.tables(CONTEXT)[0].columns if isinstance(item, Figure)}
    assert f'"{NO_TAG}"' in rows["course_needed"] and f'"{AT_A_LOSS}"' in rows["course_margin_now"]
