"""The mutants that change nothing, with the reason of each."""

from __future__ import annotations

import tomllib
from pathlib import Path

FILE = Path(__file__).with_name("equivalent.toml")


def equivalent() -> dict[str, str]:
    """Each listed mutant, as it prints, and why nothing can tell it from the right formula."""
    groups = tomllib.loads(FILE.read_text(encoding="utf-8"))["equivalent"]
    found: dict[str, str] = {}
    for group in groups:
        for mutant in group["mutants"]:
            assert mutant not in found, f"listed twice: {mutant}"
            found[mutant] = group["why"]
    return found
