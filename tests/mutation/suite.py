"""The studios in whose books mutants are tried."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.energy import LogRow
from meltbook.studio.hire import Course
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from meltbook.studio.wear import LedgerRow, PartKind
from tests.mutation.invented import invented
from tests.strategies.machines import machine_studios
from tests.strategies.studios import corpus
from tests.worked.cases import load_cases

ROOM = Capacity(
    log=28,
    tariffs=8,
    ledger=6,
    part_kinds=4,
    glasses=3,
    overheads=4,
    pieces=5,
    campaigns=5,
    bills=6,
    machines=5,
    courses=4,
)
"""One size for all, so that each mutant is made ready once."""

SOME_BLANK = (20, 21, 22, 23, 24, 25, 27, 28, 29, 31, 32, 33, 35, 36, 37, 38)
ODD = (60, 63, 64, 67, 68, 70, 71, 73, 74, 77, 78, 79, 80, 81, 82, 86, 88, 89)
HALF_BLANK = (42, 47)
"""Throws of the dice that killed a mutant which none before did, of 64 that were tried."""

TABLES = (
    *("tariffs", "ledger", "part_kinds", "glasses", "overheads", "pieces", "channels", "log", "bills", "machines"),
    "courses",
)


@dataclass(frozen=True, slots=True)
class Scene:
    """A studio's book, and what is done to it before the formulas are tried.

    ``twisted``: cells are typed over, one twist after the other. ``texts``: each cell that asks for a number and
    is empty holds a text, which counts as nothing typed. ``nameless``: the book's defined names are gone.
    """

    name: str
    studio: Studio
    twisted: bool = False
    texts: bool = False
    nameless: bool = False


def any_studio() -> Studio:
    return load_start("blank").studio


def cut(studio: Studio) -> Studio:
    """As much of a studio as the room takes."""
    return studio.model_copy(
        update={table: getattr(studio, table)[: getattr(ROOM, table)] for table in TABLES},
    )


def one_row(studio: Studio, last: bool) -> Studio:
    """Only the first row of each table is used, or only the last one that the book prepares."""

    def rows(table: str) -> tuple[Any, ...]:
        row = getattr(studio, table)[-1 if last else 0]
        empty = type(row)()
        return (*[empty] * (getattr(ROOM, table) - 1), row) if last else (row,)

    return studio.model_copy(update={table: rows(table) for table in TABLES})


def lonely(seed: int, last: bool) -> Studio:
    """One row in each table that can carry the whole book: a charge, its reading, a price, a part, a piece."""
    studio = one_row(invented(seed, ROOM), last)
    day = date(2025, 3, 1)
    row = studio.log[-1].model_copy(
        update={"kind": "Charge", "date": day, "days": 9, "glass": None, "reading": 900.0, "weight": 140.0}
    )
    tariff = studio.tariffs[-1].model_copy(update={"start": day - timedelta(days=40), "price": 0.21})
    shop = studio.shop.model_copy(
        update={"period_from": day, "period_to": day + timedelta(days=3), "pricing_date": None, "furnace_by": "Weight"}
    )
    return studio.model_copy(
        update={
            "log": (*studio.log[:-1], row),
            "tariffs": (*studio.tariffs[:-1], tariff),
            "shop": shop,
            "furnace": studio.furnace.model_copy(update={"meter_kind": "kWh meter"}),
        }
    )


def bare(seed: int, **shop: Any) -> Studio:
    """A full studio in which single things were never typed."""
    studio = invented(seed, ROOM)
    pieces = tuple(piece.model_copy(update={"made": None}) for piece in studio.pieces)
    return studio.model_copy(update={"pieces": pieces, "shop": studio.shop.model_copy(update=shop)})


def logged(seed: int, *rows: dict[str, Any], ordinary_weight: float | None = None) -> Studio:
    """A full studio with another log: metered by the kWh, its letters older than the log."""
    studio = invented(seed, ROOM)
    day = date(2025, 3, 1)
    tariffs = tuple(
        row.model_copy(update={"start": day - timedelta(days=100 - 5 * at)}) for at, row in enumerate(studio.tariffs)
    )
    return studio.model_copy(
        update={
            "log": tuple(LogRow.model_validate({"date": day, **row} if not at else row) for at, row in enumerate(rows)),
            "tariffs": tariffs,
            "shop": studio.shop.model_copy(update={"pricing_date": None, "ordinary_weight": ordinary_weight}),
            "furnace": studio.furnace.model_copy(update={"meter_kind": "kWh meter", "opening_reading": 0.0}),
        }
    )


def lettered(studio: Studio, day: date | None, **letter: Any) -> Studio:
    """The same studio with another letter on its table."""
    return studio.model_copy(update={"letter": Letter(letter_start=day, **letter)})


def free(studio: Studio) -> Studio:
    """A studio whose furnace costs nothing: neither energy nor its parts nor itself."""
    tariffs = tuple(type(row)(start=row.start, price=0.0) for row in studio.tariffs)
    nothing = dict.fromkeys(("furnace_purchase", "furnace_worth_end", "furnace_life", "furnace_maintenance"))
    furnace = studio.furnace.model_copy(update=nothing)
    return studio.model_copy(update={"tariffs": tariffs, "furnace": furnace, "ledger": ()})


def unpriced(studio: Studio, row: int) -> Studio:
    """One letter was written down twice: first without its price."""
    day = studio.tariffs[row].start
    above = studio.tariffs[row - 1].model_copy(update={"start": day, "price": None})
    return studio.model_copy(update={"tariffs": (*studio.tariffs[: row - 1], above, *studio.tariffs[row:])})


def benches() -> list[Scene]:
    """Benches let and classes taught where the log can't tell a hot day, or nobody pays, or nothing is enough."""
    full = invented(6, ROOM)
    assert full.hire.hire_open_hours
    hours, unlogged = {"hire_open_hours": 7.5, "hire_day_typed": None}, full.model_copy(update={"log": ()})

    def let(studio: Studio, *classes: dict[str, Any], **hire: Any) -> Studio:
        cells = {"hire": studio.hire.model_copy(update=hours | hire)}
        if classes:
            cells["courses"] = tuple(Course.model_validate(row) for row in classes)
        return studio.model_copy(update=cells)

    typed = {"name": "A", "seats": 3.0, "hours": 2.0, "price": 40.0}
    tight = {**typed, "seats": 2.0, "pay": 41.3, "materials": 3.7}
    return [
        Scene("a bench and no log", let(unlogged)),
        Scene("a bench and no log, a day typed", let(unlogged, hire_day_typed=63.0)),
        Scene("a bench that is never open", let(full, hire_open_hours=0.0)),
        Scene("a bench that is never sold", let(full, hire_sold=0.0)),
        Scene("a bench that must earn all of it", let(full, hire_margin=1.0)),
        Scene("a bench for nothing", let(full, hire_price=0.0)),
        Scene(
            "classes that nobody pays for, or that must earn all of it",
            let(
                full,
                {**tight, "empty": 1.0, "prep": 0.7},
                {**tight, "margin": 1.0, "fee": 0.04},
                {**tight, "fee": 1.0, "margin": 0.2},
                {**tight, "price": 0.0},
            ),
        ),
        Scene(
            "classes that ask for something",
            let(full, {"name": "A"}, {"name": "B", "seats": 2.0}, {**typed, "price": None}, {**typed, "seats": 0.0}),
        ),
        Scene(
            "classes that cost nothing but seats",
            let(
                full.model_copy(update={"equipment": (), "machines": (), "overheads": (), "glasses": ()}),
                {**typed, "hours": 0.0, "prep": 1.5},
                {**typed, "hours": 0.0},
                {**typed, "materials": 40.0, "hours": 0.0, "pay": 5.0},
                {**typed, "materials": 41.0, "pay": 5.0},
                hire_day_typed=0.0,
            ),
        ),
        Scene(
            "one thing typed in rows without a name",
            let(full, {"empty": 0.1}, {"packing": 2.0}, {"price": 9.0}, {"glass": 1.0}),
        ),
    ]


