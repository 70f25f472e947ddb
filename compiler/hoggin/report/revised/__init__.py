"""The comparison drawing: two revisions of a plant in one flowsheet, with clouds around changes."""
