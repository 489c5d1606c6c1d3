"""Builds and checks the circuit of a board."""

from __future__ import annotations

from boardgen.circuit.assemble import assemble
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.circuit.rules import check
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Problem
from boardgen.request import Request


def build(request: Request, choices: Choices) -> tuple[Netlist, tuple[Problem, ...]]:
    """The netlist as SKiDL holds it, and what its own check and every rule found."""
    placements, problems = assemble(request.spec.title, compose(request, choices))
    netlist = freeze(request, placements)
    return netlist, (*problems, *check(request, netlist))
