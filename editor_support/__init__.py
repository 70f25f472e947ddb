"""Colours and set-up for editors. `python -m editor_support.generate` writes the word lists."""
