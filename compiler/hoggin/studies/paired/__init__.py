"""Cases of a plant by rows: the settings of a row are changed together."""
