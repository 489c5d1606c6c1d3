"""Which conductor of which cable carries what, and to which terminal it goes."""

from __future__ import annotations

from dataclasses import dataclass

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.points import shown
from boardgen.handbook.data_cable import PINS
from boardgen.sizing.lines import Line, lines

ORDER = "T568B"
EIGHT = 8


@dataclass(frozen=True, slots=True)
class Conductor:
    """One conductor: cable and position from 1, colour and pair where known, line and terminal; a spare has none."""

    cable: int
    position: int
    colour: str
    pair: str
    line: Line | None
    terminal: str


def conductors(bench: Bench) -> tuple[tuple[Conductor, ...], tuple[Line, ...]]:
    """Every conductor, and the lines for which none is left.

    Select and feed lines from the first position up, 0V from the last one down, as even over the cables as they go.
    """
    control = bench.request.spec.control
    live = [line for line in lines(bench.request) if line.kind != "0V" and line.fitted]
    returns = [line for line in lines(bench.request) if line.kind == "0V"]
    jacks = [c for c in bench.fitted if c.part.kind == "jack"]
    if jacks:
        return _of_jacks(bench, jacks_of(bench), live), ()
    zeros = _zero_pins(bench)
    found: list[Conductor] = []
    count, room = control.cables, control.conductors
    for cable in range(1, count + 1):
        left = count - cable + 1
        grounds, returns = _split(returns, left)
        grounds = grounds[: room - 1] if live else grounds
        mine, live = (
            live[: min(-(-len(live) // left), room - len(grounds))],
            live[min(-(-len(live) // left), room - len(grounds)) :],
        )
        spare = room - len(mine) - len(grounds)
        for position, line in enumerate([*mine, *([None] * spare), *grounds], 1):
            terminal = ""
            if line is not None and line.kind == "0V":
                # a stud takes several lugs
                terminal = zeros.pop(0) if len(zeros) > 1 else zeros[0]
            elif line is not None and (pin := bench.pin_of(line.net, line.strip)):
                terminal = shown(bench, pin)
            found.append(_conductor(cable, position, room, line, terminal))
    return tuple(found), tuple(live + returns)


def _split(items: list[Line], left: int) -> tuple[list[Line], list[Line]]:
    share = -(-len(items) // left)
    return items[:share], items[share:]


def _conductor(cable: int, position: int, room: int, line: Line | None, terminal: str) -> Conductor:
    if room != EIGHT:
        return Conductor(cable, position, "", "", line, terminal)
    pin = PINS[ORDER][position - 1]
    return Conductor(cable, position, pin.colour, str(pin.pair), line, terminal)


def _zero_pins(bench: Bench) -> list[str]:
    """Terminals on 0V, the common ones first."""
    found = [
        (c.subject.strip != "", f"{c.ref} pin {role}" if len(bench.netlist.joins[c.ref]) > 1 else c.ref)
        for c in bench.fitted
        if c.part.kind in ("terminal", "stud")
        for role, net in bench.netlist.joins[c.ref].items()
        if net == "0V"
    ]
    return [name for _, name in sorted(found, key=lambda one: one[0])]


def jacks_of(bench: Bench) -> tuple[tuple[str, dict[int, str]], ...]:
    """Each jack with the nets of its pins."""
    return tuple(
        (c.ref, {int(role): net for role, net in bench.netlist.joins[c.ref].items()})
        for c in bench.fitted
        if c.part.kind == "jack"
    )


def _of_jacks(bench: Bench, jacks: tuple[tuple[str, dict[int, str]], ...], live: list[Line]) -> tuple[Conductor, ...]:
    by_net = {line.net: line for line in live} | {"0V": Line("0V", "0V")}
    return tuple(
        _conductor(cable, pin, EIGHT, by_net.get(nets.get(pin, "")), f"{ref} pin {pin}")
        for cable, (ref, nets) in enumerate(jacks, 1)
        for pin in range(1, EIGHT + 1)
    )
