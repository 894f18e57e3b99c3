"""Writes a costing workbook for a glassblowing studio, and works the same figures out in Python to check it."""
