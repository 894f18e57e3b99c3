"""The sheets of each further furnace and of the second source, made from those of the first.

A block of a sheet is taken over with those of its fields that the furnace has as its own; a block that is left with
none falls away. Five sheets hold them all: what is typed about the furnace, its log, its cost of glass, its
decisions, and its workings.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from meltbook.fields.kernel import Fixed, Vocabulary
from meltbook.fields.several import OF_THE_ONLY_FURNACE
from meltbook.fields.sheet_names import SheetNames, of_furnace, of_source
from meltbook.fields.whose import SHEETS_OF_THE_FIRST, shown_on
from meltbook.sheets import all_furnaces, letter_sheets
from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Below, Block, Fields, Grid, Picture, Rows, Sheet, Span, Words, is_name
from meltbook.sheets.told import told_block
from meltbook.studio.furnaces import FURNACE_WORDS, SECOND_SOURCE, SOURCE_NUMBERS

TYPED = ("shop", "pots")
DECIDED = ("idle_or_cold", "campaign_length", "change_the_pot")
LOG, COST = "log", "glass"
CHECKED = "checks"
SOURCE_SHEETS = ("tariffs", "new_tariff")
_METER_BLOCK = 1
"""Where the first furnace begins among the blocks of Shop."""


def has_several(vocabulary: Vocabulary) -> bool:
    """Whether a book has more furnaces than one."""
    return "furnaces" in vocabulary.tables


def with_further(sheets: Sequence[Sheet], vocabulary: Vocabulary) -> tuple[Sheet, ...]:
    """All sheets of a book with several furnaces, in reading order."""
    words = [word for word in FURNACE_WORDS[1:] if f"{LOG}_{word}" in vocabulary.tables]
    sources = _sources(vocabulary)
    furnaces = [
        _Own(vocabulary, word, number, SheetNames(of_furnace(number, SOURCE_NUMBERS[sources[number - 1]])))
        for number, word in enumerate(words, start=2)
    ]
    second = None
    if f"tariffs_{SECOND_SOURCE}" in vocabulary.tables:
        second = _Own(vocabulary, SECOND_SOURCE, 2, SheetNames(of_source(2)))
    every = [*furnaces, *([second] if second else [])]
    letters = letter_sheets.Letters(_sources(vocabulary), two=second is not None)
    found: list[Sheet] = []
    for sheet in sheets:
        shown = _numbered(_first(sheet, every, vocabulary), second)
        found.append(letters.first(shown) if sheet.key == "new_tariff" else shown)
        if sheet.key == "tariffs" and second:
            found.append(second.like(sheet.key, sheets, second.unit()))
        if sheet.key == "new_tariff" and second:
            found.append(letters.second(second.like(sheet.key, [letters.sums(sheet)])))
        if sheet.key == "pots":
            for own in furnaces:
                found += [own.typed(sheets), own.like(LOG, sheets)]
        if sheet.key == COST:
            found += [
                all_furnaces.sheet(sources, second.energy if second else ""),
                *(own.like(COST, sheets) for own in furnaces),
            ]
        if sheet.key == DECIDED[-1]:
            found += [own.decided(sheets) for own in furnaces]
    workings = [own.workings(sheets, found) for own in every]
    return (*found, *workings)


def _numbered(sheet: Sheet, second: _Own | None) -> Sheet:
    """A sheet of the first furnace or source, with the words on Start that tell it from the others."""
    if sheet.key in SHEETS_OF_THE_FIRST and sheet.key != "shop":
        return replace(sheet, purpose=f"Furnace 1: {sheet.purpose}")
    if sheet.key == "shop":
        return replace(sheet, purpose=sheet.purpose.replace("the furnace", "furnace 1"))
    if second and sheet.key in SOURCE_SHEETS:
        return replace(sheet, purpose=f"First source, {{energy}}: {sheet.purpose}")
    return sheet


def _sources(vocabulary: Vocabulary) -> tuple[str, ...]:
    source = vocabulary.columns["furnace_source"][1]
    assert isinstance(source, Fixed)
    return tuple(str(value) for value in source.values)


def _first(sheet: Sheet, every: Sequence[_Own], vocabulary: Vocabulary) -> Sheet:
    """A sheet of the first furnace or of the shop, with what it has besides where there are several."""
    blocks: list[Block] = [_with_inputs(block, vocabulary) for block in sheet.blocks]
    if sheet.key in SHEETS_OF_THE_FIRST:
        place = _METER_BLOCK if sheet.key == "shop" else 0
        blocks.insert(place, Words(heading=shown_on(sheet.key), lines=()))
    if sheet.key == "start":
        blocks = _of_each(blocks)
    if sheet.key == "pictures":
        blocks.insert(0, Words(heading="", lines=("whose_pictures",)))
    if sheet.key == CHECKED:
        for own in every:
            blocks += own.blocks(sheet, f"{own.title}: ")
    if sheet.key == "workings":
        looks = [name for name in vocabulary.scalars if name.startswith("first_look_")]
        blocks += all_furnaces.more_workings(looks, two_sources="letters_typed" in vocabulary.scalars)
    return replace(sheet, blocks=tuple(blocks))


def _of_each(blocks: Sequence[Block]) -> list[Block]:
    """Start, with a row for each furnace in place of the figures of the only one."""
    [stand, *others] = blocks
    assert isinstance(stand, Fields)
    kept = tuple(name for name in stand.names if name not in {*OF_THE_ONLY_FURNACE, "log_rows_free"})
    parts = ("reaches", "hot", "line", "free", "log_words", "hot_words", "line_words", "cost_words")
    furnaces = Rows(
        heading="The furnaces",
        table="furnaces_start",
        columns=("start_furnace", "start_stands"),
        workings=tuple(f"start_{part}" for part in parts),
    )
    return [replace(stand, names=kept), furnaces, *others]


def _with_inputs(block: Block, vocabulary: Vocabulary) -> Block:
    """The pieces say which furnace, bills and machines which source; a bill shows the use of all furnaces."""
    two_sources = "bill_source" in vocabulary.columns
    if isinstance(block, Fields):
        return _told_of_whom(block, two_sources=two_sources)
    if isinstance(block, Words) and two_sources and "bills_sentence" in block.lines:
        return replace(block, lines=(*block.lines, f"bills_sentence_{SECOND_SOURCE}"))
    if not isinstance(block, Rows):
        return block
    columns, workings, intro = list(block.columns), list(block.workings), block.intro
    if "piece_glass" in columns:
        columns.insert(columns.index("piece_glass") + 1, "piece_furnace")
    if "bill_furnace" in columns:
        columns[columns.index("bill_furnace")] = "all_bill_furnace"
        workings += ["bill_furnace", "all_bill_waiting", "all_bill_unlogged"]
        if two_sources:
            columns.insert(1, "bill_source")
            workings += ["bill_year_use", "bill_year_unmetered"]
            intro = f"Each bill in the unit of its own source. {_which_is_which(vocabulary)}"
    if "machine_feeds" in columns and two_sources:
        columns.insert(columns.index("machine_feeds") + 1, "machine_source")
        workings += ["machine_second", "source_price_now", "source_new_all_in"]
        intro += f" Source: {_which_is_which(vocabulary)}"
    return replace(block, columns=tuple(columns), workings=tuple(workings), intro=intro)


def _which_is_which(vocabulary: Vocabulary) -> str:
    """What the two words in the list of sources stand for, where one of them is picked."""
    second = vocabulary.scalars[f"energy_unit_{SECOND_SOURCE}"]
    assert isinstance(second, Fixed)
    return f"First is billed in {{energy}}, Second in {second.values[0]}."


def _told_of_whom(block: Fields, *, two_sources: bool) -> Fields:
    """Single figures of the first furnace or of one source, with the words that say so."""
    if "furnace_rate" in block.names:
        intro = "Of the first furnace. Those of each stand on All furnaces; a piece takes its own furnace's."
        return replace(block, intro=intro)
    if two_sources and "bills_use" in block.names:
        totals = tuple(name for name in block.names if name != "unexplained_limit")
        names = (*block.names, *(f"{name}_{SECOND_SOURCE}" for name in totals))
        return replace(block, names=names, intro="Each source in the unit of its own bills.")
    if two_sources and "bills_main" in block.names:
        totals = tuple(name for name in block.names if name.startswith("bills_"))
        return replace(block, names=(*block.names, *(f"{name}_{SECOND_SOURCE}" for name in totals)))
    if two_sources and "machines_year_use" in block.names:
        names = tuple(name for one in block.names for name in (one, f"{one}_{SECOND_SOURCE}"))
        return replace(block, names=(*names, "machines_strange", "bills_strange", "sources_unknown"))
    return block


@dataclass(frozen=True, slots=True)
class _Own:
    """What one furnace or source has as its own, and the sheets that it makes."""

    vocabulary: Vocabulary
    word: str
    number: int
    names: SheetNames

    @property
    def title(self) -> str:
        """What a heading calls it."""
        return f"Source {self.number}" if self.word == SECOND_SOURCE else f"Furnace {self.number}"

    @property
    def energy(self) -> str:
        """The unit that its energy is billed in, or nothing where it is the book's first."""
        unit = self.vocabulary.scalars.get(f"energy_unit_{SECOND_SOURCE}")
        here = self.word == SECOND_SOURCE or _sources(self.vocabulary)[self.number - 1] == "Second"
        return str(unit.values[0]) if here and isinstance(unit, Fixed) else ""

    # --------------------------------------------------------------------------------------------- its sheets

    def typed(self, sheets: Sequence[Sheet]) -> Sheet:
        """Its meter, itself, and its pots and elements."""
        of_shop = Fields(
            heading=self.title,
            intro="As on Shop and on Pots and elements, for this furnace.",
            caution=caution("hot_unattended"),
            names=tuple(
                f"{name}_{self.word}"
                for name in (
                    "furnace_name",
                    "standing_part",
                    "standing_part_used",
                )
            ),
        )
        return Sheet(
            key=f"furnace_{self.word}",
            name=self.title,
            title=self.title,
            purpose=f"{self._said}: Its meter and its load, what it cost, and every part of it that wears out.",
            role="type",
            landscape=True,
            blocks=(of_shop, *self._of(sheets, TYPED)),
        )

    def like(self, key: str, sheets: Sequence[Sheet], *besides: Block) -> Sheet:
        """A sheet that is like one of the first's; ``besides`` stands before what is taken over."""
        [first] = [sheet for sheet in sheets if sheet.key == key]
        whose = () if self.word == SECOND_SOURCE else (self._whose(key),)
        return replace(
            first,
            key=f"{first.key}_{self.word}",
            name=f"{first.name} {self.number}",
            title=f"{first.title} {self.number}",
            purpose=f"{self._said}: {self._told(first.purpose)}",
            blocks=(*whose, *besides, *self.blocks(first)),
        )

    def _whose(self, key: str) -> Words:
        """The line that says on a sheet which furnace it is of."""
        return Words(heading=shown_on(key, f"_{self.word}"), lines=())

    @property
    def _said(self) -> str:
        """What the list of sheets on Start calls it."""
        return f"Second source, {self.energy}" if self.word == SECOND_SOURCE else self.title

    def decided(self, sheets: Sequence[Sheet]) -> Sheet:
        """Its decisions, one under the other."""
        return Sheet(
            key=f"decisions_{self.word}",
            name=f"Decisions {self.number}",
            title=f"Decisions about furnace {self.number}",
            purpose=f"{self._said}: Idle or cold, how many charges, when to change the pot, from its own log.",
            role="type",
            does="Type and read",
            blocks=(
                self._whose("decisions"),
                *replace(self, names=self._further_up())._of(sheets, DECIDED, named=True),
            ),
        )

    def _further_up(self) -> SheetNames:
        """What stands on a sheet of its own for the first furnace stands further up on the sheet of its decisions."""
        return SheetNames({**self.names.own, "Idle or cold": f"Decisions {self.number}, further up"})

    def unit(self) -> Fields:
        """What a source bills in."""
        return Fields(heading=self.title, names=(f"energy_unit_{self.word}", f"price_limit_{self.word}"))

    def workings(self, sheets: Sequence[Sheet], shown: Sequence[Sheet]) -> Sheet:
        """All else that is its own: what no other of the sheets shows."""
        there = {name for sheet in shown for block in sheet.blocks for name in _names(block)}
        words = "source" if self.word == SECOND_SOURCE else "furnace"
        blocks: list[Block] = []
        if self.word != SECOND_SOURCE:
            blocks += [
                Fields(
                    heading="Among the furnaces",
                    names=tuple(
                        f"{name}_{self.word}"
                        for name in (
                            "furnace_title",
                            "furnace_words",
                            "furnace_waits",
                            "log_waits",
                            "furnace_done",
                            "standing_part_again",
                            "rate_then",
                            "effect_note",
                            "standing_now",
                            "base_standing",
                            "new_standing",
                        )
                    ),
                ),
                Rows(
                    heading="Service and demand, its part",
                    table=f"standing_{self.word}",
                    columns=tuple(
                        f"{name}_{self.word}"
                        for name in ("tariff_standing", "tariff_standing_change", "tariff_standing_integral")
                    ),
                ),
            ]
            there |= {name for block in blocks for name in _names(block)}
        for sheet in sheets:
            blocks += [block for own in self.blocks(sheet) if (block := _without(own, there))]
        return Sheet(
            key=f"workings_{self.word}",
            name=f"Workings, {words} {self.number}",
            title=f"Workings of {words} {self.number}",
            purpose="Single figures on the way to the others. Nothing to type here.",
            role="read",
            does="Follow a figure",
            landscape=True,
            blocks=tuple(blocks),
        )

    def _of(self, sheets: Sequence[Sheet], keys: Sequence[str], *, named: bool = False) -> Iterator[Block]:
        """The blocks of some sheets; ``named`` says above each sheet's first one which sheet it was.

        Rows of which only workings are left are no use without their names: they stand among the workings.
        """
        for key in keys:
            [sheet] = [sheet for sheet in sheets if sheet.key == key]
            shown = [block for block in sheet.blocks if not isinstance(block, Rows) or self._own(block.columns)]
            for place, block in enumerate(self.blocks(replace(sheet, blocks=tuple(shown)))):
                yield _headed(block, f"{sheet.name}: " if named and place == 0 else "")

    # --------------------------------------------------------------------------------------------- their blocks

    def blocks(self, sheet: Sheet, before: str = "") -> list[Block]:
        """The blocks of a sheet as far as they hold what is its own; ``before`` goes before their headings."""
        found = [made for block in sheet.blocks if (made := self._block(block)) is not None]
        return [_headed(told_block(block, self._told), before) for block in found]

    def _name(self, name: str) -> str:
        made = f"{name}_{self.word}"
        known = made in self.vocabulary.scalars or made in self.vocabulary.columns
        return made if name and known else ""

    def _own(self, names: Sequence[str]) -> tuple[str, ...]:
        return tuple(made for name in names if (made := self._name(name)))

    def _told(self, text: str) -> str:
        named = self.names.told(text)
        return named.replace("{energy}", self.energy) if self.energy else named

    def _block(self, block: Block) -> Block | None:
        if isinstance(block, Fields):
            names = self._own(block.names)
            return replace(block, names=names) if names else None
        if isinstance(block, Rows):
            return self._rows(block)
        if isinstance(block, Below):
            columns = self._own(block.columns)
            return replace(block, table=f"{block.table}_{self.word}", columns=columns) if columns else None
        if isinstance(block, Grid):
            return self._grid(block)
        if isinstance(block, Words):
            if not self._own([line for line in block.lines if is_name(line)]):
                return None
            lines = tuple(self._name(line) if is_name(line) else line for line in block.lines)
            return replace(block, lines=tuple(line for line in lines if line))
        return self._picture(block) if isinstance(block, Picture) else None

    def _rows(self, block: Rows) -> Rows | None:
        columns, workings = self._own(block.columns), self._own(block.workings)
        if not columns and not workings:
            return None
        if not columns:
            columns, workings = workings, ()
        table = f"{block.table}_{self.word}"
        if table not in self.vocabulary.tables:
            table = self.vocabulary.columns[columns[0]][0].name
        widths = {made: width for name, width in block.widths.items() if (made := self._name(name)) in columns}
        dashed = tuple(made for name in block.dashed if (made := self._name(name)) in columns)
        return replace(block, table=table, columns=columns, workings=workings, widths=widths, dashed=dashed)

    def _grid(self, block: Grid) -> Grid | None:
        rows: list[tuple[str, ...]] = []
        count = len(block.columns)
        for label, *cells in block.rows:
            names = [self._name(name) for name in cells[:count]]
            if any(names):
                rows.append((label, *names, *cells[count:]))
        return replace(block, rows=tuple(rows)) if rows else None

    def _picture(self, block: Picture) -> Picture | None:
        spans = [block.categories, *(series.values for series in block.series)]
        if not all(self._span(span) for span in spans):
            return None
        return replace(
            block,
            categories=self._span(block.categories),
            series=tuple(replace(series, values=self._span(series.values)) for series in block.series),
            sentence=self._name(block.sentence) if is_name(block.sentence) else block.sentence,
        )

    def _span(self, span: Span) -> Span:
        return self._name(span) if isinstance(span, str) else self._own(span)


