"""Worked examples from accounting texts, a standard and a regulation, posed to parts, pieces and prices."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.published.both import Both, answer, both, given


def shop(folder: Path, pieces: list[dict[str, Any]], *, margin: float = 0.0, **more: Any) -> Both:
    """A studio whose furnace and people cost nothing, so that only what is posed counts."""
    return both(
        folder,
        **{
            "furnace": {"meter_kind": "kWh meter"},
            "tariffs": [{"start": "2020-01-01", "price": 0.0}],
            "log": [{"date": "2020-06-01", "kind": "Charge", "days": 365, "charges": 90, "weight": 100, "reading": 10}],
            "people": [{"rate": 0.0}],
            "channels": [{"name": "Own shop", "margin": margin, "must_earn": "Yes"}],
            "pieces": [{"drawn": 1.0, "minutes": 0.0} | piece for piece in pieces],
            **more,
        },
    )


def test_a_loss_counted_on_output(tmp_path: Path) -> None:
    """Source: OpenTuition, process costing, topic 42.

    13,200 in and a loss of 10 % of output: 13,200 / 1.1 = 12,000 out, 1,200 lost, 1/11 of what was started. Each
    start cost 184,800 / 13,200 = 14, and each lost one brings 4: (14 - 4/11) / (10/11) = (154 - 4) / 10 = 15.00.
    """
    posed = given("loss_on_output")
    lost = posed["loss_of_output"] / (1 + posed["loss_of_output"])
    piece = {
        "name": "Unit",
        "materials": posed["spent"] / posed["units_in"],
        "loss": lost,
        "seconds": 1.0,
        "second_value": posed["scrap"],
    }
    book = shop(tmp_path, [piece])
    assert book.number("cost_good", 1) == pytest.approx(answer("loss_on_output"))
    assert posed["units_in"] * book.number("good_share", 1) == pytest.approx(12_000)


def test_a_loss_taken_on_input_would_be_wrong(tmp_path: Path) -> None:
    """Ours, after the same source: 10 % typed as it stands, of input, gives (14 - 0.4) / 0.9 = 15.11, not 15.00."""
    posed = given("loss_on_output")
    piece = {"materials": 14.0, "loss": posed["loss_of_output"], "seconds": 1.0, "second_value": posed["scrap"]}
    assert shop(tmp_path, [{"name": "Unit", **piece}]).number("cost_good", 1) == pytest.approx(13.6 / 0.9)


def test_straight_line_depreciation(tmp_path: Path) -> None:
    """Source: Accounting Principles: A Business Perspective, Exhibit 83. (54,000 - 4,000) / 10 = 5,000 a year."""
    posed = given("straight_line")
    furnace = {
        "furnace_purchase": posed["cost"],
        "furnace_worth_end": posed["worth_at_the_end"],
        "furnace_life": posed["years"],
    }
    assert both(tmp_path, furnace=furnace).number("own_yearly") == answer("straight_line")


def test_a_machine_by_years_and_by_units(tmp_path: Path) -> None:
    """Source: Accounting Principles: A Business Perspective, Exhibit 83, both ways to the same asset.

    (54,000 - 4,000) / 10 = 5,000 a year. Its 50,000 units are 5,000 in each of ten years: 5,000 / 5,000 = 1.00 each.
    An annealer that uses nothing is typed, so that owning it is all that a load costs, and a piece that fills one.
    """
    posed, by_units = given("straight_line"), given("units_of_production")
    units = (by_units["cost"] - by_units["worth_at_the_end"]) / by_units["a_unit"]
    annealer = {
        "name": "Asset",
        "feeds": "Annealer",
        "use": 0,
        "per": "Load",
        "runs": units / posed["years"],
        "purchase": posed["cost"],
        "worth_end": posed["worth_at_the_end"],
        "life": posed["years"],
    }
    book = shop(tmp_path, [{"name": "Unit", "per_load": 1}], machines=[annealer])
    assert book.number("machine_own_year", 1) == answer("straight_line")
    assert book.number("machine_own", 1) == pytest.approx(by_units["a_unit"])
    assert book.number("cost_anneal", 1) == pytest.approx(by_units["a_unit"])
    # What nobody would spend less without the piece stays out of its lowest price.
    assert book.number("low_kiln", 1) == 0


@pytest.mark.parametrize("which", range(2))
def test_depreciation_by_use(tmp_path: Path, which: int) -> None:
    """Source: Accounting Principles: A Business Perspective, Exhibit 83, units of production.

    54,000 - 4,000 = 50,000 to wear off at 1.00 a unit is a life of 50,000 units. 1,000 units use up 1,000,
    2,500 use up 2,500. In the ledger: a part whose life counts in charges, and a log with so many of them.
    """
    posed = given("units_of_production")
    to_wear_off = posed["cost"] - posed["worth_at_the_end"]
    book = both(
        tmp_path,
        furnace={"meter_kind": "kWh meter"},
        tariffs=[{"start": "2020-01-01", "price": 0.10}],
        part_kinds=[{"name": "Asset", "basis": "Charges", "life": to_wear_off / posed["a_unit"]}],
        ledger=[{"name": "Asset", "installed": "2020-01-01", "cost": to_wear_off}],
        log=[
            {
                "date": "2020-06-01",
                "kind": "Charge",
                "days": 30,
                "charges": posed["units"][which],
                "weight": 100,
                "reading": 10,
            }
        ],
    )
    assert book.number("part_rate", 1) == pytest.approx(posed["a_unit"])
    assert book.number("wear_used_up", 1) == pytest.approx(answer("units_of_production")[which])
    assert book.number("part_used_up", 1) == pytest.approx(answer("units_of_production")[which])


def test_margin_is_on_the_price(tmp_path: Path) -> None:
    """Source: Monash University marketing dictionary, "keystone".

    Cost 10, retail 20: (20 - 10) / 20 = 50 % of retail, (20 - 10) / 10 = 100 % of cost; 1 / (1 + 1) = 0.5.
    """
    posed = given("keystone")
    book = shop(tmp_path, [{"name": "Unit", "materials": posed["cost"]}], margin=answer("keystone"))
    assert book.number("tag_exact_one", 1) == pytest.approx(posed["retail"])
    assert book.number("tag_suggested", 1) == posed["retail"]
    assert book.number("margin_one", 1) == pytest.approx(answer("keystone"))
    markup = book.number("tag_exact_one", 1) / book.number("cost_good", 1) - 1
    assert markup == pytest.approx(1.0)
    assert markup / (1 + markup) == pytest.approx(answer("keystone"))


@pytest.mark.parametrize("tag", [15.0, 20.0, 40.0])
def test_margin_at_a_tag_of_ones_own(tmp_path: Path, tag: float) -> None:
    """Ours: cost 10 at 15, 20 and 40 is a margin of 1/3, 1/2 and 3/4: k / (1 + k) of a markup k of 0.5, 1 and 3."""
    book = shop(tmp_path, [{"name": "Unit", "materials": 10.0, "tag": tag}])
    markup = tag / 10 - 1
    assert book.number("margin_one", 1) == pytest.approx(markup / (1 + markup))


def test_scarce_bench_hours_rank_the_pieces(tmp_path: Path) -> None:
    """Source: Accounting for Managers, section 6.5.

    4 hours a unit at 100 left an hour is 400 a unit; 1 hour at 150 is 150. In 320 hours 320 / 4 = 80 of the first
    leave 80 x 400 = 32,000, and 320 of the second 320 x 150 = 48,000. The piece that leaves less a unit ranks
    first. The book is posed with costs of 60 and 30 beside what is left, so that it has to take them off.
    """
    posed = given("scarce_hours")
    an_hour, in_all = answer("scarce_hours")[:2], answer("scarce_hours")[2:]
    left_a_unit = [rate * hours for rate, hours in zip(an_hour, posed["hours_a_unit"], strict=True)]
    assert left_a_unit == [400, 150]
    pieces = [
        {"name": name, "minutes": hours * 60.0, "materials": spent, "tag": spent + left}
        for name, hours, spent, left in zip(
            ("Long", "Short"), posed["hours_a_unit"], (60.0, 30.0), left_a_unit, strict=True
        )
    ]
    book = shop(tmp_path, pieces)
    for row in (1, 2):
        assert book.number("left_one", row) == pytest.approx(an_hour[row - 1])
        assert book.number("left_ranked", row) == pytest.approx(an_hour[row - 1])
        units = posed["hours"] / book.number("bench_hours_good", row)
        left = book.number("tag_plain", row) - book.number("low_good", row)
        assert units * left == pytest.approx(in_all[row - 1])
    assert (book.value("rank_place", 1), book.value("rank_place", 2)) == (2, 1)
    assert (book.value("ranking_name", 1), book.value("ranking_name", 2)) == ("Short", "Long")


def overhead(folder: Path, posed: dict[str, Any], worked: float) -> Both:
    """A piece of one bench hour in a studio with a year's overhead and some hours worked."""
    return shop(
        folder,
        [{"name": "Unit", "minutes": 60.0}],
        overheads=[{"amount": posed["overhead"], "per": "Year"}],
        shop={"ordinary_hours": posed["ordinary_hours"], "window_hours": worked},
    )


