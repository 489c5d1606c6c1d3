"""Prints facts of the board that a specification asks for as JSON, by whichever boardgen is first on the path."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import boardgen
from boardgen.catalogue import load as load_catalogue
from boardgen.commissioning.bench import Bench
from boardgen.commissioning.faults import of_part
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.spec.load import load


def facts(spec: Path, own: Path | None) -> dict[str, object]:
    """S parameters from the first antenna to the output, and what is known of the parts of each kind."""
    design = make_design(Request(load(spec), load_catalogue(own)))
    frequency_hz, s, terminals = design.prediction.s_matrix()
    antenna = terminals.index(f"{design.request.antennas[0].label} differential")
    output = terminals.index("output differential")
    elements = design.prediction.network.elements
    bench = Bench(design.request, design.choices, design.netlist)
    of_kind = {c.part.kind: c for c in bench.fitted}
    return {
        "package": str(Path(boardgen.__file__).parent),
        "problems": [f"{p.id}: {p.sentence}" for p in design.problems if p.id != "price-missing"],
        "frequency_hz": frequency_hz.tolist(),
        "through": [[float(z.real), float(z.imag)] for z in s[:, output, antenna]],
        "reflected": [[float(z.real), float(z.imag)] for z in s[:, output, output]],
        "refs": {c.ref: c.part.kind for c in bench.fitted},
        "elements": [[e.ref, e.law, {p.name: p.value for p in e.parameters}] for e in elements],
        "points": {kind: [list(getattr(e, "points", ())) for e in bench.of_part(c)] for kind, c in of_kind.items()},
        "faults": {kind: [fault.name for fault in of_part(bench, c)] for kind, c in of_kind.items()},
    }


if __name__ == "__main__":
    sys.stdout.write(json.dumps(facts(Path(sys.argv[1]), Path(sys.argv[2]) if sys.argv[2:] else None)))
