"""Files that are no workbook, or no safe one. Each maker writes one and returns its path."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path

from tests.unit.workbook.small_books import parts, write

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ROW = '<row r="1"><c r="A1"><v>1</v></c></row>'
NAME = "<definedName name=\"book_version\">'One'!$A$1</definedName>"
LAUGHS = (
    '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;">]>'
    '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">&c;</workbook>'
)
OUTSIDE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><worksheet><sheetData>&a;</sheetData></worksheet>'


def _bytes(content: bytes) -> Callable[[Path], Path]:
    def make(path: Path) -> Path:
        path.write_bytes(content)
        return path

    return make


def _sound(path: Path) -> Path:
    return write(path, parts({"One": ROW}, names=NAME))


def _zip(**content: str | bytes) -> Callable[[Path], Path]:
    return lambda path: write(
        path, {name.replace("__", "/").replace("_X_", "."): part for name, part in content.items()}
    )


def _with(name: str, part: str | bytes) -> Callable[[Path], Path]:
    return lambda path: write(path, {**parts({"One": ROW}, names=NAME), name: part})


def _without(name: str) -> Callable[[Path], Path]:
    def make(path: Path) -> Path:
        content = parts({"One": ROW}, names=NAME)
        del content[name]
        return write(path, content)

    return make


def _truncated(path: Path) -> Path:
    content = _sound(path).read_bytes()
    path.write_bytes(content[: len(content) // 2])
    return path


def _flipped(path: Path) -> Path:
    """The directory of the zip is sound, the data of a part is not."""
    write(path, {**parts({"One": ROW * 50}, names=NAME)})
    with zipfile.ZipFile(path) as package:
        offset = package.getinfo("xl/worksheets/sheet1.xml").header_offset
    content = bytearray(path.read_bytes())
    for n in range(offset + 70, offset + 90):
        content[n] ^= 0xFF
    path.write_bytes(bytes(content))
    return path


def _encrypted_entries(path: Path) -> Path:
    content = bytearray(_sound(path).read_bytes())
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = content.find(mark)
        while place >= 0:
            content[place + flags] |= 1
            place = content.find(mark, place + 1)
    path.write_bytes(bytes(content))
    return path


def _bomb(path: Path) -> Path:
    """30 kB that would unpack to over 30 MB."""
    return write(path, {**parts({"One": ROW}, names=NAME), "xl/media/image1.png": bytes(31_000_000)})


def _crowd(path: Path) -> Path:
    content = parts({"One": ROW}, names=NAME)
    return write(path, {**content, **{f"xl/x{n}.xml": b"" for n in range(5001)}})


def _ods(path: Path) -> Path:
    return write(path, {"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "content.xml": "<x/>"})


def _document(path: Path) -> Path:
    content = {name: part for name, part in parts({}).items() if not name.startswith("xl/")}
    return write(path, {**content, "word/document.xml": "<x/>"})


def _newer(path: Path) -> Path:
    return write(path, parts({"One": ROW.replace("<v>1<", "<v>99<")}, names=NAME))


def _from_1904(path: Path) -> Path:
    return write(path, parts({"One": ROW}, names=NAME, properties='<workbookPr date1904="1"/>'))


HOSTILE: dict[str, tuple[Callable[[Path], Path], str]] = {
    "no bytes": (_bytes(b""), "is empty"),
    "zeros": (_bytes(bytes(5000)), "is not a workbook"),
    "text": (_bytes(b"date,kind\n2026-01-01,Charge\n"), "is not a workbook"),
    "web page": (_bytes(b"\n<!DOCTYPE html><html>Log in</html>"), "is not a workbook"),
    "xml": (_bytes(b'<?xml version="1.0"?><Workbook/>'), "is not a workbook"),
    "gzip": (_bytes(b"\x1f\x8b\x08\x00" + bytes(50)), "is not a workbook"),
    "only PK": (_bytes(b"PK"), "cut short or damaged"),
    "truncated": (_truncated, "cut short or damaged"),
    "flipped bits": (_flipped, "damaged"),
    "password": (_bytes(OLE + bytes(500) + "EncryptedPackage".encode("utf-16-le")), "with a password"),
    "old xls": (_bytes(OLE + bytes(500) + "Workbook".encode("utf-16-le")), r"old kind \(\.xls\)"),
    "other OLE": (_bytes(OLE + bytes(500)), "protected or of an old kind"),
    "encrypted zip": (_encrypted_entries, "protected with a password"),
    "empty zip": (_zip(), "zip file, but no workbook"),
    "any zip": (_zip(readme_X_txt="hello"), "zip file, but no workbook"),
    "ods": (_ods, r"\.ods"),
    "document": (_document, "text document"),
    "no workbook part": (_without("xl/workbook.xml"), "zip file, but no workbook"),
    "no relations": (_without("xl/_rels/workbook.xml.rels"), "no sheet that can be read"),
    "no sheet part": (_without("xl/worksheets/sheet1.xml"), "no sheet that can be read"),
    "broken workbook part": (_with("xl/workbook.xml", "<workbook><sheets>"), "damaged in xl/workbook.xml"),
    "other root": (_with("xl/workbook.xml", "<html/>"), "zip file, but no workbook"),
    "broken sheet": (_with("xl/worksheets/sheet1.xml", "<worksheet><row><c r='A1'"), "in the sheet 'One'"),
    "bad address": (
        _with("xl/worksheets/sheet1.xml", "<worksheet><row r='1'><c r='1A'><v>1</v></c></row></worksheet>"),
        "in the sheet 'One'",
    ),
    "missing string": (
        _with("xl/worksheets/sheet1.xml", "<worksheet><row><c t='s'><v>7</v></c></row></worksheet>"),
        "in the sheet 'One'",
    ),
    "entities": (_with("xl/workbook.xml", LAUGHS), "declares XML entities in xl/workbook.xml"),
    "entities in a sheet": (_with("xl/worksheets/sheet1.xml", OUTSIDE), "declares XML entities"),
    "bomb": (_bomb, "times its size"),
    "too many parts": (_crowd, "parts"),
    "binary workbook": (
        _with("_rels/.rels", str(parts({})["_rels/.rels"]).replace("workbook.xml", "workbook.bin")),
        r"\.xlsb",
    ),
    "no names": (lambda path: write(path, parts({"One": ROW})), "none that meltbook made"),
    "lost names": (
        lambda path: write(path, parts({"One": ROW}, names=NAME.replace("'One'!$A$1", "#REF!"))),
        "lost the cells",
    ),
    "newer book": (_newer, "newer way"),
    "dates from 1904": (_from_1904, "1904"),
}  # fmt: skip
"""By name: what writes the file, and what the message must say."""