@pytest.mark.parametrize("which", range(2))
def test_overhead_goes_by_an_ordinary_year(tmp_path: Path, which: int) -> None:
    """Source: IAS 2, paragraph 13; the numbers are ours.

    24,000 over 1,200 ordinary hours is 20 an hour, however few were worked: at 600, 24,000 / 600 would be 40.
    What the bench didn't earn is shown apart: 24,000 - 1,200 x 20 = 0, and 24,000 - 600 x 20 = 12,000.
    """
    posed = given("normal_capacity")
    worked = posed["worked"][which]
    book = overhead(tmp_path, posed, worked)
    assert book.number("overhead_hour") == answer("normal_capacity")
    assert book.number("cost_overhead", 1) == pytest.approx(answer("normal_capacity"))
    assert book.number("rent_not_earned") == pytest.approx((0, 12_000)[which])


def test_a_busy_year_does_not_lower_the_overhead(tmp_path: Path) -> None:
    """A difference from IAS 2, paragraph 13, which is cited from memory here.

    At 1,500 hours the standard would share 24,000 / 1,500 = 16 an hour, so that stock doesn't stand above cost. The
    book sets tags and keeps 20; nothing is left unearned: max(0, 24,000 - 1,500 x 20) = 0.
    """
    posed = given("abnormally_high_production")
    book = overhead(tmp_path, posed, posed["worked"])
    assert book.number("overhead_hour") == answer("abnormally_high_production")
    assert book.number("rent_not_earned") == 0


