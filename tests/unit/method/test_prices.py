from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from meltbook.method.prices import channel_terms
from meltbook.studio.prices import Channel
from tests.unit.method.studios import melt, run

SHOP = {"name": "Door", "margin": 0.5, "must_earn": "Yes"}


def terms(sales_tax: float | None = None, **typed: Any) -> Any:
    return channel_terms(Channel.model_validate({"name": "X", **typed}), sales_tax)


def sell(*channels: dict[str, Any], tag: float | None = None, **shop: Any) -> Results:
    """A cup that costs 10: 0.8 furnace, and 9.20 of materials; nothing is lost. Its lowest cost is 9.40."""
    cup = {"name": "Cup", "drawn": 1, "minutes": 0, "materials": 9.2, "loss": 0, "tag": tag}
    return run(**melt(shop={"share_drawn": 0.8, **shop}, people=[{"rate": 30}], pieces=[cup], channels=list(channels)))


@pytest.mark.parametrize(
    ("base", "left"),
    [
        (None, 0.6 * 0.9),
        ("What is left", 0.6 * 0.9),
        ("Tag", 1 - 0.4 - 0.1),
        ("Tag with tax", 1 - 0.4 - 0.1 * 1.2),
    ],
)
def test_a_fee_on_what_is_left_on_the_tag_or_on_the_tag_with_tax(base: str | None, left: float) -> None:
    channel = terms(0.2, commission=0.4, fee=0.1, fee_base=base)
    assert channel.channel_left == pytest.approx(left)
    assert channel.channel_factor == pytest.approx(left)


def test_wholesale_is_a_share_of_the_tag() -> None:
    assert terms(tag_share=0.5, fee=0.1).channel_factor == pytest.approx(0.45)


def test_what_is_lost_is_replaced_or_refunded() -> None:
    refunded = terms(lost_share=0.1, lost_how="Refunded")
    assert (refunded.channel_factor, refunded.channel_replaced) == (pytest.approx(0.9), 0)
    replaced = terms(lost_share=0.1)
    assert (replaced.channel_factor, replaced.channel_replaced) == (1, pytest.approx(0.1))
    assert replaced.net(100, 20) == pytest.approx(98)


def test_a_channel_that_keeps_everything_is_closed() -> None:
    assert terms(commission=1).channel_open == 0
    assert terms(commission=0.6, fee=0.4, fee_base="Tag").channel_open == 0
    assert terms(tag_share=0).channel_open == 0
    assert (terms(margin=1).channel_open, terms(margin=1).channel_can) == (1, 0)
    assert channel_terms(Channel(), None).channel_open == 0


def test_the_tag_leaves_the_margin() -> None:
    results = sell(SHOP)
    assert results.value("cost_good", 1) == pytest.approx(10)
    assert results.value("tag_exact_one", 1) == pytest.approx(20)
    assert results.value("tag_suggested", 1) == 20
    assert results.value("margin_one", 1) == pytest.approx(0.5)
    assert results.value("margin_worst", 1) == pytest.approx(0.5)


def test_fixed_fees_and_replacements_are_in_the_tag() -> None:
    # (10 / 0.5 + 1 + 5 - 2 + 0.1 x 10) / 0.5 = 50
    channel = {**SHOP, "commission": 0.5, "fixed_fee": 1, "postage_paid": 5, "postage_charged": 2}
    results = sell({**channel, "lost_share": 0.1})
    assert results.value("tag_exact_one", 1) == pytest.approx(50)
    assert results.value("net_one", 1) == pytest.approx(20)
    assert results.value("lowest_one", 1) == pytest.approx((9.4 * 1.1 + 4) / 0.5)


def test_the_highest_of_the_channels_that_must_earn_sets_the_tag() -> None:
    gallery = {"name": "Gallery", "commission": 0.5, "margin": 0.2}
    results = sell(SHOP, gallery)
    assert results.value("tag_wanted", 1) == pytest.approx(20)  # the gallery's 25 does not count
    assert results.value("must_tag_two", 1) is None
    assert results.value("margin_two", 1) == pytest.approx(0)  # net 10, cost 10: nothing is left
    both = sell(SHOP, {**gallery, "must_earn": "Yes"})
    assert both.value("tag_wanted", 1) == pytest.approx(25)


def test_where_no_tag_can_do_it_the_cell_says_so() -> None:
    results = sell(SHOP, {"name": "Gallery", "commission": 1, "must_earn": "Yes"})
    assert results.value("tag_exact_two", 1) == "No tag can do it"
    assert results.value("tag_suggested", 1) == "No tag can do it"
    assert results.value("lowest_two", 1) == "No tag can do it"
    assert results.value("lowest_worst", 1) == pytest.approx(9.4)
    assert results.value("tag_in_force", 1) is None
    assert results.value("tag_cents", 1) is None
    assert results.value("must_blocked") == 1


def test_a_tag_of_the_owners_own_may_lose() -> None:
    results = sell(SHOP, tag=9)
    assert results.value("tag_in_force", 1) == 9
    assert results.value("tag_gap", 1) == pytest.approx(-11)
    assert results.value("margin_one", 1) == pytest.approx(-1 / 9)
    assert results.value("check_found", 45) == 1
    nothing = sell({**SHOP, "fixed_fee": 9}, tag=9)
    assert nothing.value("margin_one", 1) == "At a loss"
    assert nothing.value("must_margin_one", 1) == -1
    assert nothing.value("margin_worst", 1) == "At a loss"


def test_without_a_channel_that_must_earn_nothing_is_suggested() -> None:
    results = sell({**SHOP, "must_earn": "No"})
    assert results.value("tag_suggested", 1) is None
    assert results.value("margin_worst", 1) is None
    assert results.value("tag_exact_one", 1) == pytest.approx(20)


def test_tax_inside_the_tag() -> None:
    results = sell(SHOP, sales_tax=0.25, tax_inside="Yes")
    assert results.value("tag_suggested", 1) == 25
    assert results.value("tag_plain", 1) == pytest.approx(20)
    assert results.value("lowest_one", 1) == pytest.approx(9.4 * 1.25)
    outside = sell(SHOP, sales_tax=0.25)
    assert outside.value("tag_suggested", 1) == 20
    assert outside.value("list_tax_note") == "Sales tax is added at the till."


def test_rounding_up_to_a_step_with_an_ending() -> None:
    assert sell(SHOP, tag_step=5).value("tag_suggested", 1) == 20
    assert sell(SHOP, tag_step=1, tag_ending=0.95).value("tag_suggested", 1) == 20.95
    assert sell(SHOP, tag_step=8).value("tag_suggested", 1) == 24
    ending_too_big = sell(SHOP, tag_step=1, tag_ending=2.5)
    assert ending_too_big.value("tag_ending_used") == 0
    assert ending_too_big.value("tag_suggested", 1) == 20


def test_yen_have_no_cents() -> None:
    channel = {**SHOP, "fixed_fee": 0.4}
    assert sell(channel, currency="JPY").value("tag_cents", 1) == 20
    assert sell(channel, currency="USD").value("tag_cents", 1) == pytest.approx(20.4)


def test_a_tag_never_falls_under_nothing() -> None:
    results = sell({**SHOP, "postage_charged": 50})
    assert results.value("tag_exact_one", 1) == 0
    assert results.value("lowest_one", 1) == 0
