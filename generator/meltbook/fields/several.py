"""A book with several furnaces: its own figures for each, and the shop's figures from all of them.

The chapters are declared as for one furnace. Here what is a furnace's own is copied for each further one, what is a
source's own for the second source, and the few figures of the shop that read a furnace read the right one: a piece
its own furnace, what was made and the bills all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from types import ModuleType

from meltbook.fields import drawn_from, furnaces, standing_parts, start, two_sources, whose
from meltbook.fields.check_list import CHECKS
from meltbook.fields.check_pairs import PAIRS
from meltbook.fields.context import BookContext
from meltbook.fields.copies import FURNACE_CHECKS, SOURCE_CHECKS, Copier, rewritten
from meltbook.fields.furnaces import Many
from meltbook.fields.kernel import Figure, Item, Table, Vocabulary
from meltbook.fields.own import BY_ROW, Owned, Parts, owned
from meltbook.fields.sheet_names import FIRST, SheetNames, of_furnace, of_source
from meltbook.fields.standing_parts import CARRIED
from meltbook.studio.expect import expectations, input_name
from meltbook.studio.furnaces import FURNACE_TABLES, FURNACE_WORDS, SECOND_SOURCE, SOURCE_ENDS
from meltbook.studio.furnaces import Melt as FurnaceMelt

FURNACE_INPUTS: tuple[str, ...] = (
    *(key for section in ("furnace", "wear", "decisions") for key in expectations(section)),
    *(input_name(table, key) for table in FURNACE_TABLES for key in expectations(table)),
    *FurnaceMelt.model_fields,
    "log_below_date",
    "log_below_kind",
    "log_rows_made",
)
SOURCE_INPUTS: tuple[str, ...] = (
    *expectations("letter"),
    *(input_name("tariffs", key) for key in expectations("tariffs")),
    "price_limit",
    "energy_unit",
    "unit_in_kwh",
    "tariff_rows_made",
)
PIECE_INPUTS: tuple[str, ...] = tuple(
    input_name(table, key)
    for table in ("pieces", "channels", "people", "overheads", "equipment", "machines")
    for key in expectations(table)
)


OF_THE_ONLY_FURNACE = frozenset(["start_last_entry", "start_cost_hot", "start_cost_line"])
"""What Start shows of the only furnace; of several it shows a table."""


def many_of(ctx: BookContext) -> Many:
    """The furnaces of a book that is made for these choices."""
    return Many(ctx.sources)


def parts_of(chapters: Iterable[ModuleType], ctx: BookContext) -> Parts:
    """Every declaration with the chapter that it is of."""
    chosen = [(chapter.__name__.rpartition(".")[2], chapter) for chapter in chapters]
    return _of_all_logs(
        Parts(
            {item.name: (name, item) for name, chapter in chosen for item in chapter.scalars(ctx)},
            {table.name: (name, table) for name, chapter in chosen for table in chapter.tables(ctx)},
        )
    )


def owned_by(parts: Parts) -> Owned:
    """What is a furnace's own in these declarations, and what a source's."""
    return owned(parts, FURNACE_INPUTS, SOURCE_INPUTS, PIECE_INPUTS)


def build(chapters: Iterable[ModuleType], ctx: BookContext) -> Vocabulary:
    """The fields of a book with several furnaces."""
    chosen = tuple(chapters)
    parts = parts_of(chosen, ctx)
    mine = owned_by(parts)
    many = many_of(ctx)
    scalars: list[Item] = []
    tables: list[Table] = []
    both = bool(ctx.second_unit)
    shop = _Shop(many, mine, ctx.second_unit)
    scalars += [shop.scalar(item) for name, (_, item) in parts.scalars.items() if name not in OF_THE_ONLY_FURNACE]
    tables += [shop.table(table) for _, table in parts.tables.values()]
    for copier, copied in _copiers(chosen, ctx, parts, mine, many):
        scalars += copier.scalars(copied)
        tables += copier.tables(copied)
    if both:
        scalars += [shop.scalar(item) for item in two_sources.bills_of_second(ctx.second_unit)]
    scalars += [
        *furnaces.places(many),
        *whose.names(many),
        *furnaces.totals(many),
        *(start.first_look(end, title) for end, title in _further_lists(many, both=both)),
        start.look_of_all(),
        *((*two_sources.letters(), *two_sources.in_a_year(), *two_sources.unknown()) if both else ()),
    ]
    for furnace in standing_parts.bearers(many):
        rows = (ctx.capacity.of_second_source() if furnace.source_end else ctx.capacity).tariffs
        scalars += standing_parts.standing_figures(furnace)
        tables.append(standing_parts.standing_columns(furnace, rows))
    tables += [
        furnaces.compared(many),
        furnaces.named_again(many),
        whose.on_start(many),
        drawn_from.by_piece(ctx.capacity.pieces),
        drawn_from.of_bills(many, ctx.capacity.bills, *(two_sources.of_bills() if both else ())),
        start.looks_of_all(["", *(end for end, _ in _further_lists(many, both=both))]),
        *([two_sources.of_machines(ctx.capacity.machines)] if both else ()),
    ]
    return Vocabulary.of(
        (FIRST.item(item) for item in scalars), (FIRST.table(_with_parts(table, many)) for table in tables)
    )


def _with_parts(table: Table, many: Many) -> Table:
    """The pair on standing charges goes back to what is typed about the furnace's part of them."""
    stem, _, end = table.name.partition("sum_pairs")
    if stem or end not in many.ends:
        return table
    source = SOURCE_ENDS[many.sources[many.ends.index(end)]]
    whole = f"INDEX(tariff_standing{source}.all,MATCH(pricing_date_used,tariff_key{source}.all,1))"
    other = f"IF(COUNT(pricing_date_used)=0,0,standing_part_again{end}*{whole})"
    row = [pair.what for pair in PAIRS if not end or pair.check in FURNACE_CHECKS].index(_STANDING)
    columns = tuple(
        replace(item, formulas=(*item.formulas[:row], other, *item.formulas[row + 1 :]))
        if isinstance(item, Figure) and item.name == f"pair_other{end}"
        else item
        for item in table.columns
    )
    return replace(table, columns=columns)