def test_money_is_rounded_half_up_before_the_price_point(tmp_path: Path) -> None:
    """Source: Council Regulation (EC) No 1103/97, Article 5: to the nearest cent, exact half up; numbers ours.

    1.005 to 1.01, 2.675 to 2.68, 0.285 to 0.29, all exact halves; 7.124 to 7.12. Price points are a step of their
    own: the next x.95 at or above each is 1.95, 2.95, 0.95 and 7.95.
    """
    posed = given("nearest_cent")
    pieces = [{"name": f"Unit {at}", "materials": exact} for at, exact in enumerate(posed["exact"])]
    book = shop(tmp_path, pieces, shop={"currency": "EUR", "tag_step": posed["step"], "tag_ending": posed["ending"]})
    rows = range(1, len(pieces) + 1)
    assert [book.number("tag_cents", row) for row in rows] == answer("nearest_cent")
    assert [book.number("tag_suggested", row) for row in rows] == posed["tags"]


def test_a_price_point_is_never_below_the_price_to_the_cent(tmp_path: Path) -> None:
    """Ours: 1.954 is 1.95 to the cent and stays there; 1.955 is 1.96 and goes on to 2.95."""
    pieces = [{"name": "Under", "materials": 1.954}, {"name": "Half", "materials": 1.955}]
    book = shop(tmp_path, pieces, shop={"tag_step": 1.0, "tag_ending": 0.95})
    assert [book.number("tag_suggested", row) for row in (1, 2)] == [1.95, 2.95]


def test_a_currency_without_cents_is_rounded_to_the_unit(tmp_path: Path) -> None:
    """Source: Council Regulation (EC) No 1103/97, Article 5, from memory; numbers ours. 100.5 to 101, 250.4 to 250."""
    pieces = [{"name": f"Unit {at}", "materials": exact} for at, exact in enumerate(given("nearest_unit")["exact"])]
    book = shop(tmp_path, pieces, shop={"currency": "JPY"})
    assert [book.number("tag_cents", row) for row in (1, 2)] == answer("nearest_unit")
