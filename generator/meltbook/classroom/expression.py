"""The formulas of an exercise: read, checked, and worked out without a spreadsheet.

A formula is written as in a spreadsheet: ``SUMIF(log_kind,"Charge",log_days) * connected_kw``. Names are small
letters, functions capitals. It is taken apart here, put together again as a Python expression, read by Python's
own parser, and turned into a function that works it out. What a formula may hold is what all spreadsheet programs
agree on:

* ``+ - * / ( )``; comparisons ``< > <= >=`` as the first thing in an IF;
* the numbers 0, 1, 2, 60 and 100; 6 as the digits of a ROUND, and 0.5 where it is added in an INT. Any other
  number is something that students have to see: a given;
* ``SUM MIN MAX`` of columns and numbers, ``SUMIF(column,"word",column)``, ``COUNTIF(column,"word")``,
  ``SUMPRODUCT(column*column)``, ``INDEX(column,row)``, ``ROUND ROUNDUP INT ABS IF``.

An empty cell of a column counts as nothing: as 0 in a sum or product, and not at all in MIN and MAX.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, ROUND_UP, Decimal
from functools import lru_cache

from meltbook.classroom.formula_text import FUNCTIONS, SHAPES, ExpressionError, tokens_of, why_unread

LONGEST = 160
"""Characters of a formula, blanks not counted: what can be read in a cell."""
DEEPEST_IF = 2

Cells = Sequence[float | str | None]
"""The cells of a column; ``None`` is an empty one."""
Values = Mapping[str, float | Cells]
_Work = Callable[[Values], float]
_CellsOf = Callable[[Values], Cells]

_PREFIX = "n_"
"""Before each name while Python reads the formula: a name may be a word of Python's."""
_NUMBERS = (0.0, 1.0, 2.0, 60.0, 100.0)


class _NoValueError(Exception):
    """Nothing can be worked out: a value is missing, or something is divided by 0."""


