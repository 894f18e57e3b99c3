"""The shop: everything that is assumed rather than logged."""

from __future__ import annotations

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Rows, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="shop",
        name="Shop",
        title="The shop",
        purpose="Your assumptions: the furnace, the people, the rent, the other equipment and where you sell.",
        role="type",
        blocks=(
            Fields(
                heading="The studio",
                names=(
                    "studio_name",
                    "weight_unit",
                    "currency_code",
                    "energy_unit",
                    "sales_tax",
                    "tax_inside",
                    "pricing_date",
                    "period_from",
                    "period_to",
                ),
            ),
            Fields(
                heading="The furnace and its meter",
                caution=caution("wiring", "gas"),
                names=(
                    "meter_kind",
                    "opening_reading",
                    "billing_factor",
                    "connected_kw",
                    "measured_amps",
                    "measured_volts",
                    "measured_phases",
                    "measured_on",
                    "nameplate_kw",
                    "nameplate_volts",
                    "supply_volts",
                    "kw_in_use",
                    "cullet_share",
                    "heat_content",
                    "heat_content_in",
                    "heat_content_on",
                ),
            ),
            Rows(
                heading="How days share a reading",
                intro="Leave 1 unless you know better. Use a day is for a furnace without a meter.",
                table="day_kinds",
                columns=("kind_name", "kind_weighting", "kind_use"),
                workings=("kind_hot", "kind_weight", "kind_day_use"),
            ),
            Fields(
                heading="The furnace itself",
                names=(
                    "furnace_purchase",
                    "furnace_worth_end",
                    "furnace_life",
                    "furnace_maintenance",
                    "own_yearly",
                ),
            ),
            Rows(
                heading="Raw glass",
                intro="The first glass is the one meant wherever a glass is left blank.",
                table="glasses",
                columns=("glass_name", "glass_price"),
                workings=("glass_position", "glass_price_known", "glass_used_weight", "glass_window_weight"),
            ),
            Fields(
                heading="From the furnace to the bench",
                names=(
                    "share_drawn",
                    "share_in_pieces",
                    "share_good",
                    "gather_weight",
                    "ordinary_weight",
                    "ordinary_hours",
                    "window_hours",
                    "paid_factor",
                    "minutes_a_day",
                    "furnace_by",
                ),
            ),
            Rows(
                heading="People",
                table="people",
                columns=("person_role", "person_rate", "person_hired"),
            ),
            Rows(
                heading="Overheads",
                intro="What the shop costs before anybody works. Not the furnace's energy: that is counted already.",
                table="overheads",
                columns=("overhead_name", "overhead_category", "overhead_amount", "overhead_per"),
                workings=("overhead_yearly",),
            ),
            Rows(
                heading="Other equipment",
                intro="One figure each: what an hour, a day or a load of it costs, energy and upkeep together.",
                caution=caution("gas"),
                table="equipment",
                columns=("equipment_name", "equipment_cost", "equipment_per", "equipment_hours"),
                workings=("equipment_minute", "equipment_load", "equipment_driven", "equipment_known"),
            ),
            Rows(
                heading="Ways of selling",
                table="channels",
                columns=(
                    "channel_name",
                    "channel_tag_share",
                    "channel_commission",
                    "channel_fee",
                    "channel_fee_base",
                    "channel_margin",
                    "channel_must_earn",
                ),
            ),
            Rows(
                heading="What each sale costs",
                table="channels",
                columns=(
                    "name_selling",
                    "channel_fixed_fee",
                    "channel_postage_paid",
                    "channel_postage_charged",
                    "channel_lost_share",
                    "channel_lost_how",
                ),
                workings=(
                    "channel_used",
                    "channel_tag_part",
                    "channel_base_code",
                    "channel_left",
                    "channel_refunded",
                    "channel_replaced",
                    "channel_factor",
                    "channel_costs",
                    "channel_on_cost",
                    "channel_open",
                    "channel_can",
                    "channel_must",
                ),
            ),
            Fields(
                heading="Rounding, checks and choices",
                names=(
                    "tag_step",
                    "tag_ending",
                    "price_limit",
                    "recovery_tolerance",
                    "made_when",
                    "rank_channel",
                    "picture_piece",
                ),
            ),
        ),
    )
