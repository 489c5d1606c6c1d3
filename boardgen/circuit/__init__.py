"""The circuit: wirings joined into one netlist, assembled with SKiDL, and the rules a board must meet."""