def letters() -> list[Scene]:
    """Letters that meet a border, or a studio that they can't do anything to."""
    studio = invented(11, ROOM)
    newest = studio.tariffs[-1].start
    fourth = studio.tariffs[3].start
    assert newest is not None and fourth is not None
    earn_nothing = tuple(row.model_copy(update={"must_earn": "No"}) for row in studio.channels)
    dearer = {"letter_change": 0.5, "letter_service": 40.0}
    return [
        Scene("a letter that changes nothing", lettered(studio, newest)),
        Scene("a letter without a date", lettered(studio, None, **dearer)),
        Scene("a letter and no tariff", lettered(cut(any_studio()), newest, letter_price=0.2)),
        Scene("a letter before the first tariff", lettered(studio, date(2020, 1, 1), **dearer)),
        Scene("a letter of the newest one's day", lettered(studio, newest, **dearer)),
        Scene("a letter of the fourth one's day", lettered(studio, fourth, **dearer)),
        Scene("a letter after one typed twice", lettered(unpriced(studio, 3), fourth + timedelta(days=1), **dearer)),
        Scene("a letter while all is free", lettered(free(studio), newest, letter_price=0.2)),
        Scene(
            "a letter and no margin to earn",
            lettered(studio.model_copy(update={"channels": earn_nothing}), newest, **dearer),
        ),
    ]


