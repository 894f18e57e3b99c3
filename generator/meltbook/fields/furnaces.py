"""Several furnaces side by side: what each costs to price with, what all of them make together.

One row a furnace repeats what pieces are costed by and what the owner compares; the cost over all furnaces weighs
each by the glass that it melted. What pieces and bills read of them stands in ``drawn_from``, what each carries of its
source's standing charges in ``standing_parts``.
"""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed
from meltbook.fields.words import amount_words
from meltbook.studio.furnaces import SOURCE_ENDS, name_ends

PER_WEIGHT = "{currency}/{weight}"
MONEY = "{currency}"

REPEATED: tuple[tuple[str, str, str, Shape, str], ...] = (
    ("charged", "period_weight.1", "Glass charged", Shape.WEIGHT, "{weight}"),
    ("energy_cost", "period_cost.1", "Energy cost", Shape.MONEY, MONEY),
    ("happened", "line_own.1", "Everything, what happened", Shape.RATE, PER_WEIGHT),
    ("melted", "period_weight.3", "Glass, last 12 months", Shape.WEIGHT, "{weight}"),
    ("price_charge", "price_charge", "One more charge, energy", Shape.RATE, PER_WEIGHT),
    ("price_melt", "price_melt", "Melting and blowing days", Shape.RATE, PER_WEIGHT),
    ("price_hot", "price_hot", "Every hot day", Shape.RATE, PER_WEIGHT),
    ("price_standing", "price_standing", "Service and demand", Shape.RATE, PER_WEIGHT),
    ("price_wear", "price_wear", "Pots and elements", Shape.RATE, PER_WEIGHT),
    ("price_glass", "price_glass", "Raw glass", Shape.RATE, PER_WEIGHT),
    ("price_own", "price_own", "The furnace itself", Shape.RATE, PER_WEIGHT),
    ("price_line_own", "price_line_own", "Everything", Shape.RATE, PER_WEIGHT),
    ("furnace_pool", "furnace_pool", "To recover in 12 months", Shape.MONEY, MONEY),
    ("effect_year", "effect_year", "New tariff, more in a year", Shape.MONEY, MONEY),
    ("effect_energy", "effect_energy", "New tariff, energy", Shape.MONEY, MONEY),
    ("effect_standing", "effect_standing", "New tariff, service and demand", Shape.MONEY, MONEY),
    ("gather_weight_used", "gather_weight_used", "Glass in one gather", Shape.WEIGHT, "{weight}"),
    ("low_rate", "low_rate", "One more weight drawn", Shape.RATE, PER_WEIGHT),
    ("own_known", "own_known", "Ownership is known", Shape.COUNT, ""),
)
"""What each furnace's row repeats: the end of the column's name, the figure, its label, shape and unit."""

SUMMED = ("charged", "energy_cost", "melted", "furnace_pool", "effect_year")
WHERE_UNKNOWN = (
    'IF(furnaces_unknown>0,"Pieces",IF(rank_unknown+picture_unknown+(pot_row=0)>0,"Shop, Change the pot",'
    '"Equipment, Bill check"))'
)
"""Where a name stands that no list has."""
LADDER = ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")

MADE: tuple[tuple[str, str, Shape, str], ...] = (
    ("made_weight", "Glass charged", Shape.WEIGHT, "{weight}"),
    ("made_charges", "Charges", Shape.COUNT, "charges"),
    ("made_melt_days", "Charge and blow days", Shape.DAYS, "days"),
    ("made_hot_days", "Hot days", Shape.DAYS, "days"),
    ("made_log_gathers", "Gathers logged", Shape.COUNT, "gathers"),
)


@dataclass(frozen=True, slots=True)
class Many:
    """The furnaces of a book, each by its source."""

    sources: tuple[str, ...]

    @property
    def ends(self) -> tuple[str, ...]:
        """What the names of each furnace's own fields end in."""
        return name_ends(len(self.sources))

    def each(self, name: str) -> tuple[str, ...]:
        """A figure of every furnace; what follows a dot in its name stays behind it."""
        stem, dot, rest = name.partition(".")
        return tuple(f"{stem}{end}{dot}{rest}" for end in self.ends)

    def on(self, source: str, name: str) -> tuple[str, ...]:
        """A figure of the furnaces on one source."""
        return tuple(one for one, theirs in zip(self.each(name), self.sources, strict=True) if theirs == source)


