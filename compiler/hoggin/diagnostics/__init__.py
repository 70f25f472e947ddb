"""Diagnostics: where something is wrong, what it is, and how to fix it."""
