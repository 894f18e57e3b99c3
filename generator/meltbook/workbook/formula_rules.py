"""Rules of taste for declared formulas, for tests to hold: no unexplained numbers, nothing long or deep.

What would not work is an error in ``meltbook.workbook.formulas``. What is here would work, but nobody could
check it by reading: a number that has no label, a formula that does not fit a line, an IF within an IF
within an IF.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Item, Vocabulary
from meltbook.studio.furnaces import FURNACE_WORDS, SECOND_SOURCE
from meltbook.workbook.formulas import parse

PLAIN_NUMBERS = frozenset({"0", "1", "2", "60", "100"})
ROUNDING_NUMBERS = frozenset({"6", "0.5", "0.000000001"})
"""Used by the rounding patterns that are equal in every program."""
LONGEST_BODY = 160
DEEPEST_IF = 2

_NUMBER = re.compile(r"^[0-9.]")
_WORDS_OF_COPIES = re.compile(rf"([a-z]+(?:_[a-z]+)+)_(?:{'|'.join((*FURNACE_WORDS[1:], SECOND_SOURCE))})\b")
"""What the names of a further furnace's or source's fields end in: it makes no formula harder to read."""
_CARRIED = re.compile(r"(tariff_[a-z_]+)_first\b")
"""The first furnace's part of its source's standing charges, where there are several furnaces."""


def strange_numbers(body: str) -> list[str]:
    """The numbers in a formula that should be labelled cells of their own."""
    return [
        part
        for part in parse(body)
        if isinstance(part, str) and _NUMBER.match(part) and part not in PLAIN_NUMBERS | ROUNDING_NUMBERS
    ]


def body_length(body: str) -> int:
    """How long a formula is, without spaces and guards."""
    return sum(len(part) if isinstance(part, str) else len(".".join(filter(None, part))) for part in parse(body))


def if_depth(body: str) -> int:
    """How deep IF stands within IF: 1 for a single one."""
    opened: list[bool] = []
    deepest = 0
    for part in parse(body):
        if not isinstance(part, str):
            continue
        if part.endswith("("):
            opened.append(part == "IF(")
            deepest = max(deepest, sum(opened))
        elif part == ")":
            opened.pop()
    return deepest


def _shorter(where: str, body: str) -> str:
    """The formula of a copy without the word that its names end in."""
    return _WORDS_OF_COPIES.sub(r"\1", body) if _WORDS_OF_COPIES.search(where) else body


def bodies(item: Item) -> Iterator[tuple[str, str]]:
    """Each formula that a field declares, with words for where it is."""
    if not isinstance(item, Figure):
        return
    if item.formula:
        yield item.name, item.formula
    for number, body in enumerate(item.formulas, 1):
        yield f"{item.name}, row {number}", body
    for which, edge in (("seed", item.seed), ("end", item.end)):
        if isinstance(edge, str) and edge.startswith("="):
            yield f"{item.name}, {which}", edge[1:]


def formula_faults(vocabulary: Vocabulary) -> list[str]:
    """Every breach of the rules, in words."""
    faults: list[str] = []
    several = "furnaces" in vocabulary.tables
    items = [*vocabulary.scalars.values(), *(item for _, item in vocabulary.columns.values())]
    for item in items:
        for where, body in bodies(item):
            try:
                numbers = strange_numbers(body)
            except DeclarationError as error:
                faults.append(f"{where}: {error}")
                continue
            if numbers:
                faults.append(f"{where}: give {', '.join(numbers)} a cell with a label")
            length = body_length(_CARRIED.sub(r"\1", _shorter(where, body)) if several else body)
            if length > LONGEST_BODY:
                faults.append(f"{where}: {length} characters; {LONGEST_BODY} is the most")
            if if_depth(body) > DEEPEST_IF:
                faults.append(f"{where}: IF stands {if_depth(body)} deep; {DEEPEST_IF} is the most")
    return faults
