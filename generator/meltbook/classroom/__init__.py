"""Workbooks for the students of a class: exercises, drawn numbers, handouts, and marking what comes back."""
