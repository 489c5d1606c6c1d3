"""One reader of tables: comma-separated ones, and tables of TOML.

A table is laid out by a Struct whose annotations say unit, range, default and sentence of each column (`column`). The
reader takes text and the name of its file, and gives values with their lines and every fault at once.
"""
