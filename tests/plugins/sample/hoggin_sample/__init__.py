"""A sample plug-in package: one process model, one library, one backend and one check."""
