"""A station as its own tables tell it (steering, conductors, selection) and as its boards' netlists do, in any fault.

Nothing of the program's network is used. Laws of coil, junction and cable are stated here anew.
"""

import math
from itertools import pairwise

from boardgen.documents.station import tables
from tests.station.node_solver import PLUS, ZERO, Nodes

COPPER_PER_K, REFERENCE_C = 0.00393, 20.0
"""Resistance of copper over temperature. Source: IEC 60028."""
WARMS_K_PER_W = 150.0
"""Of a small relay, where its maker gives none: 125 to 150 (read on sheets of such relays)."""
AWG_24_OHM = 0.0938
"""A metre. Source: TIA-568, at most 9.38 ohm in 100 m."""
CONTACT_OHM, SHORT_OHM, WET_OHM = 0.05, 0.1, 10e3
"""Assumed, as the station's book says."""
BOLTZMANN_V_PER_K, ZERO_C_IN_K = 8.617333e-5, 273.15
"""Source: CODATA 2018."""
PLUG_A_TO_B = {1: 3, 2: 6, 3: 1, 6: 2}
"""Source: TIA-568: the orders A and B change the orange pair over with the green."""


def law(part, celsius, end):
    """A junction's law through that end of its forward voltage at 10 mA and 25 degC, 2 mV/K less when warm."""
    figures = part.figures

    def figure(name, otherwise):
        return figures[name].value if name in figures else otherwise

    slope_v = figure("emission coefficient", 1.8) * BOLTZMANN_V_PER_K * (celsius + ZERO_C_IN_K)
    series_ohm = figure("series resistance", 0.5)
    forward_v = getattr(figures["forward voltage"], end) - 2e-3 * (celsius - 25) - 10e-3 * series_ohm
    leak_ohm = 10e6
    if "reverse current" in figures and "reverse voltage" in figures:
        leak_ohm = figures["reverse voltage"].value / (figures["reverse current"].most * 2 ** ((celsius - 25) / 10))
    return 10e-3 / math.expm1(forward_v / slope_v), slope_v, series_ohm, leak_ohm


