"""``meltbook check``: what is wrong in a workbook."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from meltbook.cli.output import Document, plural, print_json, tell, working
from meltbook.errors import EXIT_FINE, EXIT_PROBLEMS


@click.command()
@click.argument("book", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document in place of text.")
def check(book: Path, as_json: bool) -> int:
    """Find everything that is wrong in the workbook BOOK, and say where and what to do.

    Looks at what is typed (text where a number belongs, dates that are none, unknown names), at every formula
    (typed over, changed, missing), at the names, and at what the workbook's own list of checks would find.
    The workbook is only read. Notes remind of something and are no fault.

    Exit code 0: nothing is wrong. 1: something is.

    \b
    Examples:
      meltbook check studio.xlsx
      meltbook check studio.xlsx --json
      meltbook check studio.xlsx && echo fine
    """
    from meltbook.workbook.package import open_elsewhere

    if open_elsewhere(book):
        tell(f"{book.name} is open in another program: this is its last saved state.")
    with working(f"Checking {book.name}", quiet=as_json):
        from meltbook.workbook.audit import audit
        from meltbook.workbook.edited import read_book

        found = audit(read_book(book))
    code = EXIT_PROBLEMS if found.problems else EXIT_FINE
    if as_json:
        document: Document = {
            "ok": code == EXIT_FINE,
            "exit_code": code,
            "file": str(book),
            "problems": [asdict(problem) for problem in found.problems],
            "notes": [asdict(note) for note in found.notes],
        }
        print_json(document)
        return code
    for problem in found.problems:
        click.echo(str(problem))
    for note in found.notes:
        click.echo(f"Note: {note}")
    count, notes = len(found.problems), len(found.notes)
    aside = f" ({plural(notes, 'note')})" if notes else ""
    fine = f"Nothing is wrong{aside}." if found.begun else "Nothing is typed yet, so there is nothing to check."
    click.echo(f"{plural(count, 'problem')}{aside}." if count else fine)
    return code
