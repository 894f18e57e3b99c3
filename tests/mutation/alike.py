"""Which formulas of a book of several furnaces are another formula than in a book of one.

A book of several furnaces has most formulas of a book of one once more for each further furnace and for the second
source, under names that end otherwise. Such a copy says nothing new if it is the formula of the one furnace with each
name replaced by the one that the copy must read: its own where there is one, else that of its source, else the one
that all share. A copy that says anything else, that reads the wrong furnace or counts other rows, is another formula.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from meltbook.fields.kernel import Fixed, Vocabulary
from meltbook.fields.sheet_names import FIRST, SheetNames, of_furnace, of_source
from meltbook.studio.furnaces import FURNACE_WORDS
from meltbook.workbook.formulas import Reference, guarded, parse
from tests.mutation.mutants import Mutant, joined, originals

Said = tuple[str, str]
"""What a formula says: where it stands in its column, if that matters, and its text inside its guards."""

Whose = tuple[str, ...]
"""What the names of one furnace or source end in, and after that those of its source."""


def anew(book: Vocabulary, one: Vocabulary, whose: Iterable[Whose]) -> Iterator[Mutant]:
    """The formulas of a book that are not those of a book of one furnace, whose texts have sheets in braces."""
    known: dict[str, set[Said]] = {}
    for right in originals(one):
        known.setdefault(right.figure.name, set()).add(_said(one, right))
    copies = tuple(whose)
    for right in originals(book):
        name = right.figure.name
        alike = {(FIRST.told(place), FIRST.told(text)) for place, text in known.get(name, ())}
        for ends in copies:
            if name.endswith(ends[0]):
                first = known.get(name.removesuffix(ends[0]), ())
                sheets = _sheets(ends)
                alike |= {(sheets.told(place), sheets.told(_renamed(book, text, ends))) for place, text in first}
        if _said(book, right) not in alike:
            yield right


def _said(vocabulary: Vocabulary, right: Mutant) -> Said:
    if isinstance(right.row, str):
        return right.row, right.text.removeprefix("=")
    text = joined(parse(guarded(right.figure, right.figure.formula)))
    return "" if right.row is None else _line(vocabulary, right.figure.name, right.row), text


def _line(vocabulary: Vocabulary, name: str, row: int) -> str:
    """A row of a table of unlike rows by what stands at its beginning, since a copy may have fewer rows."""
    table, _ = vocabulary.columns[name]
    heads = (item.values[row] for item in table.columns if isinstance(item, Fixed) and row < len(item.values))
    return str(next(heads, row + 1))


def _renamed(book: Vocabulary, text: str, ends: Whose) -> str:
    """A formula as the copy must have it whose names end so."""

    def other(name: str) -> str:
        found = (f"{name}{end}" for end in ends)
        return next((each for each in found if each in book.scalars or each in book.columns), name)

    parts = (part if isinstance(part, str) else Reference(other(part.name), part.suffix) for part in parse(text))
    return joined(tuple(parts))


def _sheets(ends: Whose) -> SheetNames:
    """The sheets that the texts of the copy name whose names end so."""
    word, *source = (end.removeprefix("_") for end in ends)
    if word in FURNACE_WORDS:
        return SheetNames(of_furnace(FURNACE_WORDS.index(word) + 1, 2 if source else 1))
    return SheetNames(of_source(2))
