"""Hoggin from Python: for notebooks and scripts.

`load` a plant, `check` and `balance` it with its settings changed, look at the result as objects,
frames and drawings, `compare` two results, `study` many cases. Everything is read-only: a change
gives a new result. `hoggin` itself exports the names, each from its module when it is first used.
"""
