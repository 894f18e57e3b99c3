"""A letter from the utility that is on the table: what it changes, and from what.

The letter is laid over the tariff row in force on its first day. What comes out is a tariff row again, the one
that the owner would type to take the letter over, and it is priced by the tariff chapter like any other row:
so a letter costs before it is taken over what it costs afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, calendar, dflt, flag, maybe_serial, opt, over, plus
from meltbook.method.constants import DAYS_IN_YEAR, FAR_DATE, JUMP_LIMIT, LETTER_WORDS, MONTHS_IN_YEAR
from meltbook.method.tariff import Letter as Dated
from meltbook.method.tariff import Tariff, read_tariff
from meltbook.studio.letter import Letter
from meltbook.studio.tariff import TariffRow

NOT_TYPED, NOTHING_IN_FORCE, JUMPS, TABLE_FULL, OUT_OF_ORDER, TO_TAKE_OVER = 1, 2, 3, 4, 5, 6
"""What there is to say about a letter: the first of these that applies."""


@dataclass(slots=True)
class LetterRates:
    """The letter, the rates in force on its first day, and the rates from that day on.

    ``row`` is the tariff row that it amounts to, ``reign`` the days that it would hold, up to the next row on
    Tariffs. Both are ``None`` and all rates are blank as long as there is no letter, or no tariff to lay it over.
    """

    row: TariffRow | None = None
    reign: range | None = None
    letter_shares: int = 0
    letter_figures: int = 0
    letter_given: int = 0
    letter_day: str | None = None
    letter_position: int | None = None
    letter_base_from: int | None = None
    letter_base_row: int | None = None
    letter_until: int | None = None
    # in force on the letter's first day
    base_price: Maybe = None
    base_price_two: Maybe = None
    base_price_three: Maybe = None
    base_share_one: Maybe = None
    base_share_two: Maybe = None
    base_share_three: Maybe = None
    base_shares: int | None = None
    base_surcharge: Maybe = None
    base_tax: Maybe = None
    base_service: Maybe = None
    base_service_daily: int | None = None
    base_service_per: str | None = None
    base_service_share: Maybe = None
    base_demand: Maybe = None
    base_demand_kw: Maybe = None
    base_demand_share: Maybe = None
    base_all_in: Maybe = None
    base_standing: Maybe = None
    # from that day on
    letter_tax_new: Maybe = None
    letter_untax: Maybe = None
    letter_scale: Maybe = None
    new_price: Maybe = None
    new_price_two: Maybe = None
    new_price_three: Maybe = None
    new_share_one: Maybe = None
    new_share_two: Maybe = None
    new_share_three: Maybe = None
    new_shares: int | None = None
    new_surcharge: Maybe = None
    new_mix: Maybe = None
    new_all_in: Maybe = None
    new_service: Maybe = None
    new_service_daily: int | None = None
    new_service_per: str | None = None
    new_service_day: Maybe = None
    new_demand: Maybe = None
    new_demand_kw: Maybe = None
    new_standing: Maybe = None
    # the change, as a share
    change_price: Maybe = None
    change_price_two: Maybe = None
    change_price_three: Maybe = None
    change_surcharge: Maybe = None
    change_service: Maybe = None
    change_demand: Maybe = None
    change_all_in: Maybe = None
    change_standing: Maybe = None
    letter_difference: float = 0.0
    # what to do with it
    letter_line: int = 1
    letter_jump: int = 0
    letter_code: int = NOT_TYPED
    letter_state: str = ""
    letter_rest: str | None = None
    cases: tuple[int, ...] = ()


def read_letter(typed: Letter, tariff: Tariff, sheet: str = "Tariffs") -> LetterRates:
    """Lay the letter over the tariff, which stands on the sheet of this name."""
    letter = LetterRates()
    _what_is_typed(letter, typed)
    start = maybe_serial(typed.letter_start)
    if letter.letter_given and start is not None:
        letter.letter_day = calendar(start).isoformat()
        before = tariff.in_force(start)
        later = [key for key in tariff.starts if key > start]
        letter.letter_position = max(1, tariff.position(start))
        letter.letter_until = min(later, default=FAR_DATE)
        letter.reign = range(start, letter.letter_until)
        if before is not None:
            letter.letter_base_from = tariff.starts[before]
            letter.letter_base_row = tariff.keys.index(letter.letter_base_from) + 1
            base = tariff.letters[letter.letter_base_row - 2]  # the seed row is position 1
            letter.row = new_row(typed, base.typed)
            _rates_in_force(letter, base)
            letter.letter_untax = untaxed(typed, letter.row.tax)
            letter.letter_scale = scaled(typed, letter.row.tax)
            _new_rates(letter, letter.row)
            _changes(letter)
    _what_to_do(letter, start, tariff, sheet)
    return letter


def _what_is_typed(letter: LetterRates, typed: Letter) -> None:
    shares = (typed.letter_share_one, typed.letter_share_two, typed.letter_share_three)
    rest = (
        typed.letter_change,
        typed.letter_price,
        typed.letter_price_two,
        typed.letter_price_three,
        typed.letter_surcharge,
        typed.letter_tax,
        typed.letter_service,
        typed.letter_demand,
        typed.letter_demand_kw,
    )
    letter.letter_shares = _count(shares)
    letter.letter_figures = letter.letter_shares + _count(rest)
    letter.letter_given = flag(typed.letter_start is not None and letter.letter_figures > 0)


def _count(values: Sequence[Maybe]) -> int:
    return sum(value is not None for value in values)


# ------------------------------------------------------------------------------------------------ the rates


def untaxed(typed: Letter, tax: Maybe) -> float:
    """What an amount of money in the letter is multiplied with: it takes out a tax that is in it."""
    return 1 / (1 + opt(tax)) if typed.letter_tax_in == "With tax" else 1.0


def scaled(typed: Letter, tax: Maybe) -> float:
    """What a price for a unit of energy in the letter is multiplied with: it may be in cents, too."""
    return untaxed(typed, tax) / (100 if typed.letter_in == "Cents" else 1)


def new_row(typed: Letter, base: TariffRow) -> TariffRow:
    """The tariff row that a letter amounts to: the row in force, with what the letter changes.

    A percentage moves unit prices only, and only those that the letter doesn't give itself. Cents are for unit
    prices and surcharge; a service or demand charge is always an amount of money.
    """
    tax = base.tax if typed.letter_tax is None else typed.letter_tax
    net, unit = untaxed(typed, tax), scaled(typed, tax)

    def said(amount: Maybe, factor: float, else_as_before: Maybe) -> Maybe:
        return else_as_before if amount is None else amount * factor

    def moved(price: Maybe) -> Maybe:
        return None if price is None else price * (1 + opt(typed.letter_change))

    changed: dict[str, object] = {
        "start": typed.letter_start,
        "letter": typed.letter_reference,
        "price": said(typed.letter_price, unit, moved(base.price)),
        "price_two": said(typed.letter_price_two, unit, moved(base.price_two)),
        "price_three": said(typed.letter_price_three, unit, moved(base.price_three)),
        "surcharge": said(typed.letter_surcharge, unit, base.surcharge),
        "tax": tax,
        "service": said(typed.letter_service, net, base.service),
        "service_per": typed.letter_service_per or base.service_per,
        "demand": said(typed.letter_demand, net, base.demand),
        "demand_kw": base.demand_kw if typed.letter_demand_kw is None else typed.letter_demand_kw,
    }
    shares = {
        "share_one": typed.letter_share_one,
        "share_two": typed.letter_share_two,
        "share_three": typed.letter_share_three,
    }
    if _count(tuple(shares.values())):  # new shares replace all of the old: together they make a whole
        changed |= shares
    return base.model_copy(update=changed)


def _rates_in_force(letter: LetterRates, base: Dated) -> None:
    row = base.typed
    letter.base_price = opt(row.price)
    letter.base_price_two = opt(row.price_two)
    letter.base_price_three = opt(row.price_three)
    letter.base_share_one = opt(row.share_one)
    letter.base_share_two = opt(row.share_two)
    letter.base_share_three = opt(row.share_three)
    letter.base_shares = base.tariff_shares
    letter.base_surcharge = opt(row.surcharge)
    letter.base_tax = opt(row.tax)
    letter.base_service = opt(row.service)
    letter.base_service_daily = flag(row.service_per == "Day")
    letter.base_service_per = row.service_per or "Month"
    letter.base_service_share = dflt(row.service_share, 1.0)
    letter.base_demand = opt(row.demand)
    letter.base_demand_kw = opt(row.demand_kw)
    letter.base_demand_share = dflt(row.demand_share, 1.0)
    letter.base_all_in = base.tariff_all_in
    letter.base_standing = base.tariff_standing


def _new_rates(letter: LetterRates, row: TariffRow) -> None:
    """Price the new row as if it were the only one on Tariffs."""
    alone = read_tariff((row,), 1, None).letters[0]
    letter.letter_tax_new = opt(row.tax)
    letter.new_price = opt(row.price)
    letter.new_price_two = opt(row.price_two)
    letter.new_price_three = opt(row.price_three)
    letter.new_share_one = opt(row.share_one)
    letter.new_share_two = opt(row.share_two)
    letter.new_share_three = opt(row.share_three)
    letter.new_shares = alone.tariff_shares
    letter.new_surcharge = opt(row.surcharge)
    letter.new_mix = alone.tariff_mix
    letter.new_all_in = alone.tariff_all_in
    letter.new_service = opt(row.service)
    letter.new_service_daily = flag(row.service_per == "Day")
    letter.new_service_per = row.service_per or "Month"
    letter.new_service_day = alone.tariff_service_day
    letter.new_demand = opt(row.demand)
    letter.new_demand_kw = opt(row.demand_kw)
    letter.new_standing = alone.tariff_standing


def _changes(letter: LetterRates) -> None:
    """Each rate against the one before; a service charge by what it comes to in a year."""
    letter.change_price = _change(letter.new_price, letter.base_price)
    letter.change_price_two = _change(letter.new_price_two, letter.base_price_two)
    letter.change_price_three = _change(letter.new_price_three, letter.base_price_three)
    letter.change_surcharge = _change(letter.new_surcharge, letter.base_surcharge)
    letter.change_service = _change(
        _in_a_year(letter.new_service, letter.new_service_daily),
        _in_a_year(letter.base_service, letter.base_service_daily),
    )
    letter.change_demand = _change(letter.new_demand, letter.base_demand)
    letter.change_all_in = _change(letter.new_all_in, letter.base_all_in)
    letter.change_standing = _change(letter.new_standing, letter.base_standing)
    letter.letter_difference = opt(letter.new_all_in) - opt(letter.base_all_in)


def _change(new: Maybe, base: Maybe) -> Maybe:
    return plus(over(new, base), -1)


def _in_a_year(service: Maybe, daily: int | None) -> float:
    return opt(service) * (DAYS_IN_YEAR if daily else MONTHS_IN_YEAR)


# ---------------------------------------------------------------------------------------------- what to do


def _what_to_do(letter: LetterRates, start: int | None, tariff: Tariff, sheet: str) -> None:
    letter.letter_line = max((dated.tariff_line for dated in tariff.letters), default=0) + 1
    old, new = opt(letter.base_all_in), opt(letter.new_all_in)
    letter.letter_jump = flag(old > 0 and new > JUMP_LIMIT * old)
    newest = tariff.tariff_newest
    letter.cases = (
        flag(letter.letter_given == 0),
        flag(letter.row is None),
        letter.letter_jump,
        flag(letter.letter_line > len(tariff.letters)),
        flag(start is not None and newest is not None and start <= newest),
        1,
    )
    letter.letter_code = letter.cases.index(1) + 1
    if letter.letter_code == TO_TAKE_OVER:
        letter.letter_state = f"To take it over, type it into line {letter.letter_line} of {sheet}."
        letter.letter_rest = (
            "Copy the rest of the line above it too, in both tables there: what is blank there counts as none."
        )
    else:
        letter.letter_state = LETTER_WORDS[letter.letter_code - 1]
