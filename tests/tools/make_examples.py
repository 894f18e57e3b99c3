"""Write the example workbooks, pictures of some of their pages, and a page that says what each is.

    python -m tests.tools.make_examples [--require] FOLDER

The pictures need LibreOffice and poppler's pdftoppm and pdftotext; without them they are left out and the
reason is said, or it is an error with --require. Everything else is the same byte for byte each time.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from meltbook.sheets import book_sheets
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from meltbook.workbook.book import make_book
from meltbook.workbook.page import Paper
from tests.engines.runners import LibreOffice
from tests.tools.page_picture import draw

PICTURED_BOOK = "lakeside-lb.xlsx"
PAGES = "pages"


@dataclass(frozen=True, slots=True)
class Book:
    """One of the workbooks: the file, what it is made from, and what the page says about it."""

    file: str
    studio: Studio
    paper: Paper
    about: str


@dataclass(frozen=True, slots=True)
class Picture:
    """The first printed page of a sheet, by the sheet's key."""

    key: str
    about: str


PICTURES = (
    Picture("start", "where things stand and what to type next"),
    Picture("log", "the furnace log, first page"),
    Picture("glass", "the cost of glass, step by step"),
    Picture("prices", "a suggested tag for each piece, and what is left of the tag in use"),
    Picture("idle_or_cold", "what idling costs against going cold, and which costs less"),
    Picture("change_the_pot", "how long pots live, and whether changing one in time costs less than a failure"),
    Picture("price_list", "what goes up on the wall of the shop"),
    Picture("pictures", "five pictures: cost of glass, kinds of days, one piece, the last campaigns, lives of pots"),
)


def books() -> tuple[Book, ...]:
    """The two invented studios, and two blank books for other units."""
    blank = load_start("blank").studio
    kilograms = {"weight_unit": "kg", "currency": "EUR", "tax_inside": "Yes"}
    blank_kg = blank.model_copy(update={"shop": blank.shop.model_copy(update=kilograms)})
    return (
        Book(
            PICTURED_BOOK,
            load_start("lakeside-lb").studio,
            "Letter",
            "an invented shop in pounds and dollars, filled in: two seasons of an electric furnace on an hour meter",
        ),
        Book(
            "harbour-kg.xlsx",
            load_start("harbour-kg").studio,
            "A4",
            "another invented shop, in kilograms and euros, sales tax inside the tags",
        ),
        Book("blank-lb-usd.xlsx", blank, "Letter", "nothing typed yet: pounds, US dollars, Letter paper"),
        Book("blank-kg-eur.xlsx", blank_kg, "A4", "nothing typed yet: kilograms, euros, tax inside the tags, A4 paper"),
    )


def sheet_name(key: str) -> str:
    """The tab's name of a sheet."""
    return next(sheet.name for sheet in book_sheets() if sheet.key == key)


def picture_file(key: str) -> str:
    """The file of a sheet's picture, named like its tab."""
    return f"{PAGES}/{sheet_name(key).lower().replace(' ', '-')}.png"


def write_books(folder: Path) -> None:
    """Write the workbooks."""
    folder.mkdir(parents=True, exist_ok=True)
    for book in books():
        make_book(book.studio, folder / book.file, paper=book.paper, overwrite=True)


def no_pictures() -> str | None:
    """Why pictures can't be made on this machine, or None if they can."""
    reason = LibreOffice().available()
    lacking = [program for program in ("pdftoppm", "pdftotext") if shutil.which(program) is None]
    if reason is None and lacking:
        reason = f"{' and '.join(lacking)} not on the path (Debian: poppler-utils)"
    return reason


def write_pictures(folder: Path) -> None:
    """Print the demo to PDF and draw one page of each sheet that is worth showing."""
    (folder / PAGES).mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="meltbook-pages-") as work:
        book = folder / PICTURED_BOOK
        pdf = LibreOffice().convert([book], Path(work), "pdf", "pdf")[book]
        pages = printed_pages(pdf)
        for picture in PICTURES:
            draw(pdf, page_of(pages, sheet_name(picture.key)), folder / picture_file(picture.key))


def printed_pages(pdf: Path) -> list[list[str]]:
    """The lines of text of each page."""
    done = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True)
    pages = done.stdout.decode().split("\f")
    return [[line.strip() for line in page.splitlines() if line.strip()] for page in pages]


def page_of(pages: Sequence[Sequence[str]], name: str) -> int:
    """The number of a sheet's first page, which has the sheet's name for its header."""
    for number, lines in enumerate(pages, 1):
        if lines and lines[0] == name:
            return number
    raise LookupError(f"no printed page is headed {name!r}")


def write_readme(folder: Path) -> None:
    """Say what each file is, to people who have no Python and need none."""
    lines = [
        "# Workbooks to open",
        "",
        "Nothing has to be installed for these: download a workbook and open it in a spreadsheet program. On the",
        "project's web page, choose the file and then the button that downloads it.",
        "",
        "| Workbook | What it is |",
        "|---|---|",
        *(f"| [{book.file}]({book.file}) | {book.about} |" for book in books()),
        "",
        "The studios, their people and all figures are invented. To use a blank one, make a copy and read its first",
        "sheet, Start: it says what to type first. Each has room for 1,000 rows of the furnace log. The unit and the",
        "currency are chosen when a book is made; for others, or for more rows, see the project's first page.",
        "",
        "The programs these were tried in, and what differs between them, are in",
        "[docs/engines.md](../docs/engines.md).",
        "",
        f"Some pages of {PICTURED_BOOK}, as they print:",
        "",
        *(f"- [{sheet_name(one.key)}]({picture_file(one.key)}): {one.about}" for one in PICTURES),
        "",
        "Everything here is written by `make examples`, so changes made by hand are lost the next time.",
    ]
    (folder / "README.md").write_text("\n".join(lines) + "\n", encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> int:
    """Write everything into a folder."""
    parser = argparse.ArgumentParser(prog="make_examples.py", description="Write the example workbooks and pictures.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--require", action="store_true", help="it is an error if the pictures can't be made")
    chosen = parser.parse_args(arguments)
    folder: Path = chosen.folder
    write_books(folder)
    write_readme(folder)
    reason = no_pictures()
    if reason is None:
        write_pictures(folder)
    else:
        print(f"no pictures: {reason}", file=sys.stderr)
        if chosen.require:
            return 3
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        print(f"{path.stat().st_size:>10,}  {path.relative_to(folder)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