def places(many: Many) -> tuple[Item, ...]:
    """What is typed to tell the furnaces apart, and the part of the standing charges that each carries."""
    found: list[Item] = []
    for number, (end, source) in enumerate(zip(many.ends, many.sources, strict=True), start=1):
        found += [
            Input(
                f"furnace_name{end}",
                "Name of the furnace",
                Shape.TEXT,
                note="Your own word for it, by which pieces name it.",
            ),
            Input(
                f"standing_part{end}",
                "Part of service and demand",
                Shape.SHARE,
                note="Of these charges on its source, the part that this furnace carries. Blank: equal parts.",
                typed=Typed(minimum=0, maximum=1),
            ),
            Figure(
                f"standing_part_used{end}",
                "Part of service and demand, used",
                Shape.SHARE,
                note="As typed, else an equal part among the furnaces on its source.",
                formula=f'IF(ISNUMBER(standing_part{end}),standing_part{end},1/COUNTIF(furnace_source.all,"{source}"))',
            ),
            Figure(
                f"standing_part_again{end}",
                "The same again",
                Shape.SHARE,
                note="For Checks.",
                formula=f'IF(COUNT(standing_part{end})=1,standing_part{end},1/COUNTIF(furnace_source.all,"{source}"))',
            ),
            Figure(
                f"furnace_title{end}",
                "Furnace",
                Shape.TEXT,
                note="Its name, or its number where none is typed.",
                formula=f'IF(furnace_name{end}="","Furnace "&furnace_no.{number},furnace_name{end})',
            ),
        ]
    return tuple(found)


def totals(many: Many) -> tuple[Item, ...]:
    """What all furnaces come to."""
    return (
        *(_last_day(many), _unknown(), *_parts(many), *_then(many), *_effects(many)),
        *(*_rates(many), *_sums(), *_over_all(), *_made(many)),
    )


def _parts(many: Many) -> tuple[Figure, ...]:
    """Whether the furnaces of a source carry all of its standing charges, and once."""
    return tuple(
        Figure(
            f"parts_carried_{source.lower()}",
            f"Service and demand carried, {source.lower()} source",
            Shape.SHARE,
            note="100 % if its furnaces carry all of it, and none of it twice.",
            formula=f'SUMIFS(each_standing_part.all,furnace_source.all,"{source}")',
        )
        for source in dict.fromkeys(many.sources)
    )


def _last_day(many: Many) -> Figure:
    return Figure(
        "logs_next_day",
        "Day after all logs",
        Shape.DATE,
        note="The day after the last one that any furnace's log reaches; 0 while all are empty.",
        formula=f"MAX({','.join(many.each('next_day.all'))})",
    )


def _unknown() -> Figure:
    return Figure(
        "furnaces_unknown",
        "Furnaces not found",
        Shape.COUNT,
        note="Pieces that name a furnace that there isn't.",
        formula="COUNTIF(piece_furnace_row.all,0)",
    )


def _then(many: Many) -> tuple[Item, ...]:
    """The furnaces' rates under the letters: where a furnace's source has none, it stays as it is."""
    given = {source: f"letter_given{SOURCE_ENDS[source]}" for source in sorted({"First", *many.sources})}
    found: list[Item] = [
        Figure(
            "letters_given",
            "Letters",
            Shape.COUNT,
            note="How many letters are typed, of both sources.",
            formula=f"SUM({','.join(given.values())})",
        )
    ]
    for end, source in zip(many.ends, many.sources, strict=True):
        found.append(
            Figure(
                f"rate_then{end}",
                "Furnace rate then",
                Shape.RATE,
                unit="{currency}",
                note="By the letter of its source; as it is now where only the other source has one.",
                formula=f"IF({given[source]}=0,furnace_rate{end},rate_after{end})",
                nonzero=("letters_given",),
            )
        )
    return tuple(found)


