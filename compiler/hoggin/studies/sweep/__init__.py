"""A setting over a range, or two as a grid: what a plant's results and requirements do there."""
