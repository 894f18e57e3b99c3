"""Puts mutants to the test: each in a book in which every other cell holds its right value.

In the books of the suite every formula is replaced by the value that the reference engine has for it. A
mutant's formulas then stand in spare cells of the same sheet, and are compared with the value that the mutated
cells must have. So a mutant sees nothing but right figures, thousands of them are worked out at once, and none
can go round in a circle.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections import ChainMap
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from meltbook.errors import DeclarationError
from meltbook.fields.check_pairs import PAIRS
from meltbook.fields.kernel import Fixed, Input, Shape, Vocabulary
from meltbook.workbook.book import book_parts, make_book
from meltbook.workbook.expected import expected_value
from meltbook.workbook.formulas import Compiler, iter_formulas
from meltbook.workbook.placement import Placement
from tests.engines.compare import same
from tests.mutation.kinds import Kind
from tests.mutation.mutants import Mutant, goes_round, originals
from tests.mutation.right import Right, Value
from tests.mutation.suite import Scene

SPARE = 500
"""A column to the right of everything: here the mutants stand, one cell under the other."""

AT_ONCE = 20_000
"""Mutated cells that are worked out in one go. With several times as many the engine gives up."""

TELL_TEXTS = frozenset(
    [
        *("number_texts", "row_typed", "row_bad_numbers", "row_number_fault", "part_fault", "piece_nameless"),
        *("tax_dropped", "service_dropped", "demand_dropped"),
        *("machine_typed_use", "machine_typed_own", "machine_nameless"),
        *("course_typed_session", "course_typed_student", "course_nameless"),
    ]
)
"""Figures that count what is typed, numbers or not."""

SUMS_A_PLACE = frozenset({"start_percent"})
"""Figures that are a sum of one place of a column: this engine finds no number in a text there, where others find 0."""

LISTED = frozenset({"check_found"})
"""What the list of checks counts."""

Place = tuple[str, int | str | None]
"""A cell by its field and its row (counted from 0), as ``iter_formulas`` names it."""


Address = tuple[str, int, int]
"""A cell by its sheet and by its row and column, counted from 1."""


class Cells(NamedTuple):
    """A formula made ready: its sheet, and the places and texts of its cells."""

    mutant: Mutant
    sheet: str
    places: tuple[Place, ...]
    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The mutants that were tried, how many each scene killed, by its name, and the mutants that none did."""

    tried: tuple[Mutant, ...]
    killed: Mapping[str, int]
    alive: tuple[Mutant, ...]


@cache
def formulas_as_they_are(kind: Kind) -> tuple[Cells, ...]:
    """Every formula of a kind of book, made ready. Units and currency change values, never formulas."""
    return tuple(_compiled(kind, originals))


@cache
def all_mutants(kind: Kind) -> tuple[Cells, ...]:
    """Every mutant that the generator would write, made ready."""
    return tuple(_compiled(kind, kind.mutants))


@cache
def formula_cells(kind: Kind) -> dict[Place, Address]:
    """Where each formula of the book stands."""
    parts = kind.parts()
    return {
        (cell.name, cell.row): (cell.sheet, *_row_and_column(cell.cell))
        for cell in iter_formulas(parts.vocabulary, parts.placement)
    }


def _compiled(kind: Kind, make: Callable[[Vocabulary], Iterator[Mutant]]) -> Iterator[Cells]:
    parts = kind.parts()
    for mutant in make(parts.vocabulary):
        with suppress(DeclarationError):
            yield _ready(parts.vocabulary, parts.placement, mutant)


def _ready(vocabulary: Vocabulary, placement: Placement, mutant: Mutant) -> Cells:
    name = mutant.figure.name
    if name in vocabulary.scalars:
        scalars = ChainMap[str, Any]({name: mutant.figure}, dict(vocabulary.scalars))
        text = Compiler(Vocabulary(scalars, vocabulary.tables, vocabulary.columns), placement).scalar(name)
        assert text is not None
        return Cells(mutant, placement.scalars[name].sheet, ((name, None),), (text,))
    table, _ = vocabulary.columns[name]
    columns = ChainMap[str, Any]({name: (table, mutant.figure)}, dict(vocabulary.columns))
    compiler = Compiler(Vocabulary(vocabulary.scalars, vocabulary.tables, columns), placement)
    spot = placement.columns[name]
    if mutant.row in ("seed", "end"):
        made = compiler.seed(name) if mutant.row == "seed" else compiler.end(name)
        return Cells(mutant, spot.sheet, ((name, mutant.row),), (str(made)[1:],))
    template = compiler.column(name)
    assert template is not None and not isinstance(template, tuple)
    rows = range(spot.rows) if mutant.row is None else (int(mutant.row),)
    return Cells(mutant, spot.sheet, tuple((name, row) for row in rows), tuple(template.at(row) for row in rows))


