"""Calibrating a machine class to measured gradings: CSV and class in, a `.hog` library out.

measured (text to samples) -> base (the class, evaluated) -> calibrate (numbers) -> library, report
and plot. scipy does the least squares and is an optional part of the installation.
"""
