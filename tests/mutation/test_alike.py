"""What is a copy of a furnace's formula, and what is another formula: told from the formulas alone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest

from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Vocabulary
from tests.mutation.alike import anew
from tests.mutation.kinds import KINDS, ONE_FURNACE, ONE_SOURCE, TWO_SOURCES, Kind
from tests.mutation.mutants import mutants, originals

SECOND = (("_second", "_fuel"), ("_fuel",))


def _figure(name: str, formula: str, **guards: tuple[str, ...]) -> Figure:
    return Figure(name, "Figure", Shape.MONEY, formula=formula, **guards)  # type: ignore[arg-type]


def _typed(*names: str) -> list[Item]:
    return [Input(name, "Typed", Shape.MONEY) for name in names]


ONE = Vocabulary.of(
    [*_typed("use_all", "price_now", "tax_part"), _figure("cost_all", "use_all*price_now/tax_part")], []
)


def _two(formula: str, **guards: tuple[str, ...]) -> list[str]:
    """What is another formula in a book that has a second furnace's use and the price of a second source."""
    own = _typed("use_all", "price_now", "tax_part", "use_all_second", "price_now_fuel")
    book = [*own, _figure("cost_all", "use_all*price_now/tax_part"), _figure("cost_all_second", formula, **guards)]
    return [right.name for right in anew(Vocabulary.of(book, []), ONE, SECOND)]


def test_a_copy_reads_its_own_its_sources_and_what_all_share() -> None:
    assert _two("use_all_second*price_now_fuel/tax_part") == []


@pytest.mark.parametrize(
    "formula",
    [
        "use_all*price_now_fuel/tax_part",
        "use_all_second*price_now/tax_part",
        "use_all_second*price_now_fuel",
        "use_all_second*price_now_fuel*tax_part",
        "use_all*price_now/tax_part",
    ],
)
def test_what_reads_another_furnace_or_says_something_else_is_no_copy(formula: str) -> None:
    assert _two(formula) == ["cost_all_second"]


def test_another_guard_makes_another_formula() -> None:
    assert _two("use_all_second*price_now_fuel/tax_part", nonzero=("tax_part",)) == ["cost_all_second"]


def _listed(end: str, lines: Sequence[str], formulas: Sequence[str]) -> Table:
    what = Fixed(f"line_what{end}", "What", Shape.TEXT, values=tuple(lines))
    counted = Figure(f"line_found{end}", "Found", Shape.COUNT, formulas=tuple(formulas))
    return Table(f"line_list{end}", "List", (what, counted), rows=len(lines))


def test_a_line_of_a_list_is_known_by_its_name_and_not_by_its_row() -> None:
    both = _typed("use_all", "use_all_second", "tax_part")
    one = Vocabulary.of(both, [_listed("", ("tax", "use"), ("tax_part", "use_all"))])
    for line, formula, others in (("use", "use_all_second", []), ("tax", "use_all_second", ["line_found_second.1"])):
        lists = [_listed("", ("tax", "use"), ("tax_part", "use_all")), _listed("_second", (line,), (formula,))]
        assert [right.name for right in anew(Vocabulary.of(both, lists), one, SECOND)] == others


@pytest.mark.parametrize("kind", (TWO_SOURCES, ONE_SOURCE), ids=str)
def test_a_copy_that_reads_the_first_furnace_is_mutated(kind: Kind) -> None:
    """In each kind of book a copy is known for one, and is mutated as soon as one name in it is another furnace's."""
    book = kind.vocabulary()
    item = book.scalars["price_hot_second"]
    assert isinstance(item, Figure)
    assert item.name not in {right.name for right in kind.own(book)}
    own = next(name for name in re.findall(r"[a-z_]+", item.formula) if name.endswith("_second"))
    wrong = replace(item, formula=item.formula.replace(own, own.removesuffix("_second")))
    slip = Vocabulary({**book.scalars, item.name: wrong}, book.tables, book.columns)
    assert item.name in {right.name for right in kind.own(slip)}


SHOWN = _figure("ask_all", '"See {Cost of glass}, and Shop"')


def _asked(name: str, formula: str) -> list[str]:
    """What is another formula where a text of one furnace names a sheet of its own in braces, and one of all."""
    first = _figure("ask_all", '"See Cost of glass, and Shop"')
    book = Vocabulary.of([first, _figure(name, formula)], [])
    return [right.name for right in anew(book, Vocabulary.of([SHOWN], []), SECOND)]


def test_a_copy_names_its_own_sheet() -> None:
    assert _asked("ask_all_second", '"See Cost of glass 2, and Shop"') == []


@pytest.mark.parametrize(
    "text", ["Cost of glass, and Shop", "Cost of glass 3, and Shop", "Cost of glass 2, and Furnace 2", "Shop, and Shop"]
)
def test_what_names_another_sheet_is_no_copy(text: str) -> None:
    assert _asked("ask_all_second", f'"See {text}"') == ["ask_all_second"]


def test_each_formula_is_mutated_in_some_kind_of_book() -> None:
    """Of all formulas of a book of several, those that are not mutated there are those of another kind, or copies."""
    mutated = {(right.name, right.text) for kind in KINDS for right in kind.own(kind.vocabulary())}
    for kind in (TWO_SOURCES, ONE_SOURCE):
        left = [right for right in originals(kind.vocabulary()) if (right.name, right.text) not in mutated]
        assert left
        assert all(right.figure.name.endswith(kind.ends) for right in left)


def test_a_name_is_tried_with_the_endings_of_the_others() -> None:
    book = Vocabulary.of(
        [
            *_typed("use_all", "one_more", "use_all_second", "two_more", "use_all_fuel"),
            _figure("cost_all", "use_all_second"),
        ],
        [],
    )
    found = {mutant.text for mutant in mutants(book, ends=("_second", "_fuel")) if mutant.kind == "furnace"}
    assert found == {"use_all", "use_all_fuel"}


def test_a_book_of_one_furnace_is_mutated_whole() -> None:
    vocabulary = ONE_FURNACE.vocabulary()
    assert ONE_FURNACE.own(vocabulary) == list(originals(vocabulary))
