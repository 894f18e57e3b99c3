"""The list of checks, as far as a studio's own data decide them.

Some checks look at the sheet itself: a formula typed over, a row deleted, text where a number belongs, sums
that no longer add up. A studio that is read from values can't have such faults; whoever knows of some hands
them in as :class:`SheetFacts`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import calendar, flag, nearest, opt, total
from meltbook.method.called import Called
from meltbook.method.constants import CHARGE, CLOSENESS, NEW_METER, NO_METER, ROWS_LOW
from meltbook.method.energy import FELL_BACK, READ, WAITING, FurnaceLog, LogDay, counted_use
from meltbook.method.equipment import EquipmentCost
from meltbook.method.hire import Hiring
from meltbook.method.letter import LetterRates
from meltbook.method.log_words import (
    CHARGES_ASKED,
    GAP,
    METER_NOT_READ,
    NO_DATE,
    NO_KIND,
    NO_TARIFF,
    NOT_A_NUMBER,
    OVERLAP,
    STRAY_KW,
    UNKNOWN_GLASS,
    WAITS,
    asks_for_charges,
)
from meltbook.method.machines import MachineCost
from meltbook.method.made import Made
from meltbook.method.melt import CAMPAIGN, Melt
from meltbook.method.pieces import PieceCost
from meltbook.method.prices import Pricing
from meltbook.method.ranking import Lists, known_name
from meltbook.method.tariff import Tariff
from meltbook.method.wear import Ledger
from meltbook.studio.model import Studio
from meltbook.units import BILLED_KILOJOULES, kwh_in

CHECKS: tuple[str, ...] = (
    "log_kinds",
    "log_numbers",
    "log_dates",
    "log_gaps",
    "readings_back",
    "meter_hours",
    "gas_factor",
    "meter_change",
    "use_unplaced",
    "tariff_cover",
    "tariff_order",
    "tariff_shares",
    "tariff_size",
    "tariff_block",
    "charges_asked",
    "waiting",
    "glass_names",
    "part_rows",
    "log_formulas",
    "log_rows",
    "use_adds_up",
    "cost_adds_up",
    "days_add_up",
    "tariff_adds_up",
    "wear_adds_up",
    "campaigns_add_up",
    "ladder_adds_up",
    "pricing_adds_up",
    "shop_numbers",
    "inputs_missing",
    "piece_names",
    "equipment_once",
    "equipment_rows",
    "machines_add_up",
    "piece_costs_add_up",
    "prices_add_up",
    "ranking_adds_up",
    "unknown_names",
    "furnace_recovered",
    "log_room",
    "below_last",
    "tax_asked",
    "course_rows",
    "hire_adds_up",
    "stray_prices",
    "sold_nowhere",
    "list_full",
    "letter_size",
    "tariff_dropped",
)
NOTES = frozenset(
    {
        *("gas_factor", "tariff_block", "charges_asked", "waiting", "furnace_recovered"),
        *("tax_asked", "stray_prices", "sold_nowhere", "list_full", "letter_size", "tariff_dropped"),
    }
)
"""Checks that remind; they don't say that something is wrong."""
SHOP_NEEDS = (2, 3, 5)
"""Of what a book needs, the rows that are the shop's and not a furnace's."""


ASKING = "inputs_missing"
"""The check that only asks for something that is not there yet."""


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """Faults of the sheet itself, by how many were seen."""

    text_cells: int = 0
    rows_below: int = 0
    rows_deleted: int = 0
    formulas_missing: int = 0
    more: tuple[SheetFacts, ...] = ()
    """Those of each further furnace's sheets."""

    def of_further(self, place: int) -> SheetFacts:
        """The facts of a further furnace, counted from 0."""
        return self.more[place] if place < len(self.more) else SheetFacts()


@dataclass(slots=True)
class Book:
    """Everything that a check may look at."""

    studio: Studio
    log: FurnaceLog
    tariff: Tariff
    ledger: Ledger
    melt: Melt
    pieces: Sequence[PieceCost]
    pricing: Pricing
    lists: Lists
    made: Made
    letter: LetterRates
    pot_row: int = 1
    """0 if the owner chose a kind of pot that isn't one of the kinds of part."""
    furnaces_unknown: int | None = None
    """How many pieces name a furnace that there isn't; ``None`` in a book with one furnace."""
    sheets: Called = field(default_factory=Called)
    """What the furnace's sheets are called."""
    further: bool = False
    """Whether this is a further furnace, whose checks leave out what the first one's look at for the shop."""
    machines: Sequence[MachineCost] = ()
    machines_unknown: int = 0
    equipment: Sequence[EquipmentCost] = ()
    hiring: Hiring = field(default_factory=Hiring)


