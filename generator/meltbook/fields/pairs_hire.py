"""Two ways to what an open hour costs, and to what sessions of classes leave."""

from __future__ import annotations

from meltbook.fields.pair import Pair

CHECK = "hire_adds_up"

PAIRS: tuple[Pair, ...] = (
    Pair(
        CHECK,
        "An open hour × hours",
        "IF(COUNT(hire_open_hour)=0,0,hire_open_hour*hire_open_hours)",
        "IF(COUNT(hire_open_hour)=0,0,hire_day+SUM(hire_loads)*SUM(equipment_load.all)"
        "+(hire_equipment+SUM(overhead_hour)+SUM(hire_attendant))*hire_open_hours)",
    ),
    Pair(CHECK, "Sessions", "SUM(course_leaves.all)", "SUM(course_brings.all)-SUM(course_takes.all)"),
)
"""All of one check."""
