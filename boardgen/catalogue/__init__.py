"""What can be bought: parts with their figures and pins, hole patterns, and the permeability of core materials."""

from boardgen.catalogue.catalogue import Catalogue
from boardgen.catalogue.load import load
from boardgen.catalogue.permeability import Permeability

__all__ = ["Catalogue", "Permeability", "load"]
