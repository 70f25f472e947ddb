"""The declarations: one file for each family of codes."""
