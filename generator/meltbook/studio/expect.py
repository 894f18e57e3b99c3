"""What a studio's keys expect, in words that an owner can act on.

The models say what is allowed; this page turns that into sentences, for a key in a studio file and for a cell
in a workbook alike. It reads the models' own JSON schema, so nothing is said twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from typing import Any, Literal, get_args

from pydantic import BaseModel

from meltbook.studio.furnaces import Melt, SourceLimit
from meltbook.studio.model import PREFIXES, SECTIONS, Studio

Sort = Literal["number", "whole", "date", "text", "choice"]

NOT_A_LIMIT = 1e6
"""Bounds from here on only keep nonsense out; they are not worth telling the owner about."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What one key takes. ``optional`` keys may be left empty."""

    sort: Sort
    optional: bool
    choices: tuple[str | int, ...] = ()
    minimum: float | None = None
    maximum: float | None = None
    above: float | None = None
    below: float | None = None
    longest: int | None = None

    def __str__(self) -> str:
        if self.sort == "choice":
            words = [str(choice) for choice in self.choices]
            return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
        if self.sort == "date":
            return "a date, such as 2026-03-02"
        if self.sort == "text":
            return "text"
        return ("a whole number" if self.sort == "whole" else "a number") + self._range()

    def _range(self) -> str:
        low = f"above {self.above:g}" if self.above is not None else ""
        if self.minimum is not None and self.minimum > -NOT_A_LIMIT:
            low = f"from {self.minimum:g}"
        high = f"to below {self.below:g}" if self.below is not None else ""
        if self.maximum is not None and self.maximum < NOT_A_LIMIT:
            high = f"to {self.maximum:g}"
        if low == "from 0" and not high:
            return ", 0 or more"
        return "".join(f" {part}" for part in (low, high) if part)

    @property
    def is_share(self) -> bool:
        """Whether it is a part of a whole, 0 to 1, which people also write in percent."""
        return self.minimum == 0 and (self.maximum == 1 or self.below == 1)

    def nearest(self, found: str) -> str:
        """The allowed word that was probably meant, or nothing."""
        words = {str(choice).casefold(): str(choice) for choice in self.choices}
        near = get_close_matches(found.strip().casefold(), words, n=1, cutoff=0.6)
        return words[near[0]] if near else ""


_ELSEWHERE: dict[str, type[BaseModel]] = {"melt": Melt, "limit": SourceLimit}
"""The sections that only further furnaces, and a second source, have."""


@cache
def row_model(table: str) -> type[BaseModel]:
    """The model of a section, or of one row of a table."""
    if table in _ELSEWHERE:
        return _ELSEWHERE[table]
    annotation = Studio.model_fields[table].annotation
    model = annotation if table in SECTIONS else get_args(annotation)[0]
    assert isinstance(model, type) and issubclass(model, BaseModel)
    return model


@lru_cache(maxsize=64)
def expectations(table: str) -> dict[str, Expected]:
    """What each key of a section or table expects, in the order of the model."""
    properties: dict[str, Any] = row_model(table).model_json_schema().get("properties", {})
    return {key: _expected(schema) for key, schema in properties.items()}


def _expected(schema: dict[str, Any]) -> Expected:
    options = [option for option in schema.get("anyOf", [schema]) if option.get("type") != "null"]
    optional = len(options) < len(schema.get("anyOf", [schema]))
    first = options[0]
    choices = tuple(first.get("enum", (first["const"],) if "const" in first else ()))
    sort: Sort
    if choices:
        sort = "choice"
    elif first.get("format") == "date":
        sort = "date"
    else:
        sorts: dict[str, Sort] = {"integer": "whole", "number": "number", "string": "text"}
        sort = sorts[first["type"]]
    return Expected(
        sort,
        optional,
        choices,
        minimum=first.get("minimum"),
        maximum=first.get("maximum"),
        above=first.get("exclusiveMinimum"),
        below=first.get("exclusiveMaximum"),
        longest=first.get("maxLength"),
    )


def input_name(table: str, key: str) -> str:
    """The name of the input field that a key fills: ``log`` and ``date`` give ``log_date``."""
    return PREFIXES.get(table, "") + key


def table_names() -> tuple[str, ...]:
    """Sections and tables, in the order of the studio."""
    return (*SECTIONS, *PREFIXES)