def _effects(many: Many) -> tuple[Item, ...]:
    """What a source's letter comes to for all furnaces on it, and on how many days of each log that rests."""
    found: list[Item] = []
    for source in dict.fromkeys(many.sources):
        end = SOURCE_ENDS[source]
        for name, what in (("energy", "Energy"), ("standing", "Service and demand"), ("year", "Both")):
            yearly = f"letter_effect_{name}{end}"
            known = f'COUNTIFS(furnace_source.all,"{source}",each_effect_{name}.all,is_number)'
            total = f'SUMIFS(each_effect_{name}.all,furnace_source.all,"{source}")'
            found += [
                Figure(
                    yearly,
                    f"{what}, more in a year, {source.lower()} source",
                    Shape.MONEY,
                    unit="{currency} a year",
                    note="Of all furnaces on it, as far as they are known.",
                    formula=f'IF({known}=0,"",{total})',
                ),
                Figure(
                    f"letter_month_{name}{end}",
                    f"{what}, more in a month, {source.lower()} source",
                    Shape.MONEY,
                    unit="{currency} a month",
                    note="A twelfth of the year's.",
                    formula=f"{yearly}/months_in_year",
                    needs=(yearly,),
                ),
            ]
    found += [
        Figure(
            f"effect_told{end}",
            "What the effect rests on",
            Shape.TEXT,
            note="The same with the furnace's name.",
            formula=f'furnace_title{end}&". "&effect_note{end}',
            nonzero=(f"effect_days{end}",),
        )
        for end in many.ends
    ]
    return tuple(found)


def _rates(many: Many) -> tuple[Item, ...]:
    def together(name: str, label: str, source: str) -> Figure:
        every = ",".join(many.each(source))
        return Figure(
            name,
            label,
            Shape.RATE,
            unit="{currency} a minute",
            note="All furnaces together, as far as they are known: every bench minute pays for all of them.",
            formula=f'IF(COUNT({every})=0,"",SUM({every}))',
        )

    return (
        together("minutes_rate", "Furnaces per bench minute", "rate_minute"),
        together("minutes_rate_after", "Furnaces per bench minute after", "rate_then"),
        Figure(
            "any_rate_after",
            "A new tariff is worked out",
            Shape.COUNT,
            note="1 if it is for any furnace.",
            formula=f'IF(COUNT({",".join(many.each("rate_after"))})=0,"",1)',
        ),
    )


def _sums() -> tuple[Item, ...]:
    shown = {end: (label, shape, unit) for end, _, label, shape, unit in REPEATED}
    return tuple(
        Figure(
            f"all_{end}",
            shown[end][0],
            shown[end][1],
            unit=shown[end][2],
            note="Of all furnaces, as far as they are known.",
            formula=f'IF(COUNT(each_{end}.all)=0,"",SUM(each_{end}.all))',
        )
        for end in SUMMED
    )


