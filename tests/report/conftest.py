"""Sample results for the tests of the backends."""

from .sample_fixtures import hostile, large, quarry, small

__all__ = ["hostile", "large", "quarry", "small"]
