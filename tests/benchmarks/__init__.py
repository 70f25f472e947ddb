"""Benchmarks: run.py prints ratios measured in one run."""