def _copiers(
    chapters: tuple[ModuleType, ...], ctx: BookContext, parts: Parts, mine: Owned, many: Many
) -> Iterator[tuple[Copier, Parts]]:
    """Who copies what, and the declarations made for it: its own rows, its own unit of energy."""
    unlike = {item.name for name, (_, table) in parts.tables.items() if name in BY_ROW for item in table.columns}
    second: dict[str, str] = {}
    if ctx.second_unit:
        second = {name: f"{name}_{SECOND_SOURCE}" for name in mine.source}
        here = replace(ctx, capacity=ctx.capacity.of_second_source(), energy_unit=ctx.second_unit)
        renamed = second | {name: f"{name}_{SECOND_SOURCE}" for name in unlike}
        yield (
            Copier(SECOND_SOURCE, mine.source, renamed, SOURCE_CHECKS, SheetNames(of_source(2)), ctx.second_unit),
            parts_of(chapters, here),
        )
    for place, (word, source) in enumerate(zip(FURNACE_WORDS[1:], many.sources[1:], strict=False), start=1):
        other = source == "Second"
        unit = ctx.second_unit if other else ctx.energy_unit
        here = replace(ctx, capacity=ctx.capacity.of_furnace(place), energy_unit=unit)
        renamed = {name: f"{name}_{word}" for name in (*mine.furnace, *unlike, *CARRIED)}
        copier = Copier(
            word,
            mine.furnace,
            (second if other else {}) | renamed,
            FURNACE_CHECKS,
            SheetNames(of_furnace(place + 1, 2 if other else 1)),
            unit if other else "",
        )
        yield copier, parts_of(chapters, here)


