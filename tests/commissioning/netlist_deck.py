"""A deck for a circuit simulator, made from the text of netlist.net alone and the figures of the parts it names.

It shares nothing with the program's own network: parts are read from the netlist, figures from the catalogue by key.
"""

import math
import re
import subprocess
from typing import NamedTuple

import sexpdata

from boardgen.formats.netlist import netlist_text
from tests.catalogue.shipped import CATALOGUE

OPEN_OHM = 20e6
TEST_A = 1e-5
JOINT = 1e-3
LIMIT_A = 0.2
"""Current limit of the bench supply."""
MOST_CIRCUITS = 32
"""Circuits in one run of the simulator, which lets none of them go."""


class Board:
    """What netlist.net says: parts with their fields, and the net of every pin by its role."""

    def __init__(self, design):
        text = netlist_text(design.netlist, "test", {}, "")
        whole = sexpdata.loads(text, nil=None, true=None)
        sections = {str(item[0]): item[1:] for item in whole[1:]}
        self.parts, self.pins = {}, {}
        catalogue = CATALOGUE
        for item in sections["components"]:
            facts = {str(f[0]): f for f in item[1:]}
            fields = {f[1][1]: f[2] for f in facts["fields"][1:]}
            ref = facts["ref"][1]
            if fields["Fitted"] == "yes":
                key = {str(f[0]): f[1] for f in facts["libsource"][1:]}["part"]
                self.parts[ref] = (design.catalogue.part(key) if key else None) or catalogue.part(key)
                self.pins[ref] = {}
        for item in sections["nets"]:
            facts = {str(f[0]): f[1] for f in item[1:3]}
            for node in item[3:]:
                pin = {str(f[0]): f[1] for f in node[1:]}
                if pin["ref"] in self.pins:
                    self.pins[pin["ref"]][pin["pinfunction"]] = facts["name"]
        self.wire = {
            (c.subject.strip, c.subject.slot): c.chosen for c in design.choices.values if c.role == "wire length"
        }
        self.strip = {c.ref: c.subject.strip for c in design.netlist.components}
        self.gauge = {
            c.ref: design.choices.part("winding wire", c.subject).figures["diameter"].value
            for c in design.netlist.of_kind("core")
        }

    def figure(self, ref, name, other=None):
        found = self.parts[ref].figures.get(name)
        return found.value if found else other

    def elements(self, operated):
        """Name to (first net, second net, ohm) of everything that passes direct current both ways."""
        found = {}
        for ref, part in self.parts.items():
            pins = self.pins[ref]
            if part.kind in ("resistor", "fuse", "link", "choke"):
                name = {"choke": "dc resistance"}.get(part.kind, "resistance")
                found[ref] = (*pins.values(), self.figure(ref, name, JOINT))
            elif part.kind == "bifilar choke":
                for letter in "AB":
                    ends = (pins[f"winding {letter} start"], pins[f"winding {letter} end"])
                    found[f"{ref} {letter}"] = (*ends, self.figure(ref, "dc resistance"))
            elif part.kind == "core":
                for end, slot in (("primary", "port winding"), ("secondary", "board winding")):
                    # of 40 mm at each end 10 are left once it is soldered in
                    soldered_m = self.wire[self.strip[ref], slot] - 2 * 0.03
                    ohm = 1.7241e-8 * soldered_m / (math.pi * self.gauge[ref] ** 2 / 4)
                    found[f"{ref} {slot}"] = (pins[f"{end} start"], pins[f"{end} end"], ohm)
            elif part.kind == "relay":
                found[f"{ref} coil"] = (pins["coil +"], pins["coil -"], self.figure(ref, "coil resistance"))
                for pole in "AB":
                    throw = "normally open" if ref in operated else "normally closed"
                    if f"pole {pole} {throw}" in pins:
                        ends = (pins[f"pole {pole} common"], pins[f"pole {pole} {throw}"])
                        found[f"{ref} {pole} {throw}"] = (*ends, self.figure(ref, "contact resistance", 0.08))
            elif part.kind in ("connector", "terminal", "stud", "jack"):
                for role, net in pins.items():
                    found[f"@{ref} {role} joint"] = (f"@{ref} {role}", net, JOINT)
        return found

    def diodes(self):
        """Name to (anode, cathode, volts at 10 mA)."""
        return {
            ref: (self.pins[ref]["anode"], self.pins[ref]["cathode"], self.figure(ref, "forward voltage"))
            for ref, part in self.parts.items()
            if part.kind in ("diode", "indicator")
        }


