"""A setting over a range, or two as a grid: the effect on a plant's results and requirements."""
