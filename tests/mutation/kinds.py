"""The kinds of book whose formulas are mutated: of one furnace, and of two furnaces on one source and on two.

All books of a kind have the same formulas, whatever studio is in them. A formula is mutated in the first kind that has
it; the kinds of several furnaces have few of their own, since most of theirs are copies, which ``alike`` finds out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from meltbook.fields import CHAPTERS, BookContext
from meltbook.fields.kernel import Vocabulary
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.units import money_digits
from meltbook.workbook.book import BookParts, book_parts, vocabulary_for
from tests.mutation import suite, suite_furnaces
from tests.mutation.alike import Whose, anew
from tests.mutation.mutants import Mutant, mutants, originals
from tests.mutation.right import Right, Twist
from tests.mutation.suite import Scene
from tests.mutation.twists import twists
from tests.mutation.twists_several import twists_of_one_source, twists_of_two_sources

HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """One kind of book.

    ``studio`` is one of its kind with nothing in it. ``scenes`` are the studios in whose books mutants are tried, and
    ``twists`` what is typed over in some. ``whose`` says what names end in that belong to further furnaces and
    sources, and ``listed`` is the file of the mutants that change nothing. Mutants of formulas that a kind in
    ``besides`` has as well are left to that; the first of these is the book of one furnace.
    """

    name: str
    studio: Studio
    room: Capacity
    scenes: Callable[[], list[Scene]]
    twists: Callable[[Right], Iterator[Twist]]
    listed: Path
    whose: tuple[Whose, ...] = ()
    besides: tuple[Kind, ...] = ()

    def __str__(self) -> str:
        return self.name

    def parts(self) -> BookParts:
        """A book of this kind before it is written."""
        return book_parts(self.studio, self.room)

    def vocabulary(self) -> Vocabulary:
        """Its fields."""
        return vocabulary_for(self.studio, self.room)

    def declared(self) -> Vocabulary:
        """The fields of a book of one furnace as the chapters declare them: sheets that texts name are in braces."""
        shop = self.studio.shop
        digits = money_digits(shop.currency)
        ctx = BookContext(shop.weight_unit, shop.currency, digits, self.room, shop.energy_unit)
        return Vocabulary.of(
            (item for chapter in CHAPTERS for item in chapter.scalars(ctx)),
            (table for chapter in CHAPTERS for table in chapter.tables(ctx)),
        )

    @property
    def ends(self) -> tuple[str, ...]:
        """What names end in beside those of a book of one furnace."""
        return tuple(ends[0] for ends in self.whose)

    def stem(self, name: str) -> str:
        """A name without what tells whose it is."""
        return next((name.removesuffix(end) for end in self.ends if name.endswith(end)), name)

    def own(self, vocabulary: Vocabulary) -> list[Mutant]:
        """The formulas that are mutated in this kind of book."""
        if not self.besides:
            return list(originals(vocabulary))
        first, *others = self.besides
        there = {(right.name, right.text) for other in others for right in other.own(other.vocabulary())}
        new = anew(vocabulary, first.declared(), self.whose)
        return [right for right in new if (right.name, right.text) not in there]

    def mutants(self, vocabulary: Vocabulary) -> Iterator[Mutant]:
        """The mutants of these."""
        return mutants(vocabulary, self.own(vocabulary), ("_first", *self.ends) if self.ends else ())


ONE_FURNACE = Kind("one furnace", suite.any_studio(), suite.ROOM, suite.scenes, twists, HERE / "equivalent.toml")
TWO_SOURCES = Kind(
    "two furnaces on two sources",
    suite_furnaces.blank(second=True),
    suite_furnaces.ROOM_OF_TWO,
    suite_furnaces.on_two_sources,
    twists_of_two_sources,
    HERE / "equivalent_two_sources.toml",
    (("_second", "_fuel"), ("_fuel",)),
    (ONE_FURNACE,),
)
ONE_SOURCE = Kind(
    "two furnaces on one source",
    suite_furnaces.blank(second=False),
    suite_furnaces.ROOM_OF_TWO,
    suite_furnaces.on_one_source,
    twists_of_one_source,
    HERE / "equivalent_one_source.toml",
    (("_second",),),
    (ONE_FURNACE, TWO_SOURCES),
)
KINDS = (ONE_FURNACE, TWO_SOURCES, ONE_SOURCE)