class Circuit(NamedTuple):
    """Lines of a deck, and the commands that print its answers."""

    lines: list[str]
    commands: list[str]


class Deck:
    """Numbers the nets, runs the simulator, once for many circuits, and reads its answers."""

    def __init__(self, program, folder):
        self.program, self.folder, self.number = program, folder, {"0V": "0"}

    def node(self, net, copy="n"):
        number = self.number.setdefault(net, str(len(self.number)))
        return "0" if number == "0" else copy + number

    def _resistors(self, elements, copy="n"):
        return [
            f"r{copy}{n} {self.node(a, copy)} {self.node(b, copy)} {ohm!r}"
            for n, (a, b, ohm) in enumerate(elements.values())
        ]

    def _volts(self, a, b, copy="n"):
        one, other = ("0" if node == "0" else f"v({node})" for node in (self.node(a, copy), self.node(b, copy)))
        return [f"let answer = {one} - {other}", "print answer"]

    def ohms(self, elements, pairs):
        """Answers the volts between the points of each pair, each on a copy of the board with TEST_A through it."""
        lines, commands = [], []
        for number, (a, b) in enumerate(pairs):
            copy = f"c{number}n"
            lines += self._resistors(elements, copy)
            lines.append(f"i{number} {self.node(b, copy)} {self.node(a, copy)} dc {TEST_A!r}")
            commands += self._volts(a, b, copy)
        return Circuit(lines, commands)

    def volts(self, elements, diodes, source, pairs):
        """Answers the current of the source (plus, minus, volt) and the volts between the points of each pair.

        The second circuit has the bench supply at its limit, where it gives that current and no more; it answers the
        volts alone.
        """
        lines = self._resistors(elements)
        for n, (anode, cathode, forward) in enumerate(diodes.values()):
            saturation = 0.01 / math.expm1(forward / (1.75 * 0.02585))
            lines += [
                f".model m{n} d(is={saturation!r} n=1.75 rs=1)",
                f"d{n} {self.node(anode)} {self.node(cathode)} m{n}",
            ]
        plus, minus, volt = source
        answers = [command for a, b in pairs for command in self._volts(a, b)]
        free = [*lines, f"vbench {self.node(plus)} {self.node(minus)} dc {volt!r}"]
        limited = [*lines, f"ibench {self.node(minus)} {self.node(plus)} dc {LIMIT_A!r}"]
        current = ["let answer = -i(vbench)", "print answer"]
        return Circuit(free, [*current, *answers]), Circuit(limited, answers)

    def supplied(self, circuits):
        """Amperes and volts of each pair of circuits of `volts`: of the second where the first takes too much."""
        found = self.answers([free for free, _ in circuits])
        over = [n for n, (current, *_) in enumerate(found) if current > LIMIT_A]
        for n, volts in zip(over, self.answers([circuits[n][1] for n in over]), strict=True):
            found[n] = [LIMIT_A, *volts]
        return found

    def measured(self, circuits):
        """Ohms of each circuit of `ohms`."""
        return [[volts / TEST_A for volts in found] for found in self.answers(circuits)]

    def answers(self, circuits):
        """What each circuit answers, from one run of the simulator for MOST_CIRCUITS."""
        found = []
        for start in range(0, len(circuits), MOST_CIRCUITS):
            found += self._run(circuits[start : start + MOST_CIRCUITS])
        return found

    def _run(self, circuits):
        control = ["set numdgt=12"]
        for n, circuit in enumerate(circuits):
            path = self.folder / f"circuit{n}.cir"
            path.write_text("\n".join(["board", ".options rshunt=1e10 gmin=1e-15", *circuit.lines, ".end", ""]))
            control += [f"source {path}", "op", *circuit.commands, f"echo done {n}"]
        deck = self.folder / "deck.cir"
        deck.write_text("\n".join(["all", ".control", *control, "quit", ".endc", ".end", ""]))
        done = subprocess.run([self.program, "-b", str(deck)], capture_output=True, text=True, check=False)
        pieces = re.split(r"^done \d+$", done.stdout, flags=re.MULTILINE)[:-1]
        found = [[float(x) for x in re.findall(r"^answer = (\S+)", piece, re.MULTILINE)] for piece in pieces]
        assert [len(one) for one in found] == [c.commands.count("print answer") for c in circuits], (
            done.stdout[-2000:] + done.stderr[-2000:]
        )
        return found
