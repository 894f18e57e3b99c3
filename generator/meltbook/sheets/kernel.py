"""How a sheet is declared.

A sheet is a tab name, a title, a one-line purpose and a list of blocks that stand under one another. The
blocks say which fields stand where; which cell that makes is worked out in ``meltbook.workbook.place``, and
the look in ``meltbook.workbook.style``. Nothing here knows a spreadsheet library, and nothing here holds a
formula.

Every field stands in exactly one place. To show a figure a second time, declare a figure of its own that
repeats it: the reference engine then has a value for it, and no cell of the book is without one.

Where a text is asked for, a word such as ``ladder_sentence`` (small letters with an underscore, no space)
is the name of a text field, which then stands there; anything else is written as it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, get_args

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import NAME

Role = Literal["type", "read", "print", "check"]
"""What the owner does with a sheet: type into it, read it, print it for the shop, or look where a check
points.
"""

Kind = Literal["bar", "stacked bar", "column", "stacked column", "line", "waterfall"]

Span: TypeAlias = str | tuple[str, ...]
"""What a chart takes its numbers from: the rows of a column, or named cells that stand next to one another.
"""

STATE_PREFIX = "state_on_"
"""Each sheet repeats the state of all checks in a cell that is named with this and the sheet's key."""


@dataclass(frozen=True, slots=True)
class Fields:
    """Single figures, one a row: label, value, unit and note."""

    heading: str
    names: tuple[str, ...]
    intro: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """A table, or some of its columns; columns of a table that is aligned with it may stand among them.

    A table may be split over several blocks and sheets, as long as each of its columns stands once.
    ``workings`` are columns that the owner need not look at: they stand to the right, after a gap, under a
    heading that says so, and are not printed. ``legend`` is a text figure that stands under the intro and says what
    the columns are. ``widths`` sets a column's width in characters where its
    shape gives a poor one. ``dashed`` columns show a dash for 0, where that only says that there is nothing.
    """

    heading: str
    table: str
    columns: tuple[str, ...]
    workings: tuple[str, ...] = ()
    intro: str = ""
    legend: str = ""
    caution: str = ""
    line_numbers: bool = False
    widths: Mapping[str, float] = field(default_factory=dict)
    dashed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Below:
    """The empty cells right under the last row of the table before: what is typed there by mistake is seen.

    ``columns`` stand under the first columns of that table. Nothing is drawn or printed.
    """

    table: str
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """Single figures side by side, as in a ladder: a label a row, and one figure under each heading.

    Each row is a label, then a field name (or "") for each heading, then, if wanted, a sentence.
    """

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    intro: str = ""
    caution: str = ""

    def __post_init__(self) -> None:
        width = len(self.columns)
        for row in self.rows:
            if not width + 1 <= len(row) <= width + 2:
                raise DeclarationError(
                    f"{self.heading}: a row is a label, {width} names or blanks, and at most one sentence; "
                    f"found {row!r}"
                )


@dataclass(frozen=True, slots=True)
class Step:
    """A question, the cell of its answer and what stands beside it.

    ``said`` is the text figure that tells how the answer stands; ``ask`` the cell in which the hint is asked
    for, ``hint`` the text figure that shows it and ``hint_text`` its words, which the row leaves room for. A
    step that works itself out says in ``how`` what it is made of.
    """

    label: str
    answer: str
    unit: str = ""
    said: str = ""
    ask: str = ""
    hint: str = ""
    hint_text: str = ""
    how: str = ""


@dataclass(frozen=True, slots=True)
class Steps:
    """Questions under one another: what is asked, the answer's cell, unit, feedback, and a hint on request.

    ``heads`` are the six headings. A sheet of steps has columns of a settled width, which its single figures
    and tables share, so that all sheets of a class look alike.
    """

    heading: str
    rows: tuple[Step, ...]
    heads: tuple[str, str, str, str, str, str]
    intro: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """Lines to read. A line that is a field's name shows that text figure."""

    heading: str
    lines: tuple[str, ...]
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """One set of bars or one line. ``hidden`` ones are drawn without fill: they carry those stacked on
    them.
    """

    label: str
    values: Span
    hidden: bool = False
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart with the sentence that says what it shows.

    ``alt`` is read out to those who can't see the chart. A waterfall is a stacked bar whose first series is
    hidden and says where each bar starts. ``rows`` limits a chart of table columns to the first so many.
    ``percent`` writes the categories in percent. ``beside`` puts the chart, on a sheet that lies, to the right
    of the one before it; both are then drawn smaller. ``alone`` keeps a chart
    on such a sheet as wide as on others, and ``tall`` gives it room for many bars.
    """

    kind: Kind
    title: str
    categories: Span
    series: tuple[Series, ...]
    sentence: str
    alt: str
    heading: str = ""
    axis: str = ""
    rows: int | None = None
    percent: bool = False
    beside: bool = False
    tall: bool = False
    alone: bool = False

    def __post_init__(self) -> None:
        if not self.alt.strip():
            raise DeclarationError(f"the chart {self.title!r} has no text for those who can't see it")
        if not self.series or all(series.hidden for series in self.series):
            raise DeclarationError(f"the chart {self.title!r} shows nothing")


@dataclass(frozen=True, slots=True)
class Links:
    """The list of all other sheets: what each is for and what the owner does there."""

    heading: str = "Sheets, in the order you use them"


@dataclass(frozen=True, slots=True)
class Key:
    """What the tints mean, each with the word that says the same without colour.

    ``lines`` are a word, the manner it is written in, and what it means; a book that has none shows those of
    the costing workbook.
    """

    heading: str = "How to read this workbook"
    lines: tuple[tuple[str, str, str], ...] = ()


Block: TypeAlias = Fields | Rows | Below | Grid | Steps | Words | Picture | Links | Key

_KEY = re.compile(r"^[a-z]+(_[a-z]+)*$")
_NOT_IN_TABS = re.compile(r"[\[\]:*?/\\']")
_LIKE_A_CELL = re.compile(r"^[A-Za-z]{1,3}[0-9]+$|^[Rr][0-9]*[Cc]?[0-9]*$|^[Cc]$|^[Ss]heet ?[0-9]*$")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet. ``does`` says on the start page what the owner does there; the role says it if left out.

    ``one_page`` prints it on a single page, for sheets that are short enough to be read so.
    """

    key: str
    name: str
    title: str
    purpose: str
    blocks: tuple[Block, ...]
    landscape: bool = False
    role: Role = "read"
    does: str = ""
    one_page: bool = False

    def __post_init__(self) -> None:
        if not _KEY.match(self.key):
            raise DeclarationError(f"{self.key!r} can't be the key of a sheet: small letters and underscores only")
        if not 1 <= len(self.name) <= 31 or _NOT_IN_TABS.search(self.name) or self.name != self.name.strip():
            raise DeclarationError(f"{self.name!r} can't be the name of a sheet: up to 31 letters, none of []:*?/\\'")
        if _LIKE_A_CELL.match(self.name):
            raise DeclarationError(f"{self.name!r} can't be the name of a sheet: some programs read it as a cell")
        if not self.title or not self.purpose or "\n" in self.purpose:
            raise DeclarationError(f"the sheet {self.name!r} needs a title and a purpose of one line")
        if self.role not in get_args(Role):
            raise DeclarationError(f"{self.role!r} is not a role of a sheet")

    @property
    def state_name(self) -> str:
        """The name of the cell that repeats the state of all checks on this sheet."""
        return f"{STATE_PREFIX}{self.key}"


def is_name(text: str) -> bool:
    """Whether a text in a declaration is the name of a field rather than words to write."""
    return bool(NAME.match(text))
