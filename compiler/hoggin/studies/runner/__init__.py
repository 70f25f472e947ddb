"""Many cases of one plant at once: the effect of its free and uncertain numbers on its results."""
