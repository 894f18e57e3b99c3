"""The mutants that change nothing, with the reason of each."""

from __future__ import annotations

import tomllib

from tests.mutation.kinds import Kind


def equivalent(kind: Kind) -> dict[str, str]:
    """Each listed mutant of a kind of book, as it prints, and why nothing can tell it from the right formula."""
    groups = tomllib.loads(kind.listed.read_text(encoding="utf-8")).get("equivalent", [])
    found: dict[str, str] = {}
    for group in groups:
        for mutant in group["mutants"]:
            assert mutant not in found, f"listed twice: {mutant}"
            found[mutant] = group["why"]
    return found
