"""Boards against a simulator whose deck is made here, from the list of nets and the figures of the parts alone.

No law, element or topology of the prediction is used: each kind of part is written down once more, as textbooks have
it. Leakage, capacitance between windings and nearness of wires are figures that the evidence tests hold.
"""

import re
import subprocess

import numpy as np
import pytest
from scipy.special import jv

from boardgen.design import make_design
from boardgen.model.choice import Subject
from boardgen.request import Request
from boardgen.rf.network import network
from boardgen.spec.load import read_text
from tests.rf.rf_boards import FED, catalogue, text
from tests.rf.rf_peers import program

VACUUM, COPPER_OHM_M = 4e-7 * np.pi, 1.724e-8
LEADS_CUT_M, LEADS_LEFT_M = 0.06, 0.02
"""Of the two leads of a winding: what is cut off, and what is left of them outside the core."""
CAPACITOR_OHM, CAPACITOR_H = 0.05, 6e-9
LINK_OHM, LINK_H = 1e-3, 4e-9
CONTACT_H = 8e-9
"""Assumed, as these of capacitors and links are: about 10 mm of lead and spring."""
HELD_OUT = {
    "wide, 50 ohm, open": text(
        [""] * 5, 'idle = "open"', band='lowest = "1.8 MHz"\nhighest = "30 MHz"\nimpedance = "50 ohm"'
    ),
    "two relays, fed": text(
        [FED, "", ""],
        'relays_in_series = 2\nfeed_arrangement = "local rail"',
        band='lowest = "3.5 MHz"\nhighest = "9 MHz"',
    ),
}
PASSED, REFLECTED, APART = 0.01, 0.3, 0.1
"""Decibels by which may be off: the loss of the selected way, what is reflected, and all that should not arrive."""
SMALLEST = 1e-9
"""-180 dB. What lies below is rounding in the simulator's text."""


class Deck:
    """The lines of a deck at one frequency."""

    def __init__(self, frequency_hz):
        self.omega = 2 * np.pi * frequency_hz
        self.lines, self.nodes = ["* board"], {"0V": "0", "earth": "0"}

    def node(self, net):
        """The name of a net there."""
        return self.nodes.setdefault(net, f"n{len(self.nodes)}")

    def line(self, letter, ends, *values):
        """One element."""
        name = f"{letter}{len(self.lines)}"
        self.lines.append(" ".join([name, *ends, *(v if isinstance(v, str) else repr(float(v)) for v in values)]))
        return name

    def farads(self, one, other, value):
        """A capacitance, where it joins two nets."""
        if value and self.node(one) != self.node(other):
            self.line("c", (self.node(one), self.node(other)), value)

    def ohms(self, one, other, value):
        """An impedance."""
        value = complex(value)
        ends = [self.node(one), self.node(other)]
        if value.imag:
            middle = f"m{len(self.lines)}"
            inductive = value.imag > 0
            reactive = value.imag / self.omega if inductive else -1 / (value.imag * self.omega)
            self.line("l" if inductive else "c", (middle, ends[1]), reactive)
            ends[1] = middle
        self.line("r", ends, value.real)


def figure(component, name):
    """Of its part, 0 where it has none."""
    known = component.part.figures.get(name)
    return known.value if known else 0.0


def wire_ohm(omega, radius_m, length_m, nearness):
    """Resistance of a round wire by Bessel functions, and of what neighbours add inside the core."""
    wave = np.sqrt(-1j * omega * VACUUM / COPPER_OHM_M)
    alone = (wave * COPPER_OHM_M / (2 * np.pi * radius_m) * jv(0, wave * radius_m) / jv(1, wave * radius_m)).real
    left_m = length_m - LEADS_CUT_M
    return alone * (left_m + (nearness - 1) * (left_m - LEADS_LEFT_M))


def transformer(deck, board, component, nets):
    """Half the leakage and the wire of each winding around an ideal transformer, across which the core lies."""
    at, choices, omega = component.subject, board.choices, deck.omega
    turns, port_turns = (choices.choice(role, at).chosen for role in ("turns", "port turns"))
    wound, radius_m = choices.windings[at], choices.part("winding wire", at).figures["diameter"].value / 2
    frequency_hz = omega / (2 * np.pi)
    table = board.catalogue.permeability[component.part.attributes["material"]].at(frequency_hz)
    ratio, inner, outer = turns / port_turns, f"{component.ref} port", f"{component.ref} board"
    for slot, start, end, share in (
        ("port winding", nets["primary start"], inner, 1 / ratio**2),
        ("board winding", nets["secondary start"], outer, 1.0),
    ):
        length_m = choices.choice("wire length", Subject(at.strip, at.stage, slot)).chosen
        resistance = wire_ohm(omega, radius_m, length_m, wound.proximity)
        deck.ohms(start, end, resistance + 0.5j * omega * wound.leakage.value * share)
    deck.ohms(
        inner, nets["primary end"], 1j * omega * VACUUM * table * port_turns**2 * figure(component, "path constant")
    )
    port, sensed = (deck.node(inner), deck.node(nets["primary end"])), f"s{component.ref}"
    deck.line("e", (sensed, deck.node(nets["secondary end"]), *port), ratio)
    source = deck.line("v", (sensed, deck.node(outer)), 0)
    deck.line("f", port, source, ratio)
    for side in ("start", "end"):
        deck.farads(nets[f"primary {side}"], nets[f"secondary {side}"], wound.interwinding.value / 2)


