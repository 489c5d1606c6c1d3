"""The direct-current network of cable and board, solved by nodes with every part in it."""

import math

import numpy as np

from tests.sizing.own_arithmetic import highest, lowest, value

COPPER_OHM_M, PER_K = 1.7241e-8, 0.00393
LIMIT_24_AWG = 93.8e-3  # ohm per metre that data cable may have
LAMP_A = 2e-3
ASSUMED_K_PER_W = 150


def awg_m2(gauge):
    return math.pi / 4 * (0.127e-3 * 92 ** ((36 - gauge) / 39)) ** 2


def warm(ohm, celsius):
    return ohm * (1 + PER_K * (celsius - 20))


def ohm_per_m(cable):
    """At 20 degC, from the cable as it was written."""
    number, _, unit = cable.partition(" ")
    if unit == "ohm/km":
        return float(number) / 1000
    area = awg_m2(int(number)) if unit == "AWG" else float(number) * 1e-6
    return COPPER_OHM_M / area * LIMIT_24_AWG / (COPPER_OHM_M / awg_m2(24))


class Network:
    """Resistors, sources of voltage and sinks of current between named nodes; "source 0V" is the reference."""

    def __init__(self):
        self.resistors, self.sources, self.sinks = [], [], []

    def resistor(self, one, other, ohm):
        self.resistors.append((one, other, ohm))

    def source(self, plus, minus, volts):
        self.sources.append((plus, minus, volts))

    def sink(self, plus, minus, ampere):
        self.sinks.append((plus, minus, ampere))

    def solve(self):
        """Voltage of every node."""
        ends = [row[:2] for row in (*self.resistors, *self.sources, *self.sinks)]
        nodes = sorted({node for pair in ends for node in pair} - {"source 0V"})
        at = {node: n for n, node in enumerate(nodes)}
        size = len(nodes) + len(self.sources)
        matrix, known = np.zeros((size, size)), np.zeros(size)
        for one, other, ohm in self.resistors:
            for a, b in ((one, other), (other, one)):
                if a in at:
                    matrix[at[a], at[a]] += 1 / ohm
                    if b in at:
                        matrix[at[a], at[b]] -= 1 / ohm
        for n, (plus, minus, volts) in enumerate(self.sources, len(nodes)):
            for node, sign in ((plus, 1), (minus, -1)):
                if node in at:
                    matrix[at[node], n] += sign
                    matrix[n, at[node]] += sign
            known[n] = volts
        for plus, minus, ampere in self.sinks:
            for node, sign in ((plus, -1), (minus, 1)):
                if node in at:
                    known[at[node]] += sign * ampere
        solved = np.linalg.solve(matrix, known)
        return {"source 0V": 0.0} | {node: float(solved[n]) for node, n in at.items()}


