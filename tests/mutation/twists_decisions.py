"""Twists of the decisions: costs that are equal, halves of a digit, blanks in one cell of several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import exp

from tests.mutation.right import ERROR, Cells, Right, Twist, Value, only


def decision_side(right: Right) -> Iterator[Twist]:
    """All of them, in the order of the chapters."""
    yield from _days()
    yield from _idle_or_cold()
    yield from _missing()
    yield from _your_days()
    yield from _campaigns()
    yield from _part_charges()
    yield from _fit()
    yield from _steps()
    yield from _life()
    yield from _ages(right)
    yield from _pot_in_service()


def each_blank(needed: Sequence[str], typed: Cells, shows: str) -> Iterator[Twist]:
    """Of the cells that a figure needs one after the other is blank, and the others hold a number: it shows nothing."""
    numbers: dict[str, Value] = {cell: 4 + at for at, cell in enumerate(needed)}
    for cell in needed:
        yield Twist({**numbers, **typed, cell: None}, {shows: None})


# ------------------------------------------------------------------------------------------------ idle or cold


def _days() -> Iterator[Twist]:
    idle: Cells = {"idle_day_typed": None, "use_a_day.3": 9}
    beside: Cells = {"idle_use_day.2": None, "idle_use_day.4": None}
    yield Twist({**idle, **beside, "idle_use_day.3": 7}, {"idle_day_use": 7})
    yield Twist({**idle, "idle_use_day.2": 5, "idle_use_day.3": None, "idle_use_day.4": 6}, {"idle_day_use": 9})


def _idle_or_cold() -> Iterator[Twist]:
    for planned, failure, lacks in (
        (None, 5, "Type what a pot costs now."),
        (5, None, "Type an expected life, or log failures, first."),
    ):
        yield Twist({"planned_cost": planned, "failure_cost": failure}, {"replace_lacks": lacks})
    yield from each_blank(("price_now", "heatup_cost_one"), {}, "cold_cost_once")
    yield from each_blank(("idle_day_cost", "cold_cost_once", "cold_trip_days"), {}, "gap_crossing")
    # At the days of the trip nothing is lost any more; with a price below 0, losses could even out to 0 there.
    for idle, once, lost, days in ((5, 10, 3, 2), (-5, -10, 5, 2), (5, 9, 3, 1.875)):
        typed: Cells = {"idle_day_cost": idle, "cold_cost_once": once, "cold_trip_days": 2, "day_value": lost}
        yield Twist(typed, {"gap_crossing": days})
    yield Twist({"gap_crossing": 2.9999997}, {"gap_first_cold": 4})
    yield Twist({"gap_crossing": 2.9999994}, {"gap_first_cold": 3})
    wide: Cells = {"close_enough": 0.25}
    for saves, choice in ((0.25, "Idle"), (0.375, "Go cold")):
        yield Twist({**wide, "gap_saves.2": saves}, {"gap_choice.2": choice})
    said: Cells = {"gap_words": "5 days", "asked_words": "1.00"}
    idling, going = "For 5 days, idling saves 1.00.", "For 5 days, going cold saves 1.00."
    for saves, sentence in ((0.5, going), (0, idling), (-0.5, idling)):
        yield Twist({**said, "asked_saves": saves}, {"asked_sentence": sentence})
        same: Cells = {**said, "asked_words": "0.00", "asked_saves": saves}
        yield Twist(same, {"asked_sentence": "For 5 days, both cost the same."})


def _missing() -> Iterator[Twist]:
    """What is said to be missing goes by one cell, and not by another that is usually blank with it."""
    no_price: Cells = {"price_now": None, "standing_now": 3, "price_lacks": "this"}
    price: Cells = {"price_now": 3, "standing_now": None, "price_lacks": "this"}
    for known, missing, lacks in (
        ("gap_crossing", "gap_missing", "gap_lacks"),
        ("campaign_enough", "campaign_missing", "campaign_lacks"),
    ):
        yield Twist({**no_price, known: None, lacks: "that"}, {missing: "this"})
        yield Twist({**price, known: None, lacks: "that"}, {missing: "that"})
    yield Twist({**no_price, "fill_lacks": "that"}, {"fill_missing": "this"})
    yield Twist({**price, "fill_lacks": "that"}, {"fill_missing": "that"})
    lettered: Cells = {"tariff_newest": 5, "price_lacks_day": "No day."}
    yield Twist(lettered, {"price_lacks": "No day."})
    yield Twist({**lettered, "tariff_newest": None}, {"price_lacks": "Type a tariff first."})
    logged, undated = (
        "No tariff is in force on the pricing date: see Tariffs.",
        "Log a day first, or type a pricing date",
    )
    yield Twist({"pricing_date_used": 44000}, {"price_lacks_day": logged})
    yield Twist({"pricing_date_used": None}, {"price_lacks_day": f"{undated} on Shop."})
    unheated: Cells = {"heatup_use_one": 5, "heatup_days_one": None, "cold_trip_days": 3}
    yield Twist(unheated, {"gap_lacks_more": "Log a heat-up, or type its energy and days."})
    uncharged = "Log a charge with its weight first."
    lacking: Cells = {"charge_weight_used": 3, "fill_lacks_more": "that"}
    yield Twist({**lacking, "charge_days_one": None, "hot_days_one": 2}, {"fill_lacks": uncharged})
    yield Twist({**lacking, "charge_days_one": 2, "hot_days_one": None}, {"fill_lacks": "that"})
    yield Twist({"replace_pays": 0, "best_age": None, "pot_name": "Pot"}, {"replace_missing": None})
    unknown: Cells = {"replace_pays": None, "best_age": 7, "pot_name": "Pot", "replace_lacks": "that"}
    yield Twist(unknown, {"replace_missing": "that"})
    yield Twist({**unknown, "pot_name": None, "pot_lacks": "Which?"}, {"replace_missing": "Which?"})


DAYS_IN_WORDS = (
    (0.0, "0"),
    (14.0, "14"),
    (1.9999997, "2"),
    (2.0000003, "2"),
    (2.0000007, "2.00"),
    (0.05, "0.05"),
    (2.5, "2.50"),
    (12.99, "12.99"),
    (12.997, "13.00"),
    (12.994999997, "13.00"),
)
"""Days as people write them: whole ones without a point, halves of a hundredth upwards."""


def _your_days() -> Iterator[Twist]:
    for days, words in DAYS_IN_WORDS:
        yield Twist({"gap_days": days}, {"gap_number_words": words})
    for saved, words in ((0.05, "0.05"), (-0.05, "0.05"), (12.994999997, "13.00"), (-12.997, "13.00"), (3.99, "3.99")):
        yield Twist({"asked_saves": saved}, {"asked_words": words})


# ---------------------------------------------------------------------------------------------- campaign length


def _campaigns() -> Iterator[Twist]:
    yield Twist({"full_charge": 0.5, "log_charge_weight": 3}, {"charge_weight_used": 0.5})
    yield from each_blank(("charge_use_one", "hot_days_one", "price_now"), {}, "charge_cost_one")
    yield from each_blank(("period_charges.1",), {"campaign_count": 2}, "campaign_average")
    size = ("heatup_cost_one", "charge_cost_one", "charge_weight_used")
    yield from each_blank(size, {}, "size_cost.2")
    yield Twist({**dict.fromkeys(size, 5), "charge_weight_used": 0}, {"size_cost.2": None})
    for saves, worth in ((0.25, 1), (0.125, 0), (0.5, 1)):
        typed: Cells = {"saving_used": 0.5, "tiny_share": 0.25, "size_saves.2": saves}
        yield Twist(typed, {"size_worth.2": worth})
    yield Twist({"saving_used": 0.00124999997}, {"saving_hundredths": 13})
    for hundredths, words in ((5, "0.05 %"), (201, "2.01 %"), (300, "3 %"), (1250, "12.50 %")):
        yield Twist({"saving_hundredths": hundredths}, {"saving_words": words})
    yield Twist({"campaign_average": 2.4999997}, {"campaign_words": "Yours had about 3 on average."})
    said: Cells = {"campaign_charges": "So many", "campaign_limit": "This is", "saving_words": "2 %"}
    rest: Cells = {"campaign_words": "That's all."}
    for enough, limit, ending in (
        (59, "Past So many, one more saves less than", "."),
        (60, "Past So many, one more saves less than", "."),
        (61, "Even the 60th charge saves", " or more."),
    ):
        shows: Cells = {"campaign_limit": limit, "campaign_sentence": f"This is 2 %{ending} That's all."}
        yield Twist({**said, **rest, "campaign_enough": enough}, shows)


def _part_charges() -> Iterator[Twist]:
    needed = ("idle_day_use", "price_now", "price_charge", "charge_days_one", "fill_weight.2")
    yield from each_blank(needed, {}, "fill_cost.2")
    yield Twist({**dict.fromkeys(needed, 5), "fill_weight.2": 0}, {"fill_cost.2": None})
    nothing = "By this log a full charge costs nothing or less, so there is nothing to weigh."
    for full, dearer, worthless in ((0.25, None, nothing), (-4.0, None, nothing), (0.5, -11.0, None)):
        for beside_it in (3.0, -3.0):
            costs: Cells = {"close_enough": 0.25, "fill_cost.2": -5.0, "fill_cost.9": beside_it, "fill_cost.10": full}
            yield Twist(costs, {"fill_dearer.2": dearer, "fill_worthless": worthless})
    half = "A half charge costs 13 % more for each kg than {}."
    beside: Cells = {"fill_dearer.4": -0.3, "fill_dearer.6": -0.2, "weight_unit": "kg"}
    for typed, whole in ((1, "a full one"), (0, "your mean charge"), (None, "your mean charge")):
        cells: Cells = {**beside, "fill_dearer.5": 0.124999997, "full_charge": typed}
        yield Twist(cells, {"fill_sentence": half.format(whole)})


# ---------------------------------------------------------------------------------------------------- pot life


def _fit() -> Iterator[Twist]:
    """The fit ended well if its last score is close to 0 and its last shape below the greatest."""
    ended: Cells = {"shape_most": 20, "shape_close": 0.25, "life_log_mean": -1, "shape_score.8": 5}
    for shape, score, found in (
        (19.75, 0, 3),
        (19.875, 0, 2),
        (5, 0.125, 3),
        (5, 0.25, 2),
        (5, -0.25, 2),
        (19.875, 0.5, 2),
    ):
        yield Twist({**ended, "shape_fitted": shape, "shape_score.9": score}, {"fit_far": found})
    yield Twist({"shape_try.8": 2, "shape_try.9": 2.5}, {"shape_fitted": 2.5})
    for failed, counted, far, words in (
        (9, 40, 30, ": rough, and the shape runs high."),
        (10, 4, 2, " among 4 lives."),
        (12, 14, 30, " among 14 lives."),
    ):
        typed: Cells = {"lives_failed": failed, "lives_counted": counted, "fit_far": far}
        yield Twist(typed, {"fit_fitted": f"Fitted to {failed} failures{words}"})
    told: Cells = {"pot_name": "Pot", "fit_few": "Few.", "fit_apart": "Apart.", "fit_fitted": "Fitted."}
    for code, far, words in ((1, 2, "Few."), (2, 3, "Apart."), (3, 2, "Fitted.")):
        yield Twist({**told, "fit_code": code, "fit_far": far}, {"fit_sentence": words})
    shape: Cells = {"shape_words": "that shape"}
    for scale, mean, words in (
        (3, None, "No failure in the ledger: that shape and the expected life stand in."),
        (None, 3, "No failure in the ledger, and no expected life to go by."),
    ):
        yield Twist({**shape, "scale_used": scale, "mean_life": mean}, {"fit_none": words})
    for fitted, how in ((1.5, "alike"), (1, "unlike"), (0.5, "unlike")):
        apart = f"The lives are too {how} to fit: that shape stands in."
        yield Twist({**shape, "shape_fitted": fitted}, {"fit_apart": apart})


def _steps() -> Iterator[Twist]:
    """One step of the fit: at most a factor of e up or down, and never out of bounds."""
    for step in range(1, 9):
        beside: dict[str, Value] = {f"shape_try.{row}": 0.5 + row for row in range(1, 10)}
        beside |= {f"shape_score.{row}": 0.1 * row for row in range(1, 10)}
        beside |= {f"shape_slope.{row}": 3 + row for row in range(1, 10)}
        for score, tried in ((1.5, 2 * exp(-0.25)), (20, 2 * exp(-1)), (-20, 2 * exp(1)), (-4.5, 2 * exp(0.75))):
            at: Cells = {f"shape_try.{step}": 2, f"shape_score.{step}": score, f"shape_slope.{step}": 3}
            yield Twist({**beside, **at}, {f"shape_try.{step + 1}": tried})


def _life() -> Iterator[Twist]:
    # So near, each term of Stirling's series shows; where it is taken, the last ones are too small to be seen.
    tail = 0.5 * (1 / 12 - 2 * (1 / 360 - 2 * (1 / 1260 - 2 / 1680)))
    yield Twist({"gamma_small": 0.5, "gamma_square": 2}, {"gamma_tail": tail})
    yield Twist({"failure_cost": 5, "mean_life": 0}, {"run_cost": None})


# ---------------------------------------------------------------------------------------------------- pot ages


def _ages(right: Right) -> Iterator[Twist]:
    for scale, whole in ((0.0000001, 1), (25, 1), (50.000004, 1), (50.00001, 1), (50.01, 2), (100, 2), (100.01, 3)):
        yield Twist({"scale_used": scale}, {"age_whole": whole})
    # Scales of which so many fit into what all ages reach: nearly seven of them are seven.
    for fit, parts in (
        (500, 120),
        (120, 120),
        (119.5, 119),
        (6.9999997, 7),
        (6.9999993, 6),
        (2, 2),
        (1.9, 1),
        (0.3, 1),
    ):
        yield Twist({"scale_used": 50 / fit}, {"age_parts": parts})
    cut: Cells = {"age_whole": 6, "age_parts": 4}
    yield Twist(cut, {"age_step": 1.5, "age_uses.3": 4.5})
    for cell in cut:
        yield Twist({**cut, cell: None}, {"age_step": None, "age_uses.3": None})
    costs = {f"age_cost.{row}": 10 + row for row in (2, 3, 4, 6, 9)}
    for row in (2, 3, 4, 6, 9):
        chosen = 10 + row if row % 3 == 0 else None
        yield Twist({**costs, "age_parts": 3}, {f"age_choice.{row}": chosen})
    yield Twist({**costs, "age_parts": 3, "age_cost.3": None}, {"age_choice.3": None})
    yield from each_blank(("age_lived.3", "planned_cost", "failure_cost"), {"age_survives.3": 0.5}, "age_cost.3")
    yield Twist({"planned_cost": 5, "failure_cost": 9, "age_lived.3": 0}, {"age_cost.3": None})
    yield from each_blank(("age_cost.3", "run_cost"), {}, "age_run.3")
    yield Twist({"age_cost.3": 4, "run_cost": ERROR}, {"age_run.3": None})
    yield from each_blank(("age_cost.3", "age_run.3"), {}, "age_drawn.3")
    alone: Cells = {"age_cost.3": None, "age_run.3": None, "run_cost": None, "recent_dearest": None}
    for cost, best in ((4, 1), (5, 1), (5.5, 0)):
        yield Twist({**alone, "age_choice.3": cost, "best_cost": 4, "tiny_share": 0.25}, {"age_best.3": best})
    dear: Cells = {"age_cost.3": 9, "age_choice.3": 4, "best_cost": 4, "tiny_share": 0.25}
    yield Twist(dear, {"age_best.3": 1})
    beside = {cell: None for name in ("age_cost", "age_run") for cell in right.cells(name)}
    for row in (1, right.rows("age_choice")[-1]):
        yield Twist({**only(right, "age_choice", row, 7, rest=None), **beside}, {"best_cost": 7})
    yield from each_blank(("best_cost", "run_cost"), {}, "best_saving")
    yield Twist({"best_cost": 3, "run_cost": 0}, {"best_saving": None})
    for shape, row, saving, pays in (
        (2, 5, 0.25, 1),
        (2, 5, 0.125, 0),
        (2, 119, 0.5, 1),
        (2, 120, 0.5, 0),
        (1, 5, 0.5, 0),
    ):
        typed: Cells = {"shape_used": shape, "best_row": row, "best_saving": saving, "saving_least": 0.25}
        yield Twist(typed, {"replace_pays": pays})
    for pays, advised, sentence in (
        (1, 7, "Change it at about so many: that saves so much against running it until it fails."),
        (0, None, "Leave it."),
        (None, None, None),
    ):
        said: Cells = {"best_age": 7, "age_words": "so many", "best_words": "so much", "replace_not": "Leave it."}
        yield Twist({**said, "replace_pays": pays}, {"age_advised": advised, "replace_sentence": sentence})
    for percent, whole_one, said_so in ((0.4, 0, "under 1 %"), (0.4999997, 1, "1 %"), (26.4, 26, "26 %")):
        yield Twist({"best_percent": percent}, {"best_whole": whole_one})
        yield Twist({"best_whole": whole_one}, {"best_words": said_so})
    yield Twist({"best_whole": None}, {"best_words": None})
    for best, saved in ((0.75, 0.25), (1.25, 0)):
        yield Twist({"best_cost": best, "run_cost": 1}, {"best_saving": saved})
    for age, words in ((1, "1 use"), (2, "2 uses"), (None, None)):
        yield Twist({"best_age": age}, {"age_words": words})


def _pot_in_service() -> Iterator[Twist]:
    yield from each_blank(("hazard_later", "hazard_now"), {}, "fails_soon")
    for uses, words in ((12.4999997, "13 uses"), (0.4999997, "1 use"), (1.2, "1 use"), (0.3, "0 uses"), (None, None)):
        yield Twist({"pot_uses_now": uses}, {"soon_uses": words})
    for chance, percent in ((0.254999997, 26), (0.254, 25), (1, 100), (None, None)):
        yield Twist({"fails_soon": chance}, {"soon_percent": percent})
    for percent, said in ((0, "less than 1 %"), (1, "1 %"), (99, "99 %"), (100, "more than 99 %"), (None, None)):
        yield Twist({"soon_percent": percent}, {"soon_words": said})
    sentence = "The one in service has so many; chance of failing within the next 10: this much."
    yield Twist({"fails_soon": 0.5, "soon_uses": "so many", "soon_words": "this much"}, {"soon_sentence": sentence})
