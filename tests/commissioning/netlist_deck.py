"""A deck for a circuit simulator, made from the text of netlist.net alone and the figures of the parts it names.

It shares nothing with the program's own network: parts are read from the netlist, figures from the catalogue by key.
"""

import math
import re
import subprocess

import sexpdata

from boardgen.catalogue import load
from boardgen.formats.netlist import netlist_text

OPEN_OHM = 20e6
TEST_A = 1e-5
JOINT = 1e-3


class Board:
    """What netlist.net says: parts with their fields, and the net of every pin by its role."""

    def __init__(self, design):
        text = netlist_text(design.netlist, "test", {}, "")
        whole = sexpdata.loads(text, nil=None, true=None)
        sections = {str(item[0]): item[1:] for item in whole[1:]}
        self.parts, self.pins = {}, {}
        catalogue = load()
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
                    ohm = 1.7241e-8 * self.wire[self.strip[ref], slot] / (math.pi * self.gauge[ref] ** 2 / 4)
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


class Deck:
    """Numbers the nets, runs the simulator, reads its answers."""

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

    def ohms(self, elements, pairs):
        """The ohms between the points of each pair, each pair on a copy of the board with 10 uA through it."""
        lines, control = [], [".control", "set numdgt=12", "op"]
        for copy, (a, b) in enumerate(pairs):
            lines += self._resistors(elements, f"c{copy}n")
            one, other = (self.node(net, f"c{copy}n") for net in (a, b))
            lines.append(f"i{copy} {other} {one} dc {TEST_A!r}")
            control += [f"let answer = {_volts(one)} - {_volts(other)}", "print answer"]
        answers = self._run(lines, [*control, "quit", ".endc"])
        return [volts / TEST_A for volts in answers]

    def volts(self, elements, diodes, source, pairs, limit=0.2):
        """Current of the source (plus, minus, volt) and the volts between the points of each pair, with the diodes."""
        lines = self._resistors(elements)
        for n, (anode, cathode, forward) in enumerate(diodes.values()):
            saturation = 0.01 / math.expm1(forward / (1.75 * 0.02585))
            lines += [
                f".model m{n} d(is={saturation!r} n=1.75 rs=1)",
                f"d{n} {self.node(anode)} {self.node(cathode)} m{n}",
            ]
        plus, minus, volt = source
        control = []
        for a, b in pairs:
            control += [f"let answer = {_volts(self.node(a))} - {_volts(self.node(b))}", "print answer"]
        control += ["quit", ".endc"]
        head = [".control", "set numdgt=12", "op"]
        ends = f"{self.node(plus)} {self.node(minus)}"
        free = [*lines, f"vbench {ends} dc {volt!r}"]
        found = self._run(free, [*head, "let answer = -i(vbench)", "print answer", *control])
        if found[0] <= limit:
            return found
        # at its limit a bench supply gives that current and no more
        back = f"ibench {self.node(minus)} {self.node(plus)} dc {limit!r}"
        return [limit, *self._run([*lines, back], [*head, *control])]

    def _run(self, lines, control):
        path = self.folder / "deck.cir"
        deck = ["board", ".options rshunt=1e10 gmin=1e-15", *lines, *control, ".end", ""]
        path.write_text("\n".join(deck))
        done = subprocess.run([self.program, "-b", str(path)], capture_output=True, text=True, check=False)
        answers = [float(x) for x in re.findall(r"^answer = (\S+)", done.stdout, re.MULTILINE)]
        assert len(answers) == sum(line == "print answer" for line in control), (
            done.stdout[-2000:] + done.stderr[-2000:]
        )
        return answers


def _volts(node):
    return "0" if node == "0" else f"v({node})"
