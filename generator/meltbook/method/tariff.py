"""What energy costs on which day.

The letters of the utility are kept as a list of dated rates. A row of the log is priced by walking over the
letters that its days fall under: so many days at this price, so many at that. The running sums that a
spreadsheet needs for the same purpose are worked out beside it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from meltbook.method.arithmetic import Maybe, dflt, flag, maybe_serial, opt, total
from meltbook.method.constants import CLOSENESS, DAYS_IN_YEAR, JUMP_LIMIT, MONTHS_IN_YEAR
from meltbook.method.energy import FurnaceLog, LogDay
from meltbook.studio.shop import Shop
from meltbook.studio.tariff import TariffRow


@dataclass(slots=True)
class Letter:
    """One row of the tariff table. Rows that can't be used repeat the rates of the row above."""

    typed: TariffRow
    tariff_valid: int = 0
    tariff_shares: int = 0
    tariff_by_share: float = 0.0
    tariff_mix: float = 0.0
    tariff_key: int = 0
    tariff_all_in: float = 0.0
    tariff_integral: float = 0.0
    tariff_service_day: float = 0.0
    tariff_demand_day: float = 0.0
    tariff_standing: float = 0.0
    tariff_standing_integral: float = 0.0
    tariff_used: int = 0
    tariff_bad_order: int = 0
    tariff_bad_share: int = 0
    tariff_jump: int = 0
    tariff_change: float = 0.0
    tariff_standing_change: float = 0.0
    tariff_no: int = 0
    tariff_line: int = 0
    tariff_kept: int = 0
    tax_dropped: int = 0
    service_dropped: int = 0
    demand_dropped: int = 0


@dataclass(slots=True)
class Tariff:
    """The letters in force one after the other: from ``starts[i]`` on, ``prices[i]`` and ``standing[i]``.

    ``keys`` is the column of dates as the sheet has it, seed and end row included, for the positions in it.
    """

    letters: list[Letter]
    starts: list[int] = field(default_factory=list)
    prices: list[float] = field(default_factory=list)
    standing: list[float] = field(default_factory=list)
    keys: list[int] = field(default_factory=list)
    tariff_newest: int | None = None

    def position(self, day: int) -> int:
        """Where the sheet finds the day: 1 is the seed row."""
        return bisect_right(self.keys, day)

    def in_force(self, day: int) -> int | None:
        """Which of ``starts`` holds on a day."""
        index = bisect_right(self.starts, day) - 1
        return index if index >= 0 else None

    def spans(self, first: int, days: int) -> Iterator[tuple[int, int]]:
        """So many days under which letter, for the days of a row whose first day has a letter."""
        at = bisect_right(self.starts, first) - 1
        day, after = first, first + days
        while day < after:
            until = self.starts[at + 1] if at + 1 < len(self.starts) else after
            yield at, min(until, after) - day
            day, at = min(until, after), at + 1

    def accrued(self, day: int, rates: Sequence[float]) -> float:
        """The sum of a rate over all days from the first letter up to, not including, a day."""
        return total(
            rate * (min(day, until) - start)
            for start, until, rate in zip(self.starts, [*self.starts[1:], day], rates, strict=True)
            if start < day
        )


@dataclass(slots=True)
class TariffNow:
    """The prices on the pricing date."""

    pricing_date_used: int | None
    pricing_row: int | None
    price_now: Maybe
    standing_now: Maybe
    price_now_from: int | None


def read_tariff(typed: Sequence[TariffRow], prepared: int, limit: Maybe) -> Tariff:
    """Take up the letters in order; one that is not dated after those before it is left out, and reported."""
    kept = 0
    rows = [*typed, *(TariffRow() for _ in range(prepared - len(typed)))]
    tariff = Tariff([Letter(row) for row in rows])
    priced = any(row.price is not None for row in typed)  # a new book's first date waits for its price
    for number, letter in enumerate(tariff.letters, start=1):
        row = letter.typed
        start = maybe_serial(row.start)
        before = tariff.starts[-1] if tariff.starts else 0
        letter.tariff_used = flag(priced and (start is not None or row.price is not None))
        letter.tariff_no = number
        letter.tariff_line = number if letter.tariff_used else 0
        shares = (row.share_one, row.share_two, row.share_three)
        prices = (row.price, row.price_two, row.price_three)
        letter.tariff_shares = sum(share is not None for share in shares)
        letter.tariff_by_share = total(opt(share) * opt(each) for share, each in zip(shares, prices, strict=True))
        if start is not None and row.price is not None and start > before:
            last = tariff.prices[-1] if tariff.prices else 0.0
            tariff.starts.append(start)
            _open(letter, row.price)
            tariff.prices.append((letter.tariff_mix + opt(row.surcharge)) * (1 + opt(row.tax)))
            tariff.standing.append((letter.tariff_service_day + letter.tariff_demand_day) * (1 + opt(row.tax)))
            now = tariff.prices[-1]
            jumped = last > CLOSENESS and now > JUMP_LIMIT * last + CLOSENESS
            letter.tariff_jump = flag(jumped or (limit is not None and now > limit + CLOSENESS))
            if kept:
                _compare(letter, tariff.letters[kept - 1].typed)
            kept = number
        letter.tariff_kept = kept
        letter.tariff_bad_order = flag(letter.tariff_used == 1 and letter.tariff_valid == 0)
        if tariff.starts:
            letter.tariff_key = tariff.starts[-1]
            letter.tariff_all_in = tariff.prices[-1]
            letter.tariff_standing = tariff.standing[-1]
            letter.tariff_integral = tariff.accrued(letter.tariff_key, tariff.prices)
            letter.tariff_standing_integral = tariff.accrued(letter.tariff_key, tariff.standing)
        if letter.tariff_valid:
            letter.tariff_change = tariff.prices[-1] - (tariff.prices[-2] if len(tariff.prices) > 1 else 0.0)
            letter.tariff_standing_change = tariff.standing[-1] - (
                tariff.standing[-2] if len(tariff.standing) > 1 else 0.0
            )
    last_key = tariff.starts[-1] if tariff.starts else 0
    tariff.keys = [0, *(letter.tariff_key for letter in tariff.letters), last_key]
    tariff.tariff_newest = last_key or None
    return tariff