def _over_all() -> tuple[Item, ...]:
    shown = {end: label for end, _, label, _, _ in REPEATED}

    def melted(name: str, label: str, weight: str) -> Figure:
        formula = f'COUNTIF({weight}.all,">0")'
        return Figure(name, label, Shape.COUNT, note="Furnaces with glass to weigh them by.", formula=formula)

    def weighed(name: str, label: str, column: str, weight: str, count: str) -> Figure:
        known = f'COUNTIFS({weight}.all,">0",{column}.all,is_number)'
        whole = f"all_{weight.removeprefix('each_')}"
        return Figure(
            name,
            label,
            Shape.RATE,
            unit=PER_WEIGHT,
            formula=f'IF({known}<{count},"",SUMPRODUCT({column}.all,{weight}.all)/{whole})',
            nonzero=(whole,),
        )

    return (
        melted("furnaces_charged", "Furnaces charged", "each_charged"),
        melted("furnaces_melting", "Furnaces charged, last 12 months", "each_melted"),
        weighed("all_happened", shown["happened"], "each_happened", "each_charged", "furnaces_charged"),
        *(
            weighed(
                f"all_price_{step}",
                shown[f"price_{step}"],
                f"each_price_{step}",
                "each_melted",
                "furnaces_melting",
            )
            for step in LADDER
        ),
        Figure(
            "furnaces_sentence",
            "The answer",
            Shape.TEXT,
            formula='"Over all furnaces a "&weight_unit&" costs "&furnaces_words&" to price with."',
            needs=("all_price_line_own",),
        ),
        Figure(
            "rate_words",
            "What pieces pay a furnace by",
            Shape.TEXT,
            note="As chosen on Shop.",
            formula='IF(furnace_by="Gathers","gather",IF(furnace_by="Bench minutes","bench minute",'
            'weight_unit&" drawn"))',
        ),
        Figure(
            "rate_sentence",
            "About the rate",
            Shape.TEXT,
            formula='"Furnace rate for pieces: "&currency_code&" for each "&rate_words'
            '&", as Furnace is shared by says on Shop."',
        ),
        Figure(
            "furnaces_words",
            "Everything, in words",
            Shape.TEXT,
            formula=amount_words("all_price_line_own"),
            needs=("all_price_line_own",),
        ),
    )


def _made(many: Many) -> tuple[Item, ...]:
    pool = ",".join(many.each("made_pool"))
    return (
        *(
            Figure(
                f"all_{name}",
                f"{label}, all furnaces",
                shape,
                unit=unit,
                note="In the time that pieces were counted for.",
                formula=f"SUM({','.join(many.each(name))})",
            )
            for name, label, shape, unit in MADE
        ),
        Figure(
            "all_made_pool",
            "Furnace cost of that time, all furnaces",
            Shape.MONEY,
            unit=MONEY,
            note="Of the furnaces whose cost is known.",
            formula=f'IF(COUNT({pool})=0,"",SUM({pool}))',
        ),
    )


def compared(many: Many) -> Table:
    """One row a furnace."""
    rows = len(many.sources)

    def repeat(end: str, source: str, label: str, shape: Shape, unit: str) -> Figure:
        note = "Repeated from the furnace's own sheets."
        return Figure(f"each_{end}", label, shape, unit=unit, note=note, formulas=many.each(source))

    def by_choice(end: str, label: str, own: str, together: str) -> Figure:
        return Figure(
            f"each_{end}",
            label,
            Shape.RATE,
            unit="{currency}",
            note="Per weight drawn or gather its own; per bench minute that of all furnaces.",
            formulas=tuple(f'IF(furnace_by="Bench minutes",{together},{name})' for name in many.each(own)),
        )

    return Table(
        "furnaces",
        "Furnaces",
        (
            Fixed("furnace_no", "Number", Shape.COUNT, values=tuple(range(1, rows + 1))),
            Fixed(
                "furnace_source",
                "Source",
                Shape.TEXT,
                note="Which of the two sources of energy it is billed by; chosen when the book is made.",
                values=many.sources,
            ),
            repeat("standing_part", "standing_part_used", "Part of service and demand", Shape.SHARE, ""),
            Figure(
                "furnace_called",
                "Furnace",
                Shape.TEXT,
                note="By this name pieces find it.",
                formulas=many.each("furnace_title"),
            ),
            *(repeat(*one) for one in REPEATED),
            by_choice("furnace_rate", "Furnace rate for pieces", "furnace_rate", "minutes_rate"),
            by_choice("rate_after", "Furnace rate after", "rate_then", "minutes_rate_after"),
        ),
        rows=rows,
    )


def named_again(many: Many) -> Table:
    """Their names once more, for a second block of rows."""
    return Table(
        "furnaces_again",
        "Furnaces",
        (
            Figure(
                "furnace_again",
                "Furnace",
                Shape.TEXT,
                note="Repeated from the block above.",
                formula="furnace_called",
            ),
        ),
        rows=len(many.sources),
        aligned="furnaces",
    )
