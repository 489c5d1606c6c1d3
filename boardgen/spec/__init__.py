"""What was asked for: the TOML specification turned into frozen values, with every fault reported at once."""