def pots() -> list[Scene]:
    """Ledgers from which the lives of pots can be fitted, or can't."""
    long_ago = {"installed": date(2001, 1, 1), "retired": date(2001, 2, 1), "cost": 400.0}
    found = []
    for name, lives, why in (
        ("fitted lives", (61.0, 83.0, 118.0, 97.0), "Cracked"),
        ("lives far apart", (3.0, 40.0, 160.0, 420.0), "Leaking"),
        ("short lives", (1.0, 2.0, 2.0, 3.0), "Cracked"),
        ("lives alike", (90.0, 90.0, 90.0, 90.0), "Cracked"),
        ("none failed", (61.0, 83.0, 118.0, 97.0), "Planned"),
    ):
        for seed, known in ((2, {"repair_cost": 9000.0, "planned_typed": 700.0}), (5, {"shape_typed": 3.0})):
            studio = invented(seed, ROOM)
            rows: list[dict[str, Any]] = [
                {"name": "Pot", "uses_before": life, "why": why, **long_ago} for life in lives
            ]
            serving = {"name": "Pot", "installed": date(2024, 2, 1), "cost": 500.0, "uses_before": 17.0}
            gone = {"name": "Pot", "uses_before": 55.0, "why": "Other", **long_ago}
            if max(lives) > 10:  # among short lives these would be the longest by far
                rows += [gone, serving]
            update: dict[str, Any] = {
                "ledger": tuple(LedgerRow.model_validate(row) for row in rows),
                "part_kinds": (PartKind(name="Pot", basis="Charges", life=120.0), *studio.part_kinds[1:]),
                "decisions": studio.decisions.model_copy(update={"pot_kind": None, **known}),
            }
            found.append(Scene(f"{name}, {seed}", studio.model_copy(update=update)))
    return found


def parts_in_service() -> Studio:
    """Parts near the end of what was expected of them, or just past it, and several of a kind in service."""
    studio = invented(3, ROOM)
    late, later = {"cost": 90.0, "installed": date(2030, 3, 1)}, {"cost": 80.0, "installed": date(2030, 4, 1)}
    parts = (
        {"name": "Pot", "uses_before": 119.0, **late},  # 0.4999997 left
        {"name": "Elements", "uses_before": 5.0, **late},  # one later, one lower on its day
        {"name": "Elements", "uses_before": 6.0, **late},
        {"name": "Elements", "uses_before": 300.4999997, **later},  # past by 0.4999997
        {"name": "Floor", "uses_before": 1.0, **late},
        {"name": "Floor", "uses_before": 2.4999997, **late},  # in the last row
    )
    update: dict[str, Any] = {
        "part_kinds": (
            PartKind(name="Pot", basis="Charges", life=119.4999997),
            PartKind(name="Elements", basis="Hot days", life=300.0),
            PartKind(name="Floor", basis="Heat-ups"),
        ),
        "ledger": tuple(LedgerRow.model_validate(part) for part in parts),
        "shop": studio.shop.model_copy(update={"pricing_date": date(2031, 1, 1)}),
    }
    return studio.model_copy(update=update)