@dataclass(slots=True)
class Check:
    """One line of the list."""

    check_found: int
    check_state: str
    check_look: int
    check_wrong: int
    check_line: int
    check_day: int
    check_on: str | None
    check_first: str | None


@dataclass(slots=True)
class Verdict:
    """The roll-up that every sheet shows."""

    checks: list[Check]
    checks_total: int
    checks_failing: int
    checks_notes: int
    checks_state: str
    checks_begun: int
    checks_calm: str


def run_checks(book: Book, facts: SheetFacts) -> Verdict:
    """Run all checks, in order."""
    found = _found(book, facts)
    checks = []
    pointed = _pointed_at()
    for name in CHECKS:
        number = found.get(name, 0)
        state = "OK" if number == 0 else "NOTE" if name in NOTES else "LOOK"
        line, day = _first_line(book.log.rows, pointed[name]) if name in pointed else (0, 0)
        on = f"first on {calendar(day).isoformat()}" if day else None
        where = (on or _of_line(line)) if name in pointed else _place(name, book)
        look = flag(state == "LOOK")
        wrong = look if name != ASKING else 0
        checks.append(Check(number, state, look, wrong, line, day, on, where if number else None))
    failing = sum(check.check_look for check in checks)
    begun = bool(book.log.log_rows_used or book.lists.pieces_named) or book.tariff.tariff_newest is not None
    return Verdict(
        checks=checks,
        checks_total=len(checks),
        checks_failing=failing,
        checks_notes=sum(check.check_state == "NOTE" for check in checks),
        checks_state=state_words(failing, begun=begun),
        checks_begun=flag(begun),
        checks_calm=state_words(0, begun=begun),
    )


def state_words(failing: int, *, begun: bool) -> str:
    """The sentence that every sheet shows; ``begun`` says that something is typed by now that can be checked."""
    calm = "All checks pass" if begun else "Nothing to check yet"
    return {0: calm, 1: "1 check needs a look"}.get(failing, f"{failing} checks need a look")


def _faulty_rows(log: FurnaceLog) -> dict[str, Callable[[LogDay], bool]]:
    """The checks that look at the log row by row, and what each calls a fault."""
    metered = log.meter.meter_code != NO_METER
    return {
        "log_kinds": lambda row: row.row_fault == NO_KIND,
        "log_numbers": lambda row: row.row_fault == NOT_A_NUMBER,
        "log_dates": lambda row: row.row_flow_dates in (NO_DATE, OVERLAP),
        "log_gaps": lambda row: row.row_flow_dates == GAP,
        "readings_back": lambda row: row.stretch_close == FELL_BACK,
        "meter_hours": lambda row: row.hours_over == 1,
        "meter_change": lambda row: _meter_faults(row) > 0,
        "tariff_cover": lambda row: row.row_kind > 0 and row.first_day > 0 and row.row_priced == 0,
        "charges_asked": asks_for_charges,
        "waiting": lambda row: metered and row.row_kind > 0 and row.stretch_state == WAITING,
    }


def _meter_faults(row: LogDay) -> int:
    unread = row.row_kind == NEW_METER and row.typed.reading is None
    return (row.row_flow_reading == METER_NOT_READ) + unread + (row.row_fault == STRAY_KW)


def _pointed_at() -> dict[str, Callable[[LogDay], bool]]:
    """The checks that say from which day to look, and the rows whose own words say the same."""
    return {
        "log_kinds": lambda row: row.row_fault == NO_KIND,
        "log_numbers": lambda row: row.row_fault == NOT_A_NUMBER,
        "log_dates": lambda row: row.row_flow_dates == OVERLAP,
        "log_gaps": lambda row: row.row_flow_dates == GAP,
        "readings_back": lambda row: row.stretch_close == FELL_BACK,
        "meter_hours": lambda row: row.hours_over == 1,
        "meter_change": lambda row: row.row_flow_reading == METER_NOT_READ,
        "tariff_cover": lambda row: row.row_flow_rest == NO_TARIFF,
        "charges_asked": lambda row: row.row_flow_rest == CHARGES_ASKED,
        "waiting": lambda row: row.row_flow_rest == WAITS,
        "glass_names": lambda row: row.row_fault == UNKNOWN_GLASS,
    }


