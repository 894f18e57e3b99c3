"""The new file, read back before it takes its name: it holds what it was given, and all else as it was."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path

from meltbook.workbook.cells import CellValue
from meltbook.workbook.known import Difference, agree
from meltbook.workbook.package import Package, zip_bytes
from meltbook.workbook.plain_formulas import alone
from meltbook.workbook.sheet_xml import Patch

_PIECE = 1 << 20


def opened(path: Path, data: bytes) -> Package:
    """The file in these bytes."""
    archive = zipfile.ZipFile(io.BytesIO(data))
    return Package(path, archive, {name.lower(): name for name in archive.namelist()})


def read_back(before: Package, data: bytes, changed: Mapping[str, bytes]) -> None:
    """Raise unless the changed parts can be read and are what they should be, and all others are packed as before."""
    after = opened(before.path, data)
    contents = {before.names[part.lower()]: content for part, content in changed.items()}
    names = before.zip.namelist()
    if after.zip.namelist() != names:
        raise before.damaged("can't be written with all of its parts")
    old = zip_bytes(before)
    for name in names:
        if name in contents:
            same = _unpacks_to(after, name, contents[name])
        else:
            same = _packed(after.zip.getinfo(name), data) == _packed(before.zip.getinfo(name), old)
        if not same:
            raise before.damaged(f"can't be written as it should be ({name})")


def _unpacks_to(package: Package, name: str, content: bytes) -> bool:
    """Whether a part is this. It is never held in whole beside what it is compared with: a log has 80 MB."""
    at = 0
    try:
        with package.zip.open(name) as part:
            while piece := part.read(_PIECE):
                if not content.startswith(piece, at):
                    return False
                at += len(piece)
    except (zipfile.BadZipFile, zlib.error, EOFError):
        return False
    return at == len(content)


def _packed(info: zipfile.ZipInfo, raw: bytes) -> tuple[bytes, int, int]:
    """A part as it is packed, with its checksum and the way of packing."""
    first = info.header_offset + 30 + sum(struct.unpack_from("<2H", raw, info.header_offset + 26))
    return raw[first : first + info.compress_size], info.CRC, info.compress_type


def check_splices(
    package: Package, sheet: str, old: bytes, new: bytes, patches: Sequence[Patch], wanted: Mapping[str, CellValue]
) -> None:
    """Raise unless the sheet differs in these cells alone, and in them in nothing but the values that were wanted.

    The cells that changed are read anew, from the new bytes; all bytes around them must be those that were there.
    A cell for which no value is wanted must have none.
    """
    there, here = memoryview(old), memoryview(new)
    at = shift = 0
    before: list[memoryview] = []
    after: list[memoryview] = []
    for patch in patches:
        first, last = patch.start + shift, patch.start + shift + len(patch.text)
        if not new.startswith(there[at : patch.start], at + shift):
            raise package.damaged(f"can't be given its values ({sheet})")
        before.append(there[patch.start : patch.end])
        after.append(here[first:last])
        at, shift = patch.end, last - patch.end
    one, other = alone(before), alone(after)
    same_end = len(new) == len(old) + shift and new.endswith(there[at:])
    if not same_end or one is None or other is None or one.as_valueless != other.as_valueless:
        raise package.damaged(f"can't be given its values ({sheet})")
    found = other.stored([])
    for name in other.names:
        if (name in found) != (name in wanted) or not agree(wanted.get(name), found.get(name)):
            difference = Difference(sheet, name, wanted.get(name), found.get(name))
            raise package.damaged(f"can't be given its values ({difference})")
    if not wanted.keys() <= {*other.names}:
        raise package.damaged(f"can't be given its values ({sheet})")
