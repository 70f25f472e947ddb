"""Backends: each turns the finished `Results` into documents and reads nothing else."""
