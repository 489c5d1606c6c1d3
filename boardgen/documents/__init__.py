"""What people and programs read: pages, drawings, plots, tables of text and JSON."""

from boardgen import __version__

PROGRAM = f"boardgen {__version__}"
"""Who wrote a file."""
