"""Files of every edition of the language, kept as they were written."""
