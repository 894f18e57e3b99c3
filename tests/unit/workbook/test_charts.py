import re
import zipfile
from pathlib import Path

import pytest

from meltbook.errors import DeclarationError
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import Picture
from meltbook.workbook.charts import chart_range
from meltbook.workbook.placement import ColumnSpot, Placement, Spot
from meltbook.workbook.style import DATA
from meltbook.workbook.write import write_book
from tests.unit.workbook import sample

PLACES = Placement(
    {
        "step_one": Spot("Costs", 4, 2),
        "step_two": Spot("Costs", 5, 2),
        "step_beside": Spot("Costs", 4, 3),
        "step_far": Spot("Costs", 9, 2),
    },
    {"bar_amount": ColumnSpot("Costs", 3, 20, 6, has_seed=True, has_end=True)},
)


def test_a_column_is_charted_without_its_edge_rows() -> None:
    assert chart_range("bar_amount", PLACES) == ["Costs", 20, 3, 25, 3]
    assert chart_range("bar_amount", PLACES, 2) == ["Costs", 20, 3, 21, 3]
    assert chart_range("bar_amount", PLACES, 99) == ["Costs", 20, 3, 25, 3]


def test_cells_that_touch_are_charted() -> None:
    assert chart_range(("step_one", "step_two"), PLACES) == ["Costs", 4, 2, 5, 2]
    assert chart_range(("step_one", "step_beside"), PLACES) == ["Costs", 4, 2, 4, 3]


@pytest.mark.parametrize("span", [("step_one", "step_far"), ("step_two", "step_one")])
def test_cells_that_do_not_touch_are_refused(span: tuple[str, ...]) -> None:
    with pytest.raises(DeclarationError, match="next to one another"):
        chart_range(span, PLACES)


def test_unknown_names_are_said() -> None:
    with pytest.raises(DeclarationError, match="did you mean 'bar_amount'"):
        chart_range("bar_amuont", PLACES)
    with pytest.raises(DeclarationError, match="did you mean 'step_one'"):
        chart_range(("step_oen",), PLACES)


def test_charts_carry_their_text_and_hide_what_carries_others(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    write_book(path, sample.vocabulary(), sample.sheets(), sample.studio(), sample.results())
    with zipfile.ZipFile(path) as package:
        drawing = package.read("xl/drawings/drawing1.xml").decode()
        first, second = (package.read(f"xl/charts/chart{number}.xml").decode() for number in (1, 2))
    assert re.findall('descr="([^"]*)"', drawing) == [
        "Bars for the cost of each row of the log.",
        "Two bars.",
    ]
    assert first.count("<c:ser>") == 2 and "332288" in first and "999933" in first
    assert "<a:noFill/>" in second and "332288" in second, "the hidden series takes no colour"
    assert "<c:legend>" in first and "<c:legend>" not in second
    assert "<c:v>2.5</c:v>" in first, "the chart remembers its numbers for programs that don't calculate"


def test_no_two_series_of_a_picture_are_drawn_alike() -> None:
    pictures = [block for sheet in book_sheets() for block in sheet.blocks if isinstance(block, Picture)]
    assert len(pictures) > 5
    for picture in pictures:
        shown = [series for series in picture.series if not series.hidden]
        assert len(shown) <= len(DATA), picture.title
