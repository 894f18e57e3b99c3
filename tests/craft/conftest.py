import pytest

from meltbook.workbook.paper import Paper
from tests.craft.opened import Opened, open_book

BOOKS: tuple[tuple[str, Paper], ...] = (
    ("blank", "Letter"),
    ("lakeside-lb", "Letter"),
    ("harbour-kg", "A4"),
    ("quay-gas-kg", "A4"),
    ("foundry-two-kg", "A4"),
)


@pytest.fixture(scope="session", params=BOOKS, ids=[start for start, _ in BOOKS])
def opened(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Opened:
    """Each start's book in turn, written and opened once."""
    start, paper = request.param
    return open_book(start, paper, tmp_path_factory.mktemp("craft") / f"{start}.xlsx")