class Tables:
    """What is read of a station once, at an extreme of temperature and supply.

    At the lowest supply diodes drop most and fuses have most resistance. A coil that is on in the cold has only just
    been switched on.
    """

    def __init__(self, design, celsius, supply_v, *, lowest, warm):
        self.design, self.celsius, self.supply_v, self.is_warm = design, celsius, supply_v, warm
        self.end = "most" if lowest else "least"
        self.steering = tables.joints(design)
        self.conductors = tables.conductors(design)
        self.states = {row[0].replace("at rest", "rest"): row for row in tables.selection(design)}
        self.low_side = design.plan.source.kind == "open drain"
        self.common, self.rail = (PLUS, ZERO) if self.low_side else (ZERO, PLUS)
        self.lengths = {box.name: self.design.boxes[box.name].spec.control.length for box in design.plan.box}
        self.selector = design._relays

    def places(self):
        """Every conductor: box, cable, position, pair, its name, what it carries, its ends; no ends for a spare."""
        for box, cable, position, pair, colour, carries, source_end, _ in self.conductors:
            name = colour or f"conductor {position}"
            name += f" of cable {cable}" if int(cable) > 1 else ""
            yield (box, int(cable), int(position), int(pair), name, carries, self._ends(box, carries, source_end))

    def _ends(self, box, carries, source_end):
        if source_end == "not joined":
            return None
        if carries == "0V":
            return ZERO, f"{box}: 0V"
        if carries == "coil supply":
            return PLUS, f"{box}: coil supply"
        if carries.startswith("output "):
            return carries, f"{box}: {carries}"
        return f"line {box} {carries}", f"{box}: {_net(carries)}"

    def joints(self):
        """Every wire and diode between outputs and lines: name of the diode or "", and both ends."""
        boxed = self.design.plan.source.diodes == "boxes"
        for output, works, joined, _ in self.steering:
            near, feeder = f"output {output}", works.startswith("feeder ")
            if feeder:
                far = f"line {works}"
            else:
                box = next(b for b in sorted(self.lengths, key=len, reverse=True) if works.startswith(f"{b} "))
                own = works.removeprefix(f"{box} ")
                carries = "feeds" if own == "feed" else own if own.startswith("feed ") else f"select {own}"
                far = f"{box}: {_net(carries)}" if boxed else f"line {box} {carries}"
                near = f"{box}: output {output}" if boxed else near
            yield (f"steering diode {output} {works}" if joined != "wire" else "", near, far)

    def relays(self):
        """Every relay: board, designator, strip, part, both ends of its coil."""
        for box, design in self.design.boxes.items():
            for c in design.netlist.components:
                if c.part.kind == "relay":
                    nets = design.netlist.pin_nets[c.ref]
                    ends = (f"{box}: {nets['coil +']}", f"{box}: {nets['coil -']}")
                    yield box, c.ref, c.subject.strip, c.part, ends
        if self.selector is not None:
            for n, box in enumerate((b for b in self.lengths if b != self.design.rest), 1):
                coil = f"selector coil {box}" if self.selector.series else f"line feeder {box}"
                yield "selector", f"K{n}", box, self.selector.relay, ((PLUS, coil) if self.low_side else (coil, ZERO))

    def diodes(self):
        """Every diode and lamp: its name, its part, anode and cathode."""
        for name, near, far in self.joints():
            if name:
                yield name, self.design.diode, *((far, near) if self.low_side else (near, far))
        for box, design in self.design.boxes.items():
            for c in design.netlist.components:
                if c.part.kind in ("diode", "indicator"):
                    nets = design.netlist.pin_nets[c.ref]
                    name = f"{box} {c.ref}, {c.subject.place} of {c.subject.strip}"
                    yield name, c.part, f"{box}: {nets['anode']}", f"{box}: {nets['cathode']}"
        for board, _, box, _, (plus, minus) in self.relays():
            if board == "selector" and self.selector.series:
                line = f"line feeder {box}"
                ends = (minus, line) if self.low_side else (line, plus)
                yield f"selector series diode {box}", self.selector.series, *ends
            if board == "selector" and self.selector.flyback:
                yield f"selector flyback diode {box}", self.selector.flyback, minus, plus

    def ports(self):
        """Every fed port: box, antenna, feed, centre and braid."""
        for box, design in self.design.boxes.items():
            feeds = {a.label: a.feed for a in design.spec.antenna if a.feed is not None}
            for port in design.netlist.ports:
                if port.strip in feeds:
                    yield box, port.strip, feeds[port.strip], f"{box}: {port.centre}", f"{box}: {port.braid}"

    def on(self, state):
        """The outputs that are on in a state."""
        return {int(n) for n in self.states[state][5].split()}

    def coil(self, state, board, ref, part):
        """Ohms of a coil, and its volts that must operate and must release it: it is warm while it is meant to be."""
        row, name = self.states[state], f"{board} {ref}"
        energised = name in (*row[7].split("; "), *row[8].split("; "))
        ohm, operate, figures = part.figures["coil resistance"], part.figures["must operate"].most, part.figures
        heat_k = WARMS_K_PER_W * self.supply_v**2 / ohm.least if energised and self.is_warm else 0.0
        if "thermal resistance" in figures:
            heat_k *= figures["thermal resistance"].value / WARMS_K_PER_W
        warm = 1 + COPPER_PER_K * (self.celsius + heat_k - REFERENCE_C)
        cold = 1 + COPPER_PER_K * (self.celsius - REFERENCE_C)
        release = figures["must release"].least if "must release" in figures else 0.1 * figures["coil voltage"].value
        return (ohm.least if energised else ohm.most) * warm, operate * warm, release * cold

    def network(self, state, fault=None):
        """The network in a state with a fault: (kind, what it befell) with the ends that it changes; None for none."""
        fault = fault or {}
        nodes = Nodes(self.supply_v - self.design.plan.source.drop)
        self._outputs(nodes, self.on(state) | fault.get("welded", set()))
        for name, near, far in self.joints():
            if not name:
                nodes.resistor(near, far, 0)
        for box, cable, position, *_, ends in self.places():
            near_far = fault.get("cable", {}).get((box, cable, position), ends)
            if near_far is not None:
                cable_ohm = AWG_24_OHM * self.lengths[box] * (1 + COPPER_PER_K * (self.celsius - REFERENCE_C))
                nodes.resistor(*near_far, cable_ohm)
        for name, part, anode, cathode in self.diodes():
            if name == fault.get("shorted"):
                nodes.resistor(anode, cathode, SHORT_OHM)
            elif name != fault.get("open"):
                nodes.junction(anode, cathode, law(part, self.celsius, self.end))
        for a, b, ohm in fault.get("joined", ()):
            nodes.resistor(a, b, ohm)
        for board, ref, _, part, ends in self.relays():
            nodes.resistor(*ends, self.coil(state, board, ref, part)[0])
        self._rest(nodes)
        return nodes

    def _outputs(self, nodes, on):
        """Contacts of outputs, what leaks through them, and the diodes within transistors."""
        source = self.design.plan.source
        leak_ohm = source.supply.high / source.leakage if source.leakage else math.inf
        for output in {row[0] for row in self.steering}:
            point = f"output {output}"
            if int(output) in on:
                nodes.resistor(self.rail, point, CONTACT_OHM)
            if leak_ohm < math.inf:
                nodes.resistor(self.rail, point, leak_ohm)
            if source.kind in ("high-side driver", "open drain"):
                ends = (ZERO, point) if self.low_side else (point, PLUS)
                nodes.junction(*ends, law(self.design.diode, self.celsius, self.end))

    def _rest(self, nodes):
        """Resistors, chokes, fuses and links of the boards, and what is fed.

        Suppressors bear more than any supply here, and no direct current crosses a transformer.
        """
        for box, design in self.design.boxes.items():
            for c in design.netlist.components:
                ohm = _ohm(c.part, self.end) if c.fitted else None
                if ohm is not None:
                    nodes.resistor(*(f"{box}: {net}" for net in design.netlist.pin_nets[c.ref].values()), ohm)
        for _, _, feed, centre, braid in self.ports():
            nodes.load(centre, braid, 0.9 * feed.voltage, feed.current)

    def readings(self, state, volts):
        """By relay or feed, as the proof names it: volts, verdict, and how near the volts are to another verdict.

        Relays that are on since idle boxes share their lines are left out.
        """
        row = self.states[state]
        wanted, along, fed = (set(filter(None, row[n].split("; "))) for n in (7, 8, 9))
        found = {}
        for board, ref, strip, part, (plus, minus) in self.relays():
            name = f"{board} {ref}"
            if name not in along:
                _, operate, release = self.coil(state, board, ref, part)
                across = volts.get(plus, 0.0) - volts.get(minus, 0.0)
                across = across if part.attributes.get("coil") != "not polarised" else abs(across)
                found[f"{name} ({strip})"] = _read(across, name in wanted, operate, release)
        for box, strip, feed, centre, braid in self.ports():
            across = abs(volts[centre] - volts[braid])
            found[f"{box} feed {strip}"] = _read(
                across, f"{box}/{strip}" in fed, 0.9 * feed.voltage, 0.1 * feed.voltage
            )
        return found


