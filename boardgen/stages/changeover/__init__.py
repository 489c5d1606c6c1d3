"""Changeover relays, each of which leads its own port through or what lies towards the port at rest."""