def _first_line(rows: Iterable[LogDay], meant: Callable[[LogDay], bool]) -> tuple[int, int]:
    """The first line of the log that is meant, and its first day; 0 for what there isn't."""
    return next(((line, row.first_day) for line, row in enumerate(rows, start=1) if meant(row)), (0, 0))


def _of_line(line: int) -> str | None:
    return f"line {line} of the log" if line else None


def _place(name: str, book: Book) -> str | None:
    """Where to look for what is no row of the log."""
    if name == "piece_names":
        return "Pieces"
    if name == "furnace_recovered":
        return f"paid: {nearest(100 * opt(book.made.made_recovered))} %"
    if name == "inputs_missing":
        return next((what for what, missing in _own_needs(book) if missing), None)
    if name == "unknown_names":
        return _where_unknown(book)
    return None


def _where_unknown(book: Book) -> str:
    pot = book.pot_row == 0
    if book.further:
        return "Change the pot"
    chosen = unknown_channel(book) + unknown_picture(book)
    if book.furnaces_unknown is None:
        return "Shop" if chosen else "Change the pot" if pot else "Equipment"
    if book.furnaces_unknown:
        return "Pieces"
    return "Shop, Change the pot" if chosen or pot else "Equipment, Bill check"


def _found(book: Book, facts: SheetFacts) -> dict[str, int]:
    """How many faults each check finds. Checks that are not named here find none in a studio's values."""
    log, rows, letters = book.log, book.log.rows, book.tariff.letters
    found = {name: sum(faulty(row) for row in rows) for name, faulty in _faulty_rows(log).items()}
    found["meter_change"] = sum(_meter_faults(row) for row in rows)
    found["gas_factor"] = _factor_asked(book.studio)
    found["use_unplaced"] = _unplaced(log)

    found["tariff_order"] = sum(letter.tariff_bad_order for letter in letters)
    found["tariff_shares"] = sum(letter.tariff_bad_share for letter in letters)
    found["tariff_size"] = sum(letter.tariff_jump for letter in letters)
    found["tariff_dropped"] = sum(row.tax_dropped + row.service_dropped + row.demand_dropped for row in letters)
    found["tariff_block"] = sum(letter.typed.block == "Yes" for letter in letters)

    strange = sum(row.row_fault == UNKNOWN_GLASS for row in rows)
    found["glass_names"] = strange
    if not book.further:
        found["glass_names"] += sum(piece.piece_glass_row == 0 for piece in book.pieces)
    found["part_rows"] = sum(part.part_fault for part in book.ledger.parts)
    found["log_formulas"] = facts.formulas_missing
    found["log_rows"] = facts.rows_deleted
    found["campaigns_add_up"] = _campaigns_apart(book.melt)
    found["shop_numbers"] = facts.text_cells
    found["inputs_missing"] = sum(missing for _, missing in _own_needs(book))
    found["piece_names"] = sum(piece.piece_twice + piece.piece_nameless for piece in book.pieces)
    found["equipment_once"] = sum(each.equipment_twice for each in book.equipment)
    found["equipment_rows"] = sum(row.machine_nameless + row.machine_runs_missing for row in book.machines)
    found["unknown_names"] = _unknown_names(book)

    recovered, tolerance = book.made.made_recovered, book.studio.shop.recovery_tolerance
    found["furnace_recovered"] = flag(
        recovered is not None and tolerance is not None and abs(recovered - 1) > tolerance + CLOSENESS
    )
    found["log_room"] = flag(log.log_rows_used > 0 and log.log_rows_free < ROWS_LOW)
    found["below_last"] = facts.rows_below
    taxed = book.studio.shop.tax_inside == "Yes" and book.studio.shop.sales_tax is None
    found["tax_asked"] = flag(taxed and book.lists.pieces_named > 0 and not book.further)
    found["course_rows"] = sum(course.course_nameless for course in book.hiring.courses)
    found["stray_prices"] = _tags_that_lose(book)
    found["sold_nowhere"] = sum(tag.sold_nowhere_row for tag in book.pricing.tags)
    found["list_full"] = flag(book.lists.pieces_named == len(book.pieces))
    found["letter_size"] = book.letter.letter_jump
    return found


