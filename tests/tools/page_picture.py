"""A page of a PDF as a small picture: only what is printed between the page's header and its footer.

Plain enough to need no imaging library: pdftoppm draws, and a picture without compression tricks of its own is
a few lines to write.
"""

from __future__ import annotations

import struct
import subprocess
import zlib
from collections.abc import Sequence
from pathlib import Path

DOTS_AN_INCH = 106
"""A page that stands is then about 900 pixels wide, and text has one size in all pictures."""
MARGIN = 14


def draw(pdf: Path, page: int, target: Path) -> None:
    """Draw a page without its header, footer and empty paper, and write it as PNG."""
    number = str(page)
    command = ["pdftoppm", "-r", str(DOTS_AN_INCH), "-f", number, "-l", number, str(pdf)]
    width, rows = read_ppm(subprocess.run(command, capture_output=True, check=True).stdout)
    target.write_bytes(png(width, without_paper(rows)))


def read_ppm(data: bytes) -> tuple[int, list[bytes]]:
    """The width of a picture in the format PPM (P6), and its rows of three bytes a pixel."""
    kind, size, most, pixels = data.split(b"\n", 3)
    if (kind, most) != (b"P6", b"255"):
        raise ValueError(f"not a picture in eight bits a colour: {kind!r} {most!r}")
    width, height = map(int, size.split())
    return width, [pixels[row * width * 3 : (row + 1) * width * 3] for row in range(height)]


def without_paper(rows: Sequence[bytes]) -> list[bytes]:
    """The rows between the first line of a page, its header, and the last one, its footer, with a margin.

    A page on which nothing else stands is kept whole.
    """
    blank = b"\xff" * len(rows[0])
    runs: list[tuple[int, int]] = []
    start = None
    for number, row in enumerate([*rows, blank]):
        if row != blank and start is None:
            start = number
        elif row == blank and start is not None:
            runs.append((start, number))
            start = None
    if len(runs) < 3:
        return list(rows)
    edge = [blank] * MARGIN
    return [*edge, *rows[runs[1][0] : runs[-2][1]], *edge]


def png(width: int, rows: Sequence[bytes]) -> bytes:
    """A picture of rows of three bytes a pixel."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, len(rows), 8, 2, 0, 0, 0)
    packed = zlib.compress(b"".join(b"\0" + row for row in rows), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")
