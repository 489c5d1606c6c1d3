"""Several boxes and one receiver: which outputs work which relays over which conductors, proved as a network."""