def costs_nothing() -> Scene:
    """Neither an idle day nor going cold costs anything: the two are told to cost the same."""
    studio = invented(3, ROOM)
    free_of_all = {"gap_days": 9.0, "idle_day_typed": 0.0, "heatup_use_typed": 0.0, "heatup_days_typed": 1.0}
    nothing = dict.fromkeys(("cooling_use", "crack_chance", "cold_labour", "day_value"), 0.0)
    decisions = studio.decisions.model_copy(update=free_of_all | nothing)
    wear = studio.wear.model_copy(update={"wear_counted": "None"})
    return Scene("nothing costs anything", studio.model_copy(update={"decisions": decisions, "wear": wear}))


def scenes() -> list[Scene]:
    """All of them, those first that kill the most."""
    found = [Scene(f"invented {seed}", invented(seed, ROOM)) for seed in range(14)]
    found += [
        Scene("typed over", invented(13, ROOM), twisted=True),
        Scene("names gone", invented(13, ROOM), nameless=True),
        Scene("nothing made", bare(14, window_hours=None)),
        Scene("only idle days", logged(15, {"kind": "Idle", "days": 9}, {"kind": "Idle", "days": 3, "reading": 700.0})),
        Scene(
            "only idle days, with an ordinary year",
            logged(15, {"kind": "Idle", "days": 9}, {"kind": "Idle", "reading": 700.0}, ordinary_weight=4000),
        ),
        Scene(
            "charged with nothing",
            logged(16, {"kind": "Charge", "days": 9, "weight": 0.0}, {"kind": "Idle", "days": 3, "reading": 700.0}),
        ),
        Scene(
            "charged in no time",
            logged(17, {"kind": "Charge", "days": 0, "weight": 80.0, "reading": 700.0}),
        ),
        Scene("priced before the first letter", bare(19, pricing_date=date(2020, 1, 1))),
        Scene(
            "used nothing",
            logged(18, {"kind": "Charge", "days": 2, "weight": 80.0}, {"kind": "Idle", "days": 3, "reading": 0.0}),
        ),
    ]
    found += [
        Scene(f"texts for numbers, {seed}", invented(seed, ROOM, 0.5, 0.05), texts=True) for seed in range(200, 210)
    ]
    found += benches()
    found += letters()
    found += pots()
    found.append(Scene("parts in service", parts_in_service()))
    found.append(costs_nothing())
    found += [Scene(name, cut(load_start(name).studio)) for name in ("lakeside-lb", "harbour-kg", "blank")]
    found += [Scene(case.name, cut(case.studio)) for case in load_cases()]
    found += [
        Scene(f"only the {'last' if last else 'first'} row, {seed}", lonely(seed, last))
        for seed in (100, 101, 102)
        for last in (False, True)
    ]
    found += [Scene(f"invented {seed}, some blank", invented(seed, ROOM, 0.85, 0.04)) for seed in SOME_BLANK]
    found += [Scene(f"invented {seed}, odd", invented(seed, ROOM, 0.95, 0.15)) for seed in ODD]
    found += [Scene(f"invented {seed}, half blank", invented(seed, ROOM, 0.5, 0.1)) for seed in HALF_BLANK]
    found += [Scene(f"machines: {name}", cut(studio)) for name, studio in machine_studios().items()]
    found += [Scene(f"generated {at}", studio) for at, studio in enumerate(corpus(24, ROOM))]
    return found