def _factor_asked(studio: Studio) -> int:
    """A gas meter counts a volume. A bill in kWh or therms has multiplied that by what the owner did not type."""
    asked = studio.furnace.meter_kind == "Gas meter" and studio.furnace.billing_factor is None
    return flag(asked and kwh_in(studio.shop.energy_unit, BILLED_KILOJOULES) > 0)


def _unplaced(log: FurnaceLog) -> int:
    """Use that waits for a day to carry it, and the readings that had none."""
    if log.meter.meter_code == NO_METER:
        return 0
    left = abs(opt(log.use_not_placed)) > CLOSENESS * max(1.0, counted_use(log))
    idle_readings = sum(row.stretch_close == READ and row.days_since == 0 and row.reading_use > 0 for row in log.rows)
    return flag(left) + idle_readings


def _campaigns_apart(melt: Melt) -> int:
    """Campaigns that don't add up to all time: there are more of them than the book has rows for."""
    campaigns = [period for period in melt.periods if period.code == CAMPAIGN]
    everything = melt.all_time
    pairs = (
        (everything.period_weight, total(period.period_weight for period in campaigns)),
        (everything.period_cost, total(period.period_cost for period in campaigns)),
        (everything.period_days, total(period.period_days for period in campaigns)),
    )
    return sum(abs(part - opt(whole)) > CLOSENESS * max(1.0, opt(whole)) for whole, part in pairs)


def needs(book: Book) -> list[tuple[str, bool]]:
    """What a book can't do without once it is used so far, where it is typed, and whether it is missing."""
    shop, everything, people = book.studio.shop, book.melt.all_time, book.studio.people
    logged, named, sheets = book.log.log_rows_used > 0, book.lists.pieces_named > 0, book.sheets
    return [
        (
            f"Connected kW or the use of each kind of day, on {sheets.meter}",
            logged and book.log.meter.energy_known == 0,
        ),
        (f"A date and a price, on {sheets.tariffs}", logged and book.tariff.tariff_newest is None),
        ("The gaffer's rate, on Shop", named and (not people or people[0].rate is None)),
        ("A way of selling that must earn its margin, on Shop", named and book.pricing.must_count == 0),
        (f"The share of the charge that is drawn, on {sheets.meter}", named and opt(shop.share_drawn) == 0),
        ("The step that tags go up in, on Shop", named and opt(shop.tag_step) <= 0),
        (
            f"The weight charged, on {sheets.log}",
            opt(everything.charge_days) > 0 and opt(everything.period_weight) == 0,
        ),
    ]


def _own_needs(book: Book) -> list[tuple[str, bool]]:
    """Of a further furnace only what isn't the shop's."""
    shops = SHOP_NEEDS if book.further else ()
    return [need for row, need in enumerate(needs(book)) if row not in shops]


def _unknown_names(book: Book) -> int:
    if book.further:
        return flag(book.pot_row == 0)
    chosen = unknown_channel(book) + unknown_picture(book) + flag(book.pot_row == 0)
    return chosen + (book.furnaces_unknown or 0) + book.machines_unknown


def unknown_channel(book: Book) -> int:
    """1 if the way of selling to rank by isn't one of them."""
    return 1 - known_name(book.studio.shop.rank_channel, [terms.typed.name for terms in book.pricing.terms])


def unknown_picture(book: Book) -> int:
    """1 if the piece of the picture isn't one of them."""
    return 1 - known_name(book.studio.shop.picture_piece, [piece.typed.name for piece in book.pieces])


def _tags_that_lose(book: Book) -> int:
    """Tags that the owner typed below the lowest price of some channel that the piece is sold in."""
    return sum(
        piece.named
        and piece.typed.tag is not None
        and tag.lowest_worst is not None
        and piece.typed.tag < tag.lowest_worst - CLOSENESS
        for piece, tag in zip(book.pieces, book.pricing.tags, strict=True)
    )


def charged_with_weight(log: FurnaceLog) -> bool:
    """Whether some Charge row has its weight."""
    return any(row.row_kind == CHARGE and row.weight > 0 for row in log.rows)
