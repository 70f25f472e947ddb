"""Hoggin: a plant-design language and compiler for aggregate crushing and screening plants."""

__version__ = "0.1.0"