class _Shop:
    """The declarations of one furnace's book, as the first furnace and the shop have them beside the others."""

    def __init__(self, many: Many, mine: Owned, second_unit: str) -> None:
        self.mine = mine
        self.second_unit, self.two_sources = second_unit, bool(second_unit)
        self.bills = two_sources.bills_of_first() if second_unit else {}
        self.first = {name: f"{name}_first" for name in CARRIED}
        self.of_piece = {name: f"here_{name}" for name, *_ in drawn_from.BY_PIECE}
        self.of_all = {name: f"all_{name}" for name, *_ in furnaces.MADE} | {
            "made_pool": "all_made_pool",
            "bill_furnace": "all_bill_furnace",
            "bill_waiting": "all_bill_waiting",
            "bill_unlogged": "all_bill_unlogged",
            "rate_after": "any_rate_after",
        }
        lists = ("", *(end for end, _ in _further_lists(many, both=self.two_sources)))
        self.written = _written_anew(many, lists) | (two_sources.FORMULAS if self.two_sources else {})

    def scalar(self, item: Item) -> Item:
        """A single figure."""
        if not isinstance(item, Figure):
            return item
        if item.name in self.mine.furnace:
            return rewritten(item, self._named(self.first))
        item = self.bills.get(item.name, item)
        return self._anew(rewritten(item, self._named(self.of_all)))

    def _anew(self, made: Figure) -> Figure:
        """The figure with the formula that it has here, where that is another one."""
        return replace(made, formula=self.written[made.name], needs=()) if made.name in self.written else made

    def table(self, table: Table) -> Table:
        """A table, with what it asks for besides."""
        columns = [self._column(table, item) for item in table.columns]
        if table.name == "bills" and self.two_sources:
            columns = [two_sources.as_billed(item) for item in columns]
        if table.name == "pieces":
            place = [item.name for item in columns].index("piece_glass") + 1
            columns.insert(place, drawn_from.piece_furnace())
        if table.name == "bills" and self.two_sources:
            columns.append(drawn_from.bill_source(self.second_unit))
        if table.name == "machines" and self.two_sources:
            columns.append(two_sources.machine_source(self.second_unit))
        return replace(table, columns=tuple(columns))

    def _column(self, table: Table, item: Item) -> Item:
        if not isinstance(item, Figure):
            return item
        if item.name in self.mine.furnace:
            return rewritten(item, self._named(self.first))
        if table.name == "sum_pairs":
            return self._pairs(item)
        if item.name == "check_found":
            return self._names_asked(item, "IFERROR(" + self._unknown_names() + ",1)")
        if item.name == "check_first":
            return self._names_asked(item, furnaces.WHERE_UNKNOWN)
        if table.name in BY_ROW:
            return item
        return self._anew(rewritten(item, self._named(self._read_by(table))))

    def _unknown_names(self) -> str:
        """What counts names that no list has: the furnaces of pieces besides, and the sources of machines and bills."""
        [names] = [check.found for check in CHECKS if check.key == "unknown_names"]
        return f"{names}+furnaces_unknown" + ("+sources_unknown" if self.two_sources else "")

    @staticmethod
    def _names_asked(item: Figure, formula: str) -> Figure:
        """A column of the checks with another formula for the names chosen from lists."""
        each = zip(CHECKS, item.formulas, strict=True)
        return replace(item, formulas=tuple(formula if check.key == "unknown_names" else one for check, one in each))

    def _read_by(self, table: Table) -> dict[str, str]:
        """What the rows of a table read in place of the first furnace's or source's figures."""
        if "pieces" in (table.name, table.aligned):
            return self.of_piece
        if not self.two_sources:
            return self.of_all
        return self.of_all | {"machines": two_sources.OF_MACHINE, "bills": two_sources.OF_BILL}.get(table.name, {})

    def _pairs(self, item: Figure) -> Figure:
        """The two ways: of the first furnace as of the others, of the pieces by their furnaces."""
        if not item.formulas:
            return item
        carried = rewritten(item, self._named(self.first)).formulas
        formulas = list(item.formulas)
        for row, pair in enumerate(PAIRS):
            if pair.check in FURNACE_CHECKS:
                formulas[row] = carried[row]
            if pair.what in _PAIRS_ANEW:
                formulas[row] = _PAIRS_ANEW[pair.what][item.name == "pair_other"] or formulas[row]
            if pair.what == "Prices of it" and self.two_sources and item.name == "pair_one":
                formulas[row] = two_sources.PRICES_OF_IT
        return replace(item, formulas=tuple(formulas))

    @staticmethod
    def _named(names: dict[str, str]) -> Callable[[str], str]:
        return lambda name: names.get(name, name)