# ---------------------------------------------------------------------------------------------------- running


def run(kind: Kind, workdir: Path, *, every: int = 1, spare: Collection[str] = (), proved: bool = True) -> Verdict:
    """Try a kind of book's mutants in one scene after the other, each until one kills it.

    ``every`` takes a sample, and ``spare`` are mutants that are left out of it. Where it has to be ``proved``, the
    formulas as they are must show in each scene what they should.
    """
    tried = [cells for cells in all_mutants(kind)[::every] if str(cells.mutant) not in spare]
    right = formulas_as_they_are(kind) if proved else ()
    alive = tried
    killed: dict[str, int] = {}
    vocabulary = kind.vocabulary()
    in_circles: dict[int, bool] = {}

    def stuck(cells: Cells) -> bool:
        """Whether no scene can kill it, since it shows nothing anywhere."""
        if id(cells) not in in_circles:
            in_circles[id(cells)] = goes_round(vocabulary, cells.mutant)
        return in_circles[id(cells)]

    for scene in kind.scenes():
        dead = {id(cells) for cells in Stage(kind, scene, workdir).killed(right, alive)}
        alive = [cells for cells in alive if id(cells) not in dead]
        killed[scene.name] = len(dead)
        if not proved and all(map(stuck, alive)):
            break
    left = tuple(cells.mutant for cells in alive if not stuck(cells))
    killed["(goes round in a circle)"] = len(alive) - len(left)
    return Verdict(tuple(cells.mutant for cells in tried), killed, left)


class Stage:
    """A scene's book in which nothing is worked out any more."""

    def __init__(self, kind: Kind, scene: Scene, workdir: Path) -> None:
        import formualizer

        self.kind = kind
        self.scene = scene
        self.parts = book_parts(scene.studio, kind.room)
        self.column = SPARE
        path = workdir / "scene.xlsx"
        make_book(scene.studio, path, capacity=kind.room, overwrite=True)
        data = values_alone(path.read_bytes(), names=not scene.nameless)
        self.book = formualizer.load_workbook_bytes(data, strategy="eager_all")
        self.book.set_temporal_egress("serial")
        self.expected: dict[Place, float | int | str | None] = {}
        for place, cell in formula_cells(kind).items():
            self.expected[place] = expected_value(self.parts.results, *place)
            if self.expected[place] is None:  # a formula that shows nothing still fills its cell with an empty text
                self.book.set_value(*cell, "")
        if scene.texts:
            self._write_texts()

    def killed(self, right: Sequence[Cells], alive: Sequence[Cells]) -> list[Cells]:
        """The mutants that show something wrong here. The formulas as they are must not."""
        if self.scene.twisted:
            return self._fooled(right, alive)
        if self.scene.nameless:
            self._lose_names()
            right, alive = ([cells for cells in some if self._tells(cells, LISTED)] for some in (right, alive))
        if self.scene.texts:
            right, alive = (
                [cells for cells in some if not self._tells(cells, TELL_TEXTS | SUMS_A_PLACE)]
                for some in (right, alive)
            )
        found = list(self._differing([*right, *alive]))
        off = [str(cells.mutant) for cells in found if cells.mutant.kind == "as it is"]
        assert not off, f"in {self.scene.name}, formulas and reference differ: {off[:20]}"
        return found

    def _tells(self, cells: Cells, stems: Collection[str]) -> bool:
        """Whether a formula is that of one of these figures, whichever furnace's it is."""
        return self.kind.stem(cells.places[0][0]) in stems

    def _lose_names(self) -> None:
        """Each check then finds one fault, unless it reads cells and no names."""
        summed = {pair.check for pair in PAIRS}
        for end in ("", *self.kind.ends):
            _, keys = self.parts.vocabulary.columns[f"check_id{end}"]
            assert isinstance(keys, Fixed)
            for row, key in enumerate(keys.values):
                if key not in summed:
                    self.expected[f"check_found{end}", row] = 1

    def _write_texts(self) -> None:
        """Put a text into each empty cell that asks for a number, in rows that something is typed in."""
        vocabulary = self.parts.vocabulary
        for name, item in vocabulary.scalars.items():
            if isinstance(item, Input) and item.shape is not Shape.TEXT:
                self._type_text(name)
        for table in vocabulary.tables.values():
            inputs = [item for item in table.columns if isinstance(item, Input)]
            for row in range(1, table.rows + 1):
                if any(self.value(f"{item.name}.{row}") not in (None, "") for item in inputs):
                    for item in inputs:
                        if item.shape is not Shape.TEXT:
                            self._type_text(f"{item.name}.{row}")

    def _type_text(self, place: str) -> None:
        if self.value(place) in (None, ""):
            self._type(place, "12,50")

    def _fooled(self, right: Sequence[Cells], alive: Sequence[Cells]) -> list[Cells]:
        """The mutants that show something wrong while cells are typed over. The formulas as they are must not."""
        on_show = self._hang_up([*right, *alive])
        dead: dict[int, Cells] = {}
        off: list[str] = []
        for twist in self.kind.twists(Right(self.parts.vocabulary, self.value)):
            kept = {place: self.value(place) for place in twist.typed}
            for place, value in twist.typed.items():
                self._type(place, value)
            self.book.evaluate_all()
            for place, must in twist.shows.items():
                for cells, sheet, row in on_show.get(split(place), ()):
                    shown = self.book.get_value(sheet, row, self.column)
                    if not same(must, _plain(shown)):
                        dead[id(cells)] = cells
                        if cells.mutant.kind == "as it is":
                            off.append(f"{dict(twist.typed)}: {place} shows {shown!r}, not {must!r}")
            for place, value in kept.items():
                self._type(place, value)
        assert not off, f"{len(off)} twists show something else than expected:\n" + "\n".join(off[:30])
        return list(dead.values())

    def _hang_up(self, chosen: Sequence[Cells]) -> dict[Place, list[tuple[Cells, str, int]]]:
        """Write formulas once, for many looks at them; where each is that stands for a place."""
        self.column += 1
        texts: dict[str, list[list[str]]] = {}
        found: dict[Place, list[tuple[Cells, str, int]]] = {}
        for cells in chosen:
            lines = texts.setdefault(cells.sheet, [])
            for place, text in zip(cells.places, cells.texts, strict=True):
                lines.append([f"={text}"])
                found.setdefault(place, []).append((cells, cells.sheet, len(lines)))
        for sheet, lines in texts.items():
            self.book.set_formulas_batch(sheet, 1, self.column, lines)
        return found

    def value(self, place: str) -> Any:
        """What a cell of the book holds now."""
        return self.book.get_value(*_cell_of(self.parts.placement, place))

    def _type(self, place: str, value: Value) -> None:
        cell = _cell_of(self.parts.placement, place)
        if isinstance(value, str) and value.startswith("="):
            self.book.set_formula(*cell, value)
        else:
            blank = "" if split(place) in self.expected else None
            self.book.set_value(*cell, blank if value is None else value)

    def _differing(self, chosen: Sequence[Cells]) -> Iterator[Cells]:
        batch: list[Cells] = []
        size = 0
        for cells in chosen:
            batch.append(cells)
            size += len(cells.texts)
            if size > AT_ONCE:
                yield from self._batch(batch)
                batch, size = [], 0
        yield from self._batch(batch)

    def _batch(self, batch: Sequence[Cells]) -> Iterator[Cells]:
        by_sheet: dict[str, list[Cells]] = {}
        for cells in batch:
            by_sheet.setdefault(cells.sheet, []).append(cells)
        for sheet, some in by_sheet.items():
            texts = [[f"={text}"] for cells in some for text in cells.texts]
            self.book.set_formulas_batch(sheet, 1, self.column, texts)
        self.book.evaluate_all()
        for sheet, some in by_sheet.items():
            row = 1
            for cells in some:
                shown = [self.book.get_value(sheet, row + at, self.column) for at in range(len(cells.texts))]
                row += len(cells.texts)
                if not all(
                    same(self.expected[place], _plain(value)) for place, value in zip(cells.places, shown, strict=True)
                ):
                    yield cells
        self.column += 1


