"""Studio files: what they may hold, and what is said when they hold something else."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from meltbook.errors import Problem, StudioError, UsageError
from meltbook.studio.expect import expectations, row_model, table_names
from meltbook.studio.load import load_studio, parse_studio
from meltbook.studio.model import PREFIXES, Studio


def problems(text: str) -> list[Problem]:
    with pytest.raises(StudioError) as caught:
        parse_studio(text, "mine.toml")
    assert caught.value.exit_code == 1
    return list(caught.value.problems)


def only(text: str) -> Problem:
    (problem,) = problems(text)
    return problem


def test_an_empty_file_is_a_blank_studio() -> None:
    found = parse_studio("", "mine.toml")
    assert found.studio == Studio()
    assert found.about == ""


def test_units_as_a_keyboard_has_them() -> None:
    found = parse_studio('shop.energy_unit = "m3"\n[second_source]\nenergy_unit = "ft3"\n', "mine.toml").studio
    assert found.second_source is not None
    assert (found.shop.energy_unit, found.second_source.energy_unit) == ("m³", "ft³")


def test_sections_tables_and_the_line_about() -> None:
    found = parse_studio(
        """
        about = "A shed"
        [shop]
        currency = "EUR"
        weight_unit = "kg"
        [[log]]
        date = 2026-03-02
        kind = "Charge"
        days = 2
        weight = 40
        [[log]]
        [[log]]
        kind = "Idle"
        """,
        "mine.toml",
    )
    assert found.about == "A shed"
    assert found.studio.shop.currency == "EUR"
    assert [row.kind for row in found.studio.log] == ["Charge", None, "Idle"]
    assert found.studio.log[0].date == dt.date(2026, 3, 2)
    assert found.studio.log[0].weight == 40.0


def test_rows_may_be_written_one_a_line() -> None:
    found = parse_studio("tariffs = [\n  {start = 2026-01-01, price = 0.2},\n  {},\n]\n", "mine.toml")
    assert [row.price for row in found.studio.tariffs] == [0.2, None]


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_bytes(b'\xef\xbb\xbfabout = "x"\n')
    assert load_studio(file).about == "x"


@pytest.mark.parametrize(
    ("text", "where", "found", "expected", "do"),
    [
        (
            "[shop]\nsales_tax = 8",
            ("shop", None, "sales_tax"),
            "8",
            "a number from 0 to 1",
            "Type 8 % as 0.08.",
        ),
        ("[shop]\ntag_step = 0", ("shop", None, "tag_step"), "0", "a number above 0", ""),
        (
            '[shop]\ncurrency = "usd"',
            ("shop", None, "currency"),
            "the text 'usd'",
            "three capital letters",
            "",
        ),
        ('[shop]\ncurrency = "ABC"', ("shop", None, "currency"), "the text 'ABC'", "ISO 4217", "USD"),
        (
            '[[log]]\n[[log]]\nkind = "Chrage"',
            ("log", 2, "kind"),
            "the text 'Chrage'",
            "Heat-up, Charge, Blow, Idle, Cold or New meter",
            "Did you mean Charge?",
        ),
        (
            '[[log]]\nweight = "12,50"',
            ("log", 1, "weight"),
            "the text '12,50'",
            "a number, 0 or more",
            "12.50",
        ),
        ('[[log]]\nweight = "1.234,50"', ("log", 1, "weight"), "'1.234,50'", "a number", "1234.50"),
        (
            '[[log]]\nweight = "12.50"',
            ("log", 1, "weight"),
            "the text '12.50'",
            "a number",
            "again, as a number",
        ),
        ('[[log]]\nweight = "40 lb"', ("log", 1, "weight"), "the text '40 lb'", "a number", "alone"),
        ('[[tariffs]]\ntax = "8 %"', ("tariffs", 1, "tax"), "the text '8 %'", "a number from 0 to 1", "0.08"),
        ("[[log]]\nweight = -1", ("log", 1, "weight"), "-1", "a number, 0 or more", "minus"),
        ("[[log]]\nweight = true", ("log", 1, "weight"), "true", "a number, 0 or more", ""),
        ("[[log]]\nweight = nan", ("log", 1, "weight"), "a number without end", "a number, 0 or more", ""),
        ("[[log]]\ncharges = 1.5", ("log", 1, "charges"), "1.5", "a whole number, 0 or more", ""),
        ("[[log]]\ndays = 1.5", ("log", 1, "days"), "1.5", "a whole number from 0 to 3660", ""),
        ("[[log]]\ndays = 3661", ("log", 1, "days"), "3661", "a whole number from 0 to 3660", "two rows"),
        ("[[log]]\ndays = 1000000000", ("log", 1, "days"), "1000000000", "a whole number from 0 to 3660", ""),
        ('[[log]]\ndate = "2026-03-02"', ("log", 1, "date"), "the text '2026-03-02'", "a date", "as a date"),
        ("[[log]]\ndate = 2026-03-02T08:00:00", ("log", 1, "date"), "2026-03-02T08", "a date", "2026-03-02."),
        ("[[log]]\nglass = 96", ("log", 1, "glass"), "96", "text", "quotes"),
        ("[furnace]\nmeasured_phases = 2", ("furnace", None, "measured_phases"), "2", "1 or 3", ""),
        ("[[pieces]]\nloss = 1.0", ("pieces", 1, "loss"), "1", "a number from 0 to below 1", ""),
        (
            "[[log]]\nlog_date = 2026-03-02",
            ("log", 1, "log_date"),
            "an unknown key",
            "date, kind",
            "mean date?",
        ),
        (
            '[shop]\nweigth_unit = "kg"',
            ("shop", None, "weigth_unit"),
            "an unknown key",
            "",
            "mean weight_unit?",
        ),
        ("[[peices]]\nname = 'x'", ("mine.toml", None, ""), "a section 'peices'", "", "mean pieces?"),
        ("[log]\ndays = 1", ("log", None, ""), "a table", "one table for each row", "[[log]]"),
        ("shop = 3", ("shop", None, ""), "3", "a section of keys", "[shop]"),
        ("log = [1]", ("log", 1, ""), "1", "one table for each row", "[[log]]"),
        ("about = 3", ("mine.toml", None, "about"), "3", "one line of text", ""),
        ('about = "a\\nb"', ("mine.toml", None, "about"), "", "one line of text", ""),
        ("x = = 3", ("mine.toml", None, "line 1, column 5"), "`x = = 3`", "TOML", "Invalid value."),
        ("\na = [1,\n", ("mine.toml", None, ""), "", "TOML", ""),
        ("a = 1\na = 2", ("mine.toml", None, "line 2"), "`a = 2`", "TOML", "Cannot overwrite"),
    ],
)
def test_what_is_said(text: str, where: tuple[str, int | None, str], found: str, expected: str, do: str) -> None:
    problem = only(text)
    assert (problem.sheet, problem.row) == where[:2]
    assert problem.column.startswith(where[2])
    assert found in problem.found
    assert expected in problem.expected
    assert do in problem.do


def test_everything_is_said_at_once() -> None:
    text = '[shop]\nsales_tax = 8\nx = 1\n[[log]]\nkind = "?"\n[[log]]\ndays = -1\n[nothing]\n'
    assert len(problems(text)) == 5


def test_every_key_says_what_it_expects() -> None:
    for table in table_names():
        for key, expected in expectations(table).items():
            assert key in row_model(table).model_fields
            assert str(expected)
    assert {*table_names(), "place", "more_furnaces", "second_source"} == set(Studio.model_fields)


def test_no_key_is_called_like_the_line_about() -> None:
    assert "about" not in Studio.model_fields
    assert "about" not in PREFIXES


@pytest.mark.parametrize(
    ("content", "error", "said"),
    [
        (b"\xff\xfe\x00", StudioError, "not UTF-8"),
        (b"PK\x03\x04....", UsageError, "workbook or another zip file"),
        (b"a = " + b"[" * 5000, StudioError, "TOML"),
    ],
)
def test_files_that_are_something_else(
    tmp_path: Path, content: bytes, error: type[StudioError | UsageError], said: str
) -> None:
    file = tmp_path / "mine.toml"
    file.write_bytes(content)
    with pytest.raises(error, match=said):
        load_studio(file)


def test_files_that_are_not_there(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="no studio file"):
        load_studio(tmp_path / "none.toml")
    with pytest.raises(UsageError, match="folder"):
        load_studio(tmp_path)


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "mine.toml"
    file.touch()

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(UsageError, match="permission denied"):
        load_studio(file)
