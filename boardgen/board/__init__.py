"""From a netlist to a two-layer board: cells, strips, pour, checks and legend."""
