"""A small book for the tests of the workbook layer: a shop, a log with carried columns, two aligned tables.

It has one of everything that the layer can place, and a reference written as plain loops.
"""

from __future__ import annotations

from datetime import date

from meltbook.fields.kernel import Figure, Fixed, Input, Shape, Table, Typed, Vocabulary
from meltbook.method.results import Results, Value
from meltbook.sheets.kernel import Fields, Grid, Key, Links, Picture, Rows, Series, Sheet, Words
from meltbook.studio.model import Studio
from meltbook.workbook.typed import day_number

LOG_ROWS, PIECE_ROWS = 6, 4

SCALARS = (
    Input("studio_name", "Studio", Shape.TEXT, note="As customers know it."),
    Input(
        "ordinary_weight",
        "Price a day",
        Shape.MONEY,
        "{currency}/day",
        note="From the bill.",
        typed=Typed(minimum=0),
    ),
    Input("pricing_date", "Prices of", Shape.DATE),
    Input("picture_piece", "Piece in the picture", Shape.TEXT, typed=Typed(choices_from="piece_name")),
    Fixed("days_year", "Days in a year", Shape.DAYS, values=(365,)),
    Fixed("weight_unit", "Weight in", Shape.TEXT),
    Figure(
        "day_price",
        "Price used",
        Shape.MONEY,
        "{currency}/day",
        formula="ordinary_weight",
        needs=("ordinary_weight",),
    ),
    Figure("cost_total", "Cost, all rows", Shape.MONEY, "{currency}", formula="SUM(row_cost.all)"),
    Figure("days_total", "Days, all rows", Shape.DAYS, formula="SUM(log_days.all)"),
    Figure(
        "cost_a_day",
        "Cost a day",
        Shape.RATE,
        formula="cost_total/days_total",
        needs=("cost_total", "days_total"),
        nonzero=("days_total",),
    ),
    Figure(
        "cost_left",
        "Cost carried up",
        Shape.MONEY,
        formula="run_left.1",
        note="Another way to the same figure.",
    ),
    Figure("first_costs", "The first two rows", Shape.MONEY, formula="SUM(row_cost.1:row_cost.2)"),
    Figure("price_day", "Day of the month", Shape.COUNT, formula="DAY(pricing_date)"),
    Figure("name_length", "Letters", Shape.COUNT, formula="LEN(studio_name)"),
    Figure(
        "checks_state",
        "All checks",
        Shape.TEXT,
        formula='IF(ROUND(cost_left-cost_total,6)=0,"OK: both agree","LOOK: they differ")',
    ),
    Figure(
        "cost_sentence",
        "In words",
        Shape.TEXT,
        formula='"In all "&ROUND(cost_total,2)&" for "&days_total&" days."',
    ),
)

LOG = Table(
    "log",
    "Log",
    (
        Input("log_date", "Date", Shape.DATE, note="First day of the stretch."),
        Input("log_kind", "Kind", Shape.TEXT, typed=Typed(choices=("Heat-up", "Charge", "Idle"))),
        Input("log_days", "Days", Shape.DAYS, typed=Typed(minimum=0, whole=True)),
        Input("log_weight", "Weight", Shape.WEIGHT, "{weight}", typed=Typed(minimum=0)),
        Input("log_note", "Note", Shape.TEXT),
        Figure(
            "row_cost",
            "Cost",
            Shape.MONEY,
            "{currency}",
            formula="log_days*day_price",
            needs=("log_days", "day_price"),
        ),
        Figure("row_state", "State", Shape.TEXT, formula='IF(log_days>2,"NOTE: long","OK")', blank_if="log_days"),
        Figure(
            "run_total",
            "Running cost",
            Shape.MONEY,
            "{currency}",
            formula="run_total.prev+IF(ISNUMBER(row_cost),row_cost,0)",
            seed=0,
        ),
        Figure(
            "run_kind",
            "Last kind",
            Shape.TEXT,
            formula='IF(log_kind="",run_kind.prev,log_kind)',
            seed="none yet",
        ),
        Figure(
            "run_left",
            "Cost from here",
            Shape.MONEY,
            formula="run_left.next+IF(ISNUMBER(row_cost),row_cost,0)",
            end="=run_total.prev*0",
        ),
    ),
    rows=LOG_ROWS,
    capacity="log",
    seeded=True,
    grows=True,
)
PIECES = Table(
    "pieces",
    "Pieces",
    (
        Input("piece_name", "Piece", Shape.TEXT),
        Input("piece_minutes", "Minutes", Shape.MINUTES, typed=Typed(minimum=0)),
    ),
    rows=PIECE_ROWS,
    capacity="pieces",
)
PRICES = Table(
    "prices",
    "Prices",
    (
        Figure("price_name", "Piece", Shape.TEXT, formula="piece_name", blank_if="piece_name"),
        Figure(
            "price_cost",
            "Cost",
            Shape.MONEY,
            "{currency}",
            formula="piece_minutes*cost_a_day",
            needs=("piece_minutes", "cost_a_day"),
        ),
        Figure("price_kind", "Kind at the start", Shape.TEXT, formula="run_kind.seed", blank_if="piece_name"),
    ),
    rows=PIECE_ROWS,
    capacity="pieces",
    aligned="pieces",
)
CHECKS = Table(
    "checks",
    "Checks",
    (
        Fixed("check_title", "Check", Shape.TEXT, values=("The log", "The pieces")),
        Figure(
            "check_state",
            "State",
            Shape.TEXT,
            formulas=('IF(days_total>0,"OK","LOOK")', 'IF(COUNT(price_cost.all)>0,"OK","NOTE: none yet")'),
        ),
    ),
    rows=3,
)


