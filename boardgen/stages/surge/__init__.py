"""Surge protection of a strip: gas tubes from the coax to earth."""
