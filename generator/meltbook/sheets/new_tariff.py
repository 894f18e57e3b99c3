"""What a letter from the utility would do, and the tags to change for it."""

from __future__ import annotations

from meltbook.fields.piece_after import ALREADY_SHORT, RETAG
from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Grid, Rows, Sheet, Words
from meltbook.studio.capacity import CHANNEL_SLOTS

_KWH = "{currency}/{energy}"
_PRINTED = "{currency} or cents a {energy}"
_SAYS = (
    ("Change in percent", "letter_change", "", "", "", "One change for all prices of energy. 8 % is 8 % more."),
    (
        f"Price, {_PRINTED}",
        "letter_price",
        "base_price",
        "new_price",
        "change_price",
        "Or each price anew, in what is chosen above.",
    ),
    (
        f"Second price, {_PRINTED}",
        "letter_price_two",
        "base_price_two",
        "new_price_two",
        "change_price_two",
        "Only with times of use.",
    ),
    (
        f"Third price, {_PRINTED}",
        "letter_price_three",
        "base_price_three",
        "new_price_three",
        "change_price_three",
    ),
    (
        "First share of the use",
        "letter_share_one",
        "base_share_one",
        "new_share_one",
        "",
        "If the times of use change: type all the shares.",
    ),
    ("Second share of the use", "letter_share_two", "base_share_two", "new_share_two", ""),
    ("Third share of the use", "letter_share_three", "base_share_three", "new_share_three", ""),
    (
        f"Surcharge, {_PRINTED}",
        "letter_surcharge",
        "base_surcharge",
        "new_surcharge",
        "change_surcharge",
        "The percentage above does not move it.",
    ),
    ("Tax on the bill", "letter_tax", "base_tax", "letter_tax_new", ""),
    (
        "Service charge, {currency}",
        "letter_service",
        "base_service",
        "new_service",
        "change_service",
        "In money, never in cents. Its change is by the day.",
    ),
    ("Service charge per", "letter_service_per", "base_service_per", "new_service_per", ""),
    (
        "Demand charge, {currency}/kW-month",
        "letter_demand",
        "base_demand",
        "new_demand",
        "change_demand",
        "In money, never in cents.",
    ),
    ("Billed kW", "letter_demand_kw", "base_demand_kw", "new_demand_kw", ""),
    (
        f"All-in price, {_KWH}",
        "",
        "base_all_in",
        "new_all_in",
        "change_all_in",
        "Surcharge and tax included.",
    ),
    (
        "Service and demand, {currency}/day",
        "",
        "base_standing",
        "new_standing",
        "change_standing",
        "The furnace's share of them, with tax.",
    ),
)
_DOES = (
    (
        f"Energy, {_KWH}",
        "price_before",
        "price_after",
        "effect_energy_month",
        "effect_energy",
        "A year's use at the new price.",
    ),
    (
        "Service and demand, {currency}/day",
        "standing_day_before",
        "standing_day_after",
        "effect_standing_month",
        "effect_standing",
        "They come whatever you use.",
    ),
    ("Both", "", "", "effect_month", "effect_year"),
    (
        "Equipment",
        "",
        "",
        "effect_equipment_month",
        "effect_equipment",
        "Besides: the machines typed on Equipment.",
    ),
    (
        "Every hot day, {currency}/{weight}",
        "hot_before",
        "hot_after",
        "",
        "",
        "Energy for a weight of glass, as on {Cost of glass}.",
    ),
    ("+ Service and demand, {currency}/{weight}", "standing_before", "standing_after", "", ""),
)


def sheet() -> Sheet:
    """Declare the sheet on which the letter is typed."""
    return Sheet(
        key="new_tariff",
        name="New tariff",
        title="New tariff",
        purpose="Type the utility's letter and see what it does to your glass and your tags. Nothing else moves.",
        role="type",
        does="Type a letter and read",
        landscape=True,
        blocks=(
            Fields(
                heading="The letter",
                names=("letter_start", "letter_reference", "letter_in", "letter_tax_in", "retag_tolerance"),
            ),
            Grid(
                heading="What it says",
                intro="Type only what changes, as the letter prints it. What stays blank stays as it is. Beside it "
                "prices are in {currency}.",
                columns=("In the letter, as printed", "In force until then", "From then on", "Change"),
                rows=_SAYS,
            ),
            Words(heading="", lines=("letter_state", "letter_rest", "late_note")),
            Grid(
                heading="What it does to the studio",
                intro="Now is the pricing date. The use of 12 months at the new prices; of fewer that are logged, "
                "stretched to a year.",
                caution=caution("estimates"),
                columns=("Now", "Then", "More in a month, {currency}", "More in a year, {currency}"),
                rows=_DOES,
            ),
            Words(heading="", lines=("effect_note",)),
            Fields(
                heading="What it touches",
                names=(
                    "retag_list_count",
                    "retag_count",
                    "short_count",
                    "keep_count",
                    "late_rows",
                    "late_waiting",
                    "late_energy",
                    "late_standing",
                ),
            ),
            Words(heading="", lines=("retag_sentence",)),
            Rows(
                heading="Piece by piece",
                intro=f"{RETAG}: its margin would miss by more than you allow. {ALREADY_SHORT}: it does so today. "
                "A tag is never lowered here.",
                table="piece_after",
                columns=(
                    "name_after",
                    "after_tag_now",
                    "after_cost_now",
                    "after_margin_now",
                    "cost_after",
                    "margin_after",
                    "tag_new",
                    "tag_rise",
                    "tag_verdict",
                ),
                workings=(
                    "piece_more_hot",
                    "piece_more_kiln",
                    *(
                        f"{word}_{slot}"
                        for slot in CHANNEL_SLOTS
                        for word in ("short_now", "net_after", "margin_after", "short_after", "after")
                    ),
                    "short_now",
                    "short_after",
                    "margin_after_lowest",
                    "after_wanted",
                    "after_cents",
                    "tag_after",
                    "tag_change",
                    "retag_flag",
                    "retag_key",
                    "retag_place",
                ),
            ),
        ),
    )


def retag_sheet() -> Sheet:
    """Declare the page to take along to the shelf."""
    return Sheet(
        key="retag_list",
        name="Retag list",
        title="Retag list",
        purpose="The tags that New tariff says to change, in your shelf order. Print it and take it along.",
        role="print",
        one_page=True,
        blocks=(
            Words(heading="retag_studio", lines=("retag_heading", "retag_empty")),
            Rows(
                heading="",
                intro="Why: by how much the margin at the old tag misses the one wanted then; already: today.",
                table="retag_list",
                columns=("retag_name", "retag_size", "retag_old", "retag_new", "retag_why"),
                widths={"retag_why": 36},
                workings=(
                    "retag_no",
                    "retag_row",
                    "retag_short",
                    "retag_short_words",
                    "retag_before",
                    "retag_before_words",
                ),
            ),
        ),
    )
