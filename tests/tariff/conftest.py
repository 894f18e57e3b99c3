"""The two demonstration books, made once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tariff.books import demo_book


@pytest.fixture(scope="session")
def lakeside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two periods, tax, a demand charge; amounts in USD without cents on its tags."""
    return demo_book("lakeside-lb", tmp_path_factory.mktemp("lakeside") / "lakeside.xlsx")


@pytest.fixture(scope="session")
def harbour(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One price and a surcharge, a service charge by the day; amounts in EUR."""
    return demo_book("harbour-kg", tmp_path_factory.mktemp("harbour") / "harbour.xlsx")


@pytest.fixture
def book(harbour: Path, tmp_path: Path) -> Path:
    """A copy that may be changed, alone in its folder."""
    folder = tmp_path / "studio"
    folder.mkdir()
    copy = folder / "glass.xlsx"
    copy.write_bytes(harbour.read_bytes())
    return copy
