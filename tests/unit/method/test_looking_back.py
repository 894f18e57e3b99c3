"""What the pictures of the last campaigns and the last pots say."""

from __future__ import annotations

import pytest

from tests.unit.method.deciding import decided, furnace, gone, pots, serving
from tests.unit.method.studios import day, run


def test_one_campaign_is_told_and_not_compared() -> None:
    results = decided()
    assert results.value("recent_name") == "Campaign 1"
    assert results.value("recent_sentence") == f"Campaign 1 cost {results.value('recent_words')} for each lb."


def test_of_two_campaigns_the_dearer_one() -> None:
    """The second melts a tenth of the glass in as many days."""
    log = furnace()["log"]
    second = [day("Heat-up", 4), day("Charge", 10, charges=1, weight=50)]
    results = run(**furnace() | {"log": [*log, *second]})
    assert results.value("recent_sentence") == (
        f"Campaign 2 was the dearest: {results.value('recent_words')} for each lb."
    )


def test_no_campaign() -> None:
    results = run()
    assert (results.value("recent_name"), results.value("recent_sentence")) == (None, None)


@pytest.mark.parametrize(
    ("failed", "taken_out", "said"),
    [
        (0, 1, "1 life in the ledger, none ended by failing."),
        (0, 2, "2 lives in the ledger, none ended by failing."),
        (1, 0, "1 life in the ledger, 1 ended by failing."),
        (2, 3, "5 lives in the ledger, 2 ended by failing."),
    ],
)
def test_lives(failed: int, taken_out: int, said: str) -> None:
    results = pots(*[gone(50)] * failed, *[gone(60, "Planned")] * taken_out, serving(0))
    assert results.value("lives_sentence") == said
