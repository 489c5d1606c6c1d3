"""Plots over frequency or quantity."""
