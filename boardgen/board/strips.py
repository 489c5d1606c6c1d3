"""Sorts the components of a netlist into strips, and each strip into cells from its port to the control entry."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.kinds import kind_of
from boardgen.model.cell import Cell, CellPart, Pair
from boardgen.model.netlist import Component, Netlist
from boardgen.model.wiring import BUS
from boardgen.stages import BOARD_STAGES, STRIP_STAGES
from boardgen.stages.line_nets import COIL_SUPPLY, FEED_SHARED
from boardgen.stages.stage import BoardStage

PadNets = Mapping[str, tuple[str | None, ...]]
"""The nets of each part's pads in the footprint's order, None for a pad without one, by designator."""
Groups = dict[tuple[str, str], list[Component]]
"""Components by their strip and stage."""


class StripPlan(Struct):
    """The cells of a strip above and below the bus.

    The bus in the strip carries the pair `onward` to its right; a changeover's carries the pair `resting` on its left,
    and that of the port at rest nothing there. `columns` is the width of a strip that has one of its own; it may be
    there `for_screws` alone. `port_aside` and `entry_aside` say how far right of its middle the parts at its ends
    stand, in columns, to make room for a screw.
    """

    label: str
    upper: list[Cell] = field(default_factory=list)
    lower: list[Cell] = field(default_factory=list)
    is_output: bool = False
    onward: Pair = BUS
    resting: Pair | None = BUS
    columns: int = 0
    for_screws: bool = False
    port_aside: int = 0
    entry_aside: int = 0

    @property
    def pairs(self) -> set[str]:
        """The nets of the bus in it that carry signals."""
        return {*self.onward, *(self.resting or ())}

    def pad_nets(self, pads: PadNets) -> set[str]:
        """The nets of the pads of its parts."""
        parts = (part for cell in (*self.upper, *self.lower) for part in cell.parts)
        return {net for part in parts for net in pads[part.component.ref] if net}


def net_classes(netlist: Netlist) -> dict[str, str]:
    """How each net is drawn: signal, feed, control, 0V or earth."""
    parts = netlist.component
    found = {}
    for net in netlist.nets:
        if net.name in ("0V", "earth"):
            found[net.name] = net.name
        elif net.name in BUS or any(n.role in kind_of(parts[n.ref].part).signal_pins for n in net.nodes):
            found[net.name] = "signal"
        elif any(kind_of(parts[n.ref].part).carries_feed for n in net.nodes):
            found[net.name] = "feed"
        else:
            found[net.name] = "control"
    return found


def ends_a_wire(component: Component) -> bool:
    """Whether a wire of the control cable ends at a part that is thick enough for a surge."""
    kind = kind_of(component.part)
    return kind.outside == "line" and kind.bears_surge


def surge_goes_on(netlist: Netlist) -> bool:
    """Whether a surge goes on from the earth, over a part that joins it to 0V, into wires of the control cable."""
    nets = {component.ref: set(netlist.pin_nets[component.ref].values()) for component in netlist.components}
    ends = any(ends_a_wire(component) and "0V" in nets[component.ref] for component in netlist.components)
    return ends and any(nets[ref] >= {"earth", "0V"} for ref in nets)


def has_terminals(netlist: Netlist) -> bool:
    """Whether wires of the control cable come to the board from the side, and not to studs from above."""
    kinds = (kind_of(component.part) for component in netlist.components)
    return any(kind.outside == "line" and not kind.bolted for kind in kinds)


def bus_nets(strips: Sequence[StripPlan], pads: PadNets, net_class: Mapping[str, str]) -> tuple[str, ...]:
    """The nets that run across the board at the bus, top to bottom: the pair, then every line that two strips have."""
    strips_of = Counter(net for strip in strips for net in strip.pad_nets(pads))
    lines = [net for net, drawn in net_class.items() if drawn in ("control", "feed") and strips_of[net] > 1]
    tracks = dict.fromkeys([*BUS, COIL_SUPPLY, FEED_SHARED, *lines, "0V"])
    return tuple(net for net in tracks if net in net_class)


def with_shared(cells: list[Cell], stages: tuple[str, ...]) -> list[Cell]:
    """The cells with those of these stages made into one: small parts then stand beside another stage's large ones."""
    inner = [cell for cell in cells if cell.stage in stages]
    if len(inner) < 2:
        return cells
    parts = tuple(part for cell in inner for part in cell.parts)
    last = inner[-1]
    name, crossed = " and ".join(cell.stage for cell in inner), any(cell.crossed for cell in inner)
    one = Cell(name, parts, last.inward, crossed, last.resting, shared=True)
    at = cells.index(inner[0])
    return [*cells[:at], one, *(cell for cell in cells[at:] if cell not in inner)]


