"""What is equal on paper counts as equal: the reference engine on the studios of ties.

``tests/engines/test_books.py`` has the workbook say the same in other programs, which add and compare differently.
"""

from __future__ import annotations

from meltbook.fields.kernel import Fixed
from meltbook.method import Results, compute
from meltbook.method.constants import AT_A_LOSS
from meltbook.workbook.book import vocabulary_for
from tests.strategies.studios import SMALL
from tests.strategies.ties import ties


def tie(name: str) -> Results:
    return compute(ties()[name], SMALL)


def test_the_ties_are_none_for_a_computer() -> None:
    assert 0.1 + 0.2 > 0.3 and 0.1 + 0.7 < 0.8 and 3 * 0.7 < 2.1
    assert 3 * 0.1 - 0.3 > 0 and 0.7 * 0.1 - 0.07 < 0
    assert abs(1.1 - 1) > 0.1 and abs(0.9 - 1) < 0.1


def test_nothing_comes_in() -> None:
    """A tenth of a tag of 3, less 0.3; of one of 0.7, less 0.07; and of any tag where 0.9 and 0.1 of it are kept."""
    for name in ("nothing left", "nothing comes in"):
        columns = tie(name).columns
        assert columns["margin_two"][2] == AT_A_LOSS
        assert columns["margin_six"][2] == AT_A_LOSS
    columns = tie("nothing comes in").columns
    assert columns["margin_three"][1] == columns["margin_worst"][1] == AT_A_LOSS
    assert columns["must_margin_three"][1] == -1
    assert columns["channel_open"][5] == 0


def test_nothing_is_left() -> None:
    results = tie("nothing left")
    assert results.scalars["left_words"] == "0.00"
    assert (
        results.scalars["piece_sentence"] == "Piece 0: of a tag of 0.30, 0.00 is left after all costs counted so far."
    )


def test_a_tag_at_the_lowest_price_loses_nothing() -> None:
    columns = tie("at the lowest price").columns
    assert [columns["lowest_worst"][at] > tag for at, tag in enumerate((0.3, 0.8, 0.9, 0.15))].count(True) > 0  # type: ignore[operator]
    assert columns["tag_losing"][:4] == [0, 0, 0, 0]


def test_a_margin_of_minus_one_is_a_loss_of_everything() -> None:
    assert tie("half of the cost").columns["margin_worst"][:3] == [AT_A_LOSS] * 3


def test_three_times_the_price_is_not_more_than_three_times() -> None:
    """Only what is above the price that is still believed is remarked on: 0.9, 0.7 and 2.1."""
    columns = tie("three-fold").columns
    assert [round(price, 9) for price in columns["tariff_all_in"][:7]] == [0.1, 0.3, 0.9, 0.07, 0.21, 0.7, 2.1]  # type: ignore[arg-type]
    assert columns["tariff_jump"][:7] == [0, 0, 1, 0, 0, 1, 1]


def test_what_is_recovered_within_the_tolerance_is_no_note() -> None:
    check_id = vocabulary_for(ties()["three-fold"], SMALL).columns["check_id"][1]
    assert isinstance(check_id, Fixed)
    at = check_id.values.index("furnace_recovered")
    names = [name for name in ties() if "recovered" in name]
    assert [tie(name).columns["check_found"][at] for name in names] == [0, 0, 0, 0]


def test_half_a_percent_goes_up() -> None:
    assert tie("an eighth of the energy").scalars["kinds_sentence"] == (
        "Idle days took 13 % of the energy and heat-ups 38 %."
    )
