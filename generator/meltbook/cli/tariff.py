"""``meltbook tariff``: what a new tariff changes, and taking it over."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from meltbook.cli.output import plural, print_json, tell, working
from meltbook.cli.typed_numbers import Day, Number, Percent
from meltbook.errors import EXIT_FINE, UsageError

if TYPE_CHECKING:
    from meltbook.studio.furnaces import Source
    from meltbook.studio.letter import Letter
    from meltbook.studio.model import Studio
    from meltbook.workbook.edited import EditedBook
    from meltbook.workbook.new_letter import Applied, Preview

WITH_NEW_TARIFF = ".with-new-tariff"

_SHARE = Percent(0, 100)
_KWH = "as the letter has it"

LETTER_OPTIONS = (
    click.option("--from", "start", type=Day(), help="The day from which the new prices hold, such as 2027-01-01."),
    click.option("--price", type=Number(), help=f"New price of a kWh, m³ or therm, {_KWH}."),
    click.option("--change", type=Percent(-99, 10_000), help="Or one change of all unit prices: 8% is 8 % more."),
    click.option("--price-two", type=Number(), help="Price of the second period, with times of use."),
    click.option("--price-three", type=Number(), help="Price of the third period."),
    click.option("--share-one", type=_SHARE, help="Part of the use in the first period, if the periods change."),
    click.option("--share-two", type=_SHARE, help="Part of the use in the second period."),
    click.option("--share-three", type=_SHARE, help="Part of the use in the third period."),
    click.option("--surcharge", type=Number(negative=True), help="Surcharge on each unit; below 0 for a rebate."),
    click.option("--tax", type=_SHARE, help="Tax on the bill that you can't reclaim."),
    click.option("--service", type=Number(), help="Service charge, in money."),
    click.option("--per", type=click.Choice(["day", "month"]), help="What the service charge is for."),
    click.option("--demand", type=Number(), help="Demand charge for a kW and month, in money."),
    click.option("--demand-kw", type=Number(), help="Billed kW."),
    click.option("--cents", is_flag=True, help="Unit prices and surcharge are in cents."),
    click.option("--with-tax", is_flag=True, help="The amounts have the tax in them."),
    click.option("--ref", help="Which letter it is: its date or number, so that you find it again."),
)
"""What a letter can say. The sheet New tariff has a cell for each."""


def letter_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options that a letter needs."""
    for option in reversed(LETTER_OPTIONS):
        command = option(command)
    return command


@click.command()
@click.argument("book", type=click.Path(path_type=Path))
@letter_options
@click.option(
    "--source",
    "whose",
    type=click.Choice(["first", "second"]),
    help="Whose letter it is: to be said in a workbook with two sources of energy.",
)
@click.option("--apply", "do_apply", is_flag=True, help="Write a workbook with the letter in its tariff table.")
@click.option("--retag", is_flag=True, help="With --apply: write the suggested tags to the pieces, too.")
@click.option("--in-place", is_flag=True, help="With --apply: change BOOK itself; a copy with the date is kept.")
@click.option("--out", type=click.Path(path_type=Path), help="With --apply: the file to write.")
@click.option("--although-large", is_flag=True, help="With --apply: more than three times the price is meant.")
@click.option("--report", type=click.Path(path_type=Path), help="Write before and after to a .csv or .xlsx, too.")
@click.option("--force", is_flag=True, help="Overwrite the files of --out and --report.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document in place of text.")
def tariff(
    book: Path,
    whose: str | None,
    do_apply: bool,
    retag: bool,
    in_place: bool,
    out: Path | None,
    although_large: bool,
    report: Path | None,
    force: bool,
    as_json: bool,
    **said: Any,
) -> int:
    """Show what a new tariff does to the workbook BOOK and its tags, and take it over with --apply.

    Give what the utility's letter says; what it doesn't mention stays as it is. Without any of it the letter
    is taken that is typed on the sheet New tariff. Every piece is shown with its tag, cost and margin now, its
    cost and margin at the same tag then, and a suggested tag. Nothing is changed.

    With --apply the letter becomes a row of the sheet Tariffs in a new file beside BOOK, called
    NAME.with-new-tariff.xlsx. All else that is in the file stays, byte for byte, but for the stored values of
    formulas, which are brought up to date.

    Exit code 0: fine. 1: the workbook can't be read or holds something that can't be used. 2: the letter or
    the options can't be used. Nothing is written then.

    \b
    Examples:
      meltbook tariff studio.xlsx --from 2027-01-01 --price 0.151
      meltbook tariff studio.xlsx --from 2027-01-01 --change 8% --service 31.50 --ref "letter of 25 Nov"
      meltbook tariff studio.xlsx --from 2027-01-01 --price 15.1 --cents --apply --retag
      meltbook tariff studio.xlsx --apply --in-place
      meltbook tariff foundry.xlsx --source second --from 2027-01-01 --change 8%
    """
    from meltbook.workbook.package import open_elsewhere

    _check_options(do_apply, retag, in_place, out, although_large)
    target = _target(book, in_place, out) if do_apply else None
    _check_files(book, target, report, in_place=in_place, force=force)
    letter = _letter(said)
    if not in_place and open_elsewhere(book):
        tell(f"{book.name} is open in another program: this is its last saved state.")
    with working(f"Working out {book.name}", quiet=as_json):
        from meltbook.workbook.edited import read_book
        from meltbook.workbook.new_letter import apply, preview

        edited = read_book(book)
        source = _source(edited, whose, letter)
        found = preview(edited, letter or _on_the_sheet(edited, source), source)
        page = b""
        if report is not None:
            from meltbook.workbook.change_report import report_data

            page = report_data(found, report)  # before anything is written: what fails here leaves no new workbook
        applied: Applied | None = None
        if target is not None:
            applied = apply(found, target, retag=retag, although_large=although_large, overwrite=force)
        if report is not None:
            _save_report(report, page, applied, force=force)
    if as_json:
        from meltbook.cli.tariff_text import document

        print_json({"ok": True, "exit_code": EXIT_FINE, **document(book, found, applied, report)})
        return EXIT_FINE
    _tell_all(book, found, applied, report, retag=retag)
    return EXIT_FINE


