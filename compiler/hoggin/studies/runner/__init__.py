"""Many cases of one plant at once: what its free and uncertain numbers do to its results."""

from hoggin.studies.runner.cases import Cases, cases
from hoggin.studies.runner.solving import Solved, solve_cases

__all__ = ["Cases", "Solved", "cases", "solve_cases"]
