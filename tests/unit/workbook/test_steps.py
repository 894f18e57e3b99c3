"""Sheets of steps: where question, answer, feedback and hint stand, and that a row has room for its texts."""

from __future__ import annotations

import io

import openpyxl

from meltbook.fields.kernel import Figure, Fixed, Input, Shape, Table, Typed, Vocabulary
from meltbook.sheets.kernel import Fields, Key, Rows, Sheet, Step, Steps
from meltbook.workbook.page import smallest_print
from meltbook.workbook.place import Layout, lay_out
from meltbook.workbook.typed import TypedValues
from meltbook.workbook.write import BookOptions, book_bytes

HINT = "A hint that is long enough to need a number of lines in the narrow column in which it stands, and then some."
HEADS = ("Step", "Your answer", "Unit", "Feedback", "Hint?", "Hint")
VOCABULARY = Vocabulary.of(
    (
        Fixed("the_given", "A given number with a label that is too long for one line", Shape.COUNT, "kg", values=(3,)),
        Input("an_answer", "Twice", Shape.COUNT, typed=Typed(asks="a formula", warns=True)),
        Figure("an_answer_said", "Feedback", Shape.TEXT, formula='IF(an_answer=2*the_given,"Right","Not yet")'),
        Input("an_answer_ask", "Hint", Shape.TEXT),
        Figure("an_answer_hint", "Hint", Shape.TEXT, formula='IF(an_answer_ask="","",the_hint)'),
        Fixed("the_hint", "Hint", Shape.TEXT, values=(HINT,)),
        Figure("worked_out", "Thrice", Shape.COUNT, formula="an_answer+the_given"),
    ),
    (Table("log", "Log", (Fixed("log_days", "Days", Shape.DAYS, "days", values=(1, 2)),), 2),),
)
SHEET = Sheet(
    "steps",
    "Steps here",
    "Title",
    "Purpose.",
    (
        Fields("Given", ("the_given", "the_hint")),
        Rows("Log", "log", ("log_days",)),
        Steps(
            "Steps",
            (Step("Twice the given", "an_answer", "kg", "an_answer_said", "an_answer_ask", "an_answer_hint", HINT),),
            HEADS,
        ),
        Steps(
            "After", (Step("Thrice", "worked_out", "kg", how="twice + once " * 9),), ("Step", "Figure", "", "", "", "")
        ),
        Key("Tints", (("type", "input", "Yours."),)),
    ),
    role="type",
)


def laid_out() -> Layout:
    return lay_out((SHEET,), VOCABULARY)


def test_a_step_stands_in_one_row() -> None:
    spots = laid_out().placement.scalars
    row = spots["an_answer"].row
    names = ("an_answer", "an_answer_said", "an_answer_ask", "an_answer_hint")
    assert [(spots[name].row, spots[name].col) for name in names] == [(row, 2), (row, 4), (row, 5), (row, 6)]
    assert spots["the_given"].col == spots["worked_out"].col == 2


def test_a_row_has_room_for_its_hint_and_a_sheet_prints_legibly() -> None:
    (sheet,) = laid_out().sheets
    assert sheet.heights[laid_out().placement.scalars["an_answer"].row] > 3 * 15
    assert all(smallest_print(sheet, paper) >= 8 for paper in ("Letter", "A4"))
    texts = [line for line in sheet.lines if line.text.startswith("twice") or line.text.endswith("once")]
    assert len({line.row for line in texts}) > 1, "what a worked step says runs on over rows of its own"


def test_what_is_written() -> None:
    typed = TypedValues({"an_answer": 6}, {})
    data = book_bytes(laid_out(), VOCABULARY, typed, None, BookOptions(title="Steps"))
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Steps here"]
    spot = laid_out().placement.scalars["an_answer"]
    assert sheet.cell(spot.row + 1, 3).value == 6
    rules = {str(rule.sqref): rule for rule in sheet.data_validations.dataValidation}
    rule = rules[f"C{spot.row + 1}"]
    assert rule.errorStyle == "warning" and "Type a formula" in rule.prompt
    heads = [cell.value for cell in sheet[spot.row]][1:7]
    assert heads == list(HEADS)
    tinted = [rule.text for rules in sheet.conditional_formatting for rule in rules.rules]
    assert tinted == ["Right", "Not yet", "Thank you"]
    assert [cell.value for cell in sheet["B"]][-1] == "type"
