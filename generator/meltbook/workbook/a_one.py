"""The text of formulas, as programs write it, taken apart far enough to compare two of them.

Programs that save a workbook change how a formula is spelt: dollar signs, the sheet's name before a cell of
the same sheet, capitals, spaces, brackets that change nothing, ``1E-09`` for ``0.000000001``.
:func:`same_formula` says whether two texts mean the same. It first compares the words one by one, which
settles nearly every cell; only where they differ does it take both apart into what is applied to what.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from meltbook.workbook.address import column_letters

LAST_ROW = 1_048_576
LAST_COLUMN = 16_384

_TOKEN = re.compile(
    r"""
      (?P<space>\s+)
    | (?P<text>"(?:[^"]|"")*")
    | (?P<sheet>(?:'(?:[^']|'')+'|[^\W\d][\w.]*)!)
    | (?P<error>\#(?:REF!|N/A|NAME\?|DIV/0!|VALUE!|NUM!|NULL!))
    | (?P<call>(?:_xlfn\.|_xlws\.)*[A-Za-z_][\w.]*\()
    | (?P<cell>\$?[A-Za-z]{1,3}\$?[1-9][0-9]*(?![\w.(]))
    | (?P<number>(?:\d+\.?\d*|\.\d+)(?:[Ee][+-]?\d+)?)
    | (?P<name>[^\W\d][\w.]*)
    | (?P<sign><>|<=|>=|[-+*/^&=<>%(),:;{}])
    """,
    re.VERBOSE,
)
_CELL = re.compile(r"^(\$?)([A-Za-z]{1,3})(\$?)([1-9][0-9]*)$")
_PREFIXES = re.compile(r"^(?:_xlfn\.|_xlws\.|com\.sun\.star\.sheet\.addin\.analysis\.get)+", re.IGNORECASE)


class Token(NamedTuple):
    """A word of a formula: what it is, and its text in the spelling that all are compared in."""

    kind: str
    text: str


class FormulaError(ValueError):
    """A text that is no formula."""


def shifted(formula: str, rows: int, cols: int) -> str:
    """A formula as it reads when copied so many cells down and to the right."""
    parts = []
    place = 0
    while place < len(formula):
        match = _TOKEN.match(formula, place)
        if match is None:
            parts.append(formula[place])
            place += 1
            continue
        text = match[0]
        parts.append(_moved(text, rows, cols) if match.lastgroup == "cell" else text)
        place = match.end()
    return "".join(parts)


def _moved(text: str, rows: int, cols: int) -> str:
    match = _CELL.match(text)
    if match is None:
        return text
    col = _number(match[2]) + (0 if match[1] else cols)
    row = int(match[4]) + (0 if match[3] else rows)
    # Past the edge of the sheet a reference comes in again on the other side.
    return f"{match[1]}{column_letters(col % LAST_COLUMN)}{match[3]}{(row - 1) % LAST_ROW + 1}"


def _number(letters: str) -> int:
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number - 1


def tokens(formula: str, sheet: str = "") -> tuple[Token, ...]:
    """The words of a formula that stands on ``sheet``, each in one spelling."""
    found: list[Token] = []
    own = sheet.casefold()
    place = 0
    while place < len(formula):
        match = _TOKEN.match(formula, place)
        if match is None or match.lastgroup is None:
            raise FormulaError(formula)
        place = match.end()
        kind, text = match.lastgroup, match[0]
        if kind == "space":
            continue
        if kind == "sheet":
            name = _sheet_name(text)
            # A sheet's name is left out before its own cells, and before the second cell of a range.
            after_colon = bool(found) and found[-1].text == ":"
            if name == own or (after_colon and _names_before(found) == name):
                continue
            found.append(Token("sheet", name))
        else:
            found.append(Token(kind, _spelt(kind, text)))
    return tuple(found)


def _names_before(found: list[Token]) -> str:
    return found[-3].text if len(found) > 2 and found[-3].kind == "sheet" else ""


def _sheet_name(text: str) -> str:
    name = text[:-1].lstrip("$")
    if name.startswith("'"):
        name = name[1:-1].replace("''", "'")
    return name.casefold()


@lru_cache(maxsize=4096)
def _spelt(kind: str, text: str) -> str:
    if kind == "cell":
        return text.replace("$", "").upper()
    if kind == "call":
        return _PREFIXES.sub("", text).upper()
    if kind == "number":
        return repr(float(text))
    if kind == "name":
        return text.upper() if text.upper() in ("TRUE", "FALSE") else text.lower()
    return ";" if text == ";" else text


def same_formula(one: str, other: str, sheet: str = "") -> bool:
    """Whether two formulas on the same sheet mean the same."""
    if one == other:
        return True
    try:
        first, second = tokens(one, sheet), tokens(other, sheet)
        return first == second or tree(first) == tree(second)
    except (FormulaError, RecursionError):
        return False


Tree = tuple["str | Tree", ...] | str

_BINDING = {
    "=": 1,
    "<>": 1,
    "<": 1,
    ">": 1,
    "<=": 1,
    ">=": 1,
    "&": 2,
    "+": 3,
    "-": 3,
    "*": 4,
    "/": 4,
    "^": 5,
    ":": 8,
}
_SIGN_BINDING = 6
"""A minus before a number binds closer than a power, as in spreadsheets."""


def tree(words: tuple[Token, ...]) -> Tree:
    """A formula as what is applied to what, so that brackets that change nothing are gone."""
    parser = _Parser(words)
    result = parser.expression(0)
    if parser.place != len(words):
        raise FormulaError("more after the end")
    return result


class _Parser:
    def __init__(self, words: tuple[Token, ...]) -> None:
        self.words = words
        self.place = 0

    def _peek(self) -> str:
        return self.words[self.place].text if self.place < len(self.words) else ""

    def _take(self) -> Token:
        if self.place >= len(self.words):
            raise FormulaError("ends too early")
        self.place += 1
        return self.words[self.place - 1]

    def expression(self, least: int) -> Tree:
        left = self._operand()
        while True:
            word = self._peek()
            kind = self.words[self.place].kind if word else ""
            if kind == "sign" and word == "%":
                self.place += 1
                left = ("%", left)
            elif kind == "sign" and word in _BINDING and _BINDING[word] > least:
                self.place += 1
                left = (word, left, self.expression(_BINDING[word]))
            else:
                return left

    def _operand(self) -> Tree:
        word = self._take()
        if word.kind == "sign" and word.text in "+-":
            operand = self.expression(_SIGN_BINDING)
            return operand if word.text == "+" else ("-", operand)
        if word.text == "(" and word.kind == "sign":
            inside = self.expression(0)
            self._close()
            return inside
        if word.kind == "call":
            return (word.text, *self._arguments())
        if word.kind == "sheet":
            return (word.text + "!", self._operand())
        if word.kind == "sign":
            raise FormulaError(f"{word.text} stands where a value belongs")
        return f"{word.kind}:{word.text}"

    def _arguments(self) -> list[Tree]:
        found: list[Tree] = []
        if self._peek() == ")":
            self.place += 1
            return found
        while True:
            found.append("" if self._peek() in (",", ";", ")") else self.expression(0))
            after = self._take()
            if after.text == ")":
                return found
            if after.text not in (",", ";"):
                raise FormulaError("a comma is missing")

    def _close(self) -> None:
        if self._take().text != ")":
            raise FormulaError("a bracket is missing")
