"""Each published value has its source in the docs as well."""

from __future__ import annotations

from tests.published.both import ROOT, published

KINDS = {"published", "computed", "memory", "practice"}


def test_every_value_says_where_it_comes_from() -> None:
    page = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
    for name, entry in published().items():
        assert entry["kind"] in KINDS
        assert entry["source"], name
        assert f"`{name}`" in page
        assert entry["source"] in page
