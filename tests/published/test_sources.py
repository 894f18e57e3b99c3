"""Each published value says where it comes from, and the page of sources says the same."""

from __future__ import annotations

import pytest

from meltbook.studio.model import Studio
from meltbook.workbook.book import vocabulary_for
from tests.published.both import CAPACITY, ROOT, published, units
from tests.published.sources_page import KINDS, sources_page

KEYS = {"id", "value", "unit", "kind", "source", "given", "derived", "figures", "note"}
UNIT_KEYS = {"id", "name", "value", "unit", "kind", "source", "exact", "pint", "used_by", "written", "note"}
NO_SOURCE = "common practice in the trade, no source"


@pytest.mark.parametrize("name", published())
def test_a_value_says_where_it_comes_from(name: str) -> None:
    entry = published()[name]
    assert entry.keys() - {"given"} == KEYS - {"given"}
    assert entry["kind"] in dict(KINDS)
    assert entry["source"] and entry["derived"] and entry["unit"]
    assert (entry["kind"] == "practice") == (entry["source"] == NO_SOURCE)
    assert (entry["kind"] == "memory") == ("from memory" in entry["source"])


@pytest.mark.parametrize("name", units())
def test_a_unit_says_where_it_comes_from(name: str) -> None:
    entry = units()[name]
    optional = {"exact", "pint", "written"}
    assert entry.keys() - optional == UNIT_KEYS - optional
    assert entry["kind"] in dict(KINDS)
    assert entry["source"]


def test_the_figures_that_answer_are_in_the_book() -> None:
    book = vocabulary_for(Studio(), CAPACITY)
    asked = {figure for entry in published().values() for figure in entry["figures"]}
    assert asked - book.scalars.keys() - book.columns.keys() == set()


def test_a_test_stands_on_each_value() -> None:
    """A value that no test reads would be a decoration."""
    folder = ROOT / "tests" / "published"
    tests = "\n".join(path.read_text(encoding="utf-8") for path in folder.glob("test_*.py"))
    assert [name for name in published() if f'"{name}"' not in tests] == []


def test_the_page_of_sources_is_what_shared_says() -> None:
    assert (ROOT / "docs" / "sources.md").read_text(encoding="utf-8") == sources_page(), (
        "run: python -m tests.published.sources_page docs/sources.md"
    )
