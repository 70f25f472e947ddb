"""A folder of plants against their requirements and their recorded results.

Beside the pipeline: it reads `Results`, keeps what it needs of them, and compares with records.
"""
