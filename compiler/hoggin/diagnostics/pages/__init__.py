"""The page of every diagnostic."""
