"""The text of a formula, taken apart: which signs, names and functions it may hold, and what to say of others."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches

from meltbook.errors import MeltbookError

_TOKEN = re.compile(
    r"""\s*(?:(?P<name>[a-z]+(?:_[a-z]+)*(?![A-Za-z0-9_.]))
          |(?P<function>[A-Z]+(?=\s*\())
          |(?P<number>\d+(?:\.\d+)?(?![A-Za-z0-9_.]))
          |(?P<word>"[^"]*")
          |(?P<sign><=|>=|[-+*/(),<>]))""",
    re.VERBOSE,
)
SHAPES = {
    "SUM": "SUM(column), or SUM(number, number, …)",
    "MIN": "MIN(column), or MIN(number, number, …)",
    "MAX": "MAX(column), or MAX(number, number, …)",
    "SUMIF": 'SUMIF(column,"word",column)',
    "COUNTIF": 'COUNTIF(column,"word")',
    "SUMPRODUCT": "SUMPRODUCT(column*column)",
    "INDEX": "INDEX(column,row), the row 1 or 2, or a given that counts rows",
    "ROUND": "ROUND(number, digits), the digits 0, 1, 2 or 6",
    "ROUNDUP": "ROUNDUP(number, digits), the digits 0, 1, 2 or 6",
    "INT": "INT(number)",
    "ABS": "ABS(number)",
    "IF": "IF(comparison, number, number)",
}
FUNCTIONS = tuple(SHAPES)


class ExpressionError(MeltbookError):
    """A formula that can't be read: what was found in it, what was expected, and what to do."""

    def __init__(self, found: str, expected: str, do: str) -> None:
        super().__init__(f"found {found}; expected {expected}. {do}")
        self.found, self.expected, self.do = found, expected, do


def tokens_of(text: str) -> list[str]:
    """The names, functions, numbers, words in quotes and signs of a formula, in their order.

    Raises:
        ExpressionError: something else stands in it.
    """
    tokens: list[str] = []
    place = 0
    text = text.strip()
    while place < len(text):
        match = _TOKEN.match(text, place)
        if match is None:
            raise _odd(text[place:].strip())
        token = match[0].strip()
        if match["function"] and token not in SHAPES:
            near = get_close_matches(token, FUNCTIONS, n=1)
            do = f"Did you mean {near[0]}?" if near else "Work it out in another way, or in more than one step."
            raise ExpressionError(f"the function {token}", f"one of {', '.join(FUNCTIONS)}", do)
        if token == ")" and tokens[-1:] == [","]:
            raise ExpressionError("a comma before )", "something after each comma", "Remove the comma.")
        if match["word"] and tokens and tokens[-1].startswith('"'):
            raise ExpressionError(f"{tokens[-1]}{token}", "one word in quotes", "Double quotes can't be in a word.")
        tokens.append(token)
        place = match.end()
    return tokens


def _odd(rest: str) -> ExpressionError:
    """What stands where nothing can be read, and what to do about it."""
    found = re.match(r"[A-Za-z0-9_.]+|.", rest)
    written = found[0] if found else rest
    if written == "=":
        return ExpressionError("=", "a formula without it", "Leave out the = ; equal is no comparison here.")
    if written == ";":
        return ExpressionError(";", "a comma", "Put commas between the parts of a function.")
    if written in ("^", "%", "&", "!", "$", ":", "{", "["):
        return ExpressionError(written, "+ - * / ( ) and names", "Write it in names, with multiplication and division.")
    if written == '"':
        return ExpressionError("a quote that is not closed", "a word between two quotes", "Close it.")
    if re.fullmatch(r"[A-Za-z]+", written) and written.upper() in SHAPES:
        return ExpressionError(written, f"{written.upper()}(…)", "Write functions in capitals, followed by (.")
    if re.match(r"\d|\.", written):
        return ExpressionError(written, "a plain number, or a name", "Put what stands there into a given.")
    if re.fullmatch(r"[A-Za-z0-9_.]+", written):
        plain = re.sub(r"[^a-z]+", "_", written.casefold()).strip("_")
        do = f"Did you mean {plain}?" if plain else "Give it a name of letters."
        return ExpressionError(written, "a name of small letters, joined by _", do)
    return ExpressionError(f"`{written}`", "+ - * / ( ) , names, numbers and functions", "Remove it.")


def why_unread(tokens: Sequence[str]) -> str:
    """What to look for in a formula that has all the right parts and no sense."""
    opened, closed = tokens.count("("), tokens.count(")")
    if opened != closed:
        return f"It opens {opened} and closes {closed} brackets."
    return "Look for a sign that is doubled or missing."
