"""The published bills once more, by the letter: their rates typed on New tariff while another tariff is in force.

Each bill is asked for three times, and has to come out to the cent each time: foretold on New tariff, from the
price of a kWh and the service and demand of a day; on the log row that is there already, from its old bill and
what the letter adds to it; and on the furnace log once the letter is taken over.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from meltbook.method import taken_over
from meltbook.studio.model import Studio
from meltbook.workbook.edited import read_book
from meltbook.workbook.new_letter import apply, preview
from tests.engines.runners import Formualizer, LibreOffice, poison, recalculate_one
from tests.published.both import CAPACITY, Both, all_both, answer, given
from tests.published.test_bills import MONTH, billed_kw, on_and_off

YEAR = 365

FORMER: dict[str, Any] = {
    "start": "2019-01-01",
    "price": 0.21,
    "price_two": 0.07,
    "share_one": 0.35,
    "share_two": 0.65,
    "surcharge": 0.02,
    "tax": 0.07,
    "service": 31,
    "service_per": "Month",
    "demand": 3,
    "demand_kw": 12,
}
"""The tariff in force, ours: it has something in every place, so that a letter that missed one would show."""

NOTHING_ELSE: dict[str, Any] = {"letter_surcharge": 0, "letter_tax": 0, "letter_service": 0, "letter_demand": 0}
"""The publications have no surcharge, tax, service or demand but those that they name."""


@dataclass(frozen=True)
class Bill:
    """A published bill: its rates as a letter says them, what was used in how many days, and what came out."""

    name: str
    letter: dict[str, Any]
    used: float
    published: float
    days: int = MONTH
    bills: int = 1
    """How many such bills are in those days: twelve in a year, where a charge is for a month."""

    def studio(self, former: dict[str, Any] = FORMER) -> Studio:
        """The days are logged; the letter lies on the table, dated on the first of them."""
        return Studio.model_validate(
            {
                "furnace": {"meter_kind": "kWh meter"},
                "tariffs": [former],
                "log": [{"date": "2021-01-01", "kind": "Blow", "days": self.days, "reading": self.used * self.bills}],
                "letter": {"letter_start": "2021-01-01", **NOTHING_ELSE, **self.letter},
            }
        )


def rates(on_peak: float, off_peak: float, on_peak_share: float) -> dict[str, float]:
    """Two periods and their shares, in the words of a letter."""
    return {f"letter_{name}": value for name, value in on_and_off(on_peak, off_peak, on_peak_share).items()}


def river_falls() -> Iterator[Bill]:
    """Source: River Falls Municipal Utilities, Wisconsin (2020); the fixed charge of 14.00 is inferred.

    675.54 kWh. Flat 0.111: 74.98494 + 14.00 = 88.98. On-peak 0.191, off-peak 0.066: with 45 % on-peak the mean
    is 0.12225, 82.5848 + 14.00 = 96.58; with 35 % 0.10975, 74.1405, 88.14; with 30 % 0.1035, 69.9184, 83.92;
    with 25 % 0.09725, 65.6963, 79.70. A flat letter where times of use were in force: all the use in one period.
    """
    posed, published = given("river_falls_time_of_use"), answer("river_falls_time_of_use")
    shared = {"letter_service": posed["fixed"] / MONTH, "letter_service_per": "Day"}
    flat = {"letter_price": posed["flat"], "letter_share_one": 1}
    yield Bill("river falls, flat", flat | shared, posed["kwh"], published[0])
    for points, paid in zip(posed["points_shifted"], published[1:], strict=True):
        used = rates(posed["on_peak"], posed["off_peak"], posed["on_peak_share"] - points / 100)
        yield Bill(f"river falls, {points} points shifted", used | shared, posed["kwh"], paid)
        by_month = {"letter_service": posed["fixed"], "letter_service_per": "Month"}
        yield Bill(
            f"river falls, {points} points shifted, a year", used | by_month, posed["kwh"], paid, days=YEAR, bills=12
        )


def fayetteville() -> Iterator[Bill]:
    """Source: Fayetteville Public Works Commission, North Carolina. Energy only, 1,000 kWh.

    80 % off-peak: 1,000 x (0.20 x 0.13 + 0.80 x 0.08473) = 93.784, bill 93.78; 85 %: 91.5205, bill 91.52.
    """
    posed = given("fayetteville_time_of_use")
    for share, paid in zip(posed["off_peak_shares"], answer("fayetteville_time_of_use"), strict=True):
        used = rates(posed["on_peak"], posed["off_peak"], 1 - share)
        yield Bill(f"fayetteville, {share:.0%} off-peak", used, posed["kwh"], paid)


def columbia_river() -> Iterator[Bill]:
    """Source: Columbia River PUD, Oregon. The demand charge alone, so that a kWh costs nothing here.

    Two loads of 5 kW, 30 minutes each: in the same hour 10 x 30 / 60 = 5 kW, at 1.00 a kW 5.00 a month; in
    different hours 5 x 30 / 60 = 2.5 kW, 2.50 a month. A charge for a month: a year of such bills, ÷ 12.
    """
    posed = given("columbia_river_demand")
    for hours, paid in zip(((9, 9), (9, 14)), answer("columbia_river_demand"), strict=True):
        kw = billed_kw(
            [(hour * 60.0, hour * 60.0 + posed["minutes"], posed["kw"]) for hour in hours], posed["interval"]
        )
        letter = {"letter_price": 0, "letter_share_one": 1, "letter_demand": posed["a_kw"], "letter_demand_kw": kw}
        yield Bill(f"columbia river, {kw:g} kW", letter, 100.0, paid, days=YEAR, bills=12)


BILLS = [*river_falls(), *fayetteville(), *columbia_river()]


def in_cents(letter: dict[str, Any]) -> dict[str, Any]:
    """The same letter with its prices of a kWh in cents; service and demand stay in money."""
    return {key: value * 100 if "price" in key else value for key, value in letter.items()} | {"letter_in": "Cents"}


def with_tax(letter: dict[str, Any], tax: float = 0.055) -> dict[str, Any]:
    """The published amounts taken for amounts with a tax in them: what the studio pays is the same bill.

    The rate is ours. Net 0.111 / 1.055 and 14.00 / 1.055; with the tax again 0.111 and 14.00.
    """
    return letter | {"letter_tax": tax, "letter_tax_in": "With tax"}


FORMS = {
    "money": lambda letter: letter,
    "cents": in_cents,
    "with tax": with_tax,
    "cents with tax": lambda letter: with_tax(in_cents(letter)),
}
"""How the same letter may be printed."""


def foretold(book: Both, bill: Bill) -> float:
    """The bill by the figures of New tariff."""
    energy = book.number("new_all_in") * bill.used
    return energy + book.number("new_standing") * bill.days / bill.bills


def corrected(book: Both, bill: Bill) -> float:
    """The bill at the tariff in force, and what the letter adds to the row that it reaches back to."""
    old = book.number("period_cost", 1) + book.number("period_standing", 1)
    return (old + book.number("late_energy") + book.number("late_standing")) / bill.bills


def paid(book: Both, bill: Bill) -> float:
    """The bill as the furnace log has it."""
    return (book.number("period_cost", 1) + book.number("period_standing", 1)) / bill.bills


def check(before: Both, after: Both, bill: Bill, published: float) -> None:
    assert round(paid(before, bill), 2) != published  # the letter moves nothing before it is taken over
    assert round(foretold(before, bill), 2) == published
    assert round(corrected(before, bill), 2) == published
    assert before.number("late_rows") == 1
    assert round(paid(after, bill), 2) == published


@pytest.mark.parametrize(
    "form",
    ["money", "cents with tax", *(pytest.param(form, marks=pytest.mark.exhaustive) for form in ("cents", "with tax"))],
)
@pytest.mark.parametrize("bill", BILLS, ids=lambda bill: bill.name)
def test_a_published_bill_comes_out_of_the_letter(bill: Bill, form: str, tmp_path: Path) -> None:
    printed = Bill(bill.name, FORMS[form](NOTHING_ELSE | bill.letter), bill.used, bill.published, bill.days, bill.bills)
    studio = printed.studio()
    check(*all_both(tmp_path, [studio, taken_over(studio, CAPACITY)]), printed, bill.published)


@pytest.mark.parametrize("bill", [BILLS[0], BILLS[1], BILLS[-1]], ids=lambda bill: bill.name)
def test_tax_comes_on_top_of_a_published_bill(bill: Bill, tmp_path: Path) -> None:
    """Ours, on the published amounts: 5 % tax on energy, service and demand is 5 % on the bill before rounding.

    River Falls, flat: (675.54 x 0.111 + 14.00) x 1.05 = 88.98494 x 1.05 = 93.4342.
    """
    untaxed, taxed = (
        Bill(bill.name, bill.letter | tax, bill.used, bill.published, bill.days, bill.bills)
        for tax in ({}, {"letter_tax": 0.05})
    )
    books = all_both(tmp_path, [each.studio() for each in (untaxed, taxed)])
    assert foretold(books[1], bill) == pytest.approx(foretold(books[0], bill) * 1.05)
    if bill is BILLS[0]:
        assert round(foretold(books[1], bill), 4) == 93.4342


@pytest.mark.parametrize("bill", BILLS, ids=lambda bill: bill.name)
def test_the_command_writes_a_book_that_bills_so(bill: Bill, tmp_path: Path) -> None:
    """The letter taken over in the file itself: the new file, calculated anew, has the published bill."""
    studio = bill.studio()
    (before,) = all_both(tmp_path, [studio])
    found = preview(read_book(tmp_path / "clean-0.xlsx"), studio.letter)
    apply(found, tmp_path / "applied.xlsx")
    poison(tmp_path / "applied.xlsx", tmp_path / "poisoned.xlsx")
    shown = recalculate_one(Formualizer(), tmp_path / "poisoned.xlsx", tmp_path)
    after = Both(all_both(tmp_path, [taken_over(studio, CAPACITY)])[0].results, before.placement, shown)
    assert round(paid(after, bill), 2) == bill.published


@pytest.mark.exhaustive
def test_libreoffice_says_the_same(libreoffice: LibreOffice, tmp_path: Path) -> None:
    studios = [bill.studio() for bill in BILLS]
    books = all_both(tmp_path, [*studios, *(taken_over(each, CAPACITY) for each in studios)], libreoffice)
    for bill, before, after in zip(BILLS, books, books[len(BILLS) :], strict=False):
        check(before, after, bill, bill.published)


@pytest.mark.parametrize("which", range(4))
def test_from_the_flat_bill_to_the_time_of_use_bill(which: int, tmp_path: Path) -> None:
    """Source: River Falls Municipal Utilities, Wisconsin (2020): one household under both of its tariffs.

    Flat in force, time of use in the letter: what it does in a month is the difference of the two published
    bills, 96.58 - 88.98 = 7.60; with 10 points shifted 88.14 - 88.98 = -0.84; 15 points 83.92 - 88.98 = -5.06;
    20 points 79.70 - 88.98 = -9.28. Before rounding 96.58477 - 88.98494 = 7.5998, and 88.14052, 83.91839 and
    79.69627 less 88.98494: -0.8444, -5.0666, -9.2887. Two bills are rounded, so their difference may be a cent off:
    it is asserted to the cent, and the sums before rounding exactly.
    """
    posed, published = given("river_falls_time_of_use"), answer("river_falls_time_of_use")
    share = posed["on_peak_share"] - posed["points_shifted"][which] / 100
    letter = rates(posed["on_peak"], posed["off_peak"], share)
    flat = {"start": "2019-01-01", "price": posed["flat"], "service": posed["fixed"], "service_per": "Month"}
    bill = Bill("a year", letter, posed["kwh"], published[1 + which], days=YEAR, bills=12)
    studio = Studio.model_validate(
        {
            "furnace": {"meter_kind": "kWh meter"},
            "tariffs": [flat],
            "log": [{"date": "2021-01-01", "kind": "Charge", "days": YEAR, "reading": bill.used * 12, "weight": 1000}],
            "letter": {"letter_start": "2021-01-01", **letter},
        }
    )
    (book,) = all_both(tmp_path, [studio])
    assert round(paid(book, bill), 2) == published[0]
    assert round(foretold(book, bill), 2) == published[1 + which]
    assert book.number("effect_month") == pytest.approx(published[1 + which] - published[0], abs=0.01)
    assert round(book.number("effect_energy_month"), 2) == (7.60, -0.84, -5.07, -9.29)[which]
    assert book.number("effect_standing_month") == 0
    assert book.number("effect_year") == pytest.approx(12 * (foretold(book, bill) - paid(book, bill)))