def _check_options(do_apply: bool, retag: bool, in_place: bool, out: Path | None, although_large: bool) -> None:
    if in_place and out is not None:
        raise UsageError("--in-place and --out say two things.", hint="Give one of them.")
    given = {"--retag": retag, "--in-place": in_place, "--out": out is not None, "--although-large": although_large}
    alone = [name for name, is_given in given.items() if is_given and not do_apply]
    if alone:
        raise UsageError(f"{alone[0]} does something only with --apply.", hint="Add --apply, or leave it out.")


def _target(book: Path, in_place: bool, out: Path | None) -> Path:
    if in_place:
        return book
    return out if out is not None else book.with_name(f"{book.stem}{WITH_NEW_TARIFF}{book.suffix}")


def _check_files(book: Path, target: Path | None, report: Path | None, *, in_place: bool, force: bool) -> None:
    """Refuse what can't be written before any work is done."""
    import os

    from meltbook.workbook.package import open_elsewhere
    from meltbook.workbook.save import same_file

    if in_place and book.is_file():
        if open_elsewhere(book):
            raise UsageError(f"{book} is open in another program.", hint="Save and close it there first.")
        if not os.access(book, os.W_OK):
            raise UsageError(
                f"{book} is write-protected.", hint="Take the protection off, or leave --in-place out for a new file."
            )
    if report is not None:
        from meltbook.workbook.change_report import check_report

        check_report(report)
        if target is not None and (same_file(report, target) or report.resolve() == target.resolve()):
            raise UsageError("--report and the workbook have the same name.", hint="Give the report another one.")
    for path in (None if in_place else target, report):
        if path is None:
            continue
        if same_file(path, book):
            raise UsageError(f"{path} is the workbook itself.", hint="Choose another name; --in-place changes it.")
        if path.is_dir():
            raise UsageError(f"{path} is a folder.", hint="Name a file in it.")
        if path.exists() and not force:
            raise UsageError(f"{path} is there already.", hint="Choose another name, or overwrite it with --force.")
        if path.exists() and open_elsewhere(path):
            raise UsageError(f"{path} is open in another program.", hint="Close it there first.")
        if not path.parent.is_dir():
            raise UsageError(f"There is no folder {path.parent}.", hint="Make it first, or name another one.")


def _save_report(report: Path, page: bytes, applied: Applied | None, *, force: bool) -> None:
    """Write the report, the last file of a run. Where that fails, the workbook is there, and is said to be."""
    from meltbook.workbook.save import save

    try:
        save(report, page, overwrite=force)
    except UsageError as error:
        if applied is None:
            raise
        edit = applied.report.edit
        kept = "" if edit.backup is None else f" The old workbook is kept as {edit.backup.name}."
        raise UsageError(
            f"{error.message} The letter was taken over all the same, in {edit.target}.{kept}", hint=error.hint
        ) from error


# ------------------------------------------------------------------------------------------------ the letter

_FIGURES = (
    "change",
    "price",
    "price_two",
    "price_three",
    "share_one",
    "share_two",
    "share_three",
    "surcharge",
    "tax",
    "service",
    "demand",
    "demand_kw",
)


