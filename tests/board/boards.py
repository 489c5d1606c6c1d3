"""Boards of every option, made through the public steps."""

from __future__ import annotations

from functools import lru_cache

from msgspec.structs import replace

from boardgen.board.layout import Layout, lay_out
from boardgen.board.rules import Rules, rules
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import specification


def made_text(text: str, pour: bool = True, relay: Part | None = None) -> tuple[Layout, Netlist, Rules]:
    """The board of a specification; another relay may be put in, even one whose figures are not all known."""
    request = Request(read_text(text), CATALOGUE)
    choices = size(request)
    placements = compose(request, choices)
    if relay:
        placements = tuple(
            replace(p, use=replace(p.use, part=relay)) if p.use.part.kind == "relay" else p for p in placements
        )
    netlist = freeze(request, placements)
    drawn = rules(choices.values, CATALOGUE.house)
    return lay_out(netlist, CATALOGUE.footprints, drawn, "2026-11-25", pour), netlist, drawn


def made(
    option: dict[str, object], ways: int = 2, pour: bool = True, relay: Part | None = None
) -> tuple[Layout, Netlist, Rules]:
    return made_text(specification(option, ways), pour, relay)


@lru_cache(maxsize=8)
def example(pour: bool = True) -> tuple[Layout, Netlist, Rules]:
    return made({"feed": "local rail", "earth_to_0v": "gas tube"}, 2, pour)
