"""Twelve stations of two to eight boxes, one for each way to steer, share lines, select pairs, drive and feed."""

from functools import cache

from tests.station.made_stations import box_design, station

SHORT = {"length": "30 m", "cable": "24 AWG", "conductors": 24, "returns": 2}
LONG = {**SHORT, "length": "180 m", "returns": 1}
EIGHT_WIRES = {**LONG, "conductors": 8}
NAMES = ("dune", "heath", "marsh", "wood", "fell", "ness", "moor", "croft")


def made(ways, source, control=SHORT, feeds=0, remotes=(), pairs=(), **options):
    """A station with so many ways in each box, the first `feeds` of them fed."""
    boxes = [(name, box_design(count, feeds, **options), control) for name, count in zip(NAMES, ways, strict=False)]
    directions = [
        (f"{name} {n}", f"{name}/way {n}", None)
        for (name, *_), count in zip(boxes, ways, strict=True)
        for n in range(1, count + 1)
    ]
    directions += [(f"back {remote}", antenna, remote) for remote, antenna in remotes]
    both = [(f"{name} both", f"{name}/way 1", f"{name}/way 2") for name in pairs]
    return station(boxes, directions, source=source, rest="dune", remotes=remotes, pairs=both)


STATIONS = {
    "a contact a direction": lambda: made((4, 4), {"outputs": 8}, LONG),
    "several at once": lambda: made((3, 3, 2), {"outputs": 12, "together": True}, LONG),
    "lines shared": lambda: made((4, 4, 4), {"outputs": 8, "together": True}),
    "lines shared, with a pair": lambda: made((3, 2, 3), {"outputs": 5, "together": True}, pairs=("heath",)),
    "eight boxes": lambda: made((2,) * 8, {"outputs": 16}),
    "eight boxes, lines shared": lambda: made((2,) * 8, {"outputs": 9, "together": True}),
    "high-side driver": lambda: made(
        (3, 2, 3), {"kind": "high-side driver", "leakage": "50 uA"}, LONG, pairs=("dune", "marsh")
    ),
    "open drain": lambda: made((3, 2), {"kind": "open drain", "leakage": "50 uA"}, pairs=("dune",), drive="low side"),
    "diodes in the boxes": lambda: made((3, 3), {"diodes": "boxes"}, EIGHT_WIRES),
    "two switches": lambda: made((3, 2, 3), {"kind": "manual switch", "switches": "two", "outputs": 5}),
    "lamps, no diode in the line": lambda: made((4, 3), {"outputs": 8}, reverse=False, indicators=True),
    "feeds": lambda: made(
        (3, 3), {"outputs": 12}, feeds=2, remotes=(("pair switch", "dune/way 1"), ("amplifier", "heath/way 2"))
    ),
}


@cache
def one_of_twelve(name):
    """The station, put together once."""
    return STATIONS[name]()
