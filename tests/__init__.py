"""All tests; a package, so that a helper is imported by its full name: `from tests.house.checkout import files`."""
