"""Rosters as teachers have them, with names that are hard on files, cells and commands."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

from meltbook.classroom.roster import (
    LONGEST_STEM,
    Student,
    read_roster,
    read_roster_file,
    safe_stem,
    unique_stem,
)
from meltbook.errors import MeltbookError, StudioError, UsageError


def read(tmp_path: Path, content: str | bytes) -> list[Student]:
    path = tmp_path / "roster.csv"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_roster(path)


def names(tmp_path: Path, content: str | bytes) -> list[str]:
    return [student.name for student in read(tmp_path, content)]


# ---------------------------------------------------------------------------------------------------- how it is read


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("Ada\nBo\n", ["Ada", "Bo"]),
        ("Ada\r\nBo", ["Ada", "Bo"]),
        ("Ada\rBo\r", ["Ada", "Bo"]),
        ("\n\nAda\n\n  \n,,\nBo\n\n", ["Ada", "Bo"]),
        ("name\nAda\nBo\n", ["Ada", "Bo"]),
        (" Student \nAda", ["Ada"]),
        ("NAME,mark\nAda,1\nBo,2", ["Ada", "Bo"]),
        ("mark,Name\n1,Ada\n2,Bo", ["Ada", "Bo"]),
        ("id;Student;e-mail\n1;Ada;a@x\n2;Bo;b@x", ["Ada", "Bo"]),
        ("Ada;1;x,y\nBo;2;x,y", ["Ada", "Bo"]),
        ("Ada\t1\nBo\t2", ["Ada", "Bo"]),
        ("student\tname\nx\tAda", ["Ada"]),
        ("mark,name\n1,\n2,Bo\n3", ["Bo"]),
        ('name\n"Lindqvist, Ada"\nBerg', ["Lindqvist, Ada", "Berg"]),
        ("Name\nLindqvist, Ada\nBerg, Bo", ["Lindqvist, Ada", "Berg, Bo"]),
        ('"Lindqvist, Ada";1\nBerg;2', ["Lindqvist, Ada", "Berg"]),
        ('"Bo ""the kiln"" Berg"\nBo "the kiln" Berg', ['Bo "the kiln" Berg'] * 2),
        ('"Ada\nLindqvist"\nBo', ["Ada Lindqvist", "Bo"]),
        ("  Ada  Lindqvist  ", ["Ada  Lindqvist"]),
        ("=cmd|' /C calc'!A0\n+1\n-2\n@x\n'y", ["=cmd|' /C calc'!A0", "+1", "-2", "@x", "'y"]),
        ("../x\n/etc/passwd\nC:\\x", ["../x", "/etc/passwd", "C:\\x"]),
        ("Ada\x00\x07\x1b".replace("\x00", "") + "B", ["AdaB"]),
        ("שרה כהן\nمحمد علي\n李小龍", ["שרה כהן", "محمد علي", "李小龍"]),
    ],
)
def test_names_as_they_are_typed(content: str, expected: list[str], tmp_path: Path) -> None:
    assert names(tmp_path, content) == expected


def test_encodings(tmp_path: Path) -> None:
    text = "name\nZoë Čapek\nÅsa\n"
    for encoding in ("utf-8", "utf-8-sig", "utf-16"):
        assert names(tmp_path, text.encode(encoding)) == ["Zoë Čapek", "Åsa"]
        assert read_roster_file(tmp_path / "roster.csv").guess == ""
    assert names(tmp_path, "name\nZoë\nÅsa – “x”\n".encode("cp1252")) == ["Zoë", "Åsa – “x”"]
    guess = read_roster_file(tmp_path / "roster.csv").guess
    assert "not UTF-8" in guess and "Windows-1252" in guess and "UTF-8" in guess


def test_students_are_numbered_in_the_order_of_the_roster(tmp_path: Path) -> None:
    assert read(tmp_path, "Bo\n\nAda") == [Student(1, "Bo", "Bo"), Student(2, "Ada", "Ada")]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("", "Nobody is on the roster"),
        ("name\n\n", "Nobody is on the roster"),
        (" \n,\n ,,", "Nobody is on the roster"),
        (b"PK\x03\x04", "is a workbook"),
        (b"\xd0\xcf\x11\xe0\xa1", "is a workbook"),
        (b"Ada\0Bo", "is not a text file"),
        (b"\xff\xfea", "can't be read as text"),
        ("x" * 2_100_000, "too large"),
        ("x\n" * 2_001, "2,001 lines"),
        ('Ada\n"Bo\nCarla\nDov', "a quote that is not closed"),
        ('Ada\n"Bo\nCarla', "a quote that is not closed"),
    ],
)
def test_what_is_no_roster(content: str | bytes, says: str, tmp_path: Path) -> None:
    with pytest.raises(MeltbookError) as told:
        read(tmp_path, content)
    assert says in told.value.message and "roster.csv" in told.value.message


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="There is no roster"):
        read_roster(tmp_path / "none.csv")
    with pytest.raises(UsageError, match="is a folder"):
        read_roster(tmp_path)


def test_names_that_are_too_long_are_named_by_their_lines(tmp_path: Path) -> None:
    assert names(tmp_path, "a" * 300) == ["a" * 300]
    with pytest.raises(StudioError) as told:
        read(tmp_path, "Ada\n" + "a" * 301 + "\n\n" + "b" * 400)
    assert [(one.row, one.found) for one in told.value.problems] == [
        (2, "a name of 301 characters"),
        (4, "a name of 400 characters"),
    ]


# -------------------------------------------------------------------------------------------------------- file names

HARD = [
    "Lindqvist, Ada",
    'Bo "the kiln" Berg',
    "Zoë Čapek",
    "Zoe\u0308 C\u030capek",
    "=cmd|' /C calc'!A0",
    "../x",
    "..\\..\\x",
    "/etc/passwd",
    "C:\\Windows\\x",
    "x/../../y",
    "..",
    ".",
    "...",
    ".hidden",
    "-rf",
    "--out=x",
    "~root",
    "$HOME",
    "`id`",
    "a;b|c&d>e<f*g?h",
    "a\u202egpj.exe",
    "\u200b\u200f",
    "CON",
    "con",
    "nul.txt",
    "COM1",
    "lpt9.x",
    "COM¹",
    "Aux ",
    "Ada.",
    "Ada ",
    "trailing dot . . .",
    "a" * 300,
    "é" * 300,
    "李" * 300,
    "👩🏽‍🎨" * 40,
    "😀",
    "שרה כהן",
    "محمد علي",
    "%2e%2e%2fx",
    "x\u0000y".replace("\u0000", ""),
    "file:///x",
    "name.xlsx",
    "~$Ada",
]


@pytest.mark.parametrize("name", HARD)
def test_a_stem_is_safe_everywhere(name: str) -> None:
    stem = safe_stem(name)
    assert stem and len(stem) <= LONGEST_STEM and len(f"{stem}.xlsx".encode()) <= 255
    assert Path(f"{stem}.xlsx").name == f"{stem}.xlsx" and Path(stem).parts == (stem,)
    assert not set(stem) & set("<>:\"/\\|?*%$`~;&='\n\t")
    assert stem[0] not in " .-" and stem[-1] not in " ."
    assert ".." not in stem
    assert stem.split(".")[0].casefold() not in {"con", "prn", "aux", "nul", "com1", "lpt9", "com¹"}
    assert all(unicodedata.category(character)[0] not in "C" for character in stem)
    assert safe_stem(stem) == stem, "a stem stays as it is"


def test_letters_of_all_scripts_stay() -> None:
    assert safe_stem("Zoë Čapek") == "Zoë Čapek" == safe_stem("Zoe\u0308 C\u030capek")
    assert safe_stem("شهرزاد") == "شهرزاد"
    assert safe_stem("Anne-Marie O’Neill") == "Anne-Marie ONeill"
    assert safe_stem("😀") == safe_stem("...") == "student"


def test_no_two_students_share_a_file() -> None:
    taken: set[str] = set()
    stems = [unique_stem(name, taken) for name in ["Ada", "ada", "ADA ", "Ada-2", "Adà", "Ada."]]
    assert stems == ["Ada", "ada-2", "ADA-3", "Ada-2-2", "Adà", "Ada-4"]
    long = [unique_stem("x" * 300, taken) for _ in range(12)]
    assert len(set(long)) == 12 and all(len(stem) <= LONGEST_STEM for stem in long)
    assert long[1].endswith("x-2") and long[11].endswith("x-12")
    many = [unique_stem(name, taken) for name in HARD for _ in range(3)]
    assert len({stem.casefold() for stem in many}) == len(many)


def test_files_can_be_made_of_them(tmp_path: Path) -> None:
    taken: set[str] = set()
    for name in HARD:
        (tmp_path / f"{unique_stem(name, taken)}.xlsx").write_text(name)
    assert len([path for path in tmp_path.rglob("*") if path.is_file()]) == len(HARD)
    assert {path.parent for path in tmp_path.rglob("*")} == {tmp_path}
