"""Drawings that stand as files of their own: board, schematic, drill template, labels."""
