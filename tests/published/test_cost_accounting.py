"""Worked examples from accounting texts and standards, posed to pieces and prices."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.published.both import Both, both, published


def shop(folder: Path, pieces: list[dict[str, Any]], **more: Any) -> Both:
    """A studio whose furnace and people cost nothing, so that only what is posed counts."""
    channel = {"name": "Own shop", "margin": more.pop("margin", 0.0), "must_earn": "Yes"}
    return both(
        folder,
        **{
            "furnace": {"meter_kind": "kWh meter"},
            "tariffs": [{"start": "2020-01-01", "price": 0.0}],
            "log": [{"date": "2020-06-01", "kind": "Charge", "days": 365, "charges": 90, "weight": 100, "reading": 10}],
            "people": [{"rate": 0.0}],
            "channels": [channel],
            "pieces": [{"drawn": 1.0, "minutes": 0.0} | piece for piece in pieces],
            **more,
        },
    )


def test_a_loss_counted_on_output(tmp_path: Path) -> None:
    """Source: OpenTuition, process costing, topic 42.

    13,200 in, of which 1,200 are lost: 10 % of the 12,000 out, so 1/11 of what was started. Each start cost
    184,800 / 13,200 = 14, and scrap brings 4: (14 - 4/11) / (10/11) = 15.00.
    """
    piece = {"name": "Unit", "materials": 184_800 / 13_200, "loss": 1_200 / 13_200, "seconds": 1.0, "second_value": 4.0}
    assert shop(tmp_path, [piece]).number("cost_good", 1) == pytest.approx(published()["loss_on_output"]["value"])


def test_straight_line_depreciation(tmp_path: Path) -> None:
    """Source: Accounting Principles: A Business Perspective, Exhibit 83. (54,000 - 4,000) / 10 = 5,000 a year."""
    book = both(tmp_path, furnace={"furnace_purchase": 54_000, "furnace_worth_end": 4_000, "furnace_life": 10})
    assert book.number("own_yearly") == published()["straight_line"]["value"]


def test_margin_is_on_the_price(tmp_path: Path) -> None:
    """Source: Monash University marketing dictionary, "keystone". Cost 10, retail 20: 50 % of retail, 100 % of cost."""
    book = shop(tmp_path, [{"name": "Unit", "materials": 10.0}], margin=published()["keystone"]["value"])
    assert book.number("tag_exact_one", 1) == pytest.approx(20)
    assert book.number("margin_one", 1) == pytest.approx(0.5)
    markup = book.number("tag_exact_one", 1) / book.number("cost_good", 1) - 1
    assert markup == pytest.approx(1.0)
    assert markup / (1 + markup) == pytest.approx(0.5)


def test_scarce_bench_hours_rank_the_pieces(tmp_path: Path) -> None:
    """Source: Accounting for Managers, section 6.5.

    One unit takes 4 hours and leaves 400, the other takes 1 hour and leaves 150. In 320 hours the first brings
    80 x 400 = 32,000, the second 320 x 150 = 48,000.
    """
    long, short, in_all_long, in_all_short = published()["scarce_hours"]["value"]
    book = shop(
        tmp_path,
        [{"name": "Long", "minutes": 240.0, "tag": 400.0}, {"name": "Short", "minutes": 60.0, "tag": 150.0}],
    )
    assert (book.number("left_one", 1), book.number("left_one", 2)) == (pytest.approx(long), pytest.approx(short))
    assert (book.value("ranking_name", 1), book.value("ranking_name", 2)) == ("Short", "Long")
    assert 320 * book.number("left_one", 1) == pytest.approx(in_all_long)
    assert 320 * book.number("left_one", 2) == pytest.approx(in_all_short)


@pytest.mark.parametrize("worked", [1200.0, 600.0])
def test_overhead_goes_by_an_ordinary_year(tmp_path: Path, worked: float) -> None:
    """Source: IAS 2, paragraph 13. 24,000 over 1,200 ordinary hours is 20 an hour, however few were worked.

    What the bench didn't earn is shown apart: 24,000 - 600 x 20 = 12,000.
    """
    book = shop(
        tmp_path,
        [{"name": "Unit", "minutes": 60.0}],
        overheads=[{"amount": 24_000, "per": "Year"}],
        shop={"ordinary_hours": 1200.0, "window_hours": worked},
    )
    assert book.number("overhead_hour") == published()["normal_capacity"]["value"]
    assert book.number("cost_overhead", 1) == pytest.approx(20)
    assert book.number("rent_not_earned") == pytest.approx(24_000 - worked * 20)


def test_money_is_rounded_half_up_before_the_price_point(tmp_path: Path) -> None:
    """Source: Council Regulation (EC) No 1103/97, Article 5: to the nearest cent, exact half up."""
    cases = published()["nearest_cent"]["value"]
    pieces = [{"name": f"Unit {at}", "materials": exact} for at, (exact, _) in enumerate(cases)]
    book = shop(tmp_path, pieces, shop={"tag_step": 1.0, "tag_ending": 0.95})
    for row, (_, cents) in enumerate(cases, start=1):
        assert book.number("tag_cents", row) == cents
    # Price points, a step of their own: the next x.95 at or above each.
    assert [book.number("tag_suggested", row) for row in range(1, 5)] == [1.95, 2.95, 0.95, 7.95]
