"""The comparison of examples is a gate, so it has to see what it is there to see."""

from __future__ import annotations

import struct
import zipfile
from pathlib import Path

import pytest

from tests.tools.compare_examples import PNG_SIGNATURE, differences, main


def package(path: Path, parts: dict[str, str], method: int = zipfile.ZIP_DEFLATED) -> None:
    with zipfile.ZipFile(path, "w", method) as out:
        for name, text in parts.items():
            out.writestr(name, text)


def picture(path: Path, width: int, height: int, size: int = 5000) -> None:
    path.write_bytes(PNG_SIGNATURE + bytes(8) + struct.pack(">II", width, height) + bytes(size))


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    committed, made = tmp_path / "committed", tmp_path / "made"
    for folder in (committed, made):
        folder.mkdir()
        package(folder / "a.xlsx", {"xl/sheet1.xml": '<c r="B7"><v>1</v></c>', "xl/styles.xml": "<x/>"})
        picture(folder / "a.png", 600, 800)
        (folder / "a.md").write_text("one\n")
    return committed, made


def test_the_same_twice_is_fine(folders: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    package(folders[1] / "a.xlsx", {"xl/sheet1.xml": '<c r="B7"><v>1</v></c>', "xl/styles.xml": "<x/>"}, 0)
    picture(folders[1] / "a.png", 610, 790, 6000)
    assert main([str(folder) for folder in folders]) == 0
    assert capsys.readouterr().out == "3 committed examples, no differences\n"


def test_another_value_in_a_part_is_seen(folders: tuple[Path, Path]) -> None:
    package(folders[1] / "a.xlsx", {"xl/sheet1.xml": '<c r="B7"><v>2</v></c>', "xl/styles.xml": "<x/>"})
    (found,) = differences(*folders)
    assert found.startswith("a.xlsx: xl/sheet1.xml: differs near cell B7:")


def test_another_part_is_seen(folders: tuple[Path, Path]) -> None:
    package(folders[1] / "a.xlsx", {"xl/sheet1.xml": '<c r="B7"><v>1</v></c>'})
    assert differences(*folders) == ["a.xlsx: the parts are not the same: xl/styles.xml"]


def test_a_file_too_many_and_a_file_too_few_are_seen(folders: tuple[Path, Path]) -> None:
    (folders[0] / "a.md").unlink()
    (folders[1] / "a.png").unlink()
    assert differences(*folders) == [
        "a.png is committed, but was not made",
        "a.md was made, but is not committed",
    ]


def test_an_empty_picture_is_seen(folders: tuple[Path, Path]) -> None:
    picture(folders[1] / "a.png", 600, 800, 300)
    assert "is one of them empty?" in differences(*folders)[0]
    picture(folders[1] / "a.png", 100, 800)
    assert "pixels" in differences(*folders)[0]
    (folders[1] / "a.png").write_bytes(b"")
    assert differences(*folders)[0].endswith("is no picture")


def test_other_text_is_seen(folders: tuple[Path, Path]) -> None:
    (folders[1] / "a.md").write_text("two\n")
    assert main([str(folder) for folder in folders]) == 1


def test_an_empty_folder_is_no_proof(folders: tuple[Path, Path], tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert main([str(folders[0]), str(tmp_path / "empty")]) == 2
    assert main([str(folders[0])]) == 2
