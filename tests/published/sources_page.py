"""Writes docs/sources.md from shared/: ``python -m tests.published.sources_page docs/sources.md``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.published.both import published, units

INTRO = """# Sources

Values from outside the project that its tests stand on. This page is made from `shared/published.toml` and
`shared/units.toml` by `python -m tests.published.sources_page docs/sources.md`; a test fails when they differ. The
tests in `tests/published/` name each source again, work each value out by hand in a comment, pose its problem to a
studio, and compare what the reference engine and, calculated by another program, the workbook's own formulas answer.

What the tests prove is that each value follows from what its source starts from. The kinds:

- **published**: printed in the source.
- **computed**: worked out from published values, or a published rule with numbers of our own.
- **memory**: written down from memory, to be confirmed by somebody who has the source at hand.
- **practice**: common in the trade, without a source. Rough bounds that the invented studios must lie in; never facts.
"""

KINDS = (
    ("published", "Published"),
    ("computed", "Computed"),
    ("memory", "From memory"),
    ("practice", "Common practice"),
)


def sources_page() -> str:
    """The page."""
    return "\n".join([INTRO, *_values(), *_units()])


def _values() -> Iterator[str]:
    for kind, heading in KINDS:
        entries = [entry for entry in published().values() if entry["kind"] == kind]
        if entries:
            yield f"## {heading}\n"
            yield from (_value(entry) for entry in entries)


def _value(entry: dict[str, Any]) -> str:
    money = entry["unit"].startswith(("USD", "EUR"))
    lines = [
        f"### `{entry['id']}`\n",
        f"{_shown(entry['value'], money=money)} {entry['unit']}. {_sentence(entry['source'])}",
    ]
    if entry["note"]:
        lines.append(entry["note"])
    points = []
    if "given" in entry:
        pairs = (f"{name.replace('_', ' ')} {_shown(each)}" for name, each in entry["given"].items())
        points.append(f"given: {'; '.join(pairs)}")
    if entry["derived"] != "as printed":
        points.append(entry["derived"] if entry["kind"] == "practice" else f"worked out: {entry['derived']}")
    if entry["figures"]:
        points.append(f"in the workbook: {', '.join(f'`{name}`' for name in entry['figures'])}")
    return "\n".join([*lines, "", *(f"- {point}" for point in points), *([""] if points else [])])


def _units() -> Iterator[str]:
    yield "## Factors between units\n"
    yield "| | | kind | source | note | held by |"
    yield "|---|---|---|---|---|---|"
    for entry in units().values():
        held = ", ".join(f"`{place}`" for place in entry["used_by"])
        amount = f"{entry['value']} {entry['unit']}"
        exactly = ", exact" if entry.get("exact") else ""
        cells = (entry["name"], amount + exactly, entry["kind"], entry["source"], entry["note"], held)
        yield f"| {' | '.join(cells)} |"
    yield ""


def _shown(value: Any, *, money: bool = False) -> str:
    if isinstance(value, list):
        return " / ".join(_shown(each, money=money) for each in value)
    return f"{value:,.2f}" if money and isinstance(value, float) else f"{value:,}"


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + ("" if text.endswith(".") else ".")


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(sources_page(), encoding="utf-8")
