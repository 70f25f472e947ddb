"""A folder of plants against their requirements and their recorded results.

It reads `Results`, keeps what it needs of them, and compares it with records.
"""