class Board:
    """What direct current sees of a sized board."""

    def __init__(self, request, choices):
        self.spec, self.strips, self.choices = request.spec, request.strips, choices
        self.relay = self._part("relay voltage", "selector", "relay")
        self.diode = self._part("series diode", "selector", "series diode") if self.spec.protection.reverse else None
        control = self.spec.control
        self.low_side = control.drive == "low side"
        self.coils = self.spec.switching.relays_in_series
        self.drop_v = highest(self.diode, "forward voltage") if self.diode else 0.0
        kelvin_per_watt = (
            value(self.relay, "thermal resistance") if "thermal resistance" in self.relay.figures else ASSUMED_K_PER_W
        )
        watt = (control.supply.low - self.drop_v) ** 2 / value(self.relay, "coil resistance")
        self.coil_c = control.hottest + kelvin_per_watt * watt
        self.needed_v = warm(highest(self.relay, "must operate"), self.coil_c)

    def _part(self, role, stage, slot, strip=""):
        key = next(
            c.part
            for c in self.choices.values
            if c.role == role and (c.subject.strip, c.subject.stage, c.subject.slot) == (strip, stage, slot)
        )
        return self.choices.parts[key]

    def states(self):
        """Every antenna that can be selected."""
        return [s.label for s in self.strips if not s.is_output and s.fitted]

    def follows(self, strip):
        return self.spec.switching.feed_lines == "with selection" and not strip.is_output

    def fed(self, selected):
        """Strips whose feed is on while that antenna is selected."""
        return [s for s in self.strips if s.feed and s.fitted and (not self.follows(s) or s.label == selected)]

    def coil_v(self, selected, length_m, *, cold=False):
        """Voltage at the coils of the selected antenna, at hot and lowest supply, or at cold and highest."""
        volts = self._network(selected, length_m, cold=cold).solve()
        return volts["coil +"] - volts["coil -"]

    def feed_v(self, selected, length_m, *, true_coil=False):
        """Voltage at each port that is fed, with the coils' true current or the most they can draw."""
        volts = self._network(selected, length_m, sunk_coil=not true_coil).solve()
        return {s.label: volts[f"{s.label} centre"] - volts[f"{s.label} braid"] for s in self.fed(selected)}

    def _network(self, selected, length_m, *, cold=False, sunk_coil=False):
        control, net = self.spec.control, Network()
        one = warm(ohm_per_m(control.cable.text), control.coldest if cold else control.hottest) * length_m
        net.source("source +", "source 0V", control.supply.high if cold else control.supply.low)
        for _ in range(control.returns):
            net.resistor("0V", "source 0V", one)
        self._line(net, one, cold, sunk_coil)
        self._feeds(net, one, selected)
        return net

    def _line(self, net, one, cold, sunk_coil):
        """The energised line: cable, series diode, coils, lamp."""
        net.resistor("source +", "coil supply" if self.low_side else "select", one)
        plus, minus = ("coil supply", "switched") if self.low_side else ("switched", "0V")
        if self.low_side:
            net.resistor("select", "source 0V", one)
            net.source("switched", "select", self.drop_v)
        else:
            net.source("select", "switched", self.drop_v)
        celsius = self.spec.control.coldest if cold else self.coil_c
        end = lowest(self.relay, "coil resistance")
        for _ in range(self.coils):
            if sunk_coil:
                # what a coil draws at the source is the most it can draw at the end of a cable
                net.sink(plus, minus, (self.spec.control.supply.low - self.drop_v) / warm(end, celsius))
            else:
                net.resistor("coil +", "coil -", warm(end, celsius))
        if not sunk_coil:
            net.source(plus, "coil +", 0.0)
            net.source("coil -", minus, 0.0)
        if self.spec.control.indicators and not cold:
            net.sink(plus, minus, LAMP_A)

    def _feeds(self, net, one, selected):
        """Each feed: its line, its fuse, its chokes out and back, and a sink at the port."""
        shared = self.spec.switching.feed_lines == "shared"
        if shared and self.fed(selected):
            net.resistor("source +", "shared line", one)
            net.resistor("shared line", "shared rail", highest(self._fuse(""), "resistance"))
        for strip in self.fed(selected):
            label, rail = strip.label, "shared rail"
            if not shared:
                rail = f"{label} rail"
                line = "select" if self.follows(strip) else f"{label} line"
                if line != "select":
                    net.resistor("source +", line, one)
                net.resistor(line, rail, highest(self._fuse(label), "resistance"))
            out, back = self._chokes(label)
            net.resistor(rail, f"{label} centre", warm(out, self.spec.control.hottest))
            net.resistor(f"{label} braid", "0V", warm(back, self.spec.control.hottest))
            net.sink(f"{label} centre", f"{label} braid", strip.feed.current)

    def _fuse(self, owner):
        return self._part("feed fuse", "control entry", "feed fuse", owner)

    def _chokes(self, label):
        """Resistance of the chokes on the way out and on the way back."""
        ohm = {
            c.subject.slot: highest(self.choices.parts[c.part], "dc resistance")
            for c in self.choices.values
            if c.role == "choke" and c.subject.strip == label
        }
        pair = ohm.get("bifilar choke", 0.0)
        return ohm["centre choke"] + ohm.get("supply choke", 0.0) + pair, ohm.get("braid choke", 0.0) + pair
