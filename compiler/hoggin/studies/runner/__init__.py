"""Many cases of one plant at once: what its free and uncertain numbers do to its results."""
