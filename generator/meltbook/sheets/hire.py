"""Letting the bench by the hour, and classes: what an open hour costs, and what to ask for one and for a seat."""

from __future__ import annotations

from meltbook.sheets.cautions import caution
from meltbook.sheets.kernel import Fields, Rows, Sheet, Words


def sheet() -> Sheet:
    """Declare the sheet."""
    return Sheet(
        key="hire",
        name="Hire and classes",
        title="Bench hire and classes",
        purpose="What an open hour costs, what to ask for a hired one, and what a seat in a class has to cost. "
        "Empty if you do neither.",
        role="type",
        does="Type and read",
        landscape=True,
        blocks=(
            Words(
                heading="The answer", lines=("hire_sentence", "hire_missing"), caution=caution("others_at_the_bench")
            ),
            Fields(
                heading="What you know",
                intro="Hire and classes both need the hours open on a hot day, and what such a day costs: by the log, "
                "or typed. All else may wait.",
                names=(
                    "hire_open_hours",
                    "hire_sold",
                    "hire_day_typed",
                    "hire_attendant",
                    "hire_loads",
                    "hire_margin",
                    "hire_price",
                ),
            ),
            Fields(
                heading="What an open hour costs",
                caution=caution("estimates"),
                names=(
                    "hire_day",
                    "hire_furnace",
                    "hire_equipment",
                    "hire_overhead",
                    "hire_shop_hour",
                    "hire_annealing",
                    "hire_open_hour",
                ),
            ),
            Fields(
                heading="What to ask for a hired hour",
                names=(
                    "hire_hour",
                    "hire_needed",
                    "hire_ask",
                    "hire_net",
                    "hire_left",
                    "hire_margin_now",
                    "hire_glass",
                    "hire_own",
                ),
            ),
            Rows(
                heading="Classes: a session",
                intro="One row a class. It pays for the hours in which nobody else can have the bench, and for its "
                "people.",
                table="courses",
                columns=(
                    "course_name",
                    "course_seats",
                    "course_empty",
                    "course_hours",
                    "course_prep",
                    "course_pay",
                    "course_paying",
                    "course_shop",
                    "course_fixed",
                ),
                workings=("course_named", "course_typed_session", "course_typed_student", "course_nameless"),
                widths={"course_name": 24},
            ),
            Rows(
                heading="Classes: a student, and what a seat has to cost",
                caution=caution("annealing"),
                table="courses",
                columns=(
                    "name_course_student",
                    "course_glass",
                    "course_materials",
                    "course_load",
                    "course_packing",
                    "course_fee",
                    "course_margin",
                    "course_cost",
                    "course_ask",
                ),
                workings=("course_needed",),
                widths={"name_course_student": 24},
            ),
            Rows(
                heading="Classes: what you ask now",
                table="courses",
                columns=(
                    "name_course_asked",
                    "course_price",
                    "course_net",
                    "course_student",
                    "course_over",
                    "course_margin_now",
                    "course_leaves",
                    "course_hour",
                    "course_even",
                    "course_says",
                ),
                workings=("course_asks", "course_waits", "course_breaks", "course_verdict"),
                widths={"name_course_asked": 24, "course_says": 34},
            ),
        ),
    )