def vocabulary() -> Vocabulary:
    return Vocabulary.of(SCALARS, (LOG, PIECES, PRICES, CHECKS))


def sheets() -> tuple[Sheet, ...]:
    return (
        Sheet(
            "start",
            "Start",
            "A small book",
            "What is in it.",
            (
                Fields(
                    "The shop",
                    ("studio_name", "ordinary_weight", "pricing_date", "picture_piece", "weight_unit"),
                ),
                Links(),
                Key(),
            ),
            role="type",
        ),
        Sheet(
            "log",
            "Furnace log",
            "Furnace log",
            "One row for every stretch of days.",
            (
                Rows(
                    "Days",
                    "log",
                    ("log_date", "log_kind", "log_days", "log_weight", "log_note", "row_cost", "row_state"),
                    workings=("run_total", "run_kind", "run_left"),
                    intro="Type on the left.",
                    caution="A furnace is never left alone.",
                    line_numbers=True,
                ),
            ),
            landscape=True,
            role="type",
        ),
        Sheet(
            "costs",
            "Costs",
            "Costs",
            "What it comes to.",
            (
                Fields(
                    "In all",
                    (
                        "day_price",
                        "cost_total",
                        "days_total",
                        "days_year",
                        "cost_left",
                        "first_costs",
                        "price_day",
                        "name_length",
                    ),
                ),
                Grid(
                    "Two ways",
                    ("Total", "Per day"),
                    (("Energy", "", "cost_a_day", "per day that was logged"),),
                ),
                Rows("Pieces", "pieces", ("piece_name", "piece_minutes")),
                Words("Read this", ("cost_sentence", "A long line of words that says one thing. " * 6)),
                Picture(
                    "column",
                    "Cost of each row",
                    "log_date",
                    (Series("Cost", "row_cost"), Series("Running", "run_total")),
                    "",
                    "Bars for the cost of each row of the log.",
                ),
                Picture(
                    "waterfall",
                    "Two costs",
                    ("day_price", "cost_total"),
                    (
                        Series("Starts", ("day_price", "cost_total"), hidden=True),
                        Series("Cost", ("day_price", "cost_total")),
                    ),
                    "",
                    "Two bars.",
                    beside=True,
                ),
            ),
            landscape=True,
        ),
        Sheet(
            "prices",
            "Price list",
            "Price list",
            "For the shop.",
            (Rows("", "prices", ("price_name", "price_cost"), workings=("price_kind",)),),
            role="print",
        ),
        Sheet(
            "checks",
            "Checks",
            "Checks",
            "Where to look.",
            (Fields("", ("checks_state",)), Rows("Each", "checks", ("check_title", "check_state"))),
            role="check",
        ),
    )


def studio() -> Studio:
    return Studio.model_validate(
        {
            "shop": {
                "studio_name": "=1+1",
                "ordinary_weight": 2.5,
                "pricing_date": date(2026, 3, 1),
                "weight_unit": "kg",
                "currency": "EUR",
            },
            "log": [
                {"date": date(2026, 1, 1), "kind": "Heat-up", "days": 1, "note": "@lit"},
                {"date": date(2026, 1, 2), "days": 3, "weight": 40.5, "note": "-"},
                {},
                {"date": date(2026, 1, 9), "kind": "Idle", "days": 2, "note": '=HYPERLINK("x")'},
            ],
            "pieces": [{"name": "+Bowl", "minutes": 12}, {"name": "Cup"}],
        }
    )


def results(log_rows: int = LOG_ROWS) -> Results:
    """The sample studio worked out by hand, in loops."""
    made = studio()
    price = made.shop.ordinary_weight or 0.0
    costs: list[Value] = []
    states: list[Value] = []
    running: list[Value] = []
    kinds: list[Value] = []
    total, kind, days = 0.0, "none yet", 0
    for index in range(log_rows):
        row = made.log[index] if index < len(made.log) else None
        if row is not None and row.days is not None:
            costs.append(row.days * price)
            states.append("NOTE: long" if row.days > 2 else "OK")
            total += row.days * price
            days += row.days
        else:
            costs.append(None)
            states.append(None)
        kind = (row.kind if row else None) or kind
        running.append(total)
        kinds.append(kind)
    a_day = total / days
    left: list[Value] = [
        total - before for before in [0.0, *(value for value in running[:-1] if isinstance(value, float))]
    ]
    pieces = list(made.pieces) + [None] * (PIECE_ROWS - len(made.pieces))
    return Results(
        scalars={
            "day_price": price,
            "cost_total": total,
            "days_total": days,
            "cost_a_day": a_day,
            "cost_left": total,
            "first_costs": 4 * price,
            "price_day": 1,
            "name_length": 4,
            "checks_state": "OK: both agree",
            "cost_sentence": f"In all {total:g} for {days} days.",
        },
        columns={
            "row_cost": costs,
            "row_state": states,
            "run_total": running,
            "run_kind": kinds,
            "run_left": left,
            "price_name": [piece.name if piece else None for piece in pieces],
            "price_cost": [piece.minutes * a_day if piece and piece.minutes else None for piece in pieces],
            "price_kind": ["none yet" if piece else None for piece in pieces],
            "check_state": ["OK", "OK", None],
        },
        ends={"run_left": 0.0},
    )


FIRST_DAY = day_number(date(2026, 1, 1))
