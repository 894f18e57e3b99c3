"""The new file, read back before it takes its name: it holds what it was given, and all else as it was."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Mapping
from pathlib import Path

from meltbook.workbook.cells import CellValue
from meltbook.workbook.known import Difference, agree
from meltbook.workbook.package import Package, zip_bytes
from meltbook.workbook.plain_formulas import PlainFormulas, alone


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
    for name in names:
        same = after.read(name) == contents[name] if name in contents else _packed(after, name) == _packed(before, name)
        if not same:
            raise before.damaged(f"can't be written as it should be ({name})")


def _packed(package: Package, name: str) -> tuple[bytes, int, int]:
    """A part as it is packed, with its checksum and the way of packing."""
    info, raw = package.zip.getinfo(name), zip_bytes(package)
    first = info.header_offset + 30 + sum(struct.unpack_from("<2H", raw, info.header_offset + 26))
    return raw[first : first + info.compress_size], info.CRC, info.compress_type


def check_splices(
    package: Package, sheet: str, old: PlainFormulas, new: bytes, wanted: Mapping[int, CellValue], dropped: set[int]
) -> None:
    """Raise unless the sheet differs in these cells alone, and in them in nothing but the values that were wanted.

    The cells that changed are read anew, from the new bytes; all bytes around them must be those that were there.
    """
    spots = sorted({*wanted, *dropped})
    before, after = _around(old.data, old, spots), _around(new, old, spots)
    there, here = alone(before[1]), alone(after[1])
    if before[0] != after[0] or here is None or there is None or here.as_valueless != there.as_valueless:
        raise package.damaged(f"can't be given its values ({sheet})")
    found = here.stored([])
    for spot, name in zip(spots, here.names, strict=True):
        value = wanted.get(spot)
        if (name in found) != (spot in wanted) or not agree(value, found.get(name)):
            raise package.damaged(f"can't be given its values ({Difference(sheet, name, value, found.get(name))})")


def _around(data: bytes, old: PlainFormulas, spots: list[int]) -> tuple[list[memoryview], list[bytes]]:
    """What is around these cells of a sheet, and the cells themselves."""
    around: list[memoryview] = []
    cells: list[bytes] = []
    view, at, search = memoryview(data), 0, data.index(b"<sheetData>")
    for spot in spots:
        start = data.index(b'<c r="%b"' % old.raw_names[spot], search)
        search = data.index(b"</c>", start) + len(b"</c>")
        around.append(view[at:start])
        cells.append(data[start:search])
        at = search
    around.append(view[at:])
    return around, cells
