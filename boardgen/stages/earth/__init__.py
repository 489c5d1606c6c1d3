"""The earth: the stake's terminal and how it is joined to 0V."""
