"""A single value as the XML of a cell holds it, and back."""

from __future__ import annotations

import math
import re
from xml.parsers import expat

from meltbook.workbook.cells import CellError, CellValue, unescaped

LONGEST_TEXT = 32_767
"""Characters that one cell holds, counted as UTF-16 does."""

_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
_LOOKS_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
_MARKUP = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}
_MARKED = re.compile("[&<>]")
_UNKEPT = re.compile("[\x00-\x08\x0b-\x1f\ufffe\uffff]")


def text_fault(text: str) -> str:
    """What keeps a text from being typed into a cell, or nothing."""
    if match := _CONTROL.search(text):
        return f"a control character (U+{ord(match[0]):04X})"
    if len(text.encode("utf-16-le")) // 2 > LONGEST_TEXT:
        return f"a text of more than {LONGEST_TEXT:,} characters"
    return ""


def number_xml(number: float) -> bytes:
    """A number in the fewest digits that give it back."""
    if not math.isfinite(number):
        raise ValueError(number)
    if isinstance(number, int) and abs(number) < 10**15:
        return b"%d" % number
    return repr(float(number)).removesuffix(".0").encode()


def text_xml(text: str) -> bytes:
    """A text with the markup, and what looks like one of the format's own escapes, written out."""
    text = _LOOKS_ESCAPED.sub("_x005F_", text)
    text = _UNKEPT.sub(lambda match: f"_x{ord(match[0]):04X}_", text)
    return _MARKED.sub(lambda match: _MARKUP[match[0]], text).encode()


def keeps_space(text: str) -> bool:
    """Whether a reader would drop some of the text's white space unless told otherwise."""
    return text != text.strip() or "\n" in text or "  " in text or "\t" in text


def cell_value(fragment: bytes, kind: str, strings: list[str]) -> CellValue:
    """What a cell shows, from its XML from ``<c`` to ``</c>``. A ValueError where it points at a text that
    isn't there.
    """
    value: list[str] = []
    reading = aids = 0

    def start(tag: str, _: dict[str, str]) -> None:
        nonlocal reading, aids
        name = tag.rpartition(":")[2]
        aids += name == "rPh"
        reading = name in ("v", "t") and not aids

    def end(tag: str) -> None:
        nonlocal reading, aids
        aids -= tag.rpartition(":")[2] == "rPh"
        reading = 0

    def characters(text: str) -> None:
        if reading:
            value.append(text)

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = characters
    parser.Parse(fragment, True)
    return typed("".join(value), kind, strings)


def typed(text: str, kind: str, strings: list[str]) -> CellValue:
    """The value of a cell of this kind (its ``t``) that holds this text."""
    if kind == "s" and text:
        index = int(text)
        if not 0 <= index < len(strings):
            raise ValueError(f"text number {index}")
        return strings[index]
    if kind in ("str", "inlineStr", "d"):
        return unescaped(text)
    if not text:
        return None
    if kind == "b":
        return text.strip() in ("1", "true")
    if kind == "e":
        return CellError(text)
    return float(text)