@dataclass(slots=True)
class Uses:
    """What a formula uses its names for, so that an exercise can check them.

    ``figures`` stand where one number must, ``columns`` where a column of numbers must, ``kinds`` where a column
    of words must, ``either`` in SUM, MIN and MAX. ``words`` are looked for in a column; ``rows`` are taken of one,
    by their number or by the name that holds it; columns ``together`` are taken row by row.
    """

    figures: set[str] = field(default_factory=set)
    columns: set[str] = field(default_factory=set)
    kinds: set[str] = field(default_factory=set)
    either: set[str] = field(default_factory=set)
    words: list[tuple[str, str]] = field(default_factory=list)
    rows: list[tuple[str, int | str]] = field(default_factory=list)
    together: list[frozenset[str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Expression:
    """A formula that can be worked out. Made by :meth:`parse`."""

    text: str
    uses: Uses = field(compare=False)
    _work: _Work = field(repr=False, compare=False)

    @staticmethod
    def parse(text: str) -> Expression:
        """Read a formula.

        Raises:
            ExpressionError: it holds something that a formula of an exercise may not hold.
        """
        return _parse(text)

    @property
    def names(self) -> frozenset[str]:
        """Every name in the formula."""
        return frozenset(self.uses.figures | self.uses.columns | self.uses.kinds | self.uses.either)

    def evaluate(self, values: Mapping[str, float | Sequence[float | str | None]]) -> float | None:
        """Work the formula out; ``None`` where a value is missing, something is divided by 0, or it has no end."""
        try:
            found = self._work(values)
        except (_NoValueError, OverflowError):
            return None
        return found if math.isfinite(found) else None


@lru_cache(maxsize=4096)
def _parse(text: str) -> Expression:
    tokens = tokens_of(text)
    if sum(map(len, tokens)) > LONGEST:
        raise ExpressionError(
            f"a formula of {sum(map(len, tokens))} characters", f"at most {LONGEST}", "Make two steps of it."
        )
    rebuilt = " ".join(_as_python(token) for token in tokens)
    try:
        tree = ast.parse(rebuilt, mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise ExpressionError(
            f"`{text.strip()}`", "a formula as in a spreadsheet, without the =", why_unread(tokens)
        ) from error
    reader = _Reader()
    work = reader.figure(tree)
    return Expression(text, reader.uses, work)


# ----------------------------------------------------------------------------------------------- putting together


def _as_python(token: str) -> str:
    if token[0].islower():
        return _PREFIX + token
    return repr(token[1:-1]) if token.startswith('"') else token


class _Reader:
    """Turns what Python's parser found into functions, and notes what each name is used for."""

    def __init__(self) -> None:
        self.uses = Uses()

    def figure(self, node: ast.expr, ifs: int = 0) -> _Work:
        """One number."""
        if isinstance(node, ast.Constant):
            return self._number(node, _NUMBERS)
        if isinstance(node, ast.Name):
            name = _name(node)
            self.uses.figures.add(name)
            return lambda values: _number_of(values, name)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.UAdd):
            inner, sign = self.figure(node.operand, ifs), -1.0 if isinstance(node.op, ast.USub) else 1.0
            return lambda values: sign * inner(values)
        if isinstance(node, ast.BinOp):
            return self._sum_or_product(node, self.figure(node.left, ifs), self.figure(node.right, ifs))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            return self._function(node, node.func.id, ifs)
        if isinstance(node, ast.Compare):
            raise ExpressionError(_text(node), "a number", "Comparisons stand only as the first thing in an IF.")
        raise ExpressionError(_text(node), "a number", "Write one formula, as in a spreadsheet.")

    def _number(self, node: ast.expr, allowed: Iterable[float]) -> _Work:
        allowed = tuple(allowed)
        if not isinstance(node, ast.Constant) or not isinstance(node.value, int | float):
            raise ExpressionError(_text(node), "a number", "Words stand only in SUMIF and COUNTIF.")
        value = float(node.value)
        if value not in allowed:
            said = ", ".join(f"{one:g}" for one in allowed)
            do = "Make it a given, so that students see it."
            raise ExpressionError(f"the number {node.value}", f"a name, or one of {said}", do)
        return lambda values: value

    def _sum_or_product(self, node: ast.BinOp, left: _Work, right: _Work) -> _Work:
        if isinstance(node.op, ast.Add):
            return lambda values: left(values) + right(values)
        if isinstance(node.op, ast.Sub):
            return lambda values: left(values) - right(values)
        if isinstance(node.op, ast.Mult):
            return lambda values: left(values) * right(values)
        return lambda values: _divided(left(values), right(values))

    def _function(self, node: ast.Call, function: str, ifs: int) -> _Work:
        if function not in SHAPES:
            name = function.removeprefix(_PREFIX)
            wanted_name = f"{name.upper()}(…)" if name.upper() in SHAPES else f"one of {', '.join(FUNCTIONS)}"
            raise ExpressionError(f"{name}(…)", wanted_name, "Write functions in capitals; put * between factors.")
        parts = node.args
        counts = {"SUMIF": 3, "COUNTIF": 2, "SUMPRODUCT": 1, "INDEX": 2, "ROUND": 2, "ROUNDUP": 2, "INT": 1, "ABS": 1}
        wanted = 3 if function == "IF" else counts.get(function, len(parts) or 1)
        if len(parts) != wanted or any(isinstance(part, ast.Starred) for part in parts):
            raise ExpressionError(_text(node), SHAPES[function], "Count what stands between its commas.")
        if function in ("SUM", "MIN", "MAX"):
            return self._over_all(function, [self._numbers(part, ifs) for part in parts])
        if function == "IF":
            return self._if(parts, ifs)
        if function in ("SUMIF", "COUNTIF"):
            return self._if_word(function, parts)
        if function == "SUMPRODUCT":
            return self._products(parts[0])
        if function == "INDEX":
            return self._index(parts)
        if function == "INT":
            return _mapped(_whole, self._half_added(parts[0], ifs))
        if function == "ABS":
            return _mapped(abs, self.figure(parts[0], ifs))
        inner, digits = self.figure(parts[0], ifs), self._number(parts[1], (0.0, 1.0, 2.0, 6.0))
        way = ROUND_HALF_UP if function == "ROUND" else ROUND_UP
        return lambda values: _rounded(inner(values), int(digits(values)), way)

    def _half_added(self, node: ast.expr, ifs: int) -> _Work:
        """What stands in an INT; a half may be added there, to round to the nearest."""
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add) and isinstance(node.right, ast.Constant):
            left, right = self.figure(node.left, ifs), self._number(node.right, (*_NUMBERS, 0.5))
            return lambda values: left(values) + right(values)
        return self.figure(node, ifs)

    def _numbers(self, node: ast.expr, ifs: int) -> _CellsOf:
        """A part of SUM, MIN or MAX: a column, or one number."""
        if isinstance(node, ast.Name):
            name = _name(node)
            self.uses.either.add(name)
            return lambda values: _either(values, name)
        one = self.figure(node, ifs)
        return lambda values: (one(values),)

    def _over_all(self, function: str, parts: Sequence[_CellsOf]) -> _Work:
        def numbers(values: Values) -> list[float]:
            return [cell for part in parts for cell in part(values) if isinstance(cell, int | float)]

        if function == "SUM":
            return lambda values: math.fsum(numbers(values))
        one = min if function == "MIN" else max
        return lambda values: float(one(numbers(values), default=0.0))

    def _if(self, parts: Sequence[ast.expr], ifs: int) -> _Work:
        if ifs >= DEEPEST_IF:
            raise ExpressionError("an IF in an IF in an IF", "two at most", "Make two steps of it.")
        test = parts[0]
        if not isinstance(test, ast.Compare) or len(test.ops) != 1:
            raise ExpressionError(_text(test), "one comparison with <, >, <= or >=", "Compare two numbers.")
        left, right = self.figure(test.left, ifs + 1), self.figure(test.comparators[0], ifs + 1)
        holds = _COMPARED[type(test.ops[0])]
        yes, no = self.figure(parts[1], ifs + 1), self.figure(parts[2], ifs + 1)
        return lambda values: yes(values) if holds(_compared(left(values), right(values))) else no(values)

    def _column(self, node: ast.expr, shape: str, *, of_words: bool = False) -> str:
        if not isinstance(node, ast.Name):
            raise ExpressionError(_text(node), shape, "Name a column there, as table_column.")
        name = _name(node)
        (self.uses.kinds if of_words else self.uses.columns).add(name)
        return name

    def _if_word(self, function: str, parts: Sequence[ast.expr]) -> _Work:
        shape = SHAPES[function]
        kinds, word = self._column(parts[0], shape, of_words=True), parts[1]
        if not isinstance(word, ast.Constant) or not isinstance(word.value, str):
            raise ExpressionError(_text(word), shape, "Put the word in double quotes.")
        wanted = word.value
        self.uses.words.append((kinds, wanted))
        sums = self._column(parts[2], shape) if function == "SUMIF" else ""
        self.uses.together.append(frozenset((kinds, sums)) - {""})

        def work(values: Values) -> float:
            # Spreadsheets don't tell capitals from small letters here.
            fits = [isinstance(cell, str) and cell.casefold() == wanted.casefold() for cell in _cells(values, kinds)]
            if not sums:
                return float(sum(fits))
            cells = _cells(values, sums)
            return math.fsum(
                cell for cell, fit in zip(cells, fits, strict=True) if fit and isinstance(cell, int | float)
            )

        return work

    def _products(self, node: ast.expr) -> _Work:
        columns: list[str] = []

        def gather(part: ast.expr) -> None:
            if isinstance(part, ast.BinOp) and isinstance(part.op, ast.Mult):
                gather(part.left)
                gather(part.right)
            else:
                columns.append(self._column(part, SHAPES["SUMPRODUCT"]))

        gather(node)
        self.uses.together.append(frozenset(columns))
        return lambda values: math.fsum(
            math.prod(_or_nothing(cell) for cell in row)
            for row in zip(*(_cells(values, name) for name in columns), strict=True)
        )

    def _index(self, parts: Sequence[ast.expr]) -> _Work:
        """A cell of a column. The row is a number, or a given that students see."""
        name, shape, row = self._column(parts[0], SHAPES["INDEX"]), SHAPES["INDEX"], parts[1]
        if isinstance(row, ast.Name):
            self.uses.rows.append((name, _name(row)))
        elif isinstance(row, ast.Constant) and isinstance(row.value, int) and row.value >= 1:
            self.uses.rows.append((name, row.value))
        else:
            raise ExpressionError(_text(row), shape, "Count the rows of the table from 1.")
        number = self.figure(row)

        def work(values: Values) -> float:
            cells, at = _cells(values, name), number(values)
            if not (at.is_integer() and 1 <= at <= len(cells)):
                raise _NoValueError
            return _or_nothing(cells[int(at) - 1])

        return work


# ----------------------------------------------------------------------------------------------------- arithmetic

_COMPARED: dict[type[ast.cmpop], Callable[[int], bool]] = {
    ast.Lt: lambda order: order < 0,
    ast.LtE: lambda order: order <= 0,
    ast.Gt: lambda order: order > 0,
    ast.GtE: lambda order: order >= 0,
}


def _name(node: ast.Name) -> str:
    return node.id.removeprefix(_PREFIX)


def _text(node: ast.expr) -> str:
    return f"`{ast.unparse(node).replace(_PREFIX, '')}`"


def _mapped(function: Callable[[float], float], inner: _Work) -> _Work:
    return lambda values: function(inner(values))


def _number_of(values: Values, name: str) -> float:
    value = values.get(name)
    if not isinstance(value, int | float):
        raise _NoValueError
    return float(value)


def _cells(values: Values, name: str) -> Cells:
    value = values.get(name)
    if value is None or isinstance(value, int | float | str):
        raise _NoValueError
    return value


def _either(values: Values, name: str) -> Cells:
    value = values.get(name)
    return (float(value),) if isinstance(value, int | float) else _cells(values, name)


def _or_nothing(cell: float | str | None) -> float:
    """The number in a cell, 0 for an empty one. A word is none."""
    if isinstance(cell, str):
        raise _NoValueError
    return 0.0 if cell is None else float(cell)


def _divided(dividend: float, divisor: float) -> float:
    if divisor == 0:
        raise _NoValueError
    return dividend / divisor


def _whole(value: float) -> float:
    if not math.isfinite(value):
        raise _NoValueError
    return float(math.floor(value))


def _rounded(value: float, digits: int, way: str) -> float:
    """Rounded on the fifteen digits that a spreadsheet shows; halves, and with ROUND_UP everything, away from 0."""
    if not math.isfinite(value):
        raise _NoValueError
    if abs(value) >= 1e15:
        return value
    return float(Decimal(f"{value:.15g}").quantize(Decimal(1).scaleb(-digits), rounding=way))


def _compared(left: float, right: float) -> int:
    """-1, 0 or 1. Two numbers that a spreadsheet shows alike are equal."""
    if not (math.isfinite(left) and math.isfinite(right)):
        raise _NoValueError
    one, other = float(f"{left:.15g}"), float(f"{right:.15g}")
    return (one > other) - (one < other)