def values_alone(workbook: bytes, *, names: bool = True) -> bytes:
    """A workbook with the values that are stored beside its formulas, and without the formulas."""
    kept = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as old, zipfile.ZipFile(kept, "w") as new:
        for part in old.namelist():
            data = old.read(part)
            if part.startswith("xl/worksheets/"):
                data = re.sub(rb"<f>[^<]*</f>", b"", data)
            if part == "xl/workbook.xml" and not names:
                data = re.sub(rb"<definedNames>.*</definedNames>", b"", data, flags=re.DOTALL)
            new.writestr(part, data)
    return kept.getvalue()


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, dict) else value


def split(place: str) -> tuple[str, int | str | None]:
    """``log_weight.8`` as the field and the row counted from 0; ``tariff_key.end`` and single cells as well."""
    name, _, row = place.partition(".")
    return name, (int(row) - 1 if row.isdigit() else row) if row else None


def _cell_of(placement: Placement, place: str) -> tuple[str, int, int]:
    name, row = split(place)
    if row is None:
        spot = placement.scalars[name]
        return spot.sheet, spot.row + 1, spot.col + 1
    column = placement.columns[name]
    index = {"seed": -1, "end": column.rows}[row] if isinstance(row, str) else row
    return column.sheet, column.first + index + 1, column.col + 1


_CELL = re.compile(r"([A-Z]+)([0-9]+)")


def _row_and_column(cell: str) -> tuple[int, int]:
    match = _CELL.fullmatch(cell)
    assert match is not None
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - 64
    return int(match[2]), column
