"""``meltbook figures``: the key figures of a workbook, worked out apart from it."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from meltbook.cli.output import plural, print_json, tell, working
from meltbook.errors import EXIT_FINE, EXIT_PROBLEMS

if TYPE_CHECKING:
    from meltbook.method.results import Results, Value
    from meltbook.workbook.differences import Comparison, Difference
    from meltbook.workbook.edited import EditedBook


@click.command()
@click.argument("book", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document in place of text.")
def figures(book: Path, as_json: bool) -> int:
    """Print the key figures of the workbook BOOK, and every cell that shows something else.

    What is typed in the workbook is worked out once more by a second, independent way, and compared with the
    values that the workbook shows. Figures are printed under the names that their cells have in the workbook.

    Exit code 0: all cells agree. 1: some differ, or something typed can't be used.

    \b
    Examples:
      meltbook figures studio.xlsx
      meltbook figures studio.xlsx --json > figures.json
      meltbook figures studio.xlsx | grep price_
    """
    from meltbook.workbook.package import open_elsewhere

    if open_elsewhere(book):
        tell(f"{book.name} is open in another program: this is its last saved state.")
    with working(f"Working out {book.name}", quiet=as_json):
        from meltbook.workbook.differences import Comparison, compare, reference
        from meltbook.workbook.edited import read_book

        edited = read_book(book)
        results = reference(edited)
        # With a cell that can't be used the two would be worked out from different things.
        comparison = compare(edited, results) if edited.usable else Comparison()
    code = EXIT_FINE if edited.usable and not comparison.differences else EXIT_PROBLEMS
    if as_json:
        print_json(_document(book, code, edited, results, comparison))
        return code
    for name, label, value in _key_figures(edited, results):
        click.echo(f"{name}{f' [{label}]' if label else ''} = {'' if value is None else value}")
    _tell_comparison(book, edited, comparison)
    return code


def _tell_comparison(book: Path, edited: EditedBook, comparison: Comparison) -> None:
    if not edited.usable:
        for problem in edited.problems:
            click.echo(str(problem))
        tell(
            f"{plural(len(edited.problems), 'thing')} in {book.name} can't be used and counted as not typed, "
            f"so the cells were not compared. See `meltbook check {book}`."
        )
        return
    for difference in comparison.differences:
        click.echo(_line(difference))
    if comparison.absent:
        tell(
            f"{plural(comparison.absent, 'formula')} in {book.name} without a stored value: nothing to "
            "compare there. Open it in a spreadsheet program and save it to have them."
        )
    if comparison.compared:
        count = len(comparison.differences)
        cells = plural(comparison.compared, "cell")
        tell(f"{cells} compared: {plural(count, 'differs', 'differ') if count else 'all agree'}.")


def _line(difference: Difference) -> str:
    shows = "nothing" if difference.shows in (None, "") else difference.shows
    should = "nothing" if difference.should_be in (None, "") else difference.should_be
    return (
        f"{difference.sheet}, {difference.cell}, {difference.field} ({difference.label}): "
        f"shows {shows}; should be {should}"
    )


def _key_figures(edited: EditedBook, results: Results) -> list[tuple[str, str, Value]]:
    """Name, row label and value of each key figure; of a table of pieces every row that has a name."""
    from meltbook.fields.kernel import Shape
    from meltbook.method.key_figures import KEY_FIGURES, OF_SEVERAL

    found: list[tuple[str, str, Value]] = []
    pieces = edited.studio.pieces
    for name in (*KEY_FIGURES, *(OF_SEVERAL if len(edited.ends()) > 1 else ())):
        if name in results.scalars:
            item = edited.vocabulary.scalars[name]
            value = results.scalars[name]
            found.append((name, "", iso_date(value) if item.shape is Shape.DATE else value))
            continue
        column = results.columns[name]
        table = edited.vocabulary.columns[name][0]
        if table.name == "periods":
            found.append((name, "", column[0]))
            continue
        if table.name == "furnaces":
            titles = results.columns["furnace_called"]
            found.extend((name, str(title), value) for title, value in zip(titles, column, strict=True))
            continue
        found.extend((name, piece.name, column[row]) for row, piece in enumerate(pieces) if piece.name)
    return found


def iso_date(day: Value) -> Value:
    """A day number of a spreadsheet as people and other programs write dates: 2026-03-02."""
    from meltbook.method.arithmetic import calendar

    return calendar(day).isoformat() if isinstance(day, int) else day


def _document(book: Path, code: int, edited: EditedBook, results: Results, comparison: Comparison) -> dict[str, Any]:
    figures_found: dict[str, Any] = {}
    for name, label, value in _key_figures(edited, results):
        if label:
            what = "furnace" if name.startswith("each_") else "piece"
            figures_found.setdefault(name, []).append({what: label, "value": value})
        else:
            figures_found[name] = value
    return {
        "ok": code == EXIT_FINE,
        "exit_code": code,
        "file": str(book),
        "figures": figures_found,
        "compared": comparison.compared,
        "without_stored_value": comparison.absent,
        "differences": [
            {**asdict(difference), "shows": _plain(difference.shows), "should_be": difference.should_be}
            for difference in comparison.differences
        ],
        "problems": [asdict(problem) for problem in edited.problems],
    }


def _plain(value: object) -> object:
    return value if value is None or isinstance(value, float | int | str | bool) else str(value)
