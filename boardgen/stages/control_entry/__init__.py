"""The control entry: terminals, studs or jacks, and what guards the lines behind them."""
