"""Answers to an editor's questions about plant files: pure functions, and a thin server.

`project` reads open documents as if they were on the disk, `snapshot` is one checked document with
its last results, `names` says what every name refers to. Each other module answers one kind of
question from these; `server` passes the answers to a client.
"""
