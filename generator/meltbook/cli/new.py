"""``meltbook new``: write a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

from meltbook.cli.output import tell, working
from meltbook.errors import UsageError

if TYPE_CHECKING:
    from meltbook.studio.base import EnergyUnit
    from meltbook.studio.model import Studio

SUFFIX = ".xlsx"
ENERGY = ("kWh", "therm (US)", "therm (EC)", "m³", "ft³", "Ccf", "litre", "kg")


class Unit(click.Choice[str]):
    """A unit of energy, also as a keyboard without raised figures has it: m3 for m³."""

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The unit as meltbook spells it."""
        from meltbook.studio.base import plain_unit

        return super().convert(str(plain_unit(value)), param, ctx)


def _complete_start(context: click.Context, parameter: click.Parameter, incomplete: str) -> list[CompletionItem]:
    from meltbook.studio.starts import start_names

    names = [CompletionItem(name) for name in start_names() if name.startswith(incomplete)]
    return [*names, CompletionItem(incomplete, type="file")]


@click.command()
@click.argument("book", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "studio_name",
    metavar="STUDIO",
    default="blank",
    show_default=True,
    shell_complete=_complete_start,
    help="A name from `meltbook starts`, a studio file (.toml), or a workbook (.xlsx) to carry on from.",
)
@click.option("--furnaces", type=int, metavar="N", help="How many furnaces the book has, 1 to 6.")
@click.option(
    "--second-energy",
    type=Unit(ENERGY),
    help="With --furnaces: those that are added run on a second source. The unit is that of its bill, "
    "not that of the meter.",
)
@click.option("--rows", type=int, metavar="N", help="Rows to prepare in the furnace log, 10 to 20000.  [default: 1000]")
@click.option("--unit", type=click.Choice(["lb", "kg"]), help="The unit of all weights.")
@click.option(
    "--energy",
    type=Unit(ENERGY),
    help="The unit of the furnace's bill, not of its meter; litre and kg are of propane. m3 and ft3 do for m³ and ft³.",
)
@click.option("--currency", metavar="XXX", help="The currency's three letters (ISO 4217), such as EUR.")
@click.option("--tax-inside/--tax-on-top", default=None, help="Whether the prices on your tags have sales tax in them.")
@click.option(
    "--paper",
    type=click.Choice(["letter", "a4"]),
    help="The paper to print on.  [default: letter with lb, a4 with kg]",
)
@click.option("--force", is_flag=True, help="Overwrite BOOK if it is there.")
def new(
    book: Path,
    studio_name: str,
    furnaces: int | None,
    second_energy: EnergyUnit | None,
    rows: int | None,
    unit: str | None,
    energy: str | None,
    currency: str | None,
    tax_inside: bool | None,
    paper: str | None,
    force: bool,
) -> None:
    """Write a new workbook to the file BOOK.

    Without --from it is blank: every input is empty or has its default. Options come before what the studio
    file says. Nothing is converted: with another unit or currency the studio's numbers are taken as they are.

    From a workbook of meltbook all that is typed in its own cells is carried over, into a book with more rows
    or one more furnace. Sheets and formulas that you added stay behind in the old one, which isn't changed.

    \b
    Examples:
      meltbook new studio.xlsx
      meltbook new studio.xlsx --unit kg --currency EUR --tax-inside --paper a4
      meltbook new gas.xlsx --energy "therm (US)"
      meltbook new demo.xlsx --from lakeside-lb
      meltbook new big.xlsx --from mine.toml --rows 5000 --force
      meltbook new two-furnaces.xlsx --from studio.xlsx --furnaces 2
      meltbook new gas-too.xlsx --from studio.xlsx --furnaces 2 --second-energy m3
    """
    from meltbook.studio.added import with_furnaces
    from meltbook.studio.room import capacity_for

    _check_target(book, force=force)
    found, carried_rows = _studio(studio_name, book)
    studio = _overridden(found, unit, energy, currency, tax_inside)
    if furnaces is not None:
        studio = with_furnaces(studio, furnaces, second_energy)
    elif second_energy is not None:
        raise UsageError("--second-energy goes with --furnaces.", hint="Say how many furnaces there are in all.")
    capacity, told = capacity_for(studio, carried_rows if rows is None else rows)
    for sentence in told:
        tell(sentence)
    if studio.shop.weight_unit != found.shop.weight_unit and found.log:
        tell(f"The studio's weights are taken as {studio.shop.weight_unit}; none was converted.")
    if studio.shop.energy_unit != found.shop.energy_unit and _billed_so_far(found):
        tell(f"The studio's energy is taken as {studio.shop.energy_unit}; none was converted.")
    if studio.shop.currency != found.shop.currency and _has_amounts(found):
        tell(f"The studio's amounts are taken as {studio.shop.currency}; none was converted.")
    a4 = paper == "a4" if paper else studio.shop.weight_unit == "kg"
    with working(f"Writing {book.name}"):
        from meltbook.workbook.book import make_book

        make_book(studio, book, capacity=capacity, paper="A4" if a4 else "Letter", overwrite=force)
        filled = _values_stored(book)
    click.echo(f"Wrote {book}")
    click.echo(
        "Every formula has its value stored beside it, so previewers show the right figures too."
        if filled
        else "The formulas have no stored values: figures appear when a spreadsheet program opens the file."
    )


