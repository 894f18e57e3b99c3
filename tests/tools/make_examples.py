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
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from meltbook.sheets import all_furnaces, book_sheets
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from meltbook.workbook.book import make_book
from meltbook.workbook.paper import Paper
from tests.engines.runners import LibreOffice
from tests.tools import class_examples
from tests.tools.page_picture import draw

PICTURED_BOOK = "lakeside-lb.xlsx"
LETTER_BOOK = "lakeside-lb-letter.xlsx"
FURNACES_BOOK = "foundry-two-kg.xlsx"
PAGES = "pages"

LETTER = Letter(
    letter_start=date(2026, 5, 4),
    letter_reference="Letter of 20 April 2026",
    letter_in="Cents",
    letter_price=27.5,
    letter_price_two=17.4,
    letter_service=34,
)
"""A letter that comes too late: some days at the new prices are logged already."""


@dataclass(frozen=True, slots=True)
class Book:
    """One of the workbooks: the file, what it is made from, and what the page says about it."""

    file: str
    studio: Studio
    paper: Paper
    about: str


@dataclass(frozen=True, slots=True)
class Picture:
    """The first printed page of a sheet, by the sheet's key, or a later one."""

    key: str
    about: str
    book: str = PICTURED_BOOK
    page: int = 1

    @property
    def file(self) -> str:
        """The file of the picture, named like the sheet's tab."""
        number = "" if self.page == 1 else f"-{self.page}"
        return f"{PAGES}/{sheet_name(self.key).lower().replace(' ', '-')}{number}.png"


PICTURES = (
    Picture("start", "where things stand and what to type next"),
    Picture("log", "the furnace log, first page"),
    Picture("glass", "the cost of glass, step by step"),
    Picture("prices", "a suggested tag for each piece, and what is left of the tag in use"),
    Picture("idle_or_cold", "what idling costs against going cold, and which costs less"),
    Picture("change_the_pot", "how long pots live, and whether changing one in time costs less than a failure"),
    Picture("hire", "what an open hour costs, and what to ask for a hired one"),
    Picture("price_list", "what goes up on the wall of the shop"),
    Picture("pictures", "five pictures: cost of glass, kinds of days, one piece, the last campaigns, lives of pots"),
    Picture("new_tariff", "a letter typed in, beside the prices in force", LETTER_BOOK),
    Picture("new_tariff", "what it does to the studio in a month and in a year", LETTER_BOOK, page=2),
    Picture("new_tariff", "what it does to each piece and its tag", LETTER_BOOK, page=3),
    Picture("retag_list", "the tags to change, to take along to the shelf", LETTER_BOOK),
    Picture("all_furnaces", "two furnaces side by side, and the cost over both", FURNACES_BOOK),
    Picture("bill_check", "bills for gas and for electricity, and how much of each is known of", FURNACES_BOOK, page=2),
)


def books() -> tuple[Book, ...]:
    """The invented studios, one of them with a letter on the table, and two blank books for other units."""
    lakeside = load_start("lakeside-lb").studio
    blank = load_start("blank").studio
    kilograms = {"weight_unit": "kg", "currency": "EUR", "tax_inside": "Yes"}
    blank_kg = blank.model_copy(update={"shop": blank.shop.model_copy(update=kilograms)})
    return (
        Book(
            PICTURED_BOOK,
            lakeside,
            "Letter",
            "an invented shop in pounds and dollars, filled in: two seasons of an electric furnace on an hour meter",
        ),
        Book(
            LETTER_BOOK,
            lakeside.model_copy(update={"letter": LETTER}),
            "Letter",
            "the same shop on the day of a letter from the utility: see its sheets New tariff and Retag list",
        ),
        Book(
            "harbour-kg.xlsx",
            load_start("harbour-kg").studio,
            "A4",
            "another invented shop, in kilograms and euros, sales tax inside the tags",
        ),
        Book(
            FURNACES_BOOK,
            load_start("foundry-two-kg").studio,
            "A4",
            "an invented shop with two furnaces: gas for clear glass, a small electric one for colour, bills of both",
        ),
        Book("blank-lb-usd.xlsx", blank, "Letter", "nothing typed yet: pounds, US dollars, Letter paper"),
        Book("blank-kg-eur.xlsx", blank_kg, "A4", "nothing typed yet: kilograms, euros, tax inside the tags, A4 paper"),
    )


def sheet_name(key: str) -> str:
    """The tab's name of a sheet."""
    return next(sheet.name for sheet in (*book_sheets(), all_furnaces.sheet()) if sheet.key == key)


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
    """Print the demo to PDF, with a letter and without, and draw the pages that are worth showing."""
    (folder / PAGES).mkdir(exist_ok=True)
    books = [folder / name for name in dict.fromkeys(picture.book for picture in PICTURES)]
    with tempfile.TemporaryDirectory(prefix="meltbook-pages-") as work:
        printed = LibreOffice().convert(books, Path(work), "pdf", "pdf")
        pages = {book: printed_pages(pdf) for book, pdf in printed.items()}
        for picture in PICTURES:
            book = folder / picture.book
            first = page_of(pages[book], sheet_name(picture.key))
            draw(printed[book], first + picture.page - 1, folder / picture.file)


def draw_pages(book: Path, wanted: Mapping[str, Path]) -> None:
    """Print a workbook to PDF and draw the first page of each sheet, by its name, to a file."""
    with tempfile.TemporaryDirectory(prefix="meltbook-pages-") as work:
        pdf = LibreOffice().convert([book], Path(work), "pdf", "pdf")[book]
        pages = printed_pages(pdf)
        for name, target in wanted.items():
            target.parent.mkdir(exist_ok=True)
            draw(pdf, page_of(pages, name), target)


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
        *(line for book in (PICTURED_BOOK, LETTER_BOOK, FURNACES_BOOK) for line in _pages(book)),
        "## A class of six",
        "",
        "Six invented students, each with numbers of their own; five handed something in. What the files are for is in",
        "[docs/classes.md](../docs/classes.md).",
        "",
        *(f"- [{file}]({class_examples.FOLDER}/{file}): {about}" for file, about in class_examples.FILES.items()),
        "",
        "Some pages of these, as they print:",
        "",
        *(f"- [{name}]({class_examples.FOLDER}/{file}): {about}" for name, file, about in class_examples.PAGES),
        "",
        "Everything here is written by `make examples`, so changes made by hand are lost the next time.",
    ]
    (folder / "README.md").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _pages(book: str) -> Iterator[str]:
    yield f"Some pages of {book}, as they print:"
    yield ""
    for one in PICTURES:
        if one.book == book:
            yield f"- [{sheet_name(one.key)}]({one.file}): {one.about}"
    yield ""


def main(arguments: Sequence[str] | None = None) -> int:
    """Write everything into a folder."""
    parser = argparse.ArgumentParser(prog="make_examples.py", description="Write the example workbooks and pictures.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--require", action="store_true", help="it is an error if the pictures can't be made")
    chosen = parser.parse_args(arguments)
    folder: Path = chosen.folder
    reason = no_pictures()
    write_books(folder)
    with tempfile.TemporaryDirectory(prefix="meltbook-class-") as work:
        class_examples.write_class(folder / class_examples.FOLDER, Path(work))
        write_readme(folder)
        if reason is None:
            write_pictures(folder)
            for book, pages in class_examples.pictured(folder / class_examples.FOLDER, Path(work)).items():
                draw_pages(book, pages)
    if reason is not None:
        print(f"no pictures: {reason}", file=sys.stderr)
        if chosen.require:
            return 3
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        print(f"{path.stat().st_size:>10,}  {path.relative_to(folder)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
