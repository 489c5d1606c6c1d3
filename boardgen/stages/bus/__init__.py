"""The bus: the common pair of all selectors."""
