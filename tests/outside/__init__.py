"""Numbers checked against outside sources, one module a topic; see tests/outside_numbers.py."""
