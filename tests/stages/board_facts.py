"""Prints facts of the board that a specification asks for as JSON, by whichever boardgen is first on the path."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np

import boardgen
from boardgen.catalogue import load as load_catalogue
from boardgen.commissioning.bench import Bench
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.design import Design, make_design
from boardgen.documents.pictures.schematic import schematic
from boardgen.request import Request
from boardgen.sizing.extras import area_m
from boardgen.spec.load import load
from tests.documents.drawn_netlist import faults
from tests.sizing.own_arithmetic import lowest
from tests.sizing.own_network import Board, warm


def facts(spec: Path) -> dict[str, object]:
    """Losses with and without each stage's line, parts by stage, readings of the output, and sized values."""
    design = make_design(Request(load(spec), load_catalogue(None)))
    netlist = design.netlist
    of_stages = tuple(line.net for line in netlist.control_lines if line.stage)
    readings = StripReadings(Bench(design.request, design.choices, netlist), design.request.output)
    return {
        "package": str(Path(boardgen.__file__).parent),
        "problems": [f"{p.id}: {p.sentence}" for p in design.problems if p.severity != "note"],
        "loss_db": losses(design, ()),
        "loss_live_db": losses(design, of_stages) if of_stages else [],
        "stages": {c.ref: c.subject.stage for c in netlist.components},
        "ohms": {r.name: r.middle for state in readings.ohms.values() for r in state},
        "volts": {r.name: r.middle for test in readings.volts for r in test},
        "required": {f"{c.role}, {c.subject}": c.required for c in design.choices.values},
        "achieved": {f"{c.role}, {c.subject}": c.achieved for c in design.choices.values},
        "estimated_m": area_m(design.request),
        "drawn": faults(schematic(netlist), netlist),
        "coil_v_by_nodes": [coil_v_by_nodes(design, coils) for coils in (0, 1)],
    }


def coil_v_by_nodes(design: Design, others: int) -> float:
    """Volts at the coil of the first antenna while so many coils of other lines draw the most that they can."""
    board, control = Board(design.request, design.choices), design.spec.control
    network = board._network(design.request.antennas[0].label, control.length)
    most_a = (control.supply.low - board.drop_v) / warm(lowest(board.relay, "coil resistance"), board.coil_c)
    ends = ("coil supply", "source 0V") if board.low_side else ("source +", "0V")
    for _ in range(others):
        network.sink(*ends, most_a)
    volts = network.solve()
    return volts["coil +"] - volts["coil -"]


def losses(design: Design, live: tuple[str, ...]) -> list[float]:
    """Insertion loss of the first antenna to the output over the file's frequencies, in dB."""
    prediction = design.prediction
    _, s, terminals = prediction.s_matrix(live=live)
    antenna = terminals.index(f"{design.request.antennas[0].label} differential")
    return [float(db) for db in -20 * np.log10(np.abs(s[:, terminals.index("output differential"), antenna]))]


if __name__ == "__main__":
    sys.stdout.write(json.dumps(facts(Path(sys.argv[1]))))
