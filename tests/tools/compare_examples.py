"""Compare two folders of example workbooks and pictures: what is committed, and what was made just now.

A workbook is compared part by part after unzipping, since another zlib packs the same bytes differently. A
picture is only looked at for being there, being one, and having about the same size: it shows the fonts of
the machine that made it. Everything else is compared byte for byte.

    python tests/tools/compare_examples.py output_examples /tmp/made-now
"""

from __future__ import annotations

import re
import struct
import sys
import zipfile
from pathlib import Path

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
PDF_SIGNATURE = b"%PDF-"
# Another font changes where a line breaks, so a picture may be longer or shorter, and packs differently.
PIXELS_MAY_DIFFER = 0.25
BYTES_MAY_DIFFER = 5.0


def differences(committed: Path, made: Path) -> list[str]:
    """What differs, one sentence each."""
    ours, theirs = _files(committed), _files(made)
    found = [f"{name} is committed, but was not made" for name in sorted(ours - theirs)]
    found += [f"{name} was made, but is not committed" for name in sorted(theirs - ours)]
    for name in sorted(ours & theirs):
        found += [f"{name}: {said}" for said in _compare(committed / name, made / name)]
    return found


def _files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def _compare(committed: Path, made: Path) -> list[str]:
    if committed.suffix in (".xlsx", ".zip"):
        return _compare_packages(committed, made)
    if committed.suffix == ".png":
        return _compare_pictures(committed, made)
    ours, theirs = committed.read_bytes(), made.read_bytes()
    if committed.suffix == ".pdf":
        return [] if ours.startswith(PDF_SIGNATURE) and theirs.startswith(PDF_SIGNATURE) else ["no PDF"]
    return [] if ours == theirs else [_first_difference(ours, theirs)]


def _compare_packages(committed: Path, made: Path) -> list[str]:
    with zipfile.ZipFile(committed) as ours, zipfile.ZipFile(made) as theirs:
        if ours.namelist() != theirs.namelist():
            odd = sorted(set(ours.namelist()) ^ set(theirs.namelist()))
            return [f"the parts are not the same: {', '.join(odd) or 'another order'}"]
        return [
            f"{part}: {_first_difference(ours.read(part), theirs.read(part))}"
            for part in ours.namelist()
            if ours.read(part) != theirs.read(part)
        ]


def _compare_pictures(committed: Path, made: Path) -> list[str]:
    found = []
    sizes = []
    for path in (committed, made):
        data = path.read_bytes()
        if not data.startswith(PNG_SIGNATURE) or len(data) < 200:
            found.append(f"{path} is no picture")
        else:
            sizes.append((*struct.unpack(">II", data[16:24]), len(data)))
    if len(sizes) == 2:
        (width, height, size), (width_now, height_now, size_now) = sizes
        if abs(width - width_now) > PIXELS_MAY_DIFFER * width or abs(height - height_now) > (
            PIXELS_MAY_DIFFER * height
        ):
            found.append(f"{width} by {height} pixels are committed, {width_now} by {height_now} were made")
        if not size / BYTES_MAY_DIFFER < size_now < size * BYTES_MAY_DIFFER:
            found.append(f"{size:,} bytes are committed, {size_now:,} were made: is one of them empty?")
    return found


def _first_difference(ours: bytes, theirs: bytes) -> str:
    at = next((n for n, (a, b) in enumerate(zip(ours, theirs, strict=False)) if a != b), min(len(ours), len(theirs)))
    row = re.findall(rb'<c r="([A-Z]+[0-9]+)"', ours[:at])
    where = f"near cell {row[-1].decode()}" if row else f"at byte {at}"
    around = slice(max(0, at - 30), at + 50)
    return f"differs {where}: committed {_text(ours[around])}, made {_text(theirs[around])}"


def _text(data: bytes) -> str:
    return repr(data.decode("utf-8", errors="replace"))


def main(arguments: list[str]) -> int:
    if len(arguments) != 2:
        print("usage: compare_examples.py COMMITTED MADE", file=sys.stderr)
        return 2
    committed, made = map(Path, arguments)
    for folder in (committed, made):
        if not folder.is_dir() or not _files(folder):
            print(f"{folder} is no folder with files in it", file=sys.stderr)
            return 2
    found = differences(committed, made)
    for sentence in found:
        print(sentence)
    count = len(_files(committed))
    print(f"{count} committed examples, {len(found) or 'no'} difference{'' if len(found) == 1 else 's'}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
