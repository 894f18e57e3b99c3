"""What a shop makes and sells in a generated studio: its costs, its pieces, its ways of selling."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from meltbook.studio.capacity import CHANNEL_SLOTS
from tests.strategies.chance import Chance, without_blanks
from tests.strategies.furnace_side import GLASSES

Row = dict[str, Any]

SMALL_CHANGE = (0.25, 3.0, 0.1, 0.7)
DIGITS = {"USD": 2, "EUR": 2, "JPY": 0, "KWD": 3}

# Steps and endings that a price in this currency may have; the last of them are too fine for it.
STEPS = {0: (100.0, 10.0, 1.0, 0.5), 2: (1.0, 0.05, 5.0, 0.5, 0.125), 3: (1.0, 0.25, 0.005, 0.0005)}
ENDINGS = {0: (0.0, 90.0, 9.0, 0.9), 2: (0.0, 0.95, 0.99, 0.57, 0.29, 0.07), 3: (0.0, 0.995, 0.1, 0.004)}


def shop(chance: Chance, first: date) -> Row:
    """The owner's assumptions."""
    currency = chance.of("USD", "EUR", "JPY", "KWD")
    digits = DIGITS[currency]
    written = without_blanks(
        {
            "studio_name": chance.of(None, "Shop"),
            "weight_unit": chance.of("lb", "kg"),
            "currency": currency,
            "sales_tax": chance.of(None, 0.0, 0.07, 0.21, 0.1),
            "tax_inside": chance.of("No", "Yes"),
            "pricing_date": _pricing_date(chance, first),
            "period_from": chance.of(None, first + timedelta(days=3), date(2024, 3, 1)),
            "period_to": chance.of(None, first + timedelta(days=40), first + timedelta(days=200)),
            "ordinary_weight": chance.odd(chance.of(None, 5000.0), 0.0),
            "ordinary_hours": chance.odd(900.0, None, 0.0),
            "window_hours": chance.odd(chance.of(None, 400.0), 0.0),
            "minutes_a_day": chance.odd(240.0, None, 0.0),
            "share_in_pieces": chance.of(None, 0.55, 0.1),
            "share_good": chance.odd(chance.of(0.85, 0.3), None, 0.0),
            "gather_weight": chance.of(None, 0.6),
            "furnace_by": chance.of("Weight", "Weight", "Gathers", "Bench minutes"),
            "tag_step": chance.of(*STEPS[digits]),
            "tag_ending": chance.of(None, *ENDINGS[digits]),
            "made_when": chance.of("All time", "Between your dates"),
            "price_limit": chance.of(None, 0.5, 0.3, 0.21),
            "rank_channel": chance.odd(chance.of(None, "Way 1", "Way 2"), "Nowhere", "Way 6"),
            "picture_piece": chance.odd(chance.of(None, "Piece 0", "Piece 1"), "Nothing"),
        }
    )
    # These have a value in a new book, so that leaving them out is not the same as emptying the cell.
    return written | {
        "share_drawn": chance.odd(chance.of(1.0, 0.8, 0.3), None, 0.0),
        "paid_factor": chance.of(1.0, 1.2, None),
        "recovery_tolerance": chance.of(0.25, None, 0.1),
    }


def _pricing_date(chance: Chance, first: date) -> date | None:
    """Mostly the log's last day; else a leap day, a day in the log, long after it, or before it."""
    in_the_log = first + timedelta(days=chance.of(20, 2, 100, 364, 365, 366))
    return chance.odd(
        chance.of(None, None, in_the_log, first + timedelta(days=1500)),
        date(2024, 2, 29),
        date(2024, 2, 29),
        date(2025, 2, 28),
        first,
        first - timedelta(days=1),
    )


def people(chance: Chance) -> list[Row]:
    rates = (chance.odd(32.0, None, 0.0), *(chance.of(19.0, 17.0, None) for _ in range(3)))
    return [without_blanks({"rate": rate, "hired": chance.of(None, "Yes", "No")}) for rate in rates]


def overheads(chance: Chance, most: int) -> list[Row]:
    if chance.likely(12):
        return []
    return [
        without_blanks(
            {"amount": chance.odd(chance.hundredths(0, 900), None, 0.0), "per": chance.of("Month", "Year", None)}
        )
        for _ in range(chance.whole(1, most))
    ]


