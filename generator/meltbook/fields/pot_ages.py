"""Change the pot at an age, or run it until it fails.

A planned change costs less than a failure, but throws away what life is left. For each age the table weighs the
two: what a cycle costs on average over how long it lasts on average. The mean length of a cycle is the area under
the curve of those still in service, summed by Simpson's rule. Where old pots fail no more easily than new ones,
changing early saves nothing.

The sum is only as good as its steps are fine. Lives of a few uses would fall into one or two steps of a whole use,
and what such a sum is wrong by looks like a saving; so a use is cut into parts there, and only ages of whole uses
are asked whether they cost least.

It is an estimate of cost and never a limit of safety.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import whole_words

AGES = 120
PER_USE = "{currency} a use"


def scalars() -> tuple[Item, ...]:
    """The best age, what it saves, and what the pot in service has before it."""
    return (*_constants(), *_answer(), _advised(), *_in_service(), *_sentences())


def tables() -> tuple[Table, ...]:
    """The cost of a use by the age at which the pot is changed."""
    alive = "EXP(-MIN(power_most,({}/scale_used)^shape_used))"
    return (
        Table(
            "pot_ages",
            "Changing the pot, by age",
            (
                Fixed("age_no", "Number", Shape.COUNT, values=tuple(range(1, AGES + 1))),
                Figure(
                    "age_uses",
                    "Changed at",
                    Shape.DAYS,
                    unit="uses",
                    note="Steps that reach well past the scale of life.",
                    formula="age_no*age_whole/age_parts",
                    needs=("age_whole", "age_parts"),
                ),
                Figure(
                    "age_survives",
                    "Still in service",
                    Shape.SHARE,
                    note="The part of all pots that reach this age.",
                    formula=alive.format("age_uses"),
                    needs=("age_uses",),
                    seed=1,
                ),
                Figure(
                    "age_middle",
                    "Half a step before",
                    Shape.SHARE,
                    note="The part that reach the middle of the step, for Simpson's rule.",
                    formula=alive.format("(age_uses-age_step/2)"),
                    needs=("age_uses",),
                ),
                Figure(
                    "age_lived",
                    "Mean uses of a cycle",
                    Shape.WEIGHT,
                    unit="uses",
                    note="Until it fails or is changed at this age.",
                    formula="age_lived.prev+age_step*(age_survives.prev+simpson_middle*age_middle+age_survives)"
                    "/simpson_all",
                    needs=("age_uses",),
                    seed=0,
                ),
                Figure(
                    "age_cost",
                    "Cost of a use",
                    Shape.RATE,
                    unit=PER_USE,
                    note="Planned changes and failures, over the uses had.",
                    formula="(planned_cost*age_survives+failure_cost*(1-age_survives))/age_lived",
                    needs=("age_lived", "planned_cost", "failure_cost"),
                    nonzero=("age_lived",),
                ),
                Figure(
                    "age_choice",
                    "Of whole uses",
                    Shape.RATE,
                    unit=PER_USE,
                    note="That cost at ages of whole uses, where a pot can be changed.",
                    formula='IF(age_no=age_parts*INT(age_no/age_parts),age_cost,"")',
                    needs=("age_cost",),
                ),
                Figure(
                    "age_run",
                    "Run until it fails",
                    Shape.RATE,
                    unit=PER_USE,
                    note="The same for every age, for the picture.",
                    formula="run_cost",
                    needs=("age_cost", "run_cost"),
                ),
                Figure(
                    "age_drawn",
                    "Changed in time",
                    Shape.RATE,
                    unit=PER_USE,
                    note="For the picture: at most twice the cost of running it until it fails.",
                    formula="MIN(age_cost,2*age_run)",
                    needs=("age_cost", "age_run"),
                ),
                Figure(
                    "age_best",
                    "As low as any",
                    Shape.COUNT,
                    note="1 if no age of whole uses costs less.",
                    formula="IF(COUNT(age_choice,best_cost)=2,IF(age_choice<=best_cost*(1+tiny_share),1,0),0)",
                ),
            ),
            rows=AGES,
            seeded=True,
        ),
    )


def _constants() -> tuple[Item, ...]:
    def constant(name: str, label: str, value: float, note: str) -> Fixed:
        return Fixed(name, label, Shape.FACTOR, note=note, values=(value,))

    return (
        constant("ages_shown", "Ages looked at", AGES, "So many steps."),
        constant("age_reach", "How far ages reach", 2.4, "Times the scale of life; hardly a pot gets older."),
        constant("power_most", "Greatest power", 600, "Keeps numbers from getting too small to hold."),
        constant("simpson_middle", "Simpson, middle", 4, "The middle of a step counts so many times."),
        constant("simpson_all", "Simpson, all", 6, "All parts of Simpson's rule together."),
        constant("saving_least", "Worth planning for", 0.001, "A planned change must save this part of the cost."),
        constant("uses_ahead", "Looking ahead", 10, "The chance of failing is told for so many uses."),
    )


def _answer() -> tuple[Figure, ...]:
    return (
        Figure(
            "age_whole",
            "Uses that a step is cut from",
            Shape.COUNT,
            unit="uses",
            note="As many as carry the ages far enough; mostly a step itself.",
            formula="MAX(1,ROUNDUP(ROUND(age_reach*scale_used/ages_shown,6),0))",
            needs=("scale_used",),
        ),
        Figure(
            "age_parts",
            "Steps in them",
            Shape.COUNT,
            note="1, or more where lives are so short that steps of a use would be too coarse.",
            formula="MAX(1,MIN(ages_shown,INT(ROUND(ages_shown/(age_reach*scale_used),6))))",
            needs=("scale_used",),
        ),
        Figure(
            "age_step",
            "Step of ages",
            Shape.FACTOR,
            unit="uses",
            note="A whole number of uses, or a part of one.",
            formula="age_whole/age_parts",
            needs=("age_whole", "age_parts"),
        ),
        Figure(
            "run_cost",
            "Run until it fails, a use",
            Shape.MONEY,
            unit=PER_USE,
            note="A failure over the mean life.",
            formula="failure_cost/mean_life",
            needs=("failure_cost", "mean_life"),
            nonzero=("mean_life",),
        ),
        Figure(
            "best_cost",
            "Change it in time, a use",
            Shape.MONEY,
            unit=PER_USE,
            note="The lowest of all ages of whole uses.",
            formula='IF(COUNT(age_choice.all)=0,"",MIN(age_choice.all))',
        ),
        Figure(
            "best_row",
            "Row of the best age",
            Shape.COUNT,
            note="The first that costs no more than any other.",
            formula="MATCH(1,age_best.all,0)-1",
            needs=("best_cost",),
        ),
        Figure(
            "best_age",
            "Age at which a use costs least",
            Shape.COUNT,
            unit="uses",
            note="By cost alone, however little it saves. Stop using a cracked or leaking pot at once.",
            formula="INDEX(age_uses.all,best_row+1)",
            needs=("best_row",),
        ),
        Figure(
            "best_saving",
            "That saves",
            Shape.SHARE,
            note="Against running it until it fails.",
            formula="MAX(0,1-best_cost/run_cost)",
            needs=("best_cost", "run_cost"),
            nonzero=("run_cost",),
        ),
        Figure(
            "replace_pays",
            "Changing in time pays",
            Shape.COUNT,
            note="1 if old pots fail more easily, an age stands out, and it saves enough.",
            formula="IF(AND(shape_used>1,best_row<ages_shown,best_saving>=saving_least),1,0)",
            needs=("best_saving",),
        ),
    )


def _advised() -> Figure:
    return Figure(
        "age_advised",
        "Best age to change it",
        Shape.COUNT,
        unit="uses",
        note="By cost alone; blank where changing saves nothing. Stop using a cracked or leaking pot at once, "
        "whatever its age.",
        formula='IF(replace_pays=1,best_age,"")',
    )


def _in_service() -> tuple[Figure, ...]:
    hazard = "({}/scale_used)^shape_used"
    return (
        Figure(
            "pot_uses_now",
            "Uses of the one in service",
            Shape.COUNT,
            unit="uses",
            note="On the log's last day.",
            formula='IF(COUNT(life_now.all)=0,"",MAX(life_now.all))',
        ),
        Figure(
            "hazard_now",
            "Wear so far",
            Shape.FACTOR,
            note="Uses against the scale, to the power of the shape.",
            formula=hazard.format("pot_uses_now"),
            needs=("pot_uses_now", "scale_used"),
        ),
        Figure(
            "hazard_later",
            "Wear then",
            Shape.FACTOR,
            note="The same after the next uses.",
            formula=hazard.format("(pot_uses_now+uses_ahead)"),
            needs=("pot_uses_now", "scale_used"),
        ),
        Figure(
            "fails_soon",
            "Chance of failing in the next 10 uses",
            Shape.SHARE,
            note="If it is sound now. No figure says that a pot is safe.",
            formula="1-EXP(-MIN(power_most,hazard_later-hazard_now))",
            needs=("hazard_later", "hazard_now"),
        ),
    )


def _sentences() -> tuple[Figure, ...]:
    def text(name: str, label: str, formula: str, *needs: str) -> Figure:
        return Figure(name, label, Shape.TEXT, formula=formula, needs=needs)

    return (
        Figure(
            "best_percent",
            "That saves, in percent",
            Shape.FACTOR,
            unit="%",
            note="For the sentence.",
            formula="best_saving*100",
            needs=("best_saving",),
        ),
        Figure(
            "best_whole",
            "The same, whole",
            Shape.COUNT,
            unit="%",
            note="For the sentence: no ledger tells it closer.",
            formula=whole_words("best_percent"),
            needs=("best_percent",),
        ),
        text("best_words", "The same in words", 'IF(best_whole<1,"under 1 %",best_whole&" %")', "best_whole"),
        text(
            "replace_sentence",
            "The answer",
            'IF(replace_pays=1,"Change it at about "&age_words&": that saves "&best_words&'
            '" against running it until it fails.",replace_not)',
            "replace_pays",
        ),
        text("age_words", "The best age, in words", 'best_age&IF(best_age=1," use"," uses")', "best_age"),
        text(
            "replace_not",
            "Said where it doesn't pay",
            '"No planned change pays: run it; take it out at the first crack or leak."'
            '&IF(COUNT(glass_worth,repair_cost,lost_days)=0," No cost of a failure typed yet.","")',
        ),
        text(
            "soon_sentence",
            "The one in service",
            '"The one in service has "&soon_uses&"; chance of failing within the next "&uses_ahead&": "&soon_words&"."',
            "fails_soon",
        ),
        text(
            "soon_uses",
            "Its uses, in words",
            f'{whole_words("pot_uses_now")}&IF({whole_words("pot_uses_now")}=1," use"," uses")',
            "pot_uses_now",
        ),
        Figure(
            "soon_percent",
            "Its chance, in percent",
            Shape.COUNT,
            unit="%",
            note="For the sentence.",
            formula=whole_words("fails_soon*100"),
            needs=("fails_soon",),
        ),
        text(
            "soon_words",
            "The same in words",
            'IF(soon_percent<1,"less than 1 %",IF(soon_percent>=100,"more than 99 %",soon_percent&" %"))',
            "soon_percent",
        ),
        text(
            "replace_missing",
            "Still missing",
            'IF(COUNT(replace_pays)=1,"",IF(pot_name="",pot_lacks,replace_lacks))',
        ),
        text(
            "pot_lacks",
            "Why there is no pot",
            'IF(pot_row=0,"Choose on {Idle or cold} which part is the pot: no kind has that name.",'
            '"Name a kind of part on {Pots and elements} first.")',
        ),
        text(
            "replace_lacks",
            "Missing besides a pot",
            'IF(SUM(planned_cost)=0,"Type what a pot costs now.","Type an expected life, or log failures, first.")',
        ),
    )
