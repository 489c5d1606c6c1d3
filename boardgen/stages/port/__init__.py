"""The coax port of a strip."""
