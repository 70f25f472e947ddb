"""Diagnostics: where something is wrong, what, and how to mend it."""
