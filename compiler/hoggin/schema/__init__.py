"""What exists: kinds of things, their facts, units, and every result, declared once."""
