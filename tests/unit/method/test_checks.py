from __future__ import annotations

from meltbook.method import Results, SheetFacts
from meltbook.method.checks import CHECKS, NOTES
from tests.unit.method.studios import FLAT, day, kwh_log, melt, run


def found(results: Results) -> dict[str, object]:
    """The checks that found something."""
    return {name: number for name, number in zip(CHECKS, results.columns["check_found"], strict=True) if number}


def test_an_empty_book_has_no_faults() -> None:
    results = run()
    assert found(results) == {}
    assert results.value("checks_state") == "Nothing to check yet"
    assert results.value("checks_total") == 49


def test_a_sound_furnace_has_no_faults() -> None:
    assert found(run(**melt())) == {}


def test_rows_without_a_kind_and_strange_rows() -> None:
    results = kwh_log(
        {"note": "lit the furnace"},
        day("Charge", 1, date="2025-01-01", weight=5, reading=4),
        day("Charge", 1, new_kw=3, reading=5),
    )
    assert results.columns["row_fault"][:3] == [1, 0, 4]
    assert results.value("log_status", 1) == "Which kind of day is this?"
    assert results.value("log_status", 3) == "A new kW goes on a New meter row"
    assert found(results) == {"log_kinds": 1, "meter_change": 1}
    assert results.value("check_first", CHECKS.index("log_kinds") + 1) == "line 1 of the log"
    assert results.value("check_first", CHECKS.index("meter_change") + 1) is None  # only new meters are pointed at


def test_the_first_faulty_row_is_named_by_its_day() -> None:
    results = kwh_log(
        day("Charge", 1, date="2026-03-01", weight=5),
        day("Charge", 1, date="2026-03-04", weight=5),
        day("Charge", 1, date="2026-03-09", weight=5),
        day("Idle", 1, date="2026-03-08", reading=8),
    )
    assert found(results) == {"log_gaps": 2, "log_dates": 1}
    assert results.value("check_first", 3) == "first on 2026-03-08"
    assert results.value("check_first", 4) == "first on 2026-03-04"
    assert results.value("check_state", 3) == "LOOK"
    assert results.value("checks_state") == "2 checks need a look"


def test_notes_do_not_fail() -> None:
    results = run(
        furnace={"meter_kind": "kWh meter"},
        tariffs=[{**FLAT[0], "block": "Yes"}],
        log=[day("Charge", 4, date="2025-01-01", weight=5, reading=5), day("Idle")],
    )
    assert found(results) == {"tariff_block": 1, "charges_asked": 1, "waiting": 1}
    assert set(found(results)) <= NOTES
    assert results.value("checks_failing") == 0
    assert results.value("checks_notes") == 3
    assert results.value("check_first", CHECKS.index("waiting") + 1) == "first on 2025-01-05"


def test_a_book_without_a_meter_never_waits() -> None:
    results = run(**melt())
    assert results.value("check_first", CHECKS.index("waiting") + 1) is None


def test_a_meter_change_wants_a_reading_on_both_sides() -> None:
    results = kwh_log(day("Charge", 1, date="2025-01-01"), day("New meter"))
    assert found(results)["meter_change"] == 2


def test_missing_inputs() -> None:
    results = run(log=[day("Charge", 1, date="2025-01-01")])
    assert found(results) == {"inputs_missing": 2, "tariff_cover": 1, "waiting": 1}  # kW, tariff
    pieces = run(pieces=[{"name": "Cup"}], shop={"share_drawn": None})
    assert found(pieces)["inputs_missing"] == 3  # rate, channel, share drawn
    unweighed = kwh_log(day("Charge", 1, date="2025-01-01", reading=5))
    assert found(unweighed) == {"inputs_missing": 1}


def test_a_nearly_full_log_and_a_full_list() -> None:
    rows = [day("Charge", 1, date="2025-01-01", weight=1), *(day("Charge", 1) for _ in range(25))]
    results = kwh_log(*rows, day("Idle", reading=9))
    assert results.value("log_rows_free") == 18
    assert found(results) == {"log_room": 1}
    full = run(pieces=[{"name": f"Piece {number}"} for number in range(5)])
    assert found(full)["list_full"] == 1


def test_faults_of_the_sheet_are_handed_in() -> None:
    facts = SheetFacts(text_cells=2, rows_below=1, rows_deleted=3, formulas_missing=4)
    results = run(facts=facts)
    assert found(results) == {"log_formulas": 4, "log_rows": 3, "shop_numbers": 2, "below_last": 1}
    assert results.value("checks_state") == "4 checks need a look"
