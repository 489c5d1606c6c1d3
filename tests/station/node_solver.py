"""Node voltages of resistors, one supply and junctions of Shockley's law, by Newton's method with damped junctions.

It shares nothing with the program: a dense matrix of conductances, exponentials for junctions.
Source: Nagel, SPICE2: a computer program to simulate semiconductor circuits, memorandum ERL-M520, 1975, for the
damping of junctions, recalled. Cost: one dense solution a step.
"""

import numpy as np

ZERO, PLUS = "0V of the supply", "fused plus of the supply"
LEAST_SIEMENS = 1e-11
"""From every point to 0V, so that what is joined to nothing has a voltage at all."""
WIRE_OHM = 1e-3
MOST_STEPS, CLOSE_V = 2000, 1e-5


class Nodes:
    """A network under construction: points by name, conductances, junctions."""

    def __init__(self, supply_v):
        self.supply_v = supply_v
        self.number = {ZERO: 0, PLUS: 1}
        self.resistors, self.junctions, self.loads = [], [], []

    def at(self, name):
        """The number of a point."""
        return self.number.setdefault(name, len(self.number))

    def resistor(self, a, b, ohm):
        """A resistance between two points."""
        self.resistors.append((self.at(a), self.at(b), 1 / max(ohm, WIRE_OHM)))

    def junction(self, anode, cathode, law):
        """A junction (saturation current, slope voltage, series resistance, reverse resistance)."""
        saturation_a, slope_v, series_ohm, leak_ohm = law
        inner = f"within junction {len(self.junctions)}"
        self.resistor(anode, inner, series_ohm)
        self.resistor(anode, cathode, leak_ohm)
        self.junctions.append((self.at(inner), self.at(cathode), saturation_a, slope_v))

    def load(self, a, b, least_v, ampere):
        """What takes a current once it has its least volts, and is a resistance below."""
        self.loads.append((self.at(a), self.at(b), least_v, ampere))

    def solved(self):
        """Volts of every point by name, and the amperes that the supply gives."""
        count = len(self.number)
        linear = np.diag(np.full(count, LEAST_SIEMENS))
        for a, b, siemens in self.resistors:
            _join(linear, a, b, siemens)
        volts = np.zeros(count)
        volts[1] = self.supply_v
        volts = _settled(linear, volts, _columns(self.junctions), _columns(self.loads))
        # every element at plus is a resistance, or a junction of which plus is the cathode and which is then blocked
        return {name: float(volts[n]) for name, n in self.number.items()}, float(linear[1] @ volts)


def _columns(rows):
    a, b, one, other = (np.array(column) for column in zip(*rows, strict=True)) if rows else (np.zeros(0),) * 4
    return a.astype(int), b.astype(int), one, other


def _join(matrix, a, b, siemens):
    matrix[a, a] += siemens
    matrix[b, b] += siemens
    matrix[a, b] -= siemens
    matrix[b, a] -= siemens


def _step(matrix, injected, volts):
    """The volts of all points but the two that the supply holds."""
    found = volts.copy()
    right = injected[2:] - matrix[2:, :2] @ volts[:2]
    found[2:] = np.linalg.solve(matrix[2:, 2:], right)
    return found


def _settled(linear, volts, junctions, loads):
    a, b, saturation, slope = junctions
    c, d, least_v, load_a = loads
    x, y = np.concatenate((a, c)), np.concatenate((b, d))
    across, over = np.zeros(len(a)), np.zeros(len(c))
    knee = slope * np.log(slope / (np.sqrt(2) * saturation))
    for _ in range(MOST_STEPS):
        grown = np.exp(np.minimum(across / slope, 200.0))
        # what flows backwards is in the reverse resistance, by the sheet, the saturation current with it
        siemens, ampere = saturation / slope * grown, np.maximum(saturation * (grown - 1), 0.0)
        short = np.abs(over) < least_v
        taking = np.where(short, load_a / least_v, 0.0)
        siemens = np.concatenate((siemens, taking))
        offset = np.concatenate((ampere, np.where(short, over * taking, np.sign(over) * load_a)))
        offset -= siemens * np.concatenate((across, over))
        matrix, injected = linear.copy(), np.zeros(len(volts))
        for m, n, sign in ((x, x, 1), (y, y, 1), (x, y, -1), (y, x, -1)):
            np.add.at(matrix, (m, n), sign * siemens)
        np.add.at(injected, x, -offset)
        np.add.at(injected, y, offset)
        volts = _step(matrix, injected, volts)
        wanted = volts[a] - volts[b]
        damped, was = _damped(wanted, across, slope, knee), over
        over = volts[c] - volts[d]
        moved = np.concatenate((damped - across, wanted - damped, over - was))
        across = damped
        if np.max(np.abs(moved), initial=0.0) < CLOSE_V:
            return volts
    raise AssertionError("the node solver did not settle")


def _damped(wanted, across, slope, knee):
    """A junction beyond its knee moves by the logarithm of what it should, others as they should."""
    far = (wanted > knee) & (np.abs(wanted - across) > 2 * slope)
    risen = np.where(
        across > 0,
        across + slope * np.log(np.maximum(1 + (wanted - across) / slope, 1e-12)),
        slope * np.log(np.maximum(wanted / slope, 1e-12)),
    )
    fallen = (wanted - across) / slope <= -1
    return np.where(far, np.where((across > 0) & fallen, knee, risen), wanted)
