"""The physics of a board in complex numbers, written again from textbooks: nothing of the program's own formulas."""

import itertools
import math

MU0 = 4e-7 * math.pi
HOLE_ALLOWANCE_M, FILL, LEAD_M = 0.25e-3, 0.4, 40e-3


def value(part, name):
    return part.figures[name].value


def lowest(part, name):
    figure = part.figures[name]
    return figure.value if figure.low is None else figure.low


def highest(part, name):
    figure = part.figures[name]
    return figure.value if figure.high is None else figure.high


def permeability(table, hz):
    """mu' - j mu'' on straight lines over log f."""
    rows = list(zip(table.frequencies_hz, table.values, strict=True))
    for (low_hz, low), (high_hz, high) in itertools.pairwise(rows):
        if low_hz <= hz <= high_hz:
            share = (math.log(hz) - math.log(low_hz)) / (math.log(high_hz) - math.log(low_hz))
            return low + share * (high - low)
    message = f"{hz} Hz is not in the table"
    raise ValueError(message)


def inside(table, low_hz, high_hz):
    """The ends of the band and the points of the table between them."""
    return [low_hz, *(f for f in table.frequencies_hz if low_hz < f < high_hz), high_hz]


def spaced(low_hz, high_hz, count=1501):
    return [low_hz * (high_hz / low_hz) ** (n / (count - 1)) for n in range(count - 1)] + [high_hz]


def winding_worst(core, table, turns, frequencies_hz):
    """Least parallel resistance and reactance of a winding on the smallest core allowed, in ohm."""
    resistance = reactance = math.inf
    for hz in frequencies_hz:
        admittance = 1 / (
            1j * 2 * math.pi * hz * MU0 * lowest(core, "path constant") * turns**2 * permeability(table, hz)
        )
        resistance = min(resistance, 1 / admittance.real)
        reactance = min(reactance, 1 / abs(admittance.imag))
    return resistance, reactance


def mean_turn_m(core):
    return 2 * (value(core, "length") + value(core, "hole spacing"))


def pair_leakage_h(core, turns, wire):
    """A pair: a two-wire line as long as the winding."""
    ratio = value(wire, "insulated diameter") / value(wire, "diameter")
    return MU0 / math.pi * math.log(ratio + math.sqrt(ratio**2 - 1)) * mean_turn_m(core) * turns


def apart_leakage_h(core, turns):
    """Two bundles as thick as half a hole each, half a hole apart, in the open."""
    return MU0 / math.pi * math.log(2) * mean_turn_m(core) * turns**2


def thickest_wire_m(core, passes):
    hole_m = value(core, "hole diameter") - HOLE_ALLOWANCE_M
    return math.sqrt(FILL * hole_m**2 / passes)


def choke_ohm(choke, hz, henry):
    """(R + j w L) beside the capacitance of its self resonance, beside a resistance of Q times w L."""
    omega = 2 * math.pi * hz
    farad = 1 / ((2 * math.pi * value(choke, "self resonance")) ** 2 * value(choke, "inductance"))
    quality = value(choke, "quality") if "quality" in choke.figures else 30
    admittance = 1 / (value(choke, "dc resistance") + 1j * omega * henry) + 1j * omega * farad
    return abs(1 / (admittance + 1 / (quality * omega * henry)))


def bifilar_ohm(choke, hz, henry):
    omega = 2 * math.pi * hz
    return abs(1 / (1 / (1j * omega * henry) + 1j * omega * value(choke, "parallel capacitance")))


def least_over(impedance, choke, frequencies_hz):
    """Least impedance over these frequencies with the inductance at both ends of its tolerance."""
    ends = lowest(choke, "inductance"), highest(choke, "inductance")
    return min(impedance(choke, hz, henry) for hz in frequencies_hz for henry in ends)


def return_loss_db(turns, port_turns, inner_ohm, port_ohm):
    """Of an ideal transformer that ends in `inner_ohm`, seen from a line of `port_ohm`."""
    seen = inner_ohm * (port_turns / turns) ** 2
    reflection = abs(seen - port_ohm) / (seen + port_ohm)
    return 99.0 if reflection < 1e-12 else -20 * math.log10(reflection)


def farad_for(hz, ohm):
    """Capacitance whose reactance is that: found from the impedance itself."""
    return (1 / (2j * math.pi * hz * ohm)).imag * -1


def track_m(ampere, rise_k=10, copper_m=35e-6):
    """IPC-2221, outer layer: I = 0.048 dT^0.44 A^0.725 with A in square mils."""
    square_mils = math.exp(math.log(ampere / (0.048 * rise_k**0.44)) / 0.725)
    return square_mils * (25.4e-6) ** 2 / copper_m


def surge_track_m(peak_a, copper_m=35e-6):
    """8/20 us, integrated by steps; Onderdonk from 20 to 260 degC over circular mils."""
    step_s = 1e-8
    total = 0.0
    for n in range(20000):
        us = (n + 0.5) * step_s * 1e6
        total += (peak_a * 0.01243 * us**3 * math.exp(-us / 3.911)) ** 2 * step_s
    circular_mils = math.sqrt(33 * total / math.log10(1 + 240 / 254))
    return circular_mils * math.pi / 4 * 25.4e-6**2 / copper_m


def borne_v(part, hottest_c):
    """What a coil bears: heat in a straight line from the sheet's maximum at 20 degC to that of the rated voltage."""
    most, rated = value(part, "maximum coil voltage"), value(part, "coil voltage")
    top = value(part, "highest temperature") if "highest temperature" in part.figures else 70.0
    cool = min(max((top - hottest_c) / (top - 20), 0), 1)
    return (cool * most**2 + (1 - cool) * rated**2) ** 0.5
