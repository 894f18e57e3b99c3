"""Opening a file that somebody sends, without harm.

An .xlsx file is a zip of XML parts. Before anything is unpacked, this page looks at what the file is and how
large it would become; a file that is something else, damaged, protected or a trap ends in one sentence that
says so. Nothing is ever unpacked to the disk, and no XML that declares entities or a document type is read.
"""

from __future__ import annotations

import io
import posixpath
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree.ElementTree import Element, ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring

from meltbook.errors import BookFileError, UsageError

LARGEST_FILE = 150_000_000
LARGEST_UNPACKED = 300_000_000
"""Bytes of all parts together. A book with 20,000 log rows has some 250 MB."""
MOST_PARTS = 5_000
STEEPEST = 200
"""How many times larger than the file its parts may be, once they are large at all."""
ALWAYS_SMALL = 20_000_000

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""How both an old .xls file and an encrypted workbook begin."""


def _fails(path: Path, what: str, hint: str) -> BookFileError:
    return BookFileError(f"{path.name} {what}.", hint=hint)


def read_bytes(path: Path) -> bytes:
    """The whole file, read at once, so that what follows sees one state of it."""
    if path.is_dir():
        raise UsageError(f"{path} is a folder, not a workbook.", hint="Name the .xlsx file in it.")
    if path.exists() and not path.is_file():
        raise UsageError(f"{path} is not a file.", hint="Name an .xlsx file.")
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise UsageError(f"There is no file {path}.", hint="Check the name and the folder.") from error
    except PermissionError as error:
        raise UsageError(
            f"{path} can't be read: permission denied.",
            hint="Close it where it is open, or ask for the right to read it.",
        ) from error
    except OSError as error:
        raise UsageError(f"{path} can't be read: {(error.strerror or 'no reason given').lower()}.") from error
    if len(raw) > LARGEST_FILE:
        raise _fails(
            path,
            f"is larger than {LARGEST_FILE // 1_000_000} MB",
            "A workbook of meltbook is not that large.",
        )
    return raw


def open_elsewhere(path: Path) -> bool:
    """Whether a spreadsheet program has left its mark beside the file that it holds it open."""
    try:
        return any((path.parent / mark).exists() for mark in (f".~lock.{path.name}#", f"~${path.name}"))
    except OSError:
        return False


@dataclass(slots=True)
class Package:
    """The parts of an .xlsx file, in memory."""

    path: Path
    zip: zipfile.ZipFile
    names: dict[str, str] = field(default_factory=dict)

    def has(self, part: str) -> bool:
        """Whether there is such a part."""
        return part.lower() in self.names

    def read(self, part: str) -> bytes:
        """The content of a part. Names of parts are the same in capitals and small letters."""
        try:
            return self.zip.read(self.names[part.lower()])
        except KeyError as error:
            raise self.damaged(f"has no part {part}") from error
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError) as error:
            raise self.damaged(f"is damaged in {part}") from error
        except (NotImplementedError, RuntimeError) as error:
            raise self.damaged(f"packs {part} in a way that can't be read") from error

    def xml(self, part: str) -> Element:
        """A part as XML, with the namespaces taken off."""
        try:
            root: Element = fromstring(self.read(part), forbid_dtd=True)
        except DefusedXmlException as error:
            raise self.trap(part) from error
        except (ParseError, ValueError, RecursionError) as error:
            raise self.damaged(f"is damaged in {part}") from error
        for element in root.iter():
            element.tag = element.tag.rpartition("}")[2]
        return root

    def damaged(self, what: str) -> BookFileError:
        """The error for a part that is not as it should be."""
        return _fails(self.path, what, "Take a copy that opens, or open it in a spreadsheet program and save it again.")

    def trap(self, part: str) -> BookFileError:
        """The error for XML that declares entities."""
        return _fails(
            self.path,
            f"declares XML entities in {part}, which no workbook needs",
            "Don't open it; ask who sent it.",
        )

    def related(self, part: str) -> dict[str, tuple[str, str]]:
        """What a part refers to: for each id, the kind of relation and the part's name."""
        folder, name = posixpath.split(part)
        rels = posixpath.join(folder, "_rels", f"{name}.rels")
        if not self.has(rels):
            return {}
        return dict(self._relations(rels, folder))

    def _relations(self, rels: str, folder: str) -> Iterator[tuple[str, tuple[str, str]]]:
        for element in self.xml(rels).iter("Relationship"):
            if element.get("TargetMode") == "External":
                continue
            target = posixpath.normpath(posixpath.join("/" + folder, element.get("Target", ""))).lstrip("/")
            yield element.get("Id", ""), (element.get("Type", "").rpartition("/")[2], target)


def zip_bytes(package: Package) -> bytes:
    """The file as it was when it was opened."""
    file = package.zip.fp
    assert file is not None
    file.seek(0)
    return file.read()


