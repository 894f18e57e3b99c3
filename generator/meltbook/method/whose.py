"""Several furnaces on the sheets that name them: whose a sheet is, and on Start the steps and the state of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import calendar, flag, in_words
from meltbook.method.results import Results, Value
from meltbook.method.side import Side
from meltbook.method.start import Todo
from meltbook.studio.furnaces import name_ends
from meltbook.studio.model import Studio
from meltbook.studio.shop import Shop

SHEETS_OF_THE_FIRST = ("shop", "log", "pots", "glass", "idle_or_cold", "campaign_length", "change_the_pot")
SHEETS_OF_ANOTHER = ("log", "glass", "decisions")


def name_sheets(results: Results, studio: Studio, sides: Sequence[Side]) -> None:
    """Whose each sheet is, and how things stand with each furnace on Start."""
    words = []
    for number, (end, place, side) in enumerate(zip(name_ends(len(sides)), studio.places, sides, strict=True), start=1):
        name = place.furnace_name
        words.append(f"Furnace {number}: {name}" if name else f"Furnace {number}")
        results.put(**{f"furnace_words{end}": words[-1]})
        keys = SHEETS_OF_ANOTHER if end else SHEETS_OF_THE_FIRST
        results.put(**{f"whose_{key}{end}": words[-1] for key in keys})
        steps = side.first_steps
        done = {f"furnace_done{end}": flag(steps.all_done), f"log_waits{end}": steps.log_waits}
        results.put(**done, **{f"furnace_waits{end}": steps.waits})
    others = "All furnaces has the others beside it; the picture of one price is of any piece."
    results.put(whose_pictures=f"{words[0]}. {others}")
    results.column("start_furnace", words)
    results.column("start_reaches", [side.log.log_last_day for side in sides])
    results.column("start_hot", [side.prices.price_hot for side in sides])
    results.column("start_line", [side.prices.price_line_own for side in sides])
    results.column("start_free", [side.log.log_rows_free for side in sides])
    say_how_they_stand(results, studio.shop)


def say_how_they_stand(results: Results, shop: Shop) -> None:
    """The row of each furnace on Start, in words, and the parts that it is made of."""
    each = [
        _Stands(reached, hot, line, left, f"{shop.currency}/{shop.weight_unit}")
        for reached, hot, line, left in zip(
            *(results.columns[f"start_{part}"] for part in ("reaches", "hot", "line", "free")), strict=True
        )
    ]
    for part in ("log_words", "hot_words", "line_words", "cost_words", "stands"):
        results.columns[f"start_{part}"] = [getattr(one, part) for one in each]


@dataclass(frozen=True, slots=True)
class _Stands:
    """How one furnace stands."""

    reached: Value
    hot: Value
    line: Value
    left: Value
    unit: str

    @property
    def log_words(self) -> str | None:
        return f"log to {calendar(self.reached).isoformat()}" if isinstance(self.reached, int) else None

    @property
    def hot_words(self) -> str | None:
        return None if self.hot is None else in_words(float(self.hot))

    @property
    def line_words(self) -> str | None:
        return None if self.line is None else in_words(float(self.line))

    @property
    def cost_words(self) -> str | None:
        if self.hot is None or self.line is None:
            return None
        return f"; every hot day {self.hot_words}, with all that is counted {self.line_words} {self.unit}"

    @property
    def stands(self) -> str:
        return f"{self.log_words or 'nothing logged yet'}{self.cost_words or ''}; {self.left} log rows left"


def further_steps(titles: Sequence[str], sides: Sequence[Side], sources: Mapping[str, Side]) -> list[Todo]:
    """What Start asks for the second source, and for each further furnace in one line."""
    todo: list[Todo] = []
    if "Second" in sources:
        todo.append(("Type the unit price on Tariffs 2", sources["Second"].tariff.tariff_newest is not None))
    for title, side in zip(titles[1:], sides[1:], strict=True):
        steps = side.first_steps
        first_days = f"Log the first days of {title} on {side.called.log}"
        todo.append((steps.waits or first_days, steps.all_done))
    return todo
