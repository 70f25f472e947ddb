"""Many cases of one plant: sweeps, uncertainty, design, simulation, on one runner."""