def plan_strips(netlist: Netlist, shared: tuple[str, ...] = ()) -> list[StripPlan]:
    """The strips in the order of their ports, strips for common terminals before the output's.

    Common terminals stand in the output's strip, then in those of antennas that have none, last in strips of their own.
    `shared` are stages whose parts share one cell.
    """
    groups: Groups = {}
    for component in netlist.components:
        groups.setdefault((component.subject.strip, component.subject.stage), []).append(component)
    at_lines = _at_lines()
    strips = [_strip(netlist, groups, port.strip, shared, at_lines) for port in netlist.ports]
    output = strips[-1]
    output.is_output = True
    hosts = [output, *(strip for strip in strips[:-1] if not groups.get((strip.label, at_lines.name)))]
    own, common = (groups.get((label, at_lines.name), []) for label in (output.label, ""))
    for index, parts in enumerate(_terminal_blocks(netlist, own, common, len(hosts))):
        if index == len(hosts):
            hosts.append(StripPlan(f"service {index}", [Cell("port", place="port")]))
            strips.insert(-1, hosts[-1])
        hosts[index].lower = _cells(at_lines, netlist, parts)
    for stage in BOARD_STAGES:
        parts = groups.get(("", stage.name), [])
        if stage.beside == "bus" and parts:
            output.upper += _cells(stage, netlist, parts, BUS)
        elif stage.beside == "port" and parts:
            output.upper[1:1] = _cells(stage, netlist, parts, output.upper[0].inward or ("", ""))
    _turn_ports_alike(strips)
    return strips


def _at_lines() -> BoardStage:
    """The stage at the lines of the control cable."""
    (found,) = (stage for stage in BOARD_STAGES if stage.beside == "lines")
    return found


def screw_strip(after: StripPlan, columns: int) -> StripPlan:
    """A narrow strip without parts, behind another, in which screws stand: bus, earth and 0V pass through it."""
    lower = [cell((), {}, ("", "")) for cell in _at_lines().cells]
    upper = [Cell("port", place="port")]
    return StripPlan(
        "screws", upper, lower, onward=after.onward, resting=after.onward, columns=columns, for_screws=True
    )


def _turn_ports_alike(strips: Sequence[StripPlan]) -> None:
    """Where one strip's pair comes in with the braid on the left, those of all do, and cross over above the bus."""
    if any(cell.crossed for strip in strips for cell in strip.upper):
        for strip in strips:
            if strip.upper[0].inward and not any(cell.crossed for cell in strip.upper):
                strip.upper[-1] = replace(strip.upper[-1], crossed=True)


def _strip(netlist: Netlist, groups: Groups, label: str, shared: tuple[str, ...], at_lines: BoardStage) -> StripPlan:
    port = next(p for p in netlist.ports if p.strip == label)
    pair: Pair = (port.centre, port.braid)
    at_port: list[CellPart] = []
    cells: list[Cell] = []
    chained = None
    for stage in STRIP_STAGES:
        parts = tuple(groups.get((label, stage.name), ()))
        if not parts:
            continue
        cell = stage.cell(parts, netlist.pin_nets, pair)
        if not stage.in_series:
            at_port += cell.parts
            continue
        pair = cell.inward or pair
        cells.append(cell)
        chained = cell if stage.chained else chained
    cells.insert(0, Cell("port", tuple(at_port), (port.centre, port.braid), place="port"))
    lower = _cells(at_lines, netlist, groups.get((label, at_lines.name), []))
    strip = StripPlan(label, with_shared(cells, shared), lower)
    if chained:
        strip.onward, strip.resting = pair, chained.resting
    return strip


def _cells(stage: BoardStage, netlist: Netlist, parts: Sequence[Component], pair: Pair = ("", "")) -> list[Cell]:
    return [cell(tuple(parts), netlist.pin_nets, pair) for cell in stage.cells]


def _terminal_blocks(
    netlist: Netlist, own: list[Component], common: list[Component], hosts: int
) -> list[list[Component]]:
    """Common terminals, one block a strip, each with the guards of its lines; the output's own first, then 0V.

    A stud on 0V comes before all.

    Of studs two may share a strip, where there are not `hosts` enough for all of them.
    """
    ends = [c for c in common if kind_of(c.part).outside]
    own_ends = [c for c in own if kind_of(c.part).outside]
    guards = [c for c in (*own, *common) if not kind_of(c.part).outside]
    few = len(ends) + len(own_ends) <= hosts
    share = 1 if few else max((kind_of(c.part).side_by_side for c in ends), default=1)
    nets = {c.ref: set(netlist.pin_nets[c.ref].values()) for c in (*own, *common)}
    own_nets = set().union(*(nets[c.ref] for c in own)) - {"0V", COIL_SUPPLY} if own else set()

    def order(end: Component) -> tuple[bool, ...]:
        zero = "0V" in nets[end.ref]
        # a surge comes down the output's strip to the stud on 0V
        return not (zero and kind_of(end.part).bolted), end not in own, not nets[end.ref] & own_nets, not zero

    ends = sorted((*own_ends, *ends), key=order)
    blocks: list[list[Component]] = [ends[start : start + share] for start in range(0, len(ends), share)] or [[]]
    for guard in guards:
        live = nets[guard.ref] - {"0V"}
        # what guards none of the lines that end here stands on the output's strip
        home = next((block for block in blocks if any(nets[c.ref] & live for c in block)), blocks[0])
        home.append(guard)
    return blocks
