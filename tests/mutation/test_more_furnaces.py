"""A book of three to six furnaces says nothing that a book of two doesn't, but for longer lists of furnaces.

So it is enough to mutate books of two. The lists must name every furnace: one left out is another formula.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from meltbook.fields.kernel import Figure, Vocabulary
from meltbook.fields.sheet_names import of_furnace
from meltbook.studio.furnaces import MoreFurnace, Source, name_ends
from meltbook.workbook.book import vocabulary_for
from tests.mutation.alike import anew
from tests.mutation.invented_furnaces import replaced
from tests.mutation.kinds import ONE_FURNACE, ONE_SOURCE, TWO_SOURCES, Kind
from tests.mutation.mutants import Mutant
from tests.mutation.suite_furnaces import ROOM_OF_TWO

START = ("start_furnace", "start_reaches", "start_hot", "start_line", "start_free")
"""How each furnace stands, as Start shows it: columns with a row for each."""

OF_LIKE = {"First": ONE_SOURCE, "Second": TWO_SOURCES}


def _book(furnaces: int, source: Source) -> Vocabulary:
    """A book of so many furnaces, all further ones on one source."""
    kind = OF_LIKE[source]
    studio = replaced(kind.studio, more_furnaces=(MoreFurnace(source=source),) * (furnaces - 1))
    return vocabulary_for(studio, replace(ROOM_OF_TWO, more=ROOM_OF_TWO.more * (furnaces - 1)))


def _left(kind: Kind, book: Vocabulary, furnaces: int) -> list[str]:
    """The formulas of a book that a book of two furnaces has not."""
    one = ONE_FURNACE.declared()
    [(_, *besides), *others] = kind.whose
    ends = name_ends(furnaces)
    whose = [*((end, *besides) for end in ends[1:]), *others]
    two = kind.vocabulary()
    known = {_as_of_two(two, right, ends[:2]) for right in anew(two, one, kind.whose)}
    return [right.name for right in anew(book, one, whose) if _as_of_two(book, right, ends) not in known]


def _as_of_two(book: Vocabulary, right: Mutant, ends: tuple[str, ...]) -> tuple[str, str]:
    """A formula as two furnaces would have it: lists cut short, a further furnace's own that of the second."""
    name, text = right.figure.name, right.text
    if len(ends) > 2:
        text = _list_of(ends).sub(lambda found: _short(found, ends[:2]), text)
        text = _list_of(ends[1:]).sub(lambda found: _short(found, ends[1:2]), text)
    place = _whose(book, right, ends)
    if place:
        text = _own_sheet(place + 1).sub(r"\g<sheet> of its own", text)
        mine = re.compile(rf"{ends[place]}\b")
        text = mine.sub("_second", text).replace(f"furnace_no.{place + 1}", "furnace_no.2")
        name = mine.sub("_second", name)
    return name, text


def _own_sheet(number: int) -> re.Pattern[str]:
    """The sheets of a further furnace, which are called by its number, and the furnace itself."""
    stems = {sheet.removesuffix(f" {number}") for sheet in of_furnace(number).values()}
    return re.compile(rf"\b(?P<sheet>{'|'.join(stems)}) {number}\b")


def _whose(book: Vocabulary, right: Mutant, ends: tuple[str, ...]) -> int:
    """Of which furnace a formula is, by its name or its row in the list; 0 for the first and the shop."""
    name, row = right.figure.name, right.row
    if name == "list_look":
        assert isinstance(row, int)
        return row if row < len(ends) else 0  # the second source's list stands below those of the furnaces
    if name.startswith(("each_", "furnace_called")) or name in START:
        assert isinstance(row, int)
        return row
    if name in ("step_text", "step_done"):
        assert isinstance(row, int)
        before = book.columns[name][0].rows - len(ends) - 1  # those of the further furnaces, and a last one, follow
        return max(0, row - before) if row < before + len(ends) else 0
    return next((at for at, end in enumerate(ends) if end and right.figure.name.endswith(end)), 0)


def _list_of(ends: tuple[str, ...]) -> re.Pattern[str]:
    """The same figure of each furnace in turn, with commas or signs of addition between."""
    first, *others = ends
    rest = "".join(rf"(?P=sign)(?P=before)(?P=stem){end}(?P=after)" for end in others[1:])
    return re.compile(
        r"(?P<before>(?:COUNTIFS\()?)\b(?P<stem>[a-z]+(?:_[a-z]+)*)" + first + r'(?P<after>(?:\.all)?(?:,"NOTE"\))?)'
        rf"(?P<sign>[,+])(?P=before)(?P=stem){others[0]}(?P=after){rest}(?![a-z_.])"
    )


def _short(found: re.Match[str], ends: tuple[str, ...]) -> str:
    return found["sign"].join(f"{found['before']}{found['stem']}{end}{found['after']}" for end in ends)


@pytest.mark.parametrize("source", ("First", "Second"))
@pytest.mark.parametrize("furnaces", (3, 6))
def test_more_furnaces_have_longer_lists_and_nothing_else(furnaces: int, source: Source) -> None:
    assert _left(OF_LIKE[source], _book(furnaces, source), furnaces) == []


@pytest.mark.parametrize("name", ("logs_next_day", "minutes_rate", "all_made_pool", "checks_notes"))
def test_a_list_that_leaves_a_furnace_out_is_another_formula(name: str) -> None:
    book = _book(4, "First")
    item = book.scalars[name]
    assert isinstance(item, Figure)
    cut = re.sub(r"[,+](?:COUNTIFS\()?[a-z_]+_third(?:\.all)?(?:,\"NOTE\"\))?", "", item.formula)
    assert cut != item.formula
    short = Vocabulary({**book.scalars, name: replace(item, formula=cut)}, book.tables, book.columns)
    assert _left(ONE_SOURCE, short, 4) == [name]


@pytest.mark.parametrize("name", ("standing_now_third", "rate_then_third", "furnace_title_third"))
def test_a_furnace_that_reads_the_next_one_is_another_formula(name: str) -> None:
    book = _book(4, "First")
    item = book.scalars[name]
    assert isinstance(item, Figure)
    wrong = replace(item, formula=item.formula.replace("_third", "_fourth", 1))
    assert _left(ONE_SOURCE, Vocabulary({**book.scalars, name: wrong}, book.tables, book.columns), 4) == [name]


@pytest.mark.parametrize(
    ("name", "own", "other"),
    [
        ("meter_step_third", "Furnace 3", "Furnace 4"),
        ("meter_step_third", "Furnace 3", "Furnace 2"),
        ("opening_step_fourth", "Furnace 4", "Shop"),
        ("reading_step_third", "Furnace log 3", "Furnace log"),
        ("furnace_words_third", "Furnace 3", "Furnace 2"),
    ],
)
def test_a_text_that_names_the_sheet_of_another_furnace_is_another_formula(name: str, own: str, other: str) -> None:
    book = _book(4, "First")
    item = book.scalars[name]
    assert isinstance(item, Figure)
    wrong = replace(item, formula=item.formula.replace(own, other))
    assert wrong != item
    assert _left(ONE_SOURCE, Vocabulary({**book.scalars, name: wrong}, book.tables, book.columns), 4) == [name]
