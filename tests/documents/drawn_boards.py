"""Netlists of every option, without the rest of a design."""

from __future__ import annotations

from functools import lru_cache

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.netlist import Netlist
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import specification


@lru_cache(maxsize=4)
def netlist_of(text: str) -> Netlist:
    request = Request(read_text(text), CATALOGUE)
    return freeze(request, compose(request, size(request)))


def board(option: dict[str, object], ways: int = 2) -> Netlist:
    return netlist_of(specification(option, ways))
