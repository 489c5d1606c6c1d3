"""What a finished board must read on a meter, and what a wrong reading means, all from its netlist."""
