"""Two revisions of a plant: what was changed, what followed, which edit did it, what must hold."""