def _further_lists(many: Many, *, both: bool) -> tuple[tuple[str, str], ...]:
    """The lists on Checks after the first: what the names of each end in, and what its heading calls it."""
    furnaces_lists = ((end, f"Furnace {number}") for number, end in enumerate(many.ends[1:], start=2))
    return (*furnaces_lists, *([(SOURCE_ENDS["Second"], "Source 2")] if both else ()))


def _written_anew(many: Many, ends: tuple[str, ...]) -> dict[str, str]:
    """Formulas of the shop that are about all furnaces; ``ends`` are those of every list of checks."""
    lasts = ",".join(many.each("log_last_day"))
    newest = ",".join(f"tariff_newest{SOURCE_ENDS[source]}" for source in sorted({"First", *many.sources}))

    def lists(column: str) -> tuple[str, ...]:
        return tuple(f"{column}{end}.all" for end in ends)

    return {
        "pricing_date_used": f'IF(ISNUMBER(pricing_date),pricing_date,IF(COUNT({lasts})=0,"",MAX({lasts})))',
        "checks_begun": f"IF({'+'.join(many.each('log_rows_used'))}+pieces_named+COUNT({newest})=0,0,1)",
        "next_step": start.next_to_do("look_of_all"),
        "checks_total": f"COUNT({','.join(lists('check_level'))})",
        "checks_failing": f"SUM({','.join(lists('check_look'))})",
        "miss_furnace": 'IF(piece_furnace_row=0,", furnace: no such name",'
        'IF(ISNUMBER(here_furnace_rate),"",", furnace: no cost yet"))',
        "checks_notes": "+".join(f'COUNTIFS({column},"NOTE")' for column in lists("check_state")),
    }


_PAIRS_ANEW: dict[str, tuple[str, str]] = {
    "Glass drawn": (
        "SUM(piece_drawn_used.all)",
        "SUMIFS(piece_drawn.all,piece_named.all,1)+SUMIFS(here_gathered.all,piece_named.all,1)",
    ),
    "Furnace": ("", "SUMPRODUCT(piece_furnace_units.all,here_furnace_rate.all)"),
    "Least at the bench": (
        "",
        "SUMPRODUCT(piece_low_known.all,piece_drawn_used.all,here_low_rate.all)"
        "+SUMIFS(cost_glass.all,piece_low_known.all,1)+SUM(least_typed)",
    ),
    "Pieces whose cost is complete": (
        "",
        "overhead_known*equipment_known.2*SUMIFS(piece_ready.all,here_own_known.all,1,here_price_wear.all,is_number)",
    ),
}
"""Pairs about pieces whose second way needs each piece's furnace; empty leaves a way as it is."""

_STANDING = "Service and demand on the pricing date"

_ONE_LOG, _ALL_LOGS = "MAX(next_day.all)", "logs_next_day"


def _of_all_logs(parts: Parts) -> Parts:
    """The pairs that look for the last day logged look in every log."""
    chapter, table = parts.tables["sum_pairs"]
    columns = tuple(
        replace(item, formulas=tuple(_last_logged(formula) for formula in item.formulas))
        if isinstance(item, Figure) and item.formulas
        else item
        for item in table.columns
    )
    return Parts(parts.scalars, {**parts.tables, "sum_pairs": (chapter, replace(table, columns=columns))})


def _last_logged(formula: str) -> str:
    return formula.replace(_ONE_LOG, _ALL_LOGS) if "pricing_date," in formula else formula
