"""Prediction of the board from its own netlist: device models, nodal solver, response, tolerance. Needs numpy."""
