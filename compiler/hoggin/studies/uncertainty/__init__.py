"""What uncertain numbers of a plant do to its results: spread, chances, and what causes it."""
