"""Where in an exercise file something is wrong, and what is expected there, in a teacher's words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from meltbook.errors import Problem
from meltbook.studio.complaints import shown

Loc = tuple[str | int, ...]
"""A way into a file: ``("steps", 2, "slips", 0, "formula")``; counted from 0."""

_TOML_PLACE = re.compile(r" \(at line (\d+), column (\d+)\)$| \(at end of document\)$")
_LISTS = {"about", "words", "only", "hints", "choices"}
_RANGES = {"kg", "rising_from"}
_EXAMPLES = {
    "name": "small letters a to z, words joined by _, at most 40: such as hours_on",
    "title": "one line of text",
    "label": "one line of text",
    "says": "a sentence",
    "formula": "a formula in one line of text",
    "steps": "one or more tables [[steps]]",
    "columns": "one to eight tables [[tables.columns]]",
    "rows": "a whole number of rows",
}
_DO = {
    "missing": "Add the line.",
    "string_type": "Put it in quotes.",
    "string_too_short": "Say something there, or leave out the line.",
    "string_too_long": "Make it shorter.",
    "float_type": "Write a plain number with a decimal point, without quotes, unit or percent sign.",
    "int_type": "Write a whole number, without quotes.",
    "too_long": "Leave some out.",
    "tuple_type": "Put it in square brackets.",
}


def where(loc: Loc) -> str:
    """A way into a file as people read it: ``[[steps]] 3, [[steps.slips]] 1, formula``."""
    said: list[str] = []
    path: list[str] = []
    parts = list(loc)
    while parts:
        part = parts.pop(0)
        if isinstance(part, int):
            said.append(f"{part + 1}")
        elif parts and isinstance(parts[0], int) and part not in _LISTS:
            path.append(part)
            said.append(f"[[{'.'.join(path)}]] {int(parts.pop(0)) + 1}")
        elif parts and isinstance(parts[0], int):
            said.append(f"{part} {int(parts.pop(0)) + 1}")
        elif parts and part in _RANGES:
            said.append(f"{part}.{parts.pop(0)}")
        else:
            said.append(part)
    return ", ".join(said)


def problem(place: str, loc: Loc, found: str, expected: str, do: str) -> Problem:
    """Something wrong at a place in an exercise file."""
    return Problem(place, None, where(loc), found, expected, do)


def problems_of(error: ValidationError, model: type[BaseModel], place: str) -> list[Problem]:
    """Every complaint of the models about a file, in the file's order."""
    return [
        _problem(detail, model, place)
        for detail in error.errors(include_url=False)
        # A list is called too short as well when something in it is wrong: the wrong thing is told already.
        if not (detail["type"] == "too_short" and detail["input"])
    ]


def _problem(detail: ErrorDetails, model: type[BaseModel], place: str) -> Problem:
    loc, kind = detail["loc"], detail["type"]
    if kind == "extra_forbidden":
        known = _keys(model, loc[:-1])
        near = get_close_matches(str(loc[-1]), known, n=1)
        do = f"Did you mean {near[0]}?" if near else f"Remove {loc[-1]}."
        return problem(place, loc, "an unknown key", f"one of {', '.join(known)}", do)
    found = "nothing" if kind == "missing" else shown(detail["input"])
    return problem(place, loc, found, _expected(detail), _advice(detail))


def _expected(detail: ErrorDetails) -> str:
    kind, context, loc = detail["type"], detail.get("ctx", {}), detail["loc"]
    key = str(next((part for part in reversed(loc) if isinstance(part, str)), ""))
    bounds = {
        "greater_than": "a number above {gt:g}",
        "greater_than_equal": "a number, {ge:g} or more",
        "less_than": "a number below {lt:g}",
        "less_than_equal": "a number, {le:g} or less",
        "string_too_long": "text of at most {max_length} characters",
        "too_long": "at most {max_length}",
        "literal_error": "{expected}",
    }
    if kind in bounds:
        return bounds[kind].format(**context)
    if kind == "string_pattern_mismatch" and key != "name":
        return "text of one line, without control characters"
    if kind in ("model_type", "model_attributes_type"):
        return "a table { from = …, to = …, step = … }" if key in _RANGES else f"a table that begins [[{_path(loc)}]]"
    if kind == "tuple_type":
        return "a list of texts in square brackets" if key in _LISTS else f"tables that each begin [[{_path(loc)}]]"
    if key in _EXAMPLES:
        return _EXAMPLES[key]
    sorts = {
        "string_type": "text",
        "string_too_short": "text",
        "int_type": "a whole number",
        "too_short": "at least one",
    }
    return sorts.get(kind, "a number")


def _advice(detail: ErrorDetails) -> str:
    kind, value, loc = detail["type"], detail["input"], detail["loc"]
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", str(detail.get("ctx", {}).get("expected", "")))
        near = get_close_matches(str(value).casefold(), words, n=1)
        return f"Did you mean {near[0]}?" if near else "Choose one of these words."
    if kind == "string_pattern_mismatch" and loc[-1] == "name":
        plain = re.sub(r"[^a-z]+", "_", str(value).casefold()).strip("_")
        return f"Call it {plain}." if plain else "Give it a name of letters."
    if kind == "string_pattern_mismatch":
        return "Write it in one line."
    if kind in ("model_type", "model_attributes_type", "tuple_type") and loc[-1] not in _LISTS:
        return "Look at how a shipped exercise is written."
    return _DO.get(kind, "Correct it.")


def _path(loc: Loc) -> str:
    return ".".join(part for part in loc if isinstance(part, str))


def _keys(model: type[BaseModel], loc: Loc) -> list[str]:
    """The keys that a table of the file may have."""
    for part in loc:
        if isinstance(part, str):
            field = next(field for name, field in model.model_fields.items() if part in (name, field.alias))
            model = next(_models(field.annotation), model)
    names = [field.alias or name for name, field in model.model_fields.items()]
    # An exercise is called as its file: that name is no key.
    return [name for name in names if name != "name"] if "steps" in names else names


def _models(annotation: Any) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _models(part)


def syntax_problem(message: str, text: str, place: str) -> Problem:
    """Where a file is no TOML."""
    match = _TOML_PLACE.search(message)
    said = _TOML_PLACE.sub("", message)
    lines: Sequence[str] = text.splitlines() or [""]
    line, column = (int(match[1]), int(match[2])) if match and match[1] else (len(lines), len(lines[-1]) + 1)
    written = lines[line - 1].strip() if line <= len(lines) else ""
    found = f"`{written[:60]}`" if written else "the end of the file"
    return Problem(place, None, f"line {line}, column {column}", found, "TOML", f"{said}.")


def near_word(written: str, known: Mapping[str, str] | Sequence[str], otherwise: str) -> str:
    """What was probably meant; ``otherwise`` where nothing is near."""
    near = get_close_matches(written, list(known), n=1)
    return f"Did you mean {near[0]}?" if near else otherwise
