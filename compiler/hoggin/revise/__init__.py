"""Two revisions of a plant: changes, their effect, each edit's share of it, and regression."""
