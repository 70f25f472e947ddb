"""Every number that a plant can state, tried at the ends of its range, outside it, at 0 and beyond.

`python -m tests.bounds PAIRS SEED` tries all of them, in every site, and so many pairs of each.
"""