def _billed_so_far(studio: Studio) -> bool:
    """Whether prices or readings of energy are typed: the first row of a blank book's tariff has only its date."""
    return bool(studio.log) or any(row.price is not None for row in studio.tariffs)


def _has_amounts(studio: Studio) -> bool:
    """Whether amounts of money are typed anywhere, beside the steps and limits that a blank book begins with."""
    amounts = (
        *(row.price for row in studio.tariffs),
        *(row.price for row in studio.glasses),
        *(row.rate for row in studio.people),
        *(row.amount for row in studio.overheads),
        *(row.cost for row in studio.equipment),
        *(row.cost for row in studio.ledger),
        *(row.tag for row in studio.pieces),
        *(row.materials for row in studio.pieces),
        *(row.purchase for row in studio.machines),
        studio.furnace.furnace_purchase,
    )
    return any(amount is not None for amount in amounts)


def _studio(wanted: str, book: Path) -> tuple[Studio, int | None]:
    """The studio to start from, and how many rows its log had, where it is carried over from a workbook."""
    from meltbook.studio.starts import find_studio

    path = Path(wanted)
    if path.suffix.lower() != SUFFIX:
        return find_studio(wanted).studio, None
    from meltbook.studio.capacity import Capacity
    from meltbook.workbook.edited import read_book
    from meltbook.workbook.save import same_file

    if same_file(path, book):
        raise UsageError(f"{path} is the workbook to carry on from.", hint="Give the new one another name.")
    old = read_book(path)
    old.refuse(f"Something in {path.name} can't be carried over as it is typed.")
    tell(f"All that is typed in {path.name} is carried over; sheets and formulas of your own are not.")
    return old.studio, max(Capacity().log, old.capacity.log)


def _check_target(book: Path, *, force: bool) -> None:
    """Refuse what can't be written before any work is done."""
    from meltbook.workbook.package import open_elsewhere

    if book.is_dir():
        raise UsageError(f"{book} is a folder.", hint=f"Name a file in it: {book / 'studio.xlsx'}")
    if book.suffix.lower() != SUFFIX:
        raise UsageError(f"{book.name} doesn't end in {SUFFIX}.", hint=f"Call it {book.with_suffix(SUFFIX).name}.")
    if not book.parent.is_dir():
        raise UsageError(f"There is no folder {book.parent}.", hint="Make it first, or name another one.")
    if book.exists() and not force:
        raise UsageError(f"{book} is there already.", hint="Choose another name, or overwrite it with --force.")
    if book.exists() and open_elsewhere(book):
        raise UsageError(f"{book} is open in another program.", hint="Close it there first.")


LIKE_THE_DOLLAR = frozenset({"USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF", "SGD"})
"""Currencies in which a kWh costs well below 1, so that the blank book's limit tells cents from money."""


def _overridden(
    studio: Studio, unit: str | None, energy: str | None, currency: str | None, tax_inside: bool | None
) -> Studio:
    from meltbook.studio.currency import read_currency

    changes: dict[str, str | None] = {}
    if unit is not None:
        changes["weight_unit"] = unit
    if energy is not None:
        changes["energy_unit"] = energy
        studio = _metered(studio, energy)
    if currency is not None:
        changes["currency"] = read_currency(currency)
        if changes["currency"] != studio.shop.currency and changes["currency"] not in LIKE_THE_DOLLAR:
            changes["price_limit"] = None
    if tax_inside is not None:
        changes["tax_inside"] = "Yes" if tax_inside else "No"
    return studio.model_copy(update={"shop": studio.shop.model_copy(update=changes)}) if changes else studio


def _metered(studio: Studio, energy: str) -> Studio:
    """The studio with a meter that fits the unit, if nothing is typed about its furnace yet."""
    from meltbook.studio.energy import Furnace, fitting_meter

    if studio.log or studio.furnace != Furnace():
        return studio
    return studio.model_copy(update={"furnace": Furnace(meter_kind=fitting_meter(energy))})


def _values_stored(book: Path) -> bool:
    """Whether the formulas of a book just written have their values beside them."""
    from meltbook.workbook.read import read_file

    file = read_file(book)
    area = file.names.areas.get("checks_state")
    return area is not None and file.cell(area.sheet, area.top, area.left).value is not None
