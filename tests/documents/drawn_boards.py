"""Netlists of every option, without the rest of a design."""

from __future__ import annotations

import sys
from functools import lru_cache
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "circuit"))

from options import specification

from boardgen.catalogue import load
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.netlist import Netlist
from boardgen.sizing.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text

CATALOGUE = load()


@lru_cache(maxsize=4)
def netlist_of(text: str) -> Netlist:
    request = Request(read_text(text), CATALOGUE)
    return freeze(request, compose(request, size(request)))


def board(option: dict[str, object], ways: int = 2) -> Netlist:
    return netlist_of(specification(option, ways))
