"""The same network as a SPICE netlist for a general circuit simulator, its permeability tables included.

Each law of boardgen.rf_network.device_models has a writer here; tests hold both against each other through a simulator.
A permeability that follows the frequency becomes a controlled source: a simulator knows no such inductor.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping

from boardgen.catalogue import Permeability
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.handbook.coplanar import THIN_EDGE
from boardgen.handbook.wire import skin_depth_m
from boardgen.model.selection import Selection, SelectionState
from boardgen.rf.coupling import Coupling
from boardgen.rf.network import Network
from boardgen.rf_network.element import COPPER, GROUND, Element, exact

HEAD = """* {title}
* selected: {selected}; every port ended in its load; 0V is node 0, and so are the stake and lines held by their source
* terminals in order: {terminals}
* run it in batch mode: for each terminal in turn 1 A is driven into its load, and the voltages of all terminals are
* appended to {raw}; S = 2 V / sqrt(R R'), less 1 on the diagonal
"""


def spice_netlist(network: Network, selection: Selection, title: str, sweep: str, raw: str = "response.raw") -> str:
    """The netlist of the board worked in that way. `sweep` is the simulator's own, such as "lin 21 1e6 2e6"."""
    nodes = _Nodes()
    elements = state_elements(network, selection.operated)
    body = [line for n, e in enumerate(elements, 1) for line in _lines(n, e, network, nodes)]
    terminals: list[str] = []
    ports: list[str] = []
    for port in network.ports:
        for mode, pair, ohm in (
            ("differential", (port.centre, port.braid), network.port_ohm[port.strip]),
            ("common", (port.braid, GROUND), network.common_mode_ohm),
        ):
            number = len(terminals) + 1
            terminals.append(f"{number} {port.strip} {mode}")
            one, other = (nodes(net) for net in pair)
            ports += [
                f"rload{number} {one} {other} {ohm!r}",
                f"idrive{number} {other} {one} dc 0 ac 0",
                f"eterm{number} term{number} 0 {one} {other} 1",
                f"rterm{number} term{number} 0 1",
            ]
    selected = ", ".join((selection.antenna or "none", *selection.live))
    head = HEAD.format(title=title, selected=selected, terminals=", ".join(terminals), raw=raw)
    names = [f"* node {node}: {net}" for net, node in nodes.found.items()]
    return head + "\n".join([*names, *body, *ports, *_control(len(terminals), sweep, raw), ".end", ""])


def state_elements(network: Network, operated: SelectionState) -> tuple[Element, ...]:
    """Every element of the board in that state."""
    strips = (network.strips[network.own(owner, operated)] for owner in network.owners)
    own = tuple(network.elements[at] for strip in strips for at in strip.elements)
    return own if not network.couplings else (*own, *_joined(network.couplings))


def _joined(couplings: Iterable[Coupling]) -> Iterator[Element]:
    """Each coupling between its nets; the ends' own capacitors to 0V are taken back by negative ones."""
    for coupling in couplings:
        (_, one), (_, two) = coupling.ends
        for pair, sign in (((one, two), 1), ((one, GROUND), -1), ((two, GROUND), -1)):
            value = exact("capacitance", sign * coupling.farads, "F", COPPER)
            yield Element("", COPPER, "capacitance", (pair,), (value,))


class _Nodes:
    """Plain numbers for nets, in order of first mention."""

    def __init__(self) -> None:
        self.found: dict[str, str] = {GROUND: "0"}

    def __call__(self, net: str) -> str:
        return self.found.setdefault(net, str(len(self.found)))


def _control(count: int, sweep: str, raw: str) -> list[str]:
    lines = [".control", "set noaskquit", "set filetype=binary", "set appendwrite"]
    voltages = " ".join(f"v(term{n})" for n in range(1, count + 1))
    for number in range(1, count + 1):
        if number > 1:
            lines.append(f"alter @idrive{number - 1}[acmag]=0")
        lines += [f"alter @idrive{number}[acmag]=1", f"ac {sweep}", f"write {raw} {voltages}", "destroy all"]
    return [*lines, "quit", ".endc"]


def _lines(number: int, element: Element, network: Network, nodes: _Nodes) -> Iterator[str]:
    """The lines of one element, each name ending in its number."""
    values = {p.name: float(p.value) for p in element.parameters}
    ends = [nodes(net) for net in element.nets]
    yield f"* {element.ref} {element.law}"
    table = network.permeability.get(element.material)
    yield from _WRITERS[element.law](number, ends, values, table)


Writer = Callable[[int, list[str], Mapping[str, float], Permeability | None], Iterator[str]]


def _resistor(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"r{n} {ends[0]} {ends[1]} {values['resistance']!r}"


def _capacitance(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"c{n} {ends[0]} {ends[1]} {values['capacitance']!r}"


def _starts(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"c{n} {ends[0]} {ends[1]} {values['interwinding capacitance'] * values['split']!r}"


def _ends(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"c{n} {ends[0]} {ends[1]} {values['interwinding capacitance'] * (1 - values['split'])!r}"


def _capacitor(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"c{n} {ends[0]} a{n} {values['capacitance']!r}"
    yield f"r{n} a{n} b{n} {values['series resistance']!r}"
    yield f"l{n} b{n} {ends[1]} {values['series inductance']!r}"


def _conductor(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"r{n} {ends[0]} a{n} {values['resistance']!r}"
    yield f"l{n} a{n} {ends[1]} {values['inductance']!r}"


def _contact_and_tracks(
    n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None
) -> Iterator[str]:
    """The tracks' resistance rises with frequency as in handbook/coplanar.py."""
    thick = values["track thickness"]
    depths = f"({thick / skin_depth_m(1.0)!r}*sqrt(max(hertz,1)))"
    slab = f"{depths}/2*(sinh({depths})+sin({depths}))/(cosh({depths})-cos({depths}))"
    edge = f"{thick!r}*max({1 / (4 * math.pi * math.exp(math.pi))!r},{THIN_EDGE!r}/{depths}^2)"
    crowded = f"max(1,{values['crowding']!r}*ln({values['crowding reach']!r}/({edge})))"
    yield f"r{n} {ends[0]} a{n} r='{values['resistance']!r}+{values['track resistance']!r}*{slab}*{crowded}'"
    yield f"l{n} a{n} {ends[1]} {values['inductance']!r}"


def _choke(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    yield f"r{n} {ends[0]} a{n} {values['dc resistance']!r}"
    yield f"l{n} a{n} {ends[1]} {values['inductance']!r}"
    yield from _stray(n, ends[0], ends[1], values)


def _stray(n: int, one: str, other: str, values: Mapping[str, float]) -> Iterator[str]:
    yield f"cp{n} {one} {other} {values['parallel capacitance']!r}"
    yield f"rp{n} {one} {other} r='{values['quality'] * values['inductance']!r}*6.283185307179586*max(hertz,1)'"


def _transformer(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    """The core as j w L times mu: its current, in an inductor of its own, gives j w L I; the tables do the rest."""
    turns = values["first turns"]
    air_h = MAGNETIC_CONSTANT_H_PER_M * values["path constant"] * values["permeability scale"] * turns * turns
    yield from _winding(n, "p", ends[0], f"x{n}", _wire(values, "first"), values["first leakage"])
    yield f"vm{n} x{n} y{n} dc 0"
    yield f"fm{n} 0 z{n} vm{n} 1"
    yield f"lm{n} z{n} 0 {air_h!r}"
    real, loss = ("1", "0") if table is None else (_pwl(table, real=True), _pwl(table, real=False))
    yield f"bm{n} y{n} {ends[1]} v=v(z{n})*{real}+i(vm{n})*{air_h!r}*6.283185307179586*hertz*{loss}"
    ratio = values["second turns"] / turns
    yield from _ideal(n, ends, f"x{n}", ratio, _wire(values, "second"), values["second leakage"])


def _wire(values: Mapping[str, float], winding: str) -> str:
    """The resistance of a winding, which rises with frequency as in handbook/wire.py."""
    at_1_hz = values["wire radius"] / skin_depth_m(1.0)
    depths = f"({at_1_hz!r}*sqrt(max(hertz,1)))"
    across = f"1/sqrt((4/{depths}^3)^2+(1+0.5/{depths})^2)"
    ratio = f"(1+({depths}/2+0.25)^8)^0.125+{values[f'{winding} proximity'] - 1!r}*{depths}/2*{across}"
    return f"r='{values[f'{winding} resistance']!r}*({ratio})'"


def _bifilar(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    half = 0.5 * values["leakage inductance"]
    ohm = repr(values["dc resistance"])
    yield from _winding(n, "p", ends[0], f"x{n}", ohm, half)
    yield f"l{n} x{n} {ends[1]} {values['inductance']!r}"
    yield from _stray(n, f"x{n}", ends[1], values)
    yield from _ideal(n, ends, f"x{n}", 1.0, ohm, half)


def _measured(n: int, ends: list[str], values: Mapping[str, float], table: Permeability | None) -> Iterator[str]:
    """The current through the part, and j w times it, times the resistance and reactance of the curve."""
    if table is None:
        return
    real, imaginary = _pwl(table, real=True), _pwl(table, real=False)
    yield f"vm{n} {ends[0]} y{n} dc 0"
    yield f"fm{n} 0 z{n} vm{n} 1"
    yield f"lm{n} z{n} 0 1.0"
    scale = values["scale"]
    yield f"bm{n} y{n} {ends[1]} v={scale!r}*(i(vm{n})*{real}-v(z{n})*{imaginary}/(6.283185307179586*max(hertz,1)))"


def _winding(n: int, side: str, one: str, other: str, ohm: str, henry: float) -> Iterator[str]:
    yield f"r{side}{n} {one} {side}{n} {ohm}"
    yield f"l{side}{n} {side}{n} {other} {henry!r}"


def _ideal(n: int, ends: list[str], inner: str, ratio: float, ohm: str, henry: float) -> Iterator[str]:
    """The second winding: `ratio` times the voltage from `inner` to the first winding's end, and its current back."""
    yield from _winding(n, "s", ends[2], f"t{n}", ohm, henry)
    yield f"vs{n} t{n} u{n} dc 0"
    yield f"es{n} u{n} {ends[3]} {inner} {ends[1]} {ratio!r}"
    yield f"fs{n} {ends[1]} {inner} vs{n} {ratio!r}"


def _pwl(table: Permeability, *, real: bool) -> str:
    """The table over the logarithm of the frequency, as the program itself interpolates it."""
    points = (
        f"{math.log(f)!r},{(mu.real if real else -mu.imag)!r}"
        for f, mu in zip(table.frequencies_hz, table.values, strict=True)
    )
    return f"pwl(ln(max(hertz,1)),{','.join(points)})"


_WRITERS: Mapping[str, Writer] = {
    "resistor": _resistor,
    "capacitance": _capacitance,
    "starts": _starts,
    "ends": _ends,
    "capacitor": _capacitor,
    "conductor": _conductor,
    "contact and tracks": _contact_and_tracks,
    "choke": _choke,
    "transformer": _transformer,
    "bifilar": _bifilar,
    "measured": _measured,
}
