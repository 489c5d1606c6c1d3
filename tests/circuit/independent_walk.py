"""A second way to judge a board: union of nets over plain facts, sharing no code with boardgen's own walk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from boardgen.model.netlist import Netlist
from tests.circuit.netlist_file import FileNetlist

HELD = ("0V", "earth", "coil supply")
DC_COPPER = {
    "T": (("primary start", "primary end"), ("secondary start", "secondary end")),
    "L": (("start", "end"), ("winding A start", "winding A end"), ("winding B start", "winding B end")),
    "W": (("1", "2"),),
    "F": (("1", "2"),),
}
DC_SLOW = {"R": (("1", "2"),), "K": (("coil +", "coil -"),), "D": (("anode", "cathode"),)}
SIGNAL = {"T": (("primary start", "secondary start"), ("primary end", "secondary end"))}


@dataclass(frozen=True)
class Facts:
    """Pins by designator and role, the strip and place of each part; only fitted parts."""

    pins: Mapping[str, Mapping[str, str]]
    strip: Mapping[str, str]
    place: Mapping[str, str]

    @property
    def antennas(self) -> list[str]:
        return [self.strip[ref] for ref in self.ports if self.strip[ref] != "output"]

    @property
    def ports(self) -> list[str]:
        return [ref for ref in self.pins if self.place[ref].startswith("port")]


def facts(netlist: Netlist) -> Facts:
    """From the plain netlist."""
    fitted = [c for c in netlist.components if c.fitted]
    return Facts(
        {c.ref: netlist.pin_nets[c.ref] for c in fitted},
        {c.ref: c.subject.strip for c in fitted},
        {c.ref: f"{c.subject.stage} {c.subject.place}" for c in fitted},
    )


def facts_of_file(read: FileNetlist) -> Facts:
    """From a netlist file as it was read."""
    fields = {part.ref: part.fields for part in read.parts if part.fields["Fitted"] == "yes"}
    pins: dict[str, dict[str, str]] = {ref: {} for ref in fields}
    for name, joined in read.nets.items():
        for pin in joined:
            if pin.ref in pins:
                pins[pin.ref][pin.role] = name
    return Facts(pins, *({ref: of.get(key, "") for ref, of in fields.items()} for key in ("Strip", "Place")))


def letters(ref: str) -> str:
    return ref.rstrip("0123456789")


def groups(pairs: Iterable[tuple[str, str]], never: Iterable[str] = ()) -> dict[str, str]:
    """A representative of each net's group; nets in `never` join nothing."""
    parent: dict[str, str] = {}

    def root(net: str) -> str:
        parent.setdefault(net, net)
        while parent[net] != net:
            parent[net] = parent[parent[net]]
            net = parent[net]
        return net

    stops = set(never)
    for one, other in pairs:
        if one in stops or other in stops:
            continue
        parent[root(one)] = root(other)
    return {net: root(net) for net in list(parent)}


def contacts(board: Facts, selected: str | None) -> list[tuple[str, str]]:
    """Closed contacts in this state."""
    found = []
    for ref, pins in board.pins.items():
        if letters(ref) == "K":
            end = "normally open" if board.strip[ref] == selected else "normally closed"
            found += [
                (pins[f"pole {pole} common"], pins[f"pole {pole} {end}"])
                for pole in "AB"
                if f"pole {pole} {end}" in pins
            ]
    return found


def joined(board: Facts, table: Mapping[str, tuple[tuple[str, str], ...]]) -> list[tuple[str, str]]:
    """Pairs of nets that parts of these classes join."""
    return [
        (pins[one], pins[other])
        for ref, pins in board.pins.items()
        for one, other in table.get(letters(ref), ())
        if one in pins and other in pins
    ]


def blocking(board: Facts) -> list[tuple[str, str]]:
    return [
        (pins["1"], pins["2"])
        for ref, pins in board.pins.items()
        if letters(ref) == "C" and board.place[ref].startswith("feed blocking")
    ]


def faults(board: Facts) -> list[str]:
    """Everything that is wrong with a board in any selection state."""
    return [fault for selected in (None, *board.antennas) for fault in _state_faults(board, selected)]


def _state_faults(board: Facts, selected: str | None) -> Iterable[str]:
    signal = groups([*contacts(board, selected), *joined(board, SIGNAL), *blocking(board)], ("0V", "earth"))
    port = {board.strip[ref]: board.pins[ref] for ref in board.ports}
    for strip in board.antennas:
        for end in ("centre", "braid"):
            here = signal.get(port[strip][end], port[strip][end])
            output = signal.get(port["output"][end], port["output"][end])
            if strip == selected and here != output:
                yield f"{selected}: {end} does not reach the output"
            for bus in ("bus centre", "bus braid"):
                if strip != selected and here == signal.get(bus, bus):
                    yield f"{selected}: {end} of idle {strip} is on {bus}"
        if strip == selected and signal.get(port[strip]["centre"], "a") == signal.get(port[strip]["braid"], "b"):
            yield f"{selected}: centre and braid are one"
    copper = [*contacts(board, selected), *joined(board, DC_COPPER)]
    dc = groups(copper)
    feeds = {
        net for pins in board.pins.values() for net in pins.values() if net.startswith(("feed way", "feed output"))
    }
    feeds |= {net for pins in board.pins.values() for net in pins.values() if net == "feed shared"}
    for feed in feeds:
        for sink in ("0V", "earth", *(feeds - {feed})):
            if dc.get(feed, feed) == dc.get(sink, sink):
                yield f"{selected}: {feed} is shorted to {sink}"
    pins_on = Counter(net for pins in board.pins.values() for net in pins.values())
    everything = {net for net, count in pins_on.items() if count > 1}
    held = [("0V", net) for net in everything if net in HELD or net.startswith("select ")]
    whole = groups([*copper, *joined(board, DC_SLOW), *held])
    for net in everything:
        if whole.get(net) != whole.get("0V"):
            yield f"{selected}: {net} floats"
