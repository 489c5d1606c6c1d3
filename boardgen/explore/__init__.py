"""Which board should it be: choices of one specification walked, and those kept that no other beats."""
