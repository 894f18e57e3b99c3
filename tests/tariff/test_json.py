"""The document for programs: its names and kinds of values stay what they are."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from meltbook.workbook.new_letter import FIGURES, PIECE_FIGURES
from tests.tariff.books import START, tariff
from tests.unit.cli.run import run

WORDS = ("--from", START, "--price", "0.35", "--service", "50", "--ref", "No. 7")

DOCUMENT = {
    "ok": bool, "exit_code": int, "file": str, "currency": str, "source": str, "letter": dict, "tariff_line": int,
    "tariff_row": dict, "figures": dict, "pieces": list, "warnings": list, "report": type(None),
    "applied": type(None),
}  # fmt: skip
APPLIED = {
    "file": str, "backup": type(None), "cells": list, "tags": int, "formulas": int,
    "formulas_with_stored_value": int, "stored_values": str, "formulas_changed": bool,
}  # fmt: skip
PIECE = ("row", "piece", "size", *PIECE_FIGURES)
SOME_FIGURES = {
    "price_before", "price_after", "effect_year", "effect_month", "effect_energy", "effect_standing", "retag_count",
    "retag_list_count",
    "short_count", "keep_count", "late_rows", "late_waiting", "late_energy", "base_price", "new_price",
    "change_price", "base_tax", "letter_tax_new", "new_service", "change_service", "base_all_in", "new_all_in",
    "change_all_in", "letter_state", "late_note", "retag_sentence",
}  # fmt: skip
PIECE_NAMES = {
    "after_tag_now", "after_cost_now", "after_margin_now", "cost_after", "margin_after", "tag_after", "tag_change",
    "tag_new", "tag_rise", "tag_verdict",
}  # fmt: skip


def kinds(document: dict[str, Any]) -> dict[str, type]:
    return {key: type(value) for key, value in document.items()}


def test_the_names_and_kinds_of_what_is_shown(book: Path) -> None:
    document = tariff(book, *WORDS)
    assert kinds(document) == DOCUMENT
    assert list(document) == list(DOCUMENT)
    assert tuple(document["figures"]) == FIGURES
    assert set(FIGURES) >= SOME_FIGURES
    assert set(PIECE_FIGURES) == PIECE_NAMES
    assert all(tuple(piece) == PIECE for piece in document["pieces"])
    assert document["letter"] == {
        "letter_start": START, "letter_reference": "No. 7", "letter_price": 0.35, "letter_service": 50.0,
        "retag_tolerance": 0.01,
    }  # fmt: skip
    assert document["tariff_row"]["start"] == START


def test_the_names_and_kinds_of_what_was_written(book: Path) -> None:
    document = tariff(book, *WORDS, "--apply", "--retag", "--report", book.with_name("report.csv"))
    assert kinds(document) == {**DOCUMENT, "applied": dict, "report": str}
    assert kinds(document["applied"]) == APPLIED
    assert all(list(cell) == ["sheet", "cell", "before", "after"] for cell in document["applied"]["cells"])


def test_stdout_is_one_document_and_the_text_goes_nowhere_else(book: Path) -> None:
    result = run("tariff", book, *WORDS, "--json")
    assert result.stderr == ""
    assert result.stdout.startswith("{")
    assert result.stdout.rstrip().endswith("}")


def test_an_error_is_a_document_too(book: Path) -> None:
    error = tariff(book, "--from", START, "--price", "0,151", code=2)
    assert list(error) == ["ok", "exit_code", "error", "problems"]
    assert set(error["error"]) == {"message", "hint"}
