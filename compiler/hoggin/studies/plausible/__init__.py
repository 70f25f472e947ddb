"""The plausible range of a plant's results, from what its classes say of their own figures."""