def _compare(letter: Letter, before: TariffRow) -> None:
    """What the usable row before had, and this one leaves blank: nobody asked for it to end."""
    row = letter.typed
    letter.tax_dropped = flag(row.tax is None and opt(before.tax) > 0)
    letter.service_dropped = flag(row.service is None and opt(before.service) > 0)
    letter.demand_dropped = flag(row.demand is None and opt(before.demand) > 0)


def _open(letter: Letter, price: float) -> None:
    """Fill in the rates of a letter that is used."""
    row = letter.typed
    letter.tariff_valid = 1
    if letter.tariff_shares:
        letter.tariff_mix = letter.tariff_by_share
        shares = (row.share_one, row.share_two, row.share_three)
        letter.tariff_bad_share = flag(abs(total(shares) - 1) > CLOSENESS)
    else:
        letter.tariff_mix = price
    a_day = 1.0 if row.service_per == "Day" else MONTHS_IN_YEAR / DAYS_IN_YEAR
    letter.tariff_service_day = opt(row.service) * dflt(row.service_share, 1) * a_day
    billed = opt(row.demand) * opt(row.demand_kw) * dflt(row.demand_share, 1)
    letter.tariff_demand_day = billed * MONTHS_IN_YEAR / DAYS_IN_YEAR


def price_rows(log: FurnaceLog, tariff: Tariff) -> None:
    """Price the days of every row that a letter covers."""
    prices = _Running(tariff, tariff.prices)
    standing = _Running(tariff, tariff.standing)
    for row in log.rows:
        if row.row_kind:
            row.tariff_first = tariff.position(row.first_day)
            row.tariff_last = tariff.position(row.first_day + max(1, row.row_days) - 1)
            if tariff.in_force(row.first_day) is not None:
                _price(row, tariff, prices, standing)


def _price(row: LogDay, tariff: Tariff, prices: _Running, standing: _Running) -> None:
    row.row_priced = 1
    first, after = row.first_day, row.first_day + row.row_days
    row.price_to_first, row.price_to_next = prices.until(first), prices.until(after)
    row.standing_to_first, row.standing_to_next = standing.until(first), standing.until(after)
    if row.row_days == 0:
        row.mean_price = tariff.prices[bisect_right(tariff.starts, first) - 1]
    else:
        spans = list(tariff.spans(first, row.row_days))
        if len(spans) == 1:
            at = spans[0][0]
            row.mean_price = tariff.prices[at]
            row.row_standing = row.row_days * tariff.standing[at]
        else:
            row.mean_price = total(days * tariff.prices[at] for at, days in spans) / row.row_days
            row.row_standing = total(days * tariff.standing[at] for at, days in spans)
    row.energy_cost = row.energy_used * row.mean_price


class _Running:
    """The running sum of a rate, remembered at the start of each letter so that a look-up is quick."""

    def __init__(self, tariff: Tariff, rates: Sequence[float]) -> None:
        self.starts = tariff.starts
        self.rates = rates
        self.sums = [tariff.accrued(start, rates) for start in tariff.starts]

    def until(self, day: int) -> float:
        at = bisect_right(self.starts, day) - 1
        return self.sums[at] + self.rates[at] * (day - self.starts[at])


def price_today(shop: Shop, log: FurnaceLog, tariff: Tariff) -> TariffNow:
    """The prices on the owner's pricing date, or else on the last day of the log."""
    day = log.log_last_day if shop.pricing_date is None else maybe_serial(shop.pricing_date)
    at = None if day is None else tariff.in_force(day)
    return TariffNow(
        pricing_date_used=day,
        pricing_row=None if day is None else tariff.position(day),
        price_now=None if at is None else tariff.prices[at],
        standing_now=None if at is None else tariff.standing[at],
        price_now_from=None if at is None else tariff.starts[at],
    )
