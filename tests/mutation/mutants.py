"""Every formula of the book with one small thing wrong in it.

A mutant is a figure's formula in which one operator, reference, range end, number, word or guard was changed,
as a slip of the hand would change it; where there are several furnaces, also a furnace. Mutants are made from the
formulas as the fields declare them, in field names, and not from the text of cells, so that one mutant stands for a
whole column.

What can't be built is no mutant: the generator refuses a name that it doesn't know and a row that isn't there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from meltbook.fields.kernel import Figure, Fixed, Item, Vocabulary
from meltbook.workbook.formulas import Reference, guarded, parse

Part = str | Reference
Parts = tuple[Part, ...]

OPERATORS = {
    "+": ("-",),
    "-": ("+",),
    "*": ("/",),
    "/": ("*",),
    "^": ("*",),
    "=": ("<>",),
    "<>": ("=",),
    "<": ("<=", ">="),
    "<=": ("<", ">"),
    ">": (">=", "<="),
    ">=": (">", "<"),
}
FUNCTIONS = {
    "AND(": "OR(",
    "OR(": "AND(",
    "MIN(": "MAX(",
    "MAX(": "MIN(",
    "COUNT(": "COUNTA(",
    "COUNTA(": "COUNT(",
    "ROUNDUP(": "ROUND(",
    "MONTH(": "DAY(",
    "DAY(": "MONTH(",
}
CRITERIA = {
    '">="': ('">"', '"<"'),
    '"<="': ('"<"', '">"'),
    '">"': ('">="', '"<="'),
    '"<"': ('"<="', '">="'),
    '"="': ('"<>"',),
}
SWAPS = {
    "IF(": ((1, 2),),
    "IFERROR(": ((0, 1),),
    "INDEX(": ((0, 1),),
    "MATCH(": ((0, 1),),
    "SUMIF(": ((0, 2),),
    "SUMIFS(": ((0, 1),),
    "ROUND(": ((0, 1),),
    "ROUNDUP(": ((0, 1),),
    "RIGHT(": ((0, 1),),
    "DATE(": ((0, 1), (1, 2)),
}
"""Arguments whose order matters. Those of SUM or AND may stand in any."""

SLIPS: dict[float, tuple[str, ...]] = {1: ("0",), 60: ("100",), 100: ("60",)}
"""Numbers that are easily written one for the other; besides, each is tried with one more."""

TOGETHER = frozenset({"SUMIFS(", "COUNTIFS(", "SUMPRODUCT(", "SUMIF("})
"""Functions that want ranges of one length, so that a range end is lost in all of them or nowhere."""

ROWS = re.compile(r"\.([0-9]+):[a-z_]+\.([0-9]+)")
"""The rows in which a range begins and ends."""

REPEATS = ("_shown",)
"""How the names of columns end that repeat another one for the eye. To read those instead changes nothing."""

ELSEWHERE = '"~"'
"""A word that nobody types."""


class Change(NamedTuple):
    """One thing that is wrong: what sort of thing, and how the formula reads now."""

    kind: str
    formula: str


@dataclass(frozen=True, slots=True)
class Mutant:
    """A figure with one thing wrong. ``row`` counts from 0 in a column of unlike rows; it is "seed" or "end"
    where that edge is meant, and ``None`` where the formula is that of all rows.
    """

    kind: str
    figure: Figure
    row: int | str | None

    @property
    def name(self) -> str:
        """The figure's name and, where one row is meant, which."""
        if self.row is None:
            return self.figure.name
        return f"{self.figure.name}.{self.row + 1 if isinstance(self.row, int) else self.row}"

    @property
    def text(self) -> str:
        """The formula and its guards as one line."""
        if self.row in ("seed", "end"):
            return str(self.figure.seed if self.row == "seed" else self.figure.end)
        guards = [
            f"{word} {', '.join(names)}"
            for word, names in (("needs", self.figure.needs), ("nonzero", self.figure.nonzero))
            if names
        ]
        guards += [f"blank if {self.figure.blank_if}"] if self.figure.blank_if else []
        return "; ".join([self.figure.formula, *guards])

    def __str__(self) -> str:
        return f"{self.name} [{self.kind}] {self.text}"


def mutants(
    vocabulary: Vocabulary, rights: Iterable[Mutant] | None = None, ends: Sequence[str] = ()
) -> Iterator[Mutant]:
    """All mutants of these formulas, or of all, those of one figure together, each formula once.

    ``ends`` are what the names of several furnaces' and sources' own fields end in: with them, each name is also
    tried with another ending.
    """
    for right in originals(vocabulary) if rights is None else rights:
        yield from _of(vocabulary, right, ends)


def goes_round(vocabulary: Vocabulary, mutant: Mutant) -> bool:
    """Whether a mutant's cell needs itself, so that every program reports a circle and shows nothing.

    Only what is certain counts: references to this row, to whole columns and to single cells.
    """
    own = mutant.figure.name
    if mutant.row in ("seed", "end"):
        return Reference(own, "") in parse(mutant.text[1:])
    waiting = _needed(mutant.figure)
    seen: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name == own:
            return True
        if name in seen:
            continue
        seen.add(name)
        item = vocabulary.scalars[name] if name in vocabulary.scalars else vocabulary.columns[name][1]
        if isinstance(item, Figure) and item.formula:
            waiting |= _needed(item)
    return False