def _letter(said: dict[str, Any]) -> Letter | None:
    """The letter of the options; ``None`` where there are none."""
    from meltbook.studio.letter import Letter

    start: dt.date | None = said["start"]
    if start is None:
        if any(said[name] not in (None, False) for name in said):
            raise UsageError("The letter has no date.", hint="Say from when its prices hold: --from 2027-01-01.")
        return None
    if said["price"] is not None and said["change"] is not None:
        raise UsageError("--price and --change say two things.", hint="Give the new price, or by how much it changes.")
    if all(said[name] is None for name in _FIGURES):
        raise UsageError("The letter changes nothing.", hint="Say what changes: --price 0.151, or --change 8%.")
    if said["cents"] and all(said[name] is None for name in ("price", "price_two", "price_three", "surcharge")):
        raise UsageError("--cents is for unit prices, and none is given.", hint="All else is in money.")
    if said["per"] is not None and said["service"] is None:
        raise UsageError("--per goes with the service charge.", hint="Give --service as well.")
    if said["ref"] is not None and len(said["ref"]) > 300:
        raise UsageError("--ref is longer than 300 characters.", hint="A date or a number is enough.")
    figures = {f"letter_{name}": said[name] for name in _FIGURES}
    return Letter(
        letter_start=start,
        letter_reference=said["ref"],
        letter_in="Cents" if said["cents"] else None,
        letter_tax_in="With tax" if said["with_tax"] else None,
        letter_service_per=None if said["per"] is None else said["per"].capitalize(),
        **figures,
    )


def _source(edited: EditedBook, whose: str | None, letter: Letter | None) -> Source:
    """Whose letter it is. With two sources it has to be said, unless it is the only one that is typed on a sheet."""
    from meltbook.studio.billing import billed
    from meltbook.workbook.new_letter import is_typed

    if edited.studio.second_source is None:
        if whose == "second":
            raise UsageError(
                "The workbook has one source of energy, so there is no letter of a second.", hint="Leave --source out."
            )
        return "First"
    if whose is not None:
        return "First" if whose == "first" else "Second"
    sources: tuple[Source, ...] = ("First", "Second")
    typed = [source for source in sources if is_typed(billed(edited.studio, source).letter)]
    if letter is None and len(typed) == 1:
        return typed[0]
    raise UsageError(
        "The workbook has two sources of energy: say whose letter it is.",
        hint="; ".join(f"--source {source.lower()}: {_runs_on(edited.studio, source)}" for source in sources) + ".",
    )


_NAMED = 4
"""So many of the furnaces and machines on a source are named; of more, how many there are besides."""


def _runs_on(studio: Studio, source: Source) -> str:
    """The unit that a source is billed in, and what runs on it."""
    from meltbook.studio.billing import billed, on_source
    from meltbook.studio.furnaces import titles

    called = titles(studio.places)
    names = [called[place] for place in on_source(studio, source)]
    names += [row.name for row in studio.machines if row.name and (row.source or "First") == source]
    besides = [f"{len(names) - _NAMED} more"] if len(names) > _NAMED else []
    return ", ".join([billed(studio, source).energy_unit, *names[:_NAMED], *besides])


def _on_the_sheet(edited: EditedBook, source: Source) -> Letter:
    from meltbook.studio.billing import OTHER, billed
    from meltbook.workbook.new_letter import is_typed

    letter = billed(edited.studio, source).letter
    if is_typed(letter):
        return letter
    sheets = {"First": "New tariff", "Second": "New tariff 2"}
    hint = "Type it there and save, or say it here: --from 2027-01-01 --price 0.151."
    other = OTHER[source]
    if edited.studio.second_source is not None and is_typed(billed(edited.studio, other).letter):
        hint = f"One is typed on {sheets[other]}: say --source {other.lower()} to use it."
    raise UsageError(f"There is no letter: none is typed on the sheet {sheets[source]}.", hint=hint)


# -------------------------------------------------------------------------------------------------- the text


def _tell_all(book: Path, found: Preview, applied: Applied | None, report: Path | None, *, retag: bool) -> None:
    from meltbook.cli.tariff_text import lines

    for line in lines(found):
        click.echo(line)
    for warning in found.warnings:
        tell(f"Careful: {warning}")
    if report is not None:
        click.echo(f"Wrote {report}")
    if applied is None:
        click.echo("Nothing was changed. To take it over, add --apply.")
        return
    written = applied.report
    click.echo(
        f"Wrote {written.edit.target}: line {found.line} of {found.sheet_of_tariffs}" + _tags(applied, retag=retag)
    )
    if written.edit.backup is not None:
        click.echo(f"The old workbook is kept as {written.edit.backup.name}")
    click.echo(str(written.caches))
    if applied.formulas_changed:
        tell(f"Formulas in it are not as they were made: meltbook check {written.edit.target} shows which.")
    priced = found.results.scalars["pricing_date_used"]
    start = found.row.start
    if isinstance(priced, int) and start is not None:
        from meltbook.method.arithmetic import calendar

        if calendar(priced) < start:
            still = "Costs" if applied.tags else "Costs and tags"
            new_tags = "; the new tags are on Pieces already" if applied.tags else ""
            click.echo(
                f"{still} in it are still those of {calendar(priced)}{new_tags}. From {start} on, set the pricing "
                "date on Shop to that day or a later one."
            )


def _tags(applied: Applied, *, retag: bool) -> str:
    return f", and {plural(applied.tags, 'tag')} on Pieces." if retag else "."
