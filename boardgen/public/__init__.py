"""What `import boardgen` gives: boards and stations as they are worked out, with tables, drawings and `write`."""