def open_package(path: Path) -> tuple[Package, str]:
    """Open a workbook's zip and say which part is the workbook; raises if it is not a workbook or not
    safe.
    """
    raw = read_bytes(path)
    if not raw:
        raise _fails(path, "is empty (0 bytes)", "Take another copy; this one was never written to the end.")
    if raw.startswith(OLE):
        raise _ole(path, raw)
    if not raw.startswith(b"PK"):
        raise _not_zip(path, raw)
    try:
        package = zipfile.ZipFile(io.BytesIO(raw))
        entries = package.infolist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, EOFError) as error:
        raise _fails(
            path,
            "is cut short or damaged",
            "Copy or download it again; the end of the file is missing or broken.",
        ) from error
    _measure(path, entries, len(raw))
    opened = Package(path, package, {entry.filename.lower(): entry.filename for entry in entries})
    return opened, _workbook_part(opened)


def _measure(path: Path, entries: list[zipfile.ZipInfo], packed: int) -> None:
    if any(entry.flag_bits & 1 for entry in entries):
        raise _fails(path, "is protected with a password", "Open it, take the password off, and save it.")
    unpacked = sum(entry.file_size for entry in entries)
    if len(entries) > MOST_PARTS or unpacked > LARGEST_UNPACKED:
        raise _fails(
            path,
            f"would unpack to {unpacked // 1_000_000:,} MB in {len(entries):,} parts",
            f"More than {LARGEST_UNPACKED // 1_000_000} MB is not read: such a file is meant as a trap.",
        )
    if unpacked > ALWAYS_SMALL and unpacked > STEEPEST * packed:
        raise _fails(
            path,
            f"would unpack to {unpacked // packed:,} times its size",
            "A file of that kind is meant as a trap.",
        )


def _workbook_part(package: Package) -> str:
    path = package.path
    if not package.has("[Content_Types].xml") or not package.has("_rels/.rels"):
        raise _not_spreadsheet(package)
    part = next((target for kind, target in package.related("").values() if kind == "officeDocument"), "")
    if part.endswith(".bin"):
        raise _fails(path, "is a binary workbook (.xlsb)", "Save it as an Excel workbook (.xlsx).")
    if not part or not package.has(part) or package.xml(part).tag != "workbook":
        raise _not_spreadsheet(package)
    return part


def _not_spreadsheet(package: Package) -> BookFileError:
    path = package.path
    kind = b""
    if package.has("mimetype"):
        kind = package.read("mimetype")[:100]
    if b"opendocument.spreadsheet" in kind:
        return _fails(path, "is an OpenDocument spreadsheet (.ods)", "Save it as an Excel workbook (.xlsx).")
    if b"opendocument" in kind:
        return _fails(path, "is an OpenDocument file, but no workbook", "Name an .xlsx file that meltbook made.")
    if package.has("word/document.xml") or package.has("ppt/presentation.xml"):
        return _fails(path, "is a text document or presentation, not a workbook", "Name an .xlsx file.")
    if package.has("Index/Document.iwa"):
        return _fails(path, "is a document of Numbers or Pages", "Export it as an Excel workbook (.xlsx).")
    return _fails(path, "is a zip file, but no workbook", "Name an .xlsx file that meltbook made.")


def _ole(path: Path, raw: bytes) -> BookFileError:
    if "EncryptedPackage".encode("utf-16-le") in raw:
        return _fails(path, "is protected with a password", "Open it, take the password off, and save it.")
    if any(name.encode("utf-16-le") in raw for name in ("Workbook", "Book")):
        return _fails(path, "is a workbook of the old kind (.xls)", "Save it as an Excel workbook (.xlsx).")
    return _fails(
        path, "is protected or of an old kind, not an .xlsx workbook", "Save it as .xlsx, without a password."
    )


def _not_zip(path: Path, raw: bytes) -> BookFileError:
    start = raw[:512].lstrip(b"\xef\xbb\xbf \r\n\t").lower()
    if path.name.startswith("~$"):
        hint = "It is the mark that a program leaves while the workbook is open; name the workbook itself."
    elif raw.startswith(b"\x1f\x8b"):
        hint = "It may be Gnumeric's own kind of file: save it as an Excel workbook (.xlsx)."
    elif start.startswith((b"<!doctype html", b"<html")):
        hint = "It is a web page: the download gave a page in place of the file."
    elif start.startswith(b"<?xml"):
        hint = "It is XML: save it as an Excel workbook (.xlsx)."
    elif path.suffix.lower() == ".toml":
        hint = "A studio file is made into a workbook with `meltbook new BOOK.xlsx --from STUDIO.toml`."
    elif not raw.strip(b"\0"):
        hint = "It holds nothing but zeros: the disk or the copying lost its content."
    else:
        hint = "Name an .xlsx file that meltbook made."
    return _fails(path, "is not a workbook", hint)
