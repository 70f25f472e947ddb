"""A plant over time: a shift or a year through its stores, with failures and changeovers."""
