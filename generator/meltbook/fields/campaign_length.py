"""How long a campaign, and how full a charge.

A heat-up is paid once a campaign, so each charge more makes it cheaper for all of them, but by less and less.
A charge day costs its idle energy however much is charged, so a part charge makes each weight dearer.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table
from meltbook.fields.words import amount_of, whole_words

SIZES = 60
FILLS = 10
PER_WEIGHT = "{currency}/{weight}"


def scalars() -> tuple[Item, ...]:
    """What one charge takes, and the two answers."""
    return (*_a_charge(), *_enough(), *_sentences())


def tables() -> tuple[Table, ...]:
    """The cost of a weight by charges in a campaign, and by the size of a charge."""
    return (_sizes(), _fills())


def _sizes() -> Table:
    together = "heatup_cost_one+size_charges*charge_cost_one"
    return Table(
        "campaign_sizes",
        "Charges in a campaign",
        (
            Fixed("size_charges", "Charges", Shape.COUNT, values=tuple(range(1, SIZES + 1))),
            Figure(
                "size_cost",
                "Cost of glass",
                Shape.RATE,
                unit=PER_WEIGHT,
                note="One heat-up and so many charges, over the weight of them all.",
                formula=f"({together})/(size_charges*charge_weight_used)",
                needs=("heatup_cost_one", "charge_cost_one", "charge_weight_used"),
                nonzero=("charge_weight_used",),
            ),
            Figure(
                "size_saves",
                "One more saves",
                Shape.SHARE,
                note="What the next charge takes off the cost of a weight.",
                formula=f"heatup_cost_one/((size_charges+1)*({together}))",
                needs=("size_cost",),
                nonzero=("size_cost",),
            ),
            Figure(
                "size_worth",
                "Worth it",
                Shape.COUNT,
                note="1 if that is as much as you ask for.",
                formula="IF(COUNT(size_saves)=1,IF(size_saves>=saving_used-tiny_share,1,0),0)",
            ),
        ),
        rows=SIZES,
    )


def _fills() -> Table:
    return Table(
        "charge_sizes",
        "Part charges",
        (
            Fixed(
                "fill_share",
                "Of a full charge",
                Shape.SHARE,
                values=tuple(tenth / FILLS for tenth in range(1, FILLS + 1)),
            ),
            Figure(
                "fill_weight",
                "Charged",
                Shape.WEIGHT,
                unit="{weight}",
                note="That part of a full charge.",
                formula="fill_share*charge_weight_used",
                needs=("charge_weight_used",),
            ),
            Figure(
                "fill_cost",
                "Cost of glass",
                Shape.RATE,
                unit=PER_WEIGHT,
                note="The charge day's own energy, what the glass adds to it, and wear.",
                formula="(idle_day_use*price_now*charge_days_one+price_charge*fill_weight"
                "+charge_days_one*decide_wear_day+decide_wear_charge)/fill_weight",
                needs=("idle_day_use", "price_now", "price_charge", "charge_days_one", "fill_weight"),
                nonzero=("fill_weight",),
            ),
            Figure(
                "fill_dearer",
                "Dearer than a full one",
                Shape.SHARE,
                note="By so much of its cost.",
                formula=f'IF(fill_cost.{FILLS}<=close_enough,"",fill_cost/fill_cost.{FILLS}-1)',
                needs=("fill_cost",),
            ),
        ),
        rows=FILLS,
    )


def _a_charge() -> tuple[Figure, ...]:
    def a_charge(name: str, label: str, shape: Shape, unit: str, note: str, total: str) -> Figure:
        formula = f"({total})/period_charges.3"
        return Figure(name, label, shape, unit=unit, note=note, formula=formula, nonzero=("period_charges.3",))

    return (
        a_charge(
            "charge_use_one",
            "Energy of a charge",
            Shape.ENERGY,
            "{energy}",
            "With the blow and idle days that go with it, in the last 12 months.",
            "charge_use.3+blow_use.3+idle_use.3",
        ),
        a_charge(
            "hot_days_one",
            "Hot days of a charge",
            Shape.DAYS,
            "days",
            "Charge, blow and idle days.",
            "charge_days.3+blow_days.3+idle_days.3",
        ),
        a_charge(
            "charge_days_one",
            "Charge days of a charge",
            Shape.DAYS,
            "days",
            "By the last 12 months: charge days ÷ charges.",
            "charge_days.3",
        ),
        a_charge(
            "log_charge_weight",
            "Mean charge",
            Shape.WEIGHT,
            "{weight}",
            "In the last 12 months.",
            "period_weight.3",
        ),
        Figure(
            "charge_weight_used",
            "Charge counted with",
            Shape.WEIGHT,
            unit="{weight}",
            note="A full charge as typed, else the mean charge.",
            formula='IF(SUM(full_charge)>0,full_charge,IF(SUM(log_charge_weight)>0,log_charge_weight,""))',
        ),
        Figure(
            "charge_cost_one",
            "A charge costs",
            Shape.MONEY,
            unit="{currency}",
            note="Its energy at today's all-in price, and wear. No heat-up, no raw glass.",
            formula="charge_use_one*price_now+hot_days_one*decide_wear_day+decide_wear_charge",
            needs=("charge_use_one", "hot_days_one", "price_now"),
        ),
    )


def _enough() -> tuple[Item, ...]:
    return (
        Fixed(
            "default_saving",
            "Worth one more charge, if blank",
            Shape.SHARE,
            note="What a charge more must take off the cost of glass.",
            values=(0.01,),
        ),
        Figure(
            "saving_used",
            "Worth one more charge, used",
            Shape.SHARE,
            note="As typed, else 1 %.",
            formula="IF(ISNUMBER(saving_share),saving_share,default_saving)",
        ),
        Figure(
            "campaign_enough",
            "Charges that are enough",
            Shape.COUNT,
            unit="charges",
            note="Past these, one more saves less than you ask for.",
            formula="SUM(size_worth.all)+1",
            needs=("size_cost.1",),
        ),
        Figure(
            "campaign_average",
            "Charges in your campaigns",
            Shape.FACTOR,
            unit="charges",
            note="On average, over the whole log.",
            formula="period_charges.1/campaign_count",
            needs=("period_charges.1",),
            nonzero=("campaign_count",),
        ),
    )


def _sentences() -> tuple[Figure, ...]:
    def text(name: str, label: str, formula: str, *needs: str) -> Figure:
        return Figure(name, label, Shape.TEXT, formula=formula, needs=needs)

    return (
        Figure(
            "saving_hundredths",
            "The same in hundredths of a percent",
            Shape.COUNT,
            note="For the sentence.",
            formula=whole_words("saving_used*100*100"),
        ),
        text(
            "saving_words",
            "The same in words",
            'IF(saving_hundredths=100*INT(saving_hundredths/100),INT(saving_hundredths/100)&"",'
            f'{amount_of("saving_hundredths")})&" %"',
        ),
        text(
            "campaign_words",
            "Your campaigns, in words",
            f'"Yours had about "&{whole_words("campaign_average")}&" on average."',
            "campaign_average",
        ),
        text(
            "campaign_charges",
            "So many charges, in words",
            'campaign_enough&IF(campaign_enough=1," charge"," charges")',
            "campaign_enough",
        ),
        text(
            "campaign_limit",
            "Past which charge",
            'IF(campaign_enough>COUNT(size_charges.all),"Even the "&COUNT(size_charges.all)&"th charge saves",'
            '"Past "&campaign_charges&", one more saves less than")',
            "campaign_enough",
        ),
        text(
            "campaign_sentence",
            "The answer",
            'campaign_limit&" "&saving_words&IF(campaign_enough>COUNT(size_charges.all)," or more. ",". ")'
            "&campaign_words",
            "campaign_enough",
        ),
        text(
            "campaign_missing",
            "Still missing for campaigns",
            'IF(COUNT(campaign_enough)=1,"",IF(COUNT(price_now)=0,price_lacks,campaign_lacks))',
        ),
        text(
            "campaign_lacks",
            "Missing besides a price",
            'IF(COUNT(charge_cost_one,charge_weight_used)<2,"Log a charge with its weight first.",'
            '"Log a heat-up, or type its energy and days.")',
        ),
        text(
            "fill_sentence",
            "A half charge",
            f'"A half charge costs "&{whole_words("fill_dearer.5*100")}'
            '&" % more for each "&weight_unit&" than "&IF(SUM(full_charge)>0,"a full one.","your mean charge.")',
            "fill_dearer.5",
        ),
        text(
            "fill_missing",
            "Still missing for part charges",
            "IF(COUNT(price_now)=0,price_lacks,fill_lacks)",
        ),
        text(
            "fill_lacks",
            "Missing besides a price, part charges",
            'IF(COUNT(charge_weight_used,charge_days_one)<2,"Log a charge with its weight first.",fill_lacks_more)',
        ),
        text(
            "fill_lacks_more",
            "Missing besides a charge",
            "IF(COUNT(price_charge,idle_day_use)<2,"
            '"To know one more charge, read the meter before and after a run of charge days, and of idle days.",'
            "fill_worthless)",
        ),
        text(
            "fill_worthless",
            "Where a full charge costs nothing",
            f'IF(SUM(fill_cost.{FILLS})>close_enough,"",'
            '"By this log a full charge costs nothing or less, so there is nothing to weigh.")',
        ),
    )
