"""The short cautions that stand beside the numbers that could tempt somebody."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from meltbook.errors import DeclarationError


@cache
def _cautions() -> dict[str, str]:
    text = resources.files("meltbook_templates").joinpath("cautions.toml").read_text(encoding="utf-8")
    return {key: str(value) for key, value in tomllib.loads(text).items()}


def caution(*topics: str) -> str:
    """The cautions on these topics, one after the other."""
    known = _cautions()
    for topic in topics:
        if topic not in known:
            raise DeclarationError(f"there is no caution on {topic!r}; known: {', '.join(sorted(known))}")
    return " ".join(known[topic] for topic in topics)