def _needed(figure: Figure) -> set[str]:
    """The fields that a formula reads in its own row or as a whole."""
    parts = parse(guarded(figure, figure.formula))
    return {part.name for part in parts if isinstance(part, Reference) and part.suffix in ("", "all")}


def originals(vocabulary: Vocabulary) -> Iterator[Mutant]:
    """Every formula as it is, in the same shape."""
    for item in vocabulary.scalars.values():
        if isinstance(item, Figure):
            yield Mutant("as it is", item, None)
    for _, item in vocabulary.columns.values():
        if not isinstance(item, Figure):
            continue
        for edge in ("seed", "end"):
            declared = item.seed if edge == "seed" else item.end
            if isinstance(declared, str) and declared.startswith("="):
                yield Mutant("as it is", item, edge)
        if item.formula:
            yield Mutant("as it is", item, None)
        for row, formula in enumerate(item.formulas):
            yield Mutant("as it is", replace(item, formula=formula, formulas=()), row)


def _of(vocabulary: Vocabulary, right: Mutant, ends: Sequence[str]) -> Iterator[Mutant]:
    figure, row = right.figure, right.row
    if row in ("seed", "end"):
        for change in _changes(vocabulary, figure.name, right.text[1:], ends):
            wrong = f"={change.formula}"
            yield Mutant(change.kind, replace(figure, **{str(row): wrong}), row)
        return
    seen = {figure.formula}
    for change in _changes(vocabulary, figure.name, figure.formula, ends):
        if change.formula not in seen and not _runs_backwards(change.formula):
            seen.add(change.formula)
            yield Mutant(change.kind, replace(figure, formula=change.formula), row)
    for name in figure.needs:
        yield Mutant("guard", replace(figure, needs=tuple(other for other in figure.needs if other != name)), row)
    for name in figure.nonzero:
        yield Mutant("guard", replace(figure, nonzero=tuple(other for other in figure.nonzero if other != name)), row)
    if figure.blank_if:
        yield Mutant("guard", replace(figure, blank_if=""), row)


def _runs_backwards(formula: str) -> bool:
    """Whether a range ends above its beginning. A spreadsheet program would turn it round on typing."""
    return any(int(begin) > int(end) for begin, end in ROWS.findall(formula))


# ------------------------------------------------------------------------------------------------ one formula


def _changes(vocabulary: Vocabulary, own: str, formula: str, ends: Sequence[str]) -> Iterator[Change]:
    parts = parse(formula)
    for place, part in enumerate(parts):
        if isinstance(part, str):
            found = _words(parts, place)
        else:
            found = _references(vocabulary, own, part, _is_range_end(parts, place), ends)
        for kind, others in found:
            for other in others:
                yield Change(kind, joined((*parts[:place], other, *parts[place + 1 :])))
    yield from _range_changes(vocabulary, own, parts)
    for call in _calls(parts):
        yield from _call_changes(vocabulary, parts, call)


def joined(parts: Parts) -> str:
    """A formula put together again."""
    return "".join(part if isinstance(part, str) else ".".join(filter(None, part)) for part in parts)


def _words(parts: Parts, place: int) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What may stand instead of an operator, a function, a number or a text."""
    word = parts[place]
    assert isinstance(word, str)
    if word == "-" and _is_sign(parts, place):
        yield "operator", ("",)
    elif word in OPERATORS:
        yield "operator", OPERATORS[word]
    elif word in FUNCTIONS:
        yield "function", (FUNCTIONS[word],)
    elif word in CRITERIA:
        yield "criterion", CRITERIA[word]
    elif word.startswith('"'):
        yield from _texts(word)
    elif word[0].isdigit():
        number = float(word)
        more = SLIPS.get(number, ())
        yield "number", (*more, f"{number + 1:g}")


def _texts(word: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    sign = next((sign for sign in CRITERIA if word.startswith(sign[:-1])), None)
    if sign is not None and word[len(sign) - 1 : -1].isdigit():
        number = word[len(sign) - 1 : -1]
        yield "criterion", tuple(f'{other[:-1]}{number}"' for other in CRITERIA[sign])
        yield "criterion", (f'{sign[:-1]}{int(number) + 1}"',)
    else:
        yield "text", (ELSEWHERE if word == '""' else f'{word[:-1]}~"',)


def _is_sign(parts: Parts, place: int) -> bool:
    before = parts[place - 1] if place else "("
    return isinstance(before, str) and (before.endswith("(") or before == "," or before in OPERATORS or before == "&")


def _is_range_end(parts: Parts, place: int) -> bool:
    return (place > 0 and parts[place - 1] == ":") or parts[place + 1 : place + 2] == (":",)


def _range_changes(vocabulary: Vocabulary, own: str, parts: Parts) -> Iterator[Change]:
    """Another column for both ends of a range at once: one end alone would make a block of columns."""
    for place, (begin, colon, end) in enumerate(zip(parts, parts[1:], parts[2:], strict=False)):
        if colon == ":" and isinstance(begin, Reference) and isinstance(end, Reference):
            for other in _neighbours(vocabulary, own, begin.name):
                changed = (Reference(other, begin.suffix), ":", Reference(other, end.suffix))
                yield Change("reference", joined((*parts[:place], *changed, *parts[place + 3 :])))


def _references(
    vocabulary: Vocabulary, own: str, part: Reference, in_range: bool, ends: Sequence[str]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What may stand instead of a reference: its neighbours, its other rows, a range without its first or last."""
    name, suffix = part
    after = f".{suffix}" if suffix else ""
    if not in_range:
        yield "reference", tuple(other + after for other in _neighbours(vocabulary, own, name))
        yield "furnace", tuple(other + after for other in _namesakes(vocabulary, name, ends) if other != own)
    if name not in vocabulary.columns:
        return
    if suffix in ("", "prev", "next"):
        yield "row", tuple(name + (f".{other}" if other else "") for other in ("", "prev", "next") if other != suffix)
    elif suffix.isdigit():
        yield "row", (f"{name}.{int(suffix) - 1}", f"{name}.{int(suffix) + 1}")
    elif suffix == "all":
        yield "range", shorter(vocabulary, name)


