"""How many small faults, put into the models, the balance and the ratings, the tests notice."""
