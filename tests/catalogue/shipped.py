"""The catalogue as it is shipped, read once for all tests of a process."""

from boardgen.catalogue import load

CATALOGUE = load()
