"""What ``meltbook tariff`` found, as lines of text and as one document."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from meltbook.method.results import Value
from meltbook.units import money_digits

if TYPE_CHECKING:
    from meltbook.studio.tariff import TariffRow
    from meltbook.workbook.new_letter import Applied, Preview

HEADINGS = ("Piece", "Tag", "Cost", "Margin", "Cost then", "Margin then", "New tag", "Change", "")


def lines(found: Preview) -> Iterator[str]:
    """The whole answer, for a terminal of any width."""
    figures, currency, unit = found.figures, found.studio.shop.currency, found.billing.energy_unit
    digits = money_digits(currency)
    yield from _table(found, digits)
    yield ""
    yield str(found.results.scalars["retag_sentence"] or "The furnace's rate isn't known yet, so no tag is judged.")
    yield (
        f"Energy: {_rate(figures['price_before'])} now, "
        f"{_rate(figures['price_after'])} {currency}/{unit} then, all in. "
        f"{_more(figures['effect_energy_month'], digits)} {currency} in a month, "
        f"{_more(figures['effect_energy'], digits)} in a year."
    )
    yield from found.effect_notes
    yield (
        f"Service and demand: {_rate(figures['standing_day_before'])} now, {_rate(figures['standing_day_after'])} "
        f"{currency}/day then. {_more(figures['effect_standing_month'], digits)} {currency} in a month, "
        f"{_more(figures['effect_standing'], digits)} in a year."
    )
    if found.moves_equipment:
        yield (
            f"Equipment: {_more(figures['effect_equipment_month'], digits)} {currency} in a month, "
            f"{_more(figures['effect_equipment'], digits)} in a year."
        )
    if not found.full:
        yield f"Line {found.line} of {found.sheet_of_tariffs}: {_row(found.row)}"


def _table(found: Preview, digits: int) -> Iterator[str]:
    rows = [HEADINGS]
    for piece in found.pieces:
        values = piece.figures
        rows.append(
            (
                f"{piece.name}, {piece.size}" if piece.size else piece.name,
                _money(values["after_tag_now"], digits),
                _money(values["after_cost_now"], digits),
                _share(values["after_margin_now"]),
                _money(values["cost_after"], digits),
                _share(values["margin_after"]),
                _money(values["tag_new"], digits),
                "" if values["tag_rise"] is None else _more(values["tag_rise"], digits),
                str(values["tag_verdict"] or ""),
            )
        )
    widths = [max(len(row[col]) for row in rows) for col in range(len(HEADINGS))]
    for row in rows:
        yield _line(row, widths)


def _line(row: Sequence[str], widths: Sequence[int]) -> str:
    last = len(row) - 1
    cells = (
        text.ljust(width) if col in (0, last) else text.rjust(width)
        for col, (text, width) in enumerate(zip(row, widths, strict=True))
    )
    return "  ".join(cells).rstrip()


def _row(row: TariffRow) -> str:
    """The line as the owner would type it: what it says, without what is blank."""
    percent = {"share_one", "share_two", "share_three", "tax", "service_share", "demand_share"}
    parts = []
    for key, value in row:
        if value is not None:
            word = key.replace("_", " ").replace("demand kw", "billed kW")
            shown = (
                f"{value * 100:.10g} %" if key in percent else f"{value:.10g}" if isinstance(value, float) else value
            )
            parts.append(str(shown) if key == "start" else f"{word} {shown}")
    return ", ".join(parts)


def _money(value: Value, digits: int) -> str:
    return f"{value:,.{digits}f}" if isinstance(value, int | float) else value or ""


def _more(value: Value, digits: int) -> str:
    if not isinstance(value, int | float):
        return value or "?"
    text = f"{value:+,.{digits}f}"
    return text if any(digit in text for digit in "123456789") else text.lstrip("+-")


def _share(value: Value) -> str:
    return f"{value * 100:.1f} %" if isinstance(value, int | float) else value or ""


def _rate(value: Value) -> str:
    return f"{value:.5g}" if isinstance(value, int | float) else "not known"


def document(book: Path, found: Preview, applied: Applied | None, report: Path | None) -> dict[str, Any]:
    """The same for programs, with every figure as it is, under the names that the cells have in the workbook."""
    return {
        "file": str(book),
        "currency": found.studio.shop.currency,
        "source": found.source.lower(),
        "letter": found.billing.letter.model_dump(mode="json", exclude_none=True),
        "tariff_line": found.line,
        "tariff_row": found.row.model_dump(mode="json", exclude_none=True),
        "figures": found.figures,
        "pieces": [
            {"row": piece.row, "piece": piece.name, "size": piece.size, **piece.figures} for piece in found.pieces
        ],
        "warnings": list(found.warnings),
        "report": None if report is None else str(report),
        "applied": None if applied is None else _applied(applied),
    }


def _applied(applied: Applied) -> dict[str, Any]:
    edit, caches = applied.report.edit, applied.report.caches
    return {
        "file": str(edit.target),
        "backup": None if edit.backup is None else str(edit.backup),
        "cells": [
            {"sheet": change.sheet, "cell": change.cell, "before": _plain(change.before), "after": change.after}
            for change in edit.changes
        ],
        "tags": applied.tags,
        "formulas": caches.formulas,
        "formulas_with_stored_value": caches.stored,
        "stored_values": str(caches),
        "formulas_changed": applied.formulas_changed,
    }


def _plain(value: object) -> object:
    return value if value is None or isinstance(value, float | int | str | bool) else str(value)
