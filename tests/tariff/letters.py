"""Letters, each as the command takes it and as its owner would type it on the sheet New tariff."""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

from meltbook.studio.letter import Letter


class Said(NamedTuple):
    """One letter, twice."""

    words: tuple[str, ...]
    letter: Letter


def _said(words: str, start: str = "2027-01-01", **letter: Any) -> Said:
    figures = {f"letter_{name}": value for name, value in letter.items()}
    return Said(("--from", start, *words.split()), Letter(letter_start=date.fromisoformat(start), **figures))


LETTERS: dict[str, Said] = {
    "a price": _said("--price 0.35", price=0.35),
    "a percentage": _said("--change 38%", change=0.38),
    "a percentage less": _said("--change -12.5%", change=-0.125),
    "a percentage, but one price typed": _said("--change 20% --price-two 0.2", change=0.2, price_two=0.2),
    "cents": _said("--price 35.5 --surcharge 2.1 --cents", price=35.5, surcharge=2.1, **{"in": "Cents"}),
    "tax in it": _said(
        "--price 0.41 --tax 19% --service 40 --demand 7.5 --with-tax",
        price=0.41, tax=0.19, service=40, demand=7.5, tax_in="With tax",
    ),
    "cents with tax in them": _said(
        "--price 41 --price-two 22 --tax 7% --cents --with-tax",
        price=41, price_two=22, tax=0.07, tax_in="With tax", **{"in": "Cents"},
    ),
    "times of use": _said(
        "--price 0.3 --price-two 0.2 --price-three 0.1 --share-one 30% --share-two 50% --share-three 20%",
        price=0.3, price_two=0.2, price_three=0.1, share_one=0.3, share_two=0.5, share_three=0.2,
    ),
    "new shares, old prices": _said("--share-one 60% --share-two 40%", share_one=0.6, share_two=0.4),
    "service by the day": _said("--service 1.55 --per day", service=1.55, service_per="Day"),
    "service by the month": _said("--service 75 --per month", service=75, service_per="Month"),
    "demand": _said("--demand 11.25 --demand-kw 18", demand=11.25, demand_kw=18),
    "a rebate": _said("--surcharge -0.03", surcharge=-0.03),
    "no tax any more": _said("--tax 0", tax=0),
    "everything": _said(
        "--price 0.33 --surcharge 0.02 --tax 21% --service 64 --per month --demand 9 --demand-kw 15 --ref No.7",
        price=0.33, surcharge=0.02, tax=0.21, service=64, service_per="Month", demand=9, demand_kw=15,
        reference="No.7",
    ),
    "within the log": _said("--price 0.35 --service 50", start="2026-05-04", price=0.35, service=50),
    "more than three times": _said("--price 3.5", price=3.5),
}  # fmt: skip