def _headed(block: Block, before: str) -> Block:
    return replace(block, heading=before + block.heading) if before and not isinstance(block, Below) else block


def _names(block: Block) -> Iterator[str]:
    """The fields that a block shows."""
    if isinstance(block, Fields):
        yield from block.names
    elif isinstance(block, Rows):
        yield from (*block.columns, *block.workings, *([block.legend] if block.legend else ()))
    elif isinstance(block, Below):
        yield from block.columns
    elif isinstance(block, Grid):
        yield from (name for _, *cells in block.rows for name in cells[: len(block.columns)] if name)
    elif isinstance(block, Words):
        yield from (line for line in (block.heading, *block.lines) if is_name(line))
    elif isinstance(block, Picture) and is_name(block.sentence):
        yield block.sentence


def _without(block: Block, there: set[str]) -> Block | None:
    """A block of single figures or rows without those that stand elsewhere; other blocks are not shown twice."""
    if isinstance(block, Fields):
        names = tuple(name for name in block.names if name not in there)
        return replace(block, names=names, intro="", caution="") if names else None
    if isinstance(block, Rows):
        columns = tuple(name for name in (*block.columns, *block.workings) if name not in there)
        return (
            replace(block, columns=columns, workings=(), intro="", caution="", widths={}, dashed=())
            if columns
            else None
        )
    names = tuple(name for name in _names(block) if name not in there)
    return Fields(heading="More of it", names=names) if names else None
