"""Which conductor of which cable carries what, and to which terminal it goes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import cycle

from msgspec import Struct

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.points import shown
from boardgen.sizing.cable_places import COLOURED, Place, places, taken
from boardgen.stages.line_nets import Line
from boardgen.stages.lines import lines
from boardgen.station.conductors import Conductor as StationConductor

ORDER = "T568B"
"""Colours of a cable that no station decides on."""
SPARE = "spare: tape both ends, or use it as another 0V"


class Conductor(Struct, frozen=True):
    """One conductor, what it carries in words, its line and its terminal; a spare has no line."""

    place: Place
    carries: str
    line: Line | None
    terminal: str


def conductors(bench: Bench) -> tuple[tuple[Conductor, ...], tuple[Line, ...]]:
    """Every conductor of a board on its own, and the lines for which none is left."""
    control = bench.request.spec.control
    live = [line for line in lines(bench.request) if line.kind != "0V" and line.fitted]
    if jacks := jacks_of(bench):
        by_net = {line.net: line for line in live} | {"0V": Line("0V", "0V")}
        pins = places(COLOURED, len(jacks), ORDER)
        nets = [jacks[place.cable - 1][1].get(place.position, "") for place in pins]
        return _told(bench, [(place, by_net.get(net), "") for place, net in zip(pins, nets, strict=True)]), ()
    free = places(control.conductors, control.cables, ORDER)
    fitting = live[: len(free) - control.returns]
    mine, kept = taken([line.strip for line in fitting], control.returns, free)
    by_place = dict(zip(mine, fitting, strict=True)) | dict.fromkeys(kept, Line("0V", "0V"))
    return _told(bench, [(place, by_place.get(place), "") for place in free]), tuple(live[len(fitting) :])


def of_station(bench: Bench, given: Sequence[StationConductor]) -> tuple[Conductor, ...]:
    """The same as the station that the board stands in has decided."""
    by_net = {line.net: line for line in lines(bench.request)}
    return _told(bench, [(c.place, by_net.get(c.net), c.what if c.net else "") for c in given])


def _told(bench: Bench, rows: Iterable[tuple[Place, Line | None, str]]) -> tuple[Conductor, ...]:
    """Places with their lines, in order, each with its terminal; words stand for what is no line of the board."""
    # returns beyond the pins share them: a stud takes several lugs
    zeros, jacks = cycle(_zero_pins(bench) or [""]), jacks_of(bench)
    found = []
    for place, line, words in sorted(rows, key=lambda row: (row[0].cable, row[0].position)):
        terminal = ""
        if place.cable <= len(jacks):
            terminal = f"{jacks[place.cable - 1][0]} pin {place.position}"
        elif line is not None and line.kind == "0V":
            terminal = next(zeros)
        elif line is not None and (pin := bench.pin_of(line.net, line.strip)):
            terminal = shown(bench, pin)
        found.append(Conductor(place, in_words(line) if line else words or SPARE, line, terminal))
    return tuple(found)


def in_words(line: Line) -> str:
    """A line in words."""
    if line.kind == "stage":
        return line.net
    return line.kind if line.kind in ("0V", "coil supply") else f"{line.kind} {line.strip}".strip()


def _zero_pins(bench: Bench) -> list[str]:
    """Terminals on 0V, the common ones first."""
    found = [
        (c.subject.strip != "", f"{c.ref} pin {role}" if len(bench.netlist.pin_nets[c.ref]) > 1 else c.ref)
        for c in bench.fitted
        if c.part.kind in ("terminal", "stud")
        for role, net in bench.netlist.pin_nets[c.ref].items()
        if net == "0V"
    ]
    return [name for _, name in sorted(found, key=lambda one: one[0])]


def jacks_of(bench: Bench) -> tuple[tuple[str, dict[int, str]], ...]:
    """Each jack with the nets of its pins."""
    return tuple(
        (c.ref, {int(role): net for role, net in bench.netlist.pin_nets[c.ref].items()})
        for c in bench.fitted
        if c.part.kind == "jack"
    )
