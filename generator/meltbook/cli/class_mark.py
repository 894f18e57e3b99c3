"""``meltbook class mark``: what came back from a class, marked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from meltbook.cli.output import Document, plural, print_json, progress_bar
from meltbook.errors import EXIT_FINE, EXIT_PROBLEMS

if TYPE_CHECKING:
    from meltbook.classroom.gathering import StudentMarks
    from meltbook.classroom.mark import ClassMarked


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--key", type=click.Path(path_type=Path), help="The key of the class.  [default: key.xlsx in or beside it]"
)
@click.option(
    "--out", "results", metavar="RESULTS.xlsx", required=True, type=click.Path(path_type=Path), help="Where to."
)
@click.option("--force", is_flag=True, help="Overwrite earlier results.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document in place of text.")
def mark(folder: Path, key: Path | None, results: Path, force: bool, as_json: bool) -> int:
    """Mark the workbooks in FOLDER that came back from a class, whatever they are called.

    Each is worked out again from what was typed; what it shows is not trusted. RESULTS.xlsx then holds the
    marks, how the class did at each step, what there is to say about files, and a page of feedback for each
    student; a CSV file of the same name holds the marks. The files that came back are only read.

    Exit code 0: every student is marked, and there is nothing to say. 1: something is told.

    \b
    Examples:
      meltbook class mark returned --key monday/key.xlsx --out results.xlsx
      meltbook class mark monday --out results.xlsx --force
    """
    from meltbook.classroom.mark import mark_class

    with progress_bar("Marking", quiet=as_json) as progress:
        done = mark_class(folder, results, key=key, overwrite=force, progress=progress)
    code = EXIT_PROBLEMS if done.marks.told else EXIT_FINE
    if as_json:
        print_json(_document(done, code))
        return code
    for told in done.marks.told:
        click.echo(": ".join(filter(None, (told.file, told.student, told.kind.value))) + f". {told.says}")
    click.echo(f"Marked {plural(len(done.marks.marked), 'workbook')} of {plural(len(done.marks.students), 'student')}")
    click.echo(f"Wrote {done.results} and {done.csv}")
    return code


def _document(done: ClassMarked, code: int) -> Document:
    return {
        "ok": code == EXIT_FINE,
        "exit_code": code,
        "exercise": done.marks.some.exercise.name,
        "files": done.marks.files,
        "students": [_student(one) for one in done.marks.students],
        "told": [
            {"kind": told.kind.value, "file": told.file, "student": told.student, "says": told.says}
            for told in done.marks.told
        ],
        "results": str(done.results),
        "csv": str(done.csv),
    }


def _student(one: StudentMarks) -> Document:
    marks = one.marked.marks if one.marked else ()
    return {
        "name": one.student.name,
        "file": one.file or None,
        "points": one.marked.points if one.marked else None,
        "steps": [
            {"cell": mark.cell, "state": mark.state.value, "points": mark.points, "out_of": mark.out_of}
            for mark in marks
        ],
    }
