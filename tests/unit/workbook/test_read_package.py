"""Opening files: each that is no workbook is told in one sentence, with what to do."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from meltbook.errors import BookFileError, UsageError
from meltbook.workbook import package as package_module
from meltbook.workbook.edited import read_book
from meltbook.workbook.package import open_elsewhere, open_package
from tests.unit.workbook.hostile import HOSTILE
from tests.unit.workbook.small_books import parts, write


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_files(kind: str, tmp_path: Path) -> None:
    make, said = HOSTILE[kind]
    file = make(tmp_path / "book.xlsx")
    before = file.read_bytes()
    with pytest.raises(BookFileError, match=said) as caught:
        read_book(file)
    assert caught.value.exit_code == 1
    assert caught.value.hint
    assert "\n" not in caught.value.message
    assert file.read_bytes() == before
    assert list(tmp_path.iterdir()) == [file]


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="folder") as caught:
        read_book(tmp_path)
    assert caught.value.exit_code == 2


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="no file"):
        read_book(tmp_path / "none.xlsx")


def test_a_device() -> None:
    with pytest.raises(UsageError, match="not a file"):
        read_book(Path("/dev/null"))


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = write(tmp_path / "book.xlsx", parts({"One": ""}))

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(UsageError, match="permission denied"):
        read_book(file)


def test_the_mark_of_an_open_workbook(tmp_path: Path) -> None:
    file = tmp_path / "~$book.xlsx"
    file.write_bytes(b"\x05owner")
    with pytest.raises(BookFileError) as caught:
        read_book(file)
    assert "while the workbook is open" in caught.value.hint


@pytest.mark.parametrize("mark", ["~$book.xlsx", ".~lock.book.xlsx#"])
def test_a_workbook_that_is_open_elsewhere(mark: str, tmp_path: Path) -> None:
    assert not open_elsewhere(tmp_path / "book.xlsx")
    (tmp_path / mark).touch()
    assert open_elsewhere(tmp_path / "book.xlsx")


def test_a_studio_file_given_for_a_workbook(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("[shop]\n")
    with pytest.raises(BookFileError) as caught:
        read_book(file)
    assert "meltbook new" in caught.value.hint


def test_a_file_larger_than_any_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(package_module, "LARGEST_FILE", 100)
    with pytest.raises(BookFileError, match="larger than"):
        read_book(write(tmp_path / "book.xlsx", parts({"One": ""})))


def test_a_large_file_of_ordinary_density_is_read(tmp_path: Path) -> None:
    noise = bytes(range(256)) * 100
    path = write(tmp_path / "book.xlsx", {**parts({"One": ""}), "xl/media/image1.png": noise})
    package, part = open_package(path)
    assert part == "xl/workbook.xml"
    assert package.read("XL/Media/image1.png") == noise


def test_the_size_that_a_part_claims_is_not_believed(tmp_path: Path) -> None:
    """A part that is larger than the zip's directory says is damaged, not unpacked to the end."""
    path = write(tmp_path / "book.xlsx", {**parts({"One": ""}), "xl/big.bin": bytes(100_000)})
    content = path.read_bytes()
    size = (100_000).to_bytes(4, "little")
    assert content.count(size) == 2
    path.write_bytes(content.replace(size, (10).to_bytes(4, "little")))
    package, _ = open_package(path)
    with pytest.raises(BookFileError, match=r"damaged in xl/big\.bin"):
        package.read("xl/big.bin")


def test_packing_methods_that_python_lacks(tmp_path: Path) -> None:
    path = write(tmp_path / "book.xlsx", {**parts({"One": ""}), "xl/big.bin": b"x" * 1000})
    content = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as sound:
        local = sound.getinfo("xl/big.bin").header_offset
    central = content.find(b"PK\x01\x02", content.rfind(b"xl/big.bin") - 60)
    content[local + 8] = content[central + 10] = 93
    path.write_bytes(bytes(content))
    package, _ = open_package(path)
    with pytest.raises(BookFileError, match="in a way that can't be read"):
        package.read("xl/big.bin")
