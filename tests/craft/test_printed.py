"""What LibreOffice puts on paper: how large the text comes out, and what stands at the foot of a page.

Nothing is worked out from widths here: the sizes and places are read off the printed pages, by pypdf.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from meltbook.studio.starts import load_start
from meltbook.workbook.book import make_book
from tests.engines.runners import LibreOffice

BOOKS = {"lakeside-lb": "Letter", "foundry-two-kg": "A4", "quay-gas-kg": "A4"}
LEAST_POINTS = 8.0
INCH = 72.0
TOP, FOOT = 0.5 * INCH, 0.8 * INCH
"""Where the header and the footer stand, from the edge of the paper."""
LARGER = 1.1
"""A heading is so much larger than the text around it."""


@dataclass(frozen=True, slots=True)
class Said:
    """A piece of text on a page, how large it is and how far it stands above the foot."""

    text: str
    points: float
    height: float


@dataclass(frozen=True, slots=True)
class Page:
    number: int
    said: tuple[Said, ...]

    @property
    def sheet(self) -> str:
        return self.said[0].text

    @property
    def usual(self) -> float:
        """The size of most of its text."""
        return Counter(one.points for one in self.body).most_common(1)[0][0]

    @property
    def body(self) -> tuple[Said, ...]:
        return tuple(one for one in self.said[1:] if one.height > FOOT)


def read(pdf: Path) -> list[Page]:
    """The pages with their texts. A sheet's name in the header comes first on each."""
    pages = []
    for number, page in enumerate(PdfReader(pdf).pages, start=1):
        said: list[Said] = []

        def note(text: str, _cm: Any, tm: Any, _font: Any, size: float, said: list[Said] = said) -> None:
            if text.strip():
                said.append(Said(text.strip(), round(size * math.hypot(tm[2], tm[3]), 2), tm[5]))

        page.extract_text(visitor_text=note)
        pages.append(Page(number, tuple(sorted(said, key=lambda one: -one.height))))
    return pages


@pytest.fixture(scope="module")
def printed(libreoffice: LibreOffice, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Page]]:
    folder = tmp_path_factory.mktemp("printed")
    paths = {}
    for name, paper in BOOKS.items():
        path = folder / f"{name}.xlsx"
        make_book(load_start(name).studio, path, paper=paper)
        paths[name] = path
    pdfs = libreoffice.convert(list(paths.values()), folder, "pdf", "pdf")
    return {name: read(pdfs[path]) for name, path in paths.items()}


@pytest.mark.parametrize("name", BOOKS)
def test_all_text_is_printed_at_eight_points_or_more(printed: dict[str, list[Page]], name: str) -> None:
    small = {
        f"{page.sheet}, page {page.number}": one
        for page in printed[name]
        for one in page.said
        if one.points < LEAST_POINTS
    }
    assert not small, small


@pytest.mark.parametrize("name", BOOKS)
def test_no_heading_stands_at_the_foot_of_a_page(printed: dict[str, list[Page]], name: str) -> None:
    torn = {
        f"{page.sheet}, page {page.number}": page.body[-1]
        for page in printed[name]
        if page.body and page.body[-1].points > LARGER * page.usual
    }
    assert not torn, torn
