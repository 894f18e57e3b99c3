"""Idle or go cold: what it costs to keep the furnace hot until it is needed, against letting it go cold.

Idling costs the same every day. Going cold costs once: cooling, heating up again, the chance of losing the pot,
work. Days that cooling and heating take beyond the gap are days without a furnace. Where the two cross, it is
all the same; beyond, going cold costs less.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import amount_of, short_words, whole_words

MONEY = "{currency}"
GAPS = 30
GO_COLD, IDLE = "Go cold", "Idle"


def scalars() -> tuple[Item, ...]:
    """The cost of going cold, the crossing, and the answer for the days that the owner asks about."""
    return (*_once(), *_crossing(), *_asked(), *_sentences())


def tables() -> tuple[Table, ...]:
    """Both costs for every gap of up to a month."""
    cold = "cold_cost_once+MAX(0,cold_trip_days-gap_no)*SUM(day_value)"
    return (
        Table(
            "idle_cold",
            "Idle or cold, day by day",
            (
                Fixed("gap_no", "Gap", Shape.DAYS, unit="days", values=tuple(range(1, GAPS + 1))),
                Figure(
                    "gap_idle",
                    "Idling",
                    Shape.MONEY,
                    unit=MONEY,
                    note="So many idle days.",
                    formula="gap_no*idle_day_cost",
                    needs=("idle_day_cost",),
                ),
                Figure(
                    "gap_cold",
                    "Going cold",
                    Shape.MONEY,
                    unit=MONEY,
                    note="Once, and the days lost beyond the gap.",
                    formula=cold,
                    needs=("cold_cost_once",),
                ),
                Figure(
                    "gap_saves",
                    "Going cold saves",
                    Shape.MONEY,
                    unit=MONEY,
                    note="Below 0 it costs more.",
                    formula="gap_idle-gap_cold",
                    needs=("gap_idle", "gap_cold"),
                ),
                Figure(
                    "gap_choice",
                    "Costs less",
                    Shape.TEXT,
                    note="Idle, where both cost the same.",
                    formula=f'IF(gap_saves>close_enough,"{GO_COLD}","{IDLE}")',
                    needs=("gap_saves",),
                ),
            ),
            rows=GAPS,
        ),
    )


def _once() -> tuple[Figure, ...]:
    return (
        Figure(
            "cold_trip_days",
            "Days to cool and heat up",
            Shape.DAYS,
            unit="days",
            note="The furnace is no use on these.",
            formula="SUM(cooling_days)+heatup_days_one",
            needs=("heatup_days_one",),
        ),
        Figure(
            "crack_cost",
            "Risk of a crack",
            Shape.MONEY,
            unit=MONEY,
            note="Chance × a pot and the glass in it; blank while no chance is typed.",
            formula="crack_chance*(SUM(pot_cost)+SUM(glass_worth))",
            needs=("crack_chance",),
        ),
        Figure(
            "cold_cost_once",
            "Going cold costs, once",
            Shape.MONEY,
            unit=MONEY,
            note="Cooling, heat-up, risk of a crack, work. Lost days come on top.",
            formula="SUM(cooling_days)*SUM(cooling_use)*price_now+heatup_cost_one+SUM(crack_cost)+SUM(cold_labour)",
            needs=("price_now", "heatup_cost_one"),
        ),
    )


def _crossing() -> tuple[Figure, ...]:
    return (
        Figure(
            "gap_crossing",
            "Where the two cross",
            Shape.DAYS,
            unit="days",
            note="So many days of idling cost as much as going cold.",
            formula="IF(cold_trip_days*idle_day_cost<=cold_cost_once,cold_cost_once/idle_day_cost,"
            "(cold_cost_once+cold_trip_days*SUM(day_value))/(idle_day_cost+SUM(day_value)))",
            needs=("idle_day_cost", "cold_cost_once", "cold_trip_days"),
            nonzero=("idle_day_cost",),
        ),
        Figure(
            "gap_first_cold",
            "First whole number of days to go cold",
            Shape.DAYS,
            unit="days",
            note="From here on going cold costs less.",
            formula="INT(ROUND(gap_crossing,6))+1",
            needs=("gap_crossing",),
        ),
        Figure(
            "gap_last_idle",
            "Idle for up to",
            Shape.DAYS,
            unit="days",
            note="The day before.",
            formula="gap_first_cold-1",
            needs=("gap_first_cold",),
        ),
    )


def _asked() -> tuple[Figure, ...]:
    def money(name: str, label: str, note: str, formula: str, *needs: str) -> Figure:
        return Figure(name, label, Shape.MONEY, unit=MONEY, note=note, formula=formula, needs=needs)

    return (
        money(
            "asked_idle",
            "Idling for your days",
            "As long as you say above.",
            "gap_days*idle_day_cost",
            "gap_days",
            "idle_day_cost",
        ),
        money(
            "asked_cold",
            "Going cold for your days",
            "With the days that you lose beyond them.",
            "cold_cost_once+MAX(0,cold_trip_days-gap_days)*SUM(day_value)",
            "gap_days",
            "cold_cost_once",
        ),
        money(
            "asked_saves",
            "Going cold saves you",
            "Below 0 it costs more.",
            "asked_idle-asked_cold",
            "asked_idle",
            "asked_cold",
        ),
    )


def _sentences() -> tuple[Figure, ...]:
    def text(name: str, label: str, formula: str, *needs: str) -> Figure:
        return Figure(name, label, Shape.TEXT, formula=formula, needs=needs)

    return (
        text(
            "gap_last_words",
            "Idle for up to, in words",
            'gap_last_idle&IF(gap_last_idle=1," day"," days")',
            "gap_last_idle",
        ),
        text(
            "gap_answer",
            "What costs less",
            'IF(gap_first_cold=1,"Going cold costs less from the first day on.",'
            '"Idle for up to "&gap_last_words&"; from "&gap_first_cold&" days on, going cold costs less.")',
            "gap_first_cold",
        ),
        text(
            "gap_uncounted",
            "What it leaves out",
            'IF(COUNT(crack_chance,cold_labour,day_value)=0," No crack, work or lost days counted yet.","")',
        ),
        text("gap_sentence", "The answer", "gap_answer&gap_uncounted", "gap_first_cold"),
        text("gap_number_words", "Your days, as a text", short_words("gap_days"), "gap_days"),
        text("gap_words", "Your days, in words", 'gap_number_words&IF(gap_days=1," day"," days")', "gap_days"),
        text("asked_words", "What is saved, as a text", amount_of(whole_words("ABS(asked_saves)*100")), "asked_saves"),
        text(
            "asked_sentence",
            "For your days",
            '"For "&gap_words&IF(asked_words="0.00",", both cost the same",'
            'IF(asked_saves>0,", going cold saves ",", idling saves ")&asked_words)&"."',
            "asked_saves",
        ),
        text(
            "gap_missing",
            "Still missing",
            'IF(COUNT(gap_crossing)=1,"",IF(COUNT(price_now)=0,price_lacks,gap_lacks))',
        ),
        text(
            "gap_lacks",
            "Missing besides a price",
            'IF(COUNT(idle_day_use)=0,"Log an idle day, or type the energy of one.",gap_lacks_more)',
        ),
        text(
            "gap_lacks_more",
            "Missing besides an idle day",
            'IF(COUNT(heatup_use_one,heatup_days_one)<2,"Log a heat-up, or type its energy and days.",'
            '"An idle day costs nothing here, so there is nothing to weigh.")',
        ),
    )
