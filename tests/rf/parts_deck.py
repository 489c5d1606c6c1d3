"""A deck for a circuit simulator, made from the list of nets and the figures of the parts alone.

No law, element or topology of the prediction is used: each kind of part is written down once more, as textbooks have
it. Leakage, capacitance between windings and nearness of wires are figures that the evidence tests hold. How a board
was made, its parts drawn from their ranges and what is wrong in it, is told by a `Made`.
"""

import re
import subprocess

import numpy as np
from scipy.special import jv

from boardgen.model.choice import Subject
from tests.rf.rf_peers import program

VACUUM, COPPER_OHM_M = 4e-7 * np.pi, 1.724e-8
LEADS_CUT_M, LEADS_LEFT_M = 0.06, 0.02
"""Of the two leads of a winding: what is cut off, and what is left of them outside the core."""
CAPACITOR_OHM, CAPACITOR_H = 0.05, 6e-9
SHORT_OHM = 1e-3
LINK_OHM, LINK_H = 1e-3, 4e-9
CONTACT_H = 8e-9
"""Assumed, as these of capacitors and links are: about 10 mm of lead and spring."""


class Deck:
    """The lines of a deck at one frequency."""

    def __init__(self, frequency_hz, made):
        self.made, self.omega = made, 2 * np.pi * frequency_hz
        self.lines, self.nodes = ["* board"], {"0V": "0"} | ({"earth": "0"} if made.staked else {})

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


class Made:
    """A board as it is stated, with nothing wrong; a bench draws its parts and plants a fault.

    `staked` is whether a stake joins the earth stud to ground.
    """

    staked = True

    def value(self, component, name, known):
        """Of a figure that has a range."""
        return known.value

    def figure(self, component, name):
        """Of its part, 0 where it has none."""
        known = component.part.figures.get(name)
        return self.value(component, name, known) if known else 0.0

    def permeability(self, component, stated):
        """Of its core."""
        return stated

    def turns(self, component, turns, port_turns):
        """Of both windings."""
        return turns, port_turns

    def nets(self, component, nets):
        """What its pins are joined to."""
        return nets

    def is_there(self, component):
        """Whether it is soldered in."""
        return component.fitted

    def pulled_in(self, component, pole, operated):
        """Whether that pole stands in its pulled-in place, None where it touches neither contact."""
        return operated

    def shorts(self):
        """Nets that solder joins, in pairs."""
        return ()


AS_STATED = Made()


def wire_ohm(omega, radius_m, length_m, nearness):
    """Resistance of a round wire by Bessel functions, and of what neighbours add inside the core."""
    wave = np.sqrt(-1j * omega * VACUUM / COPPER_OHM_M)
    alone = (wave * COPPER_OHM_M / (2 * np.pi * radius_m) * jv(0, wave * radius_m) / jv(1, wave * radius_m)).real
    left_m = length_m - LEADS_CUT_M
    return alone * (left_m + (nearness - 1) * (left_m - LEADS_LEFT_M))


def transformer(deck, board, component, nets):
    """Half the leakage and the wire of each winding around an ideal transformer, across which the core lies."""
    at, choices, omega = component.subject, board.choices, deck.omega
    counted = (choices.choice(role, at).chosen for role in ("turns", "port turns"))
    turns, port_turns = deck.made.turns(component, *counted)
    wound, radius_m = choices.windings[at], choices.part("winding wire", at).figures["diameter"].value / 2
    frequency_hz = omega / (2 * np.pi)
    leakage, interwinding = (
        deck.made.value(component, name, getattr(wound, name)) for name in ("leakage", "interwinding")
    )
    table = board.catalogue.permeability[component.part.attributes["material"]].at(frequency_hz)
    ratio, inner, outer = turns / port_turns, f"{component.ref} port", f"{component.ref} board"
    for slot, start, end, share in (
        ("port winding", nets["primary start"], inner, 1 / ratio**2),
        ("board winding", nets["secondary start"], outer, 1.0),
    ):
        length_m = choices.choice("wire length", Subject(at.strip, at.stage, slot)).chosen
        resistance = wire_ohm(omega, radius_m, length_m, wound.proximity)
        deck.ohms(start, end, resistance + 0.5j * omega * leakage * share)
    material = deck.made.permeability(component, table)
    path = deck.made.figure(component, "path constant")
    deck.ohms(inner, nets["primary end"], 1j * omega * VACUUM * material * port_turns**2 * path)
    port, sensed = (deck.node(inner), deck.node(nets["primary end"])), f"s{component.ref}"
    deck.line("e", (sensed, deck.node(nets["secondary end"]), *port), ratio)
    source = deck.line("v", (sensed, deck.node(outer)), 0)
    deck.line("f", port, source, ratio)
    for side in ("start", "end"):
        deck.farads(nets[f"primary {side}"], nets[f"secondary {side}"], interwinding / 2)


def relay(deck, component, nets, operated):
    """Two changeover contacts and a coil, each with what lies between them."""
    figure = deck.made.figure
    for pole in ("pole A", "pole B"):
        common, closed, opened = (nets.get(f"{pole} {role}") for role in ("common", "normally closed", "normally open"))
        pulled_in = deck.made.pulled_in(component, pole, operated)
        if pulled_in:
            closed, opened = opened, closed
        if closed and pulled_in is None:
            deck.farads(common, closed, figure(component, "through capacitance"))
        elif closed:
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
    figure = deck.made.figure
    henry = figure(component, "inductance")
    deck.ohms(*ends, figure(component, "dc resistance") + 1j * deck.omega * henry)
    deck.farads(*ends, 1 / ((2 * np.pi * figure(component, "self resonance")) ** 2 * henry))


def written(board, operated, frequency_hz, made=AS_STATED):
    """The deck of a board without its copper."""
    deck, figure = Deck(frequency_hz, made), made.figure
    for one, other in made.shorts():
        deck.ohms(one, other, SHORT_OHM)
    for component in filter(made.is_there, board.netlist.components):
        nets = made.nets(component, board.netlist.pin_nets[component.ref])
        kind, ends = component.part.kind, tuple(nets.values())
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
