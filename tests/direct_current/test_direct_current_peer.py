"""Random networks with junction diodes against a general circuit simulator: within 3 mV everywhere.

Ours draws eight straight lines a decade of current; a chord lies up to 3 mV beside the junction's own curve.
"""

import re
import subprocess

import pytest

from boardgen.direct_current.solve import solve
from tests.direct_current.random_networks import deck, random_network, simulator

COUNT, CLOSE_V = 25, 3e-3


@pytest.mark.peer
def test_every_point_of_random_networks(tmp_path):
    decks = []
    for seed in range(COUNT):
        (tmp_path / f"{seed}.cir").write_text(deck(random_network(seed)) + "\n.end\n", encoding="ascii")
        decks += [f"source {seed}.cir", "op", "print all", f"echo finished {seed}"]
    (tmp_path / "all.cir").write_text("\n".join(["* all", ".control", *decks, "quit", ".endc", ".end", ""]))
    done = subprocess.run([simulator(), "-b", "all.cir"], cwd=tmp_path, capture_output=True, text=True, check=False)
    runs = re.split(r"finished \d+", done.stdout)
    assert len(runs) == COUNT + 1, done.stdout + done.stderr
    compared = 0
    for seed in range(COUNT):
        network = random_network(seed)
        solved = solve(network)
        theirs = {int(n): float(v) for n, v in re.findall(r"^(?:v\()?(\d+)\)? = (\S+)$", runs[seed], re.MULTILINE)}
        for n, node in enumerate(network.nodes[1:], 1):
            assert solved.potential(node) == pytest.approx(theirs[n], abs=CLOSE_V), (seed, node)
            compared += 1
    assert compared > 250