def relay(deck, component, nets, operated):
    """Two changeover contacts and a coil, each with what lies between them."""
    for pole in ("pole A", "pole B"):
        common, closed, opened = (nets.get(f"{pole} {role}") for role in ("common", "normally closed", "normally open"))
        if operated:
            closed, opened = opened, closed
        if closed:
            deck.ohms(common, closed, figure(component, "contact resistance") + 1j * deck.omega * CONTACT_H)
        if opened:
            deck.farads(common, opened, figure(component, "through capacitance"))
        for coil in ("coil +", "coil -"):
            deck.farads(common, nets[coil], figure(component, "coil to contact capacitance") / 2)
            for fixed in filter(None, (closed, opened)):
                deck.farads(fixed, nets[coil], figure(component, "coil to fixed contact capacitance") / 2)
    deck.farads(nets["pole A common"], nets["pole B common"], figure(component, "pole to pole capacitance"))
    deck.ohms(nets["coil +"], nets["coil -"], figure(component, "coil resistance"))


def choke(deck, component, ends):
    """Inductance beside the capacitance with which it resonates by itself."""
    henry = figure(component, "inductance")
    deck.ohms(*ends, figure(component, "dc resistance") + 1j * deck.omega * henry)
    deck.farads(*ends, 1 / ((2 * np.pi * figure(component, "self resonance")) ** 2 * henry))


def written(board, operated, frequency_hz):
    """The deck of a board without its copper."""
    deck = Deck(frequency_hz)
    for component in board.netlist.components:
        nets = board.netlist.pin_nets[component.ref]
        kind, ends = component.part.kind, tuple(nets.values())
        if not component.fitted:
            continue
        if kind == "core":
            transformer(deck, board, component, nets)
        elif kind == "relay":
            relay(deck, component, nets, component.ref in operated)
        elif kind == "choke":
            choke(deck, component, ends)
        elif kind == "resistor":
            deck.ohms(*ends, figure(component, "resistance"))
        elif kind == "capacitor":
            reactance = deck.omega * CAPACITOR_H - 1 / (deck.omega * figure(component, "capacitance"))
            deck.ohms(*ends, CAPACITOR_OHM + 1j * reactance)
        elif kind == "link":
            deck.ohms(*ends, LINK_OHM + 1j * deck.omega * LINK_H)
        elif kind == "diode":
            deck.farads(*ends, figure(component, "capacitance"))
        elif kind == "gas tube":
            for line in {"line A", "line B"} & nets.keys():
                deck.farads(nets[line], nets["earth"], figure(component, "capacitance"))
    return deck


def simulated(deck, terminals, folder):
    """S of all terminals, each a pair of nets with its load: one is driven after the other."""
    pairs = [tuple(map(deck.node, ends)) for ends, _ in terminals]
    for node in set(deck.nodes.values()) - {"0"}:
        deck.line("r", (node, "0"), 1e13)
    control = []
    for number, (pair, (_, ohm)) in enumerate(zip(pairs, terminals, strict=True)):
        deck.line("r", pair, ohm)
        deck.line("e", (f"t{number}", "0", *pair), 1)
        drive = deck.line("i", pair[::-1], "dc 0 ac 0")
        hertz = repr(float(deck.omega / (2 * np.pi)))
        shown = [f"print real(v(t{at})) imag(v(t{at}))" for at in range(len(pairs))]
        control += [f"alter {drive} acmag=1", f"ac lin 1 {hertz} {hertz}", *shown, f"alter {drive} acmag=0"]
    (folder / "board.cir").write_text("\n".join([*deck.lines, ".control", *control, ".endc", ".end", ""]))
    words = [program("ngspice"), "-b", "board.cir"]
    done = subprocess.run(words, cwd=folder, capture_output=True, text=True, check=False)
    numbers = np.array(re.findall(r"(?:real|imag)\(v\(t\d+\)\) = (\S+)", done.stdout), float)
    assert numbers.size == 2 * len(pairs) ** 2, done.stdout + done.stderr
    volts = numbers.view(complex).reshape(len(pairs), len(pairs)).T
    ohms = np.array([ohm for _, ohm in terminals])
    return 2 * volts / np.sqrt(np.outer(ohms, ohms)) - np.eye(len(pairs))


@pytest.mark.peer
@pytest.mark.parametrize("name", HELD_OUT)
def test_a_deck_of_the_parts_alone(name, tmp_path):
    """Every entry with the first antenna selected, over the band."""
    board = make_design(Request(read_text(HELD_OUT[name]), catalogue()))
    ours = network(board.request, board.choices, board.netlist)
    operated, band = ours.operated(ours.antennas[0]), board.spec.band
    terminals = [
        pair
        for p in ours.ports
        for pair in (((p.centre, p.braid), ours.port_ohm[p.strip]), ((p.braid, "0V"), ours.common_mode_ohm))
    ]
    first, output = (2 * [p.strip for p in ours.ports].index(strip) for strip in (ours.antennas[0], "output"))
    limits = np.full((len(terminals), len(terminals)), APART)
    np.fill_diagonal(limits, REFLECTED)
    limits[first, output] = limits[output, first] = PASSED
    for frequency_hz in np.geomspace(band.lowest, band.highest, 3):
        theirs = simulated(written(board, operated, frequency_hz), terminals, tmp_path)
        predicted = ours.solve(operated, ours.blocks(np.array([frequency_hz]))).matrix()[0, 0]
        there = np.abs(predicted) > SMALLEST
        assert (np.abs(20 * np.log10(np.abs(theirs / predicted))) < limits)[there].all(), frequency_hz