def _net(carries):
    """The net of a box that a conductor leads to, by what it carries."""
    if carries == "feeds":
        return "feed line shared"
    return carries.replace("feed ", "feed line ", 1) if carries.startswith("feed ") else carries


def _ohm(part, end):
    """Ohms of a part in series with a current; None for what is none."""
    if part.kind == "link":
        return 0.0
    if part.kind == "fuse":
        return getattr(part.figures["resistance"], end)
    name = {"resistor": "resistance", "choke": "dc resistance"}.get(part.kind)
    return part.figures[name].value if name else None


def _read(volts, wanted, operate, release):
    if wanted:
        return volts, "operates" if volts >= operate else "fails to operate", abs(volts - operate)
    verdict = "stays released" if volts <= release else "may not release" if volts < operate else "operates unwanted"
    return volts, verdict, min(abs(volts - release), abs(volts - operate))


def faults(made):
    """Every single fault by its kind and what it befell, and what it changes in the network."""
    places = list(made.places())
    found = {}
    for box in made.lengths:
        found |= _of_cable(box, [p for p in places if p[0] == box])
    for name, *_ in made.diodes():
        found[f"shorted diode: {name}"], found[f"open diode: {name}"] = {"shorted": name}, {"open": name}
    for output in {row[0] for row in made.steering}:
        found[f"welded output: output {output}"] = {"welded": {int(output)}}
    return found


def _of_cable(box, own):
    found = {}
    returns = [p for p in own if p[5] == "0V"]
    for p in own:
        if p[6] is not None and p not in returns:
            found[f"open conductor: {box}, {p[4]}, {p[5]}"] = {"cable": {p[:3]: None}}
        elif p in returns and len(returns) > 1:
            found[f"open return: {box}, {p[4]}"] = {"cable": {p[:3]: None}}
    found[f"open return: {box}, 0V altogether"] = {"cable": {p[:3]: None for p in returns}}
    for one, other in _near(own):
        a, b = one[6], other[6]
        if (a and a[1]) != (b and b[1]):
            words = f"{box}, {one[4]} with {other[4]}, {one[5]} with {other[5]}"
            found[f"crossed conductors: {words}"] = {"cable": _changed({one: other, other: one})}
            if a and b:
                words = f"{box}, {one[4]} to {other[4]}, {one[5]} to {other[5]}"
                found[f"shorted conductors: {words}"] = {"joined": [(a[1], b[1], SHORT_OHM)]}
    for cable in sorted({p[1] for p in own}):
        at = {p[2]: p for p in own if p[1] == cable}
        if not any(p[4].startswith("conductor ") for p in at.values()):
            words = f"{box}, cable {cable}" if len({p[1] for p in own}) > 1 else box
            found[f"plugs A and B: {words}"] = {"cable": _changed({at[m]: at[n] for m, n in PLUG_A_TO_B.items()})}
    wet = {}
    for one, other in pairwise(p for p in own if p[6] is not None):
        points = frozenset((one[6][1], other[6][1]))
        if len(points) == 2 and points not in wet:
            wet[points] = f"wet terminal: {box}, {one[5]} to {other[5]}"
            found[wet[points]] = {"joined": [(*points, WET_OHM)]}
    return found


def _near(own):
    """Conductors side by side in a cable, and those of one pair."""
    for cable in sorted({p[1] for p in own}):
        inside = [p for p in own if p[1] == cable]
        for n, one in enumerate(inside):
            for m, other in enumerate(inside[n + 1 :], n + 1):
                if m == n + 1 or one[3] == other[3]:
                    yield one, other


def _changed(to):
    """Conductors that end where others should; one that ends at a spare's end leads to nothing."""
    return {one[:3]: (one[6][0], other[6][1]) if other[6] else None for one, other in to.items() if one[6] is not None}
