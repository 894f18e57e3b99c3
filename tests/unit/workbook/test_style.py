import itertools

import pytest

from meltbook.fields.kernel import Figure, Input, Shape
from meltbook.sheets.kernel import Fields, Rows, Sheet
from meltbook.workbook import style
from meltbook.workbook.page import printed_area, smallest_print
from meltbook.workbook.place import lay_out
from meltbook.workbook.style import Formats, contrast, number_format
from tests.unit.workbook import sample


@pytest.mark.parametrize(("ink", "fill"), style.TEXT_PAIRS)
def test_text_can_be_read_on_its_fill(ink: str, fill: str) -> None:
    assert contrast(ink, fill) >= 4.5


@pytest.mark.parametrize("colour", style.DATA)
def test_bars_stand_out_from_the_paper(colour: str) -> None:
    assert contrast(colour, style.WHITE) >= 3 or colour == "#999933"
    assert contrast(style.INK, style.WHITE) >= 3, "the outline that every bar has"


def test_the_border_of_a_cell_to_type_in_stands_out() -> None:
    assert contrast(style.INPUT_BORDER, style.WHITE) >= 3
    assert contrast(style.INPUT_BORDER, style.INPUT_FILL) >= 3


def test_contrast_is_the_one_of_the_guidelines() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.01)


def test_every_ink_that_a_manner_uses_was_checked() -> None:
    checked = set(style.TEXT_PAIRS)
    for manner, look in style.MANNERS.items():
        pair = look.get("font_color", style.INK), look.get("bg_color", style.WHITE)
        assert pair in checked, manner


def test_state_words_do_not_begin_with_one_another() -> None:
    words = [word for word, _, _ in style.STATES]
    assert not any(one.startswith(other) for one, other in itertools.permutations(words, 2))


@pytest.mark.parametrize("shape", list(Shape))
def test_every_shape_has_a_format_without_red_and_without_a_symbol(shape: Shape) -> None:
    code = number_format(shape)
    assert code
    assert "red" not in code.lower() and "$" not in code
    if shape not in (Shape.TEXT, Shape.DATE):
        assert number_format(shape, dash=True).endswith('"–"_)')


def test_equal_formats_are_made_once() -> None:
    made: list[dict[str, object]] = []
    formats = Formats(lambda properties: made.append(properties) or len(made))
    assert formats.cell(Shape.MONEY, "plain") == formats.cell(Shape.MONEY, "plain")
    assert formats.cell(Shape.MONEY, "plain") != formats.cell(Shape.RATE, "plain")
    assert len(made) == 2
    assert made[0]["font_name"] == "Arial"


def test_nothing_is_printed_smaller_than_eight_points() -> None:
    for layout in lay_out(sample.sheets(), sample.vocabulary()).sheets:
        assert printed_area(layout)[3] < layout.workings
        for paper in ("Letter", "A4"):
            assert smallest_print(layout, paper) >= 8, layout.sheet.name


def test_a_sheet_that_is_too_wide_says_so() -> None:
    from meltbook.fields.kernel import Table, Vocabulary

    names = [f"c_{a}{b}" for a in "abcd" for b in "abcdef"]
    table = Table("wide", "Wide", tuple(Input(name, "Column", Shape.MONEY) for name in names), rows=2)
    sheet = Sheet("wide", "Wide", "Wide", "Wide.", (Fields("", ("a_b",)), Rows("", "wide", tuple(names))))
    vocabulary = Vocabulary.of([Figure("a_b", "A", Shape.MONEY, formula="1")], [table])
    assert smallest_print(lay_out((sheet,), vocabulary).sheets[0], "Letter") < 8
