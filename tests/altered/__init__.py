"""Files that are read back, altered at random: a sentence and an exit code, never a traceback.

`python -m tests.altered COUNT SEED` alters each kind of file so many times.
"""
