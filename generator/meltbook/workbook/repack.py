"""Put new content into a few parts of a zip and leave all the rest of it byte for byte.

Python's zipfile can only write an archive anew, and then packs every part again with other times, flags and
sizes. Here the packed bytes of the parts that did not change are copied as they stand; order, names, times,
methods, flags and remarks stay for the changed ones too.

A zip is a row of local records (a header of 30 bytes, the name, extra fields, the packed bytes, and perhaps
a descriptor with the sizes), then the directory (46 bytes, name, extra fields, remark for each part), then
the end record (22 bytes and a remark).
"""

from __future__ import annotations

import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from meltbook.workbook.package import Package, zip_bytes

_LOCAL, _DIRECTORY, _END = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"
_SIZES_FOLLOW = 1 << 3
_LARGE_SIZES = 1
"""The number of the extra field that holds sizes of more than 4 GB. No such size is left in what is
written.
"""
_LARGE = 0xFFFFFFFF
LONG, QUICK = 4_000_000, 4
"""A part of so many bytes is packed at this level: a long log in two fifths of the time, and an eighth larger."""
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


@dataclass(slots=True)
class _Entry:
    info: zipfile.ZipInfo
    directory: bytes
    """The entry's record in the directory."""
    local: bytes
    """Its local record, up to the next one."""


def repacked(package: Package, changed: Mapping[str, bytes]) -> bytes:
    """The whole file with new content in the named parts."""
    raw = zip_bytes(package)
    contents = {package.names[part.lower()]: content for part, content in changed.items()}
    try:
        entries = _entries(package, raw)
    except (struct.error, ValueError, IndexError) as error:
        raise package.damaged("has a damaged list of parts") from error
    written = bytearray(raw[: min((entry.info.header_offset for entry in entries), default=0)])
    records: dict[int, bytes] = {}
    for entry in sorted(entries, key=lambda entry: entry.info.header_offset):
        records[entry.info.header_offset] = _write(package, entry, contents.get(entry.info.filename), written)
    start = len(written)
    for entry in entries:
        written += records[entry.info.header_offset]
    remark = package.zip.comment
    size = len(written) - start
    written += struct.pack("<4s4H2LH", _END, 0, 0, len(entries), len(entries), size, start, len(remark)) + remark
    return bytes(written)


def _entries(package: Package, raw: bytes) -> list[_Entry]:
    infos = package.zip.infolist()
    start: int = package.zip.start_dir  # where zipfile found the directory
    if len({info.filename.lower() for info in infos}) != len(infos):
        raise package.damaged("holds a part twice")
    bounds = [*sorted(info.header_offset for info in infos), start]
    next_one = dict(pairwise(bounds))
    if len(next_one) != len(infos):
        raise ValueError("two parts at one place")
    entries = []
    at = start
    for info in infos:
        name, extra, remark = struct.unpack_from("<3H", raw, at + 28)
        record = raw[at : at + 46 + name + extra + remark]
        local = raw[info.header_offset : next_one[info.header_offset]]
        if not record.startswith(_DIRECTORY) or not local.startswith(_LOCAL):
            raise ValueError("no record")
        entries.append(_Entry(info, record, local))
        at += len(record)
    return entries


def _write(package: Package, entry: _Entry, content: bytes | None, written: bytearray) -> bytes:
    """Add the local record to what is written, and return the record for the directory."""
    info, offset = entry.info, len(written)
    if content is None:
        written += entry.local
        return _directory_record(entry, offset, info.CRC, info.compress_size, info.file_size)
    if info.compress_type not in _METHODS:
        raise package.damaged(f"packs {info.filename} in a way that can't be written")
    packed = _packed(content) if info.compress_type == zipfile.ZIP_DEFLATED else content
    sums = (zlib.crc32(content), len(packed), len(content))
    head = bytearray(entry.local[:30])
    name, extra = struct.unpack_from("<2H", head, 26)
    fields = _without_large_sizes(entry.local[30 + name : 30 + name + extra])
    struct.pack_into("<H", head, 28, len(fields))
    struct.pack_into("<3L", head, 14, *((0, 0, 0) if info.flag_bits & _SIZES_FOLLOW else sums))
    written += bytes(head) + entry.local[30 : 30 + name] + fields + packed
    if info.flag_bits & _SIZES_FOLLOW:
        written += struct.pack("<4s3L", b"PK\x07\x08", *sums)
    return _directory_record(entry, offset, *sums)


def _packed(content: bytes) -> bytes:
    level = zlib.Z_DEFAULT_COMPRESSION if len(content) < LONG else QUICK
    squeeze = zlib.compressobj(level, zlib.DEFLATED, -zlib.MAX_WBITS)
    return squeeze.compress(content) + squeeze.flush()


def _directory_record(entry: _Entry, offset: int, crc: int, packed: int, size: int) -> bytes:
    record = bytearray(entry.directory)
    large = _LARGE in (*struct.unpack_from("<2L", record, 20), *struct.unpack_from("<L", record, 42))
    struct.pack_into("<3L", record, 16, crc, packed, size)
    struct.pack_into("<L", record, 42, offset)
    if large:
        name, extra = struct.unpack_from("<2H", record, 28)
        start = 46 + name
        fields = _without_large_sizes(bytes(record[start : start + extra]))
        struct.pack_into("<H", record, 30, len(fields))
        record[start : start + extra] = fields
    return bytes(record)


def _without_large_sizes(fields: bytes) -> bytes:
    kept, at = b"", 0
    while at + 4 <= len(fields):
        kind, size = struct.unpack_from("<2H", fields, at)
        if kind != _LARGE_SIZES:
            kept += fields[at : at + 4 + size]
        at += 4 + size
    return kept + fields[at:]
