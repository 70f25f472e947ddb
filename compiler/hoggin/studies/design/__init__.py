"""Designing backwards: settings for a plant's aims under its requirements, found by search."""
