"""The value stored beside a formula, as XML has it: ``t`` of the cell, and ``<v>``."""

from __future__ import annotations

from meltbook.workbook.cell_xml import cell_value, keeps_space, number_xml, text_xml, typed
from meltbook.workbook.cells import CellError, CellValue

_ENTITIES = ((b"&quot;", b'"'), (b"&apos;", b"'"), (b"&lt;", b"<"), (b"&gt;", b">"), (b"&amp;", b"&"))
_SPELT = 1e-14
"""Programs write 15 to 17 digits of a number; what is beyond the 15th tells them apart and nothing else."""


def stored_value(raw: bytes, kind: str, strings: list[str]) -> CellValue:
    """The value in what ``<v>`` of such a cell holds."""
    if b"<" in raw or b"&#" in raw or b"\r" in raw:
        return cell_value(b"<c><v>%s</v></c>" % raw, kind, strings)
    return typed(unescaped_xml(raw).decode(), kind, strings)


def is_stored(raw: bytes, kind: str, value: CellValue) -> bool:
    """Whether this value is there already, to all the digits that programs write."""
    if value is None or value == "":
        return kind == "str" and not raw
    if not raw or isinstance(value, bool):
        return False
    if isinstance(value, int | float):
        return kind in ("", "n") and abs(float(raw) - value) <= _SPELT * abs(value)
    return isinstance(value, str) and kind == "str" and raw == text_xml(value)


def value_xml(value: CellValue, prefix: bytes = b"") -> tuple[str, bytes]:
    """The cell's ``t`` and the whole ``<v>``."""
    if isinstance(value, bool):
        return "b", b"<%sv>%d</%sv>" % (prefix, value, prefix)
    if isinstance(value, int | float):
        return "", b"<%sv>%s</%sv>" % (prefix, number_xml(value), prefix)
    if isinstance(value, CellError):
        return "e", b"<%sv>%s</%sv>" % (prefix, value.code.encode(), prefix)
    if not value:
        return "str", b"<%sv></%sv>" % (prefix, prefix)
    space = b' xml:space="preserve"' if keeps_space(value) else b""
    return "str", b"<%sv%s>%s</%sv>" % (prefix, space, text_xml(value), prefix)


def unescaped_xml(raw: bytes) -> bytes:
    """Text with the five names of characters turned into them."""
    if b"&" in raw:
        for entity, character in _ENTITIES:
            raw = raw.replace(entity, character)
    return raw
