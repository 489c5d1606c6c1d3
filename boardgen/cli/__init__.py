"""The command line: one file a command, and nothing else touches clock, environment or disk."""