def equipment(chance: Chance) -> list[Row]:
    return [
        without_blanks(
            {
                "cost": chance.odd(chance.of(4.5, 0.1, 0.0), None),
                "per": chance.odd(chance.of("Hour", "Day", "Load"), None),
                "hours": chance.of(None, 14.0),
            }
        )
        for _ in range(3)
    ]


def glasses(chance: Chance, most: int) -> list[Row]:
    return [
        without_blanks({"name": name, "price": chance.odd(chance.of(0.85, 1.1, 0.1), None, 0.0)})
        for name in GLASSES[:most]
    ]


def pieces(chance: Chance, most: int) -> list[Row]:
    return [
        without_blanks(_piece(chance, number)) if not chance.strange() else {}
        for number in range(chance.of(0, 1) if chance.likely(8) else chance.whole(min(2, most), most))
    ]


def _piece(chance: Chance, number: int) -> Row:
    row: Row = {
        "name": chance.odd(f"Piece {number}", "Piece 1", None),
        "size": chance.of(None, "6 in"),
        "order": chance.of(None, 1.0, 2.0),
        "glass": chance.odd(chance.of(None, *GLASSES), "Unknown glass"),
        "drawn": chance.odd(chance.of(chance.hundredths(0.1, 9), 1.1, None), 0.0),
        "gathers": chance.odd(chance.of(2.0, 3.0, 0.5), None, 0.0),
        "finished": chance.of(None, 0.3, chance.hundredths(0.1, 9)),
        "recovered": chance.of(None, 0.5, 1.0),
        "minutes": chance.odd(chance.of(20.0, 12.0, 45.0), None, 0.0),
        "glory_minutes": chance.of(None, 7.5),
        "loss": chance.odd(chance.of(0.1, 0.0, 0.3, 0.95), None, 0.999),
        "loss_after": chance.of(None, 0.0, 0.2),
        "seconds": chance.of(None, 0.5, 1.0),
        "second_value": chance.odd(chance.of(None, 5.0), 900.0),
        "seconds_after": chance.of(None, 0.3),
        "second_value_after": chance.of(None, 4.0),
        "per_load": chance.odd(chance.of(8.0, 30.0), None),
        "load_share": chance.of(None, 0.05),
        "made": chance.of(None, 10.0, chance.hundredths(0, 90)),
        "tag": chance.odd(chance.of(None, None, 48.0, 190.0), 0.0, 3.0),
        "listed": chance.of(None, "Yes", "No"),
    }
    for key in ("first_minutes", "second_minutes", "off_minutes", "other_minutes"):
        row[key] = chance.of(None, 7.5)
    for key in ("colour_weight", "colour_price", "colour_waste", "materials", "packing"):
        row[key] = chance.of(None, *SMALL_CHANGE)
    return row


def where_sold(chance: Chance) -> Row:
    """In which ways of selling a piece isn't sold; most are sold in all of them, and few in none."""
    keys = [f"sold_{slot}" for slot in CHANNEL_SLOTS]
    if not chance.likely(35):
        return {}
    if chance.likely(8):
        return dict.fromkeys(keys, "No")
    return without_blanks({key: chance.of(None, "No", "Yes", "No", None) for key in keys})


def channels(chance: Chance) -> list[Row]:
    return [_channel(chance, number) for number in range(1, chance.odd(chance.whole(1, 6), 0) + 1)]


def _channel(chance: Chance, number: int) -> Row:
    row: Row = {
        "name": chance.odd(f"Way {number}", None),
        "tag_share": chance.odd(chance.of(None, 1.0, 0.5), 0.0),
        "commission": chance.odd(chance.of(None, 0.4, 0.5, 0.9), 1.0),
        "fee": chance.odd(chance.of(None, 0.03, 0.065, 0.1), 0.6, 1.0),
        "fee_base": chance.of(None, "What is left", "Tag", "Tag with tax"),
        "fixed_fee": chance.of(None, 0.3),
        "postage_paid": chance.of(None, 9.5),
        "postage_charged": chance.odd(chance.of(None, 6.0), 60.0),
        "lost_share": chance.odd(chance.of(None, 0.03), 1.0),
        "lost_how": chance.of(None, "Replaced", "Refunded"),
        "margin": chance.odd(chance.of(0.3, None, 0.0, 0.5), 1.0),
        "must_earn": chance.of("Yes", "No", None) if number > 1 else chance.odd("Yes", "No", None),
    }
    return without_blanks(row)
