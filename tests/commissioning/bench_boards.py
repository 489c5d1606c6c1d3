"""Boards that between them have every arrangement a meter can meet."""

from functools import cache

from boardgen.commissioning.bench import Bench
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

FED = 'feed = "12 V 60 mA"'


def text(antennas, switching="", protection="", output="", control=""):
    """A specification with these lines in each table; an antenna is its extra lines."""
    rows = "\n".join(f'[[antenna]]\nlabel = "way {n}"\n{extra}' for n, extra in enumerate(antennas, 1))
    return (
        f'[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n{rows}\n[output]\n{output}\n[switching]\n{switching}\n'
        f'[protection]\n{protection}\n[control]\nlength = "60 m"\nreturns = 2\ncables = 2\n{control}\n'
    )


BOARDS = {
    "default": text(["", "", ""]),
    "plain feed": text([FED, "", FED], 'feed_arrangement = "plain"'),
    "shared rail": text([FED, FED, ""], 'feed_lines = "shared"', output=FED),
    "common-mode choked": text([FED, ""], 'feed_arrangement = "common-mode choked"'),
    "cascaded": text(["", FED], "relays_in_series = 2"),
    "open floating": text(["", FED, ""], 'idle = "open"\nbus_braid = "floating"'),
    "no breakers": text(["", FED], 'braid_breakers = "none"', "surge = false", control="indicators = true"),
    "linked": text(["", FED], 'braid_breakers = "antennas"', 'earth_to_0v = "linked"'),
    "follows": text([FED, ""], 'feed_lines = "with selection"', "reverse = false"),
    "low side": text(["", FED], "relays_in_series = 2", control='drive = "low side"'),
    "unlike": text(['idle = "open"', "surge = false", "fitted = false", FED], control='entry = "studs"'),
    "jack": text(["", FED, "", ""], output=FED, control='entry = "jack"'),
}


@cache
def design(name):
    """The board of that name, sized and wired."""
    return make_design(Request(read_text(BOARDS[name]), CATALOGUE))


@cache
def bench(name):
    """The board as a meter meets it."""
    made = design(name)
    return Bench(made.request, made.choices, made.netlist)
