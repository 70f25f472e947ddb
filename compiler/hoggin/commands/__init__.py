"""The command line: thin, and lazy about importing what a command does not need."""
