"""Boards that between them use every option, and what tests make of them."""

import math
from functools import cache

import mpmath
import numpy as np

from boardgen.design import make_design
from boardgen.kinds.core import BOARD_WINDING, LEAD_M, SOLDERED_LEAD_M, wire_length_m
from boardgen.request import Request
from boardgen.rf.network import network
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

FED = 'feed = "12 V 60 mA"'


def text(antennas, switching="", protection="", output="", band="", control=""):
    """A specification with these lines in each table; an antenna is its extra lines."""
    band = band or 'lowest = "1.8 MHz"\nhighest = "10.15 MHz"'
    rows = "\n".join(f'[[antenna]]\nlabel = "way {n}"\n{extra}' for n, extra in enumerate(antennas, 1))
    return (
        f"[band]\n{band}\n{rows}\n[output]\n{output}\n[switching]\n{switching}\n[protection]\n{protection}\n"
        f'[control]\nlength = "60 m"\nreturns = 2\ncables = 2\n{control}\n'
    )


BOARDS = {
    "default": text(["", "", "", ""]),
    "plain feed": text([FED, "", FED], 'feed_arrangement = "plain"'),
    "local rail": text([FED, FED, ""], 'feed_arrangement = "local rail"\nfeed_lines = "shared"'),
    "common-mode choked": text([FED, "", FED], 'feed_arrangement = "common-mode choked"'),
    "cascaded": text(["", FED, ""], "relays_in_series = 2"),
    "open floating": text(["", FED, ""], 'idle = "open"\nbus_braid = "floating"'),
    "no breakers": text(["", FED, ""], 'braid_breakers = "none"', "surge = false", control="indicators = true"),
    "antennas only": text(["", FED], 'braid_breakers = "antennas"', 'earth_to_0v = "linked"'),
    "output only": text(["", FED, ""], 'braid_breakers = "output"\nidle = "open"', output=FED),
    "other impedance": text(['impedance = "50 ohm"', "", ""], output='impedance = "50 ohm"'),
    "unlike strips": text(
        ['idle = "open"', "surge = false", "fitted = false", FED + "\nbraid_breaker = false"],
        'feed_lines = "with selection"',
        'earth_to_0v = "open"\nreverse = false',
    ),
    "low side": text(["", FED], 'feed_lines = "shared"\nrelays_in_series = 2', control='drive = "low side"'),
    "low band": text(["", ""], band='lowest = "472 kHz"\nhighest = "4 MHz"', control='entry = "studs"'),
    "two at a changeover": text(["", ""], 'rest = "way 1"'),
    "four at changeovers": text(
        ["", FED, "", ""], 'rest = "way 1"\nbus_braid = "floating"\nbraid_breakers = "antennas"', "surge = false"
    ),
    "one floating": text([FED], 'bus_braid = "floating"\nbraid_breakers = "antennas"\nidle = "open"'),
}


@cache
def catalogue():
    """The catalogue, read once."""
    return CATALOGUE


@cache
def design(name):
    """The board of that name, sized and wired."""
    return make_design(Request(read_text(BOARDS[name]), catalogue()))


@cache
def made(name):
    """The network of a board."""
    board = design(name)
    return network(board.request, board.choices, board.netlist)


def band(name, points):
    """Frequencies over the band and a little beyond, by name of the board."""
    spec = design(name).spec.band
    return np.geomspace(0.9 * spec.lowest, min(1.1 * spec.highest, 30e6), points)


def states(name):
    """Nothing selected, the first antenna and the last."""
    antennas = made(name).antennas
    return [design(name).netlist.select(antenna) for antenna in dict.fromkeys((None, antennas[0], antennas[-1]))]


def wires_ohm(board, frequency_hz):
    """Resistance of the wire of two transformers at a frequency, by Bessel functions and by hand."""
    wound = next(iter(board.choices.windings.values()))
    at = next(iter(board.choices.windings))
    in_core_m = wire_length_m(board.choices, at, BOARD_WINDING) - 2 * LEAD_M
    wire_m, wire = in_core_m + 2 * SOLDERED_LEAD_M, board.choices.part("winding wire", at)
    radius_m = wire.figures["diameter"].value / 2
    depths = radius_m * math.sqrt(math.pi * frequency_hz * 4e-7 * math.pi * 58e6)
    x = mpmath.mpc(1, -1) * depths
    alone = float((x * mpmath.besselj(0, x) / (2 * mpmath.besselj(1, x))).real)
    across = float(-(mpmath.besselj(2, x) / mpmath.besselj(0, x)).imag) * depths
    crowded = (wound.proximity - 1) * in_core_m / wire_m * depths / 2 * across
    return 4 * wire_m / (58e6 * math.pi * radius_m**2) * (alone + crowded)
