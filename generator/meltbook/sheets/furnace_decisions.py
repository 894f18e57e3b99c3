"""The decisions about the furnace: what to type, the answer in a sentence, the picture, the table."""

from __future__ import annotations

from meltbook.fields.pot_ages import AGES
from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Picture, Rows, Series, Sheet, Words


def idle_sheet() -> Sheet:
    """Declare the sheet on which idling is weighed against going cold."""
    return Sheet(
        key="idle_or_cold",
        name="Idle or cold",
        title="Idle or go cold",
        purpose="The furnace isn't needed for some days: keep it hot, or let it go cold and heat it up again?",
        role="type",
        does="Type and read",
        blocks=(
            Words(
                heading="The answer",
                lines=("gap_sentence", "asked_sentence", "gap_missing"),
                caution=caution("hot_unattended"),
            ),
            Fields(
                heading="What you know",
                intro="All of it may stay blank but what the log can't tell.",
                caution=caution("cracked_pot"),
                names=(
                    "gap_days",
                    "idle_day_typed",
                    "cooling_days",
                    "cooling_use",
                    "heatup_days_typed",
                    "heatup_use_typed",
                    "crack_chance",
                    "pot_kind",
                    "glass_worth",
                    "cold_labour",
                    "day_value",
                ),
            ),
            Fields(
                heading="What it costs",
                caution=caution("estimates"),
                names=(
                    "idle_day_use",
                    "idle_day_cost",
                    "heatup_use_one",
                    "heatup_days_one",
                    "heatup_cost_one",
                    "pot_name",
                    "crack_cost",
                    "cold_cost_once",
                    "cold_trip_days",
                    "gap_crossing",
                    "asked_idle",
                    "asked_cold",
                    "asked_saves",
                ),
            ),
            Picture(
                kind="line",
                title="Idling against going cold, by days",
                heading="Where the two cross",
                categories="gap_no",
                series=(Series("Idling", "gap_idle"), Series("Going cold", "gap_cold")),
                sentence="",
                axis="{currency}",
                alt="Two lines over the days of a gap: idling, which rises with each day, and going cold.",
            ),
            Rows(
                heading="Day by day",
                table="idle_cold",
                columns=("gap_no", "gap_idle", "gap_cold", "gap_saves", "gap_choice"),
            ),
        ),
    )


def campaign_sheet() -> Sheet:
    """Declare the sheet on the length of a campaign and the size of a charge."""
    return Sheet(
        key="campaign_length",
        name="Campaign length",
        title="How many charges, and how full",
        purpose="How many charges to melt before the furnace goes cold, and what charging less than full costs.",
        role="type",
        does="Type and read",
        blocks=(
            Words(
                heading="The answer",
                lines=("campaign_sentence", "fill_sentence", "campaign_missing", "fill_missing"),
                caution=caution("cracked_pot"),
            ),
            Fields(
                heading="What you know",
                intro="Heat-ups are taken from {Idle or cold}.",
                names=("saving_share", "full_charge"),
            ),
            Fields(
                heading="What a charge takes",
                caution=caution("estimates"),
                names=(
                    "charge_use_one",
                    "hot_days_one",
                    "charge_days_one",
                    "log_charge_weight",
                    "charge_weight_used",
                    "charge_cost_one",
                    "campaign_enough",
                    "campaign_average",
                ),
            ),
            Picture(
                kind="line",
                title="Cost of a weight of glass by charges in a campaign",
                heading="Each charge more makes glass cheaper, by less and less",
                categories="size_charges",
                series=(Series("Cost of glass", "size_cost"),),
                sentence="",
                axis="{currency}/{weight}",
                alt="A line that falls steeply over the first charges of a campaign and flattens out.",
            ),
            Picture(
                kind="column",
                title="Cost of a weight of glass by size of the charge",
                heading="A charge day costs nearly the same, however much goes in",
                categories="fill_share",
                percent=True,
                series=(Series("Cost of glass", "fill_cost"),),
                sentence="",
                axis="{currency}/{weight}",
                alt="Bars for charges of a tenth to a full one: the smaller, the dearer each weight of glass.",
            ),
            Rows(
                heading="Part charges",
                caution=caution("batch_dust"),
                table="charge_sizes",
                columns=("fill_share", "fill_weight", "fill_cost", "fill_dearer"),
                widths={"fill_cost": 14},
            ),
            Rows(
                heading="Charges in a campaign",
                table="campaign_sizes",
                columns=("size_charges", "size_cost", "size_saves"),
                widths={"size_cost": 14},
                workings=("size_worth",),
            ),
        ),
    )


def pot_sheet() -> Sheet:
    """Declare the sheet on changing the pot in time or running it until it fails."""
    return Sheet(
        key="change_the_pot",
        name="Change the pot",
        title="Change the pot, or run it until it fails",
        purpose="How long your pots live, by the ledger, and whether a planned change costs less than a failure.",
        role="type",
        does="Type and read",
        blocks=(
            Words(
                heading="The answer",
                lines=("replace_sentence", "soon_sentence", "fit_sentence", "replace_missing"),
                caution=caution("cracked_pot"),
            ),
            Fields(
                heading="What you know",
                intro="Which part is the pot, the glass in it and what a lost day costs are typed on {Idle or cold}.",
                caution=caution("fibre_dust"),
                names=("planned_typed", "repair_cost", "lost_days", "shape_typed"),
            ),
            Fields(
                heading="What it costs, and how long pots live",
                caution=caution("estimates"),
                names=(
                    "pot_cost",
                    "planned_cost",
                    "failure_cost",
                    "lives_counted",
                    "lives_failed",
                    "shape_used",
                    "scale_used",
                    "mean_life",
                    "run_cost",
                    "best_cost",
                    "age_advised",
                    "best_saving",
                    "pot_uses_now",
                    "fails_soon",
                ),
            ),
            Picture(
                kind="line",
                title="Cost of a use by the age at which the pot is changed",
                heading="Too early throws life away, too late risks a failure",
                categories="age_uses",
                series=(
                    Series("Changed at this age, drawn up to twice the other", "age_drawn"),
                    Series("Run until it fails", "age_run"),
                ),
                sentence="",
                axis="{currency} a use",
                alt="A line over the age at which a pot is changed, lowest at the best age if there is one.",
            ),
            Rows(
                heading="Age by age",
                intro=f"The chance that a pot is still in service at each of {AGES} ages, and what a use then costs.",
                table="pot_ages",
                columns=("age_no", "age_uses", "age_survives", "age_lived", "age_cost"),
                widths={"age_cost": 13},
                workings=("age_middle", "age_choice", "age_run", "age_drawn", "age_best"),
            ),
        ),
    )
