"""Which value, which part, and why: one file a decision. `size.py` runs them in order."""
