"""Whose a sheet is, in a book with several furnaces: the name of the furnace on each of its sheets, and on Start."""

from __future__ import annotations

from meltbook.fields.furnaces import PER_WEIGHT, Many
from meltbook.fields.kernel import Figure, Item, Shape, Table
from meltbook.fields.words import amount_words, date_words

SHEETS_OF_THE_FIRST: tuple[str, ...] = (
    "shop",
    "log",
    "pots",
    "glass",
    "idle_or_cold",
    "campaign_length",
    "change_the_pot",
)
SHEETS_OF_ANOTHER: tuple[str, ...] = ("log", "glass", "decisions")
"""The sheets that show whose they are, by their keys. The one on which a furnace is named shows it already."""


def shown_on(key: str, end: str = "") -> str:
    """The field that shows on a sheet whose it is."""
    return f"whose_{key}{end}"


def names(many: Many) -> tuple[Item, ...]:
    """The number and the name of each furnace, once for each of its sheets, and whose the pictures are."""
    found: list[Item] = []
    for number, end in enumerate(many.ends, start=1):
        found.append(
            Figure(
                f"furnace_words{end}",
                "Number and name",
                Shape.TEXT,
                note="As its sheets show it.",
                formula=f'"Furnace {number}"&IF(furnace_name{end}="","",": "&furnace_name{end})',
            )
        )
        found += [
            Figure(shown_on(key, end), "Whose sheet this is", Shape.TEXT, formula=f"furnace_words{end}")
            for key in (SHEETS_OF_ANOTHER if end else SHEETS_OF_THE_FIRST)
        ]
    found.append(
        Figure(
            "whose_pictures",
            "Whose pictures these are",
            Shape.TEXT,
            formula='furnace_words&". All furnaces has the others beside it; '
            'the picture of one price is of any piece."',
        )
    )
    return tuple(found)


def on_start(many: Many) -> Table:
    """How things stand with each furnace."""

    def each(name: str, label: str, shape: Shape, source: str, unit: str = "", note: str = "") -> Figure:
        return Figure(f"start_{name}", label, shape, unit=unit, note=note, formulas=many.each(source))

    def words(name: str, label: str, formula: str, *needs: str) -> Figure:
        return Figure(f"start_{name}", label, Shape.TEXT, formula=formula, needs=needs)

    return Table(
        "furnaces_start",
        "How the furnaces stand",
        (
            each("furnace", "Furnace", Shape.TEXT, "furnace_words"),
            each("reaches", "Log reaches to", Shape.DATE, "log_last_day", note="The last day in its log."),
            each("hot", "Every hot day", Shape.RATE, "price_hot", PER_WEIGHT, "Energy of all hot days."),
            each("line", "With all that is counted", Shape.RATE, "price_line_own", PER_WEIGHT, "To price with."),
            each("free", "Log rows left", Shape.COUNT, "log_rows_free", note="Prepared rows without a kind of day."),
            words("log_words", "Its log, in words", f'"log to "&{date_words("start_reaches")}', "start_reaches"),
            words("hot_words", "Every hot day, in words", amount_words("start_hot"), "start_hot"),
            words("line_words", "All counted, in words", amount_words("start_line"), "start_line"),
            words(
                "cost_words",
                "What glass costs, in words",
                '"; every hot day "&start_hot_words&", with all that is counted "&start_line_words'
                '&" "&currency_code&"/"&weight_unit',
                "start_hot",
                "start_line",
            ),
            words(
                "stands",
                "How it stands",
                'IF(start_log_words="","nothing logged yet",start_log_words)&start_cost_words'
                '&"; "&start_free&" log rows left"',
            ),
        ),
        rows=len(many.sources),
        aligned="furnaces",
    )
