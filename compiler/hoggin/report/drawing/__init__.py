"""The drawing: a diagram laid out, set on sheets with its tables, and written in open formats."""
