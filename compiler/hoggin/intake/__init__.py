"""Bringing data in: laboratory sheets and product tables of spreadsheets, to the language's text.

`comma_separated` and `workbook` read a file into a `Sheet` of cells that know their place;
`gradings` and `products` find what it says; `library` writes it. Nothing in a sheet is run.
"""
