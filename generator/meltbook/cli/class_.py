"""``meltbook class``: workbooks for the students of a class. One group; each command stands on its own."""

from __future__ import annotations

from pathlib import Path

import click
from click.shell_completion import CompletionItem

from meltbook.cli.class_mark import mark
from meltbook.cli.output import Document, plural, print_json, progress_bar, tell
from meltbook.errors import EXIT_FINE


@click.group("class")
def class_() -> None:
    """Make a costing exercise for every student of a class, and mark what comes back.

    Every student gets a workbook of their own, with their own numbers. It tells a student how each step stands,
    and holds no answer in clear: that stops peeking, not cheating.

    \b
    Examples:
      meltbook class exercises --long
      meltbook class make roster.csv --exercise meter-and-bill --out monday
      meltbook class mark returned --key monday/key.xlsx --out results.xlsx
    """


def _complete_exercise(context: click.Context, parameter: click.Parameter, incomplete: str) -> list[CompletionItem]:
    from meltbook.classroom.exercise import shipped

    names = [CompletionItem(name) for name in shipped() if name.startswith(incomplete)]
    return [*names, CompletionItem(incomplete, type="file")]


@class_.command()
@click.option("--long", "with_titles", is_flag=True, help="Say what each one is about.")
def exercises(with_titles: bool) -> None:
    """List the exercises that come with meltbook, one a line.

    Each is a plain text file; write one of your own to ask for something else.

    \b
    Examples:
      meltbook class exercises
      meltbook class exercises --long
    """
    from meltbook.classroom.exercise import load_exercise, shipped

    names = shipped()
    width = max(map(len, names), default=0)
    for name in names:
        click.echo(f"{name:<{width}}  {_plain(load_exercise(name).title)}".rstrip() if with_titles else name)


def _plain(title: str) -> str:
    """A title as it reads before a class has a unit."""
    return title.replace("{weight}", "weight").replace("{currency}", "money")


@class_.command()
@click.argument("roster", type=click.Path(path_type=Path))
@click.option(
    "--exercise",
    metavar="NAME",
    required=True,
    shell_complete=_complete_exercise,
    help="A name from `meltbook class exercises`, or the path of an exercise file (.toml).",
)
@click.option("--out", "folder", metavar="FOLDER", required=True, type=click.Path(path_type=Path), help="Where to.")
@click.option("--seed", type=int, default=1, show_default=True, help="Another number gives everybody new numbers.")
@click.option(
    "--weight",
    "weight_unit",
    type=click.Choice(["lb", "kg"]),
    default="lb",
    show_default=True,
    help="The unit of all weights.",
)
@click.option(
    "--currency",
    metavar="XXX",
    default="USD",
    show_default=True,
    help="The currency's three letters (ISO 4217), such as EUR.",
)
@click.option(
    "--paper",
    type=click.Choice(["Letter", "A4"], case_sensitive=False),
    help="The paper to print on.  [default: Letter with lb, A4 with kg]",
)
@click.option("--force", is_flag=True, help="Overwrite the files of an earlier run in FOLDER.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document in place of text.")
def make(
    roster: Path,
    exercise: str,
    folder: Path,
    seed: int,
    weight_unit: str,
    currency: str,
    paper: str | None,
    force: bool,
    as_json: bool,
) -> int:
    """Write a workbook for every student on ROSTER, a CSV file with one name a line.

    FOLDER then holds `workbooks`, with a file for each student; `key.xlsx`, with every answer, for the teacher;
    and `data-sheets.xlsx`, with a page to print for each student. The same roster, exercise, seed and units
    give the same files.

    \b
    Examples:
      meltbook class make roster.csv --exercise meter-and-bill --out monday
      meltbook class make roster.csv --exercise ladder --out kg --weight kg --currency EUR
      meltbook class make roster.csv --exercise mine.toml --out again --seed 2
    """
    from meltbook.classroom.make import make_class
    from meltbook.studio.currency import read_currency

    currency = read_currency(currency)
    a4 = paper == "A4" if paper else weight_unit == "kg"
    with progress_bar("Writing workbooks", quiet=as_json) as progress:
        made = make_class(
            roster,
            exercise,
            folder,
            seed=seed,
            weight_unit=weight_unit,
            currency=currency,
            paper="A4" if a4 else "Letter",
            overwrite=force,
            progress=progress,
        )
    if as_json:
        document: Document = {
            "ok": True,
            "exit_code": EXIT_FINE,
            "exercise": made.exercise,
            "students": made.students,
            "workbooks": [str(path) for path in made.workbooks],
            "key": str(made.key),
            "data_sheets": str(made.data_sheets),
            "other_files": [str(path) for path in made.others],
            "guess": made.guess,
        }
        print_json(document)
        return EXIT_FINE
    click.echo(f"Wrote {plural(made.students, 'workbook')} to {made.folder / 'workbooks'}")
    click.echo(f"Wrote {made.key}: the answers. Keep it from students; marking needs it.")
    click.echo(f"Wrote {made.data_sheets}: a page to print for each student")
    if made.guess:
        tell(made.guess)
    if made.others:
        there = plural(len(made.others), "other workbook")
        tell(f"In {made.folder / 'workbooks'} there is also {there}, of an earlier run: see that nobody gets one.")
    return EXIT_FINE


class_.add_command(mark)
