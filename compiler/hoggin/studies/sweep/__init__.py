"""A setting over a range, or two as a grid: what a plant's results and requirements do there."""

from hoggin.studies.sweep.document import Sweep
from hoggin.studies.sweep.sweep import SweepQuestion, swept

__all__ = ["Sweep", "SweepQuestion", "swept"]
