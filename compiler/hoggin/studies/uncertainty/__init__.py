"""The effect of uncertain numbers on a plant's results: spread, chances, and the causes."""
