"""Proves the folder of a board: reads all that it is made from and holds every file against the others."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.model.board_house import BoardHouse
from boardgen.model.problem import Problem
from boardgen.proof.built import Built, read_built
from boardgen.proof.copper import copper
from boardgen.proof.editor import editor
from boardgen.proof.lands import lands
from boardgen.proof.layers import layers
from boardgen.proof.legend import legend
from boardgen.proof.lists import lists

CHECKS = (lands, copper, layers, legend, lists, editor)
"""Each yields the faults of its subject."""


def prove(files: Mapping[str, bytes], house: BoardHouse) -> tuple[Problem, ...]:
    """Every fault found in the files of a board's folder, by path; empty where they agree and keep the house's limits.

    Layers and drills make the netlist and keep the limits; mask and legend, the lists, the archive and the files for a
    board editor say what the layers do. Prices, book, drawings and predictions are not looked at.
    """
    built = read_built(files, house)
    return tuple(problem for check in CHECKS for problem in check(built)) if isinstance(built, Built) else built
