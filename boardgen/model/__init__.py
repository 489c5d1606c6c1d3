"""The nouns of the program: frozen values that every step takes and gives."""
