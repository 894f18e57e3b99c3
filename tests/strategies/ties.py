"""Studios in which two figures are equal on paper and not quite for a computer.

0.1 + 0.2 is 0.30000000000000004, which some programs take for more than 0.3 and some for the same: LibreOffice and
Excel call two numbers equal that differ in the last digits only, others don't. A formula that asks "is there
anything left?" at such a point would say one thing here and another there, so each of these studios stands on it,
with the error once upwards and once downwards.
"""

from __future__ import annotations

from typing import Any

from meltbook.studio.model import Studio

Row = dict[str, Any]

# Piece by piece: two costs, and a tag that is on paper their sum, half of it, or a third of it.
UP, DOWN = (0.1, 0.2, 0.3), (0.1, 0.7, 0.8)
HALF_UP, HALF_DOWN = (0.2, 0.4, 0.3), (0.1, 0.7, 0.4)


def ties() -> dict[str, Studio]:
    """The studios, each with what is equal in it."""
    found = {
        "nothing left": _selling((*UP, 1), (*DOWN, 1), (*UP, 3.0), (*DOWN, 0.7), (0.3, 0.0, 0.3)),
        "at the lowest price": _selling((*UP, 1), (*DOWN, 1), (0.3, 0.6, 0.9), (0.15, None, 0.15), ways=1),
        "nothing comes in": _selling((*UP, 1), (*DOWN, 0.7), (*UP, 3.0), tenth=True),
        "half of the cost": _selling((*HALF_UP, 1), (*HALF_DOWN, 1), (0.6, 0.0, 0.3), (*UP, 0.15), (0.3, None, 0.15)),
        "half a cent": _selling((1.0, 0.005, None), (0.1, 0.025, None), (0.125, None, None), (0.3, 0.7, None)),
        "three-fold": _letters(),
    }
    for tolerance, drawn in ((0.1, 1.1), (0.1, 0.9), (0.3, 1.3), (0.3, 0.7)):
        found[f"{drawn} of the glass recovered, give or take {tolerance}"] = _recovered(tolerance, drawn)
    found["an eighth of the energy"] = _eighth()
    return found


def _selling(*rows: tuple[float | None, ...], tenth: bool = False, ways: int = 6) -> Studio:
    """Pieces that cost what is typed and nothing else, since energy and hands are free, and ways of selling that
    take on paper all of a tag of 3 or of 0.7, or pay a piece's cost back with the postage.
    """
    pieces = []
    for at, row in enumerate(rows):
        materials, packing, tag = row[0], row[1], row[-1] if row[-1] != 1 else row[2]
        pieces.append({"name": f"Piece {at}", "materials": materials, "packing": packing, "tag": tag})
    channels: list[Row] = [
        {"name": "Here", "must_earn": "Yes"},
        {"name": "A tenth of 3", "tag_share": 0.1, "fixed_fee": 0.3},
        {"name": "A tenth of 0.7", "tag_share": 0.1, "fixed_fee": 0.07, "must_earn": "Yes" if tenth else "No"},
        {"name": "Postage pays 0.3", "postage_charged": 0.3},
        {"name": "Postage pays 0.8", "postage_charged": 0.8, "commission": 0.3},
        {"name": "Keeps all", "commission": 0.9, "fee": 0.1, "fee_base": "Tag", "margin": 0.1},
    ]
    return _studio(
        tariffs=[{"start": "2025-01-01", "price": 0.0}],
        people=[{"rate": 0.0}],
        pieces=[{"drawn": 1.0, "minutes": 10.0, **{k: v for k, v in row.items() if v is not None}} for row in pieces],
        channels=channels[:ways],
        shop={"tag_step": 0.05, "furnace_by": "Weight"},
    )


def _letters() -> Studio:
    """Each letter costs three times the one before on paper; two of them are as dear as is still believed."""
    prices = ((0.1, None), (0.1, 0.2), (0.9, None), (0.07, None), (0.21, None), (0.7, None), (2.1, None))
    return _studio(
        tariffs=[
            {"start": f"2025-0{month}-01", "price": price} | ({} if more is None else {"surcharge": more})
            for month, (price, more) in enumerate(prices, start=1)
        ],
        shop={"price_limit": 0.3},
    )


def _recovered(tolerance: float, drawn: float) -> Studio:
    """A hundred pieces from a hundred pounds, each a little heavier or lighter than a pound."""
    return _studio(
        people=[{"rate": 30.0}],
        pieces=[{"name": "Bowl", "drawn": drawn, "minutes": 10.0, "made": 100.0}],
        shop={"recovery_tolerance": tolerance},
    )


def _eighth() -> Studio:
    """Idle days take 12.5 % of the energy and heat-ups 37.5 %: halves to be rounded in a sentence."""
    uses = ((0.3, "Heat-up"), (0.2, "Charge"), (0.2, "Blow"), (0.1, "Idle"))
    return _studio(
        furnace={"meter_kind": "No meter"},
        day_kinds=[{"use": use} for use, _ in uses],
        log=[
            {"kind": kind, "days": 1, "weight": 1.0} | ({} if at else {"date": "2025-03-01"})
            for at, (_, kind) in enumerate(uses)
        ],
        tariffs=[{"start": "2025-01-01", "price": 0.625}],
    )


def _studio(**changed: Any) -> Studio:
    """A charge of 100 lb that took 1,000 kWh, and what is different in this studio."""
    plain: Row = {
        "furnace": {"meter_kind": "kWh meter"},
        "tariffs": [{"start": "2025-01-01", "price": 0.1}],
        "log": [{"date": "2025-03-01", "kind": "Charge", "days": 1, "weight": 100.0, "reading": 1000.0}],
    }
    return Studio.model_validate({**plain, **changed})
