"""The first sheet: how things stand, what to type next, and where everything is."""

from __future__ import annotations

from meltbook.sheets.kernel import Fields, Key, Links, Rows, Sheet


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="start",
        name="Start",
        title="Meltbook",
        purpose="What your furnace, your glass and your pieces cost, from your own log.",
        role="read",
        one_page=True,
        blocks=(
            Fields(
                heading="How things stand",
                names=(
                    "start_studio",
                    "checks_state",
                    "next_step",
                    "start_last_entry",
                    "start_cost_hot",
                    "start_cost_line",
                    "start_pieces_final",
                    "log_rows_free",
                    "start_tag",
                ),
            ),
            Rows(
                heading="From nothing to a first price",
                table="start_steps",
                columns=("step_word", "step_text"),
                workings=("step_done",),
            ),
            Key(heading="How to read the cells"),
            Links(heading="The sheets, in the order you use them"),
        ),
    )
