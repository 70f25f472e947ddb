"""The package of a plant: a report as HTML and PDF, and a workbook with formulas."""