def shorter(vocabulary: Vocabulary, name: str) -> tuple[str, ...]:
    """A column's range without its first data row (and what is above), and without its last (and what is below)."""
    table, _ = vocabulary.columns[name]
    top, bottom = ("seed" if table.seeded else "1"), ("end" if table.grows else str(table.rows))
    return f"{name}.2:{name}.{bottom}", f"{name}.{top}:{name}.{table.rows - 1}"


def _neighbours(vocabulary: Vocabulary, own: str, name: str) -> tuple[str, ...]:
    """The nearest fields of the same shape, one before and one after; a field of another shape if there is none."""
    if name in vocabulary.scalars:
        items: list[Item] = list(vocabulary.scalars.values())
    else:
        items = list(vocabulary.columns[name][0].columns)
    meant = vocabulary.scalars[name] if name in vocabulary.scalars else vocabulary.columns[name][1]
    items = [
        item for item in items if item is meant or not (item.name.endswith(REPEATS) or _same_constant(item, meant))
    ]
    place = next(at for at, item in enumerate(items) if item.name == name)
    before, after = items[:place][::-1], items[place + 1 :]
    for alike in (True, False):
        found = [
            next((one.name for one in side if one.name != own and (not alike or one.shape is items[place].shape)), "")
            for side in (before, after)
        ]
        if any(found):
            return tuple(filter(None, found))
    return ()


def _namesakes(vocabulary: Vocabulary, name: str, ends: Sequence[str]) -> Iterator[str]:
    """The same field of the other furnaces and sources."""
    stem = next((name.removesuffix(end) for end in ends if end and name.endswith(end)), name)
    for end in ("", *filter(None, ends)):
        other = f"{stem}{end}"
        if other != name and (other in vocabulary.scalars or other in vocabulary.columns):
            yield other


def _same_constant(one: Item, other: Item) -> bool:
    return isinstance(one, Fixed) and isinstance(other, Fixed) and one.values == other.values


# ------------------------------------------------------------------------------------------------ whole calls


class _Call(NamedTuple):
    """A function in a formula: where its name stands, and where each argument begins and ends."""

    at: int
    arguments: tuple[tuple[int, int], ...]


def _calls(parts: Parts) -> Iterator[_Call]:
    open_calls: list[tuple[int, list[tuple[int, int]], int]] = []
    for place, part in enumerate(parts):
        if not isinstance(part, str):
            continue
        if part.endswith("("):
            open_calls.append((place, [], place + 1))
        elif part == "," or part == ")":
            at, arguments, begins = open_calls.pop()
            arguments.append((begins, place))
            if part == ",":
                open_calls.append((at, arguments, place + 1))
            elif parts[at] != "(":
                yield _Call(at, tuple(arguments))


def _call_changes(vocabulary: Vocabulary, parts: Parts, call: _Call) -> Iterator[Change]:
    function = parts[call.at]
    assert isinstance(function, str)
    for one, other in SWAPS.get(function, ()):
        if other < len(call.arguments):
            (a, b), (c, d) = call.arguments[one], call.arguments[other]
            yield Change("arguments", joined((*parts[:a], *parts[c:d], *parts[b:c], *parts[a:b], *parts[d:])))
    if function in TOGETHER:
        begin, end = call.at, call.arguments[-1][1]
        ranges = [at for at in range(begin, end) if _is_range(parts[at])]
        if len(ranges) > 1:
            for which in (0, 1):
                changed = [
                    shorter(vocabulary, part.name)[which] if at in ranges and isinstance(part, Reference) else part
                    for at, part in enumerate(parts)
                ]
                yield Change("range", joined(tuple(changed)))


def _is_range(part: Part) -> bool:
    return isinstance(part, Reference) and part.suffix == "all"
