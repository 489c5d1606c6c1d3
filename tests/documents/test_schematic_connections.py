"""The drawn connections are those of the netlist, for every pair of options and 1 to 16 ways."""

import itertools
import re

import pytest
from msgspec.structs import replace

from boardgen.documents.pictures.schematic import schematic
from tests.circuit.options import ALL, ENTRY, SIGNAL, covering, specification
from tests.documents.drawn_boards import board, netlist_of
from tests.documents.drawn_netlist import faults
from tests.documents.drawn_words import clashes

WAYS = {"feed": "local rail", "indicators": True}


@pytest.mark.parametrize("option", covering(ALL, 2), ids=lambda o: "-".join(str(v)[:4] for v in o.values()))
def test_every_pair_of_options(option):
    netlist = board(option, 3)
    assert faults(schematic(netlist), netlist) == []


@pytest.mark.parametrize("ways", range(1, 17))
def test_one_to_sixteen_ways(ways):
    netlist = board(WAYS | {"unfitted": ways > 1}, ways)
    assert faults(schematic(netlist), netlist) == []
    netlist = board({"relays_in_series": 2, "drive": "low side", "entry": "jack", "surge": False}, ways)
    assert faults(schematic(netlist), netlist) == []


def at_rest(option):
    """The same with the first port through at rest, where that can be built."""
    rest = {"rest": "way 1", "idle": "open", "relays_in_series": 1, "unfitted": False}
    following = {"feed_lines": "own"} if option["feed_lines"] == "with selection" else {}
    return option | rest | following


@pytest.mark.parametrize("number", range(0, len(covering(ALL, 2)), 2))
def test_a_port_through_at_rest(number):
    netlist = board(at_rest(covering(ALL, 2)[number]), 2 + number % 7)
    assert any("onward" in net.name for net in netlist.nets)
    assert faults(schematic(netlist), netlist) == []


def test_two_tubes_on_a_pair():
    text = specification({}, 3).replace("[control]", '[parts]\nsurge_tube = "gas-tube-2049-09"\n[control]')
    netlist = netlist_of(text)
    assert sum(c.part.kind == "gas tube" and len(c.part.pins) == 2 for c in netlist.components) == 9
    assert faults(schematic(netlist), netlist) == []
    assert clashes(schematic(netlist)) == []


def test_suppressors_of_one_polarity():
    plain = board({}, 2)
    roles = {"1": "cathode", "2": "anode"}
    diodes = {c.ref: replace(c.part, pins={"cathode": "1", "anode": "2"}) for c in plain.of_kind("suppressor")}
    netlist = replace(
        plain,
        components=tuple(replace(c, part=diodes.get(c.ref, c.part)) for c in plain.components),
        nets=tuple(
            replace(net, nodes=tuple(replace(n, role=roles[n.role]) if n.ref in diodes else n for n in net.nodes))
            for net in plain.nets
        ),
    )
    drawn = schematic(netlist)
    assert drawn.count('data-symbol="suppressor, one way"') == len(diodes) > 0
    assert faults(drawn, netlist) == []


@pytest.mark.slow
@pytest.mark.parametrize("options", [SIGNAL, ENTRY], ids=["signal", "entry"])
def test_every_three_options(options):
    for option in covering(options, 3):
        netlist = board(option, 3)
        assert faults(schematic(netlist), netlist) == [], option


DRAWN = board({"feed": "local rail"}, 4)
SHEET = schematic(DRAWN)
DIODE = re.search(
    r'<g class="part" data-ref="D1" data-symbol="diode" data-pins="anode.cathode" transform="[^"]*"', SHEET
)


def without(pattern: str, number: int = 0) -> str:
    """The drawing without one of the elements that match."""
    found = list(re.finditer(pattern, SHEET))[number]
    return SHEET[: found.start()] + SHEET[found.end() :]


def test_every_dot_counts():
    for number in range(SHEET.count('<circle class="dot"')):
        assert faults(without('<circle class="dot"[^>]*>', number), DRAWN) != []


def test_every_wire_counts():
    for number in range(SHEET.count('<path class="wire"')):
        assert faults(without('<path class="wire"[^>]*>', number), DRAWN) != []


def test_every_sign_counts():
    for number in range(SHEET.count('<path class="mark"')):
        assert faults(without('<path class="mark"[^>]*>', number), DRAWN) != []


def test_every_part_and_every_name_between_drawings_counts():
    for pattern in (
        r'<g class="part"[\s\S]*?</g>',
        '<text class="net[^>]*>(feed …|bus centre|bus braid)</text>',
        '<text class="ref".*?</text>',
    ):
        count = len(re.findall(pattern, SHEET))
        assert count
        for number in range(count):
            assert faults(without(pattern, number), DRAWN) != [], (pattern, number)


def test_every_cell_of_a_table_counts():
    cells = re.findall(r'<text class="cell"[^>]*>([^<]*)<', SHEET)
    assert len(cells) > 30
    for one, other in itertools.pairwise(cells):
        swapped = SHEET.replace(f">{one}<", ">?<").replace(f">{other}<", f">{one}<").replace(">?<", f">{other}<")
        assert faults(swapped, DRAWN) != []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (
            DIODE.group(),
            re.sub(r"translate\(([0-9.]+) [0-9.]+\) rotate\(270\)", r"translate(\1 0) rotate(90)", DIODE.group()),
        ),
        (DIODE.group(), DIODE.group().replace("anode|cathode", "cathode|anode")),
        (">… centre<", ">… braid<"),
        (">bus centre<", ">bus braid<"),
        (">33 nF<", ">22 nF<"),
        ('data-ref="R1" data-symbol="resistor"', 'data-ref="R1" data-symbol="capacitor"'),
    ],
    ids=["turned diode", "crossed diode", "wrong name", "wrong bus", "wrong value", "wrong symbol"],
)
def test_small_changes(old, new):
    changed = SHEET.replace(old, new, 1)
    assert changed != SHEET
    assert faults(changed, DRAWN) != []
