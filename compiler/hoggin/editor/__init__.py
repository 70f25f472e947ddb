"""What an editor asks of plant files while they are written: pure answers, and a thin server.

`project` reads open documents as if they were on the disk, `snapshot` is one document as checked
with the results it last had, `names` says what every name stands for. The other modules answer
one kind of question each from these; `server` hands the answers to a client.
"""
