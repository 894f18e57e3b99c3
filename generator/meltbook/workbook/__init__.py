"""Fields and sheets become cells: placing, formulas, writing, and reading what people have edited."""
