"""Imports laboratory sheets and product tables from spreadsheets as text of the language.

`comma_separated` and `workbook` read a file into a `Sheet` of cells that know their place;
`gradings` and `products` interpret it; `library` writes it. Nothing in a sheet is run.
"""
