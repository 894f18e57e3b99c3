"""All furnaces side by side. Only a book with several has this sheet."""

from __future__ import annotations

from collections.abc import Sequence

from meltbook.fields.drawn_from import BY_PIECE
from meltbook.fields.furnaces import LADDER
from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Rows, Sheet, Words


def sheet(sources: tuple[str, ...] = ("First",), second_unit: str = "") -> Sheet:
    """Declare the sheet of a book whose furnaces run on these sources; the second is billed in ``second_unit``."""
    billed = f"The first source is billed in {{energy}}, the second in {second_unit}." if second_unit else ""
    return Sheet(
        key="all_furnaces",
        name="All furnaces",
        title="All furnaces",
        purpose="What a weight of glass costs in each furnace and in all of them. Each piece is priced by its own.",
        role="type",
        does="Name them and read",
        landscape=True,
        blocks=(
            Words(heading="The answer", lines=("furnaces_sentence",)),
            Fields(
                heading="The first furnace",
                intro="Its meter stands on Shop, its days on Furnace log. The others have sheets of their own.",
                caution=caution("hot_unattended"),
                names=("furnace_name", "standing_part", "standing_part_used"),
            ),
            Rows(
                heading="What a weight of glass costs, to price with",
                intro=billed,
                table="furnaces",
                columns=(
                    "furnace_called",
                    "furnace_source",
                    "each_melted",
                    *(f"each_price_{step}" for step in LADDER),
                ),
                widths={"furnace_called": 18},
                workings=("furnace_no",),
            ),
            Words(heading="", lines=("rate_sentence",)),
            Rows(
                heading="What happened, and what pieces pay",
                intro="What a new tariff adds in a year is blank while no letter is typed.",
                table="furnaces_again",
                columns=(
                    "furnace_again",
                    "each_charged",
                    "each_energy_cost",
                    "each_happened",
                    "each_furnace_rate",
                    "each_furnace_pool",
                    "each_effect_year",
                    "each_standing_part",
                ),
                widths={"furnace_again": 18},
                workings=(
                    "each_gather_weight_used",
                    "each_low_rate",
                    "each_own_known",
                    "each_rate_after",
                    "each_effect_energy",
                    "each_effect_standing",
                ),
            ),
            Fields(
                heading="All of them together",
                intro="Costs are weighed by the glass that each furnace melted; blank until known of each that melted.",
                names=(
                    "all_melted",
                    *(f"all_price_{step}" for step in LADDER),
                    "all_charged",
                    "all_energy_cost",
                    "all_happened",
                    "all_furnace_pool",
                    "all_effect_year",
                    *(f"parts_carried_{source.lower()}" for source in dict.fromkeys(sources)),
                ),
            ),
        ),
    )


def more_workings(looks: Sequence[str], *, two_sources: bool) -> tuple[Fields | Rows, ...]:
    """What stands on Workings besides, where there are several furnaces; ``looks`` are the checks to look at first."""
    return (
        Fields(
            heading="All furnaces",
            names=(
                "furnace_title",
                "furnace_words",
                "furnace_waits",
                "log_waits",
                "furnace_done",
                "log_rows_free",
                *looks,
                "look_of_all",
                "furnaces_words",
                "rate_words",
                "standing_part_again",
                "logs_next_day",
                "furnaces_unknown",
                "furnaces_charged",
                "furnaces_melting",
                "letters_given",
                *(("letters_typed",) if two_sources else ()),
                "rate_then",
                "minutes_rate",
                "minutes_rate_after",
                "any_rate_after",
                "effect_energy",
                "effect_standing",
                "effect_year",
                "effect_energy_month",
                "effect_standing_month",
                "effect_month",
                "effect_note",
                "all_made_weight",
                "all_made_charges",
                "all_made_melt_days",
                "all_made_hot_days",
                "all_made_log_gathers",
                "all_made_pool",
                "standing_now_first",
                "base_standing_first",
                "new_standing_first",
            ),
        ),
        Rows(
            heading="Service and demand, the first furnace's part",
            table="standing_first",
            columns=("tariff_standing_first", "tariff_standing_change_first", "tariff_standing_integral_first"),
        ),
        Rows(heading="First to look at on Checks", table="check_lists", columns=("list_look", "list_looks")),
        Rows(
            heading="Furnaces of the pieces",
            table="piece_furnaces",
            columns=("piece_furnace_row", *(f"here_{name}" for name, *_ in BY_PIECE), "here_gathered"),
        ),
    )
