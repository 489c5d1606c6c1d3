"""The pieces of a schematic, each drawn from the netlist alone: strips, the output, the control entry, the earth."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from boardgen.documents.pictures.sketch_svg import box
from boardgen.kinds import kind_of
from boardgen.model.netlist import Component, Netlist, Port
from boardgen.model.sketch import STEP_MM, Sketch, together
from boardgen.stages.control_entry import symbol as control_entry
from boardgen.stages.earth import symbol as earth
from boardgen.stages.pen import Pen, short
from boardgen.stages.selector.drive import drive
from boardgen.stages.sketches import SIGNAL

BUS = ("bus centre", "bus braid")
DRAWN_ALL = 2
"""So many antennas are all drawn; of more, those that are wired alike are drawn once."""
GAP_STEPS, BESIDE_STEPS = 1.0, 4.0


class Kind(Struct, frozen=True):
    """Antennas that are wired alike with the same values: the first is drawn, the others are listed."""

    ports: tuple[Port, ...]


def kinds(netlist: Netlist) -> list[Kind]:
    """The antennas of a board by what is drawn of them, in the order of their ports."""
    antennas = [port for port in netlist.ports if not is_output(port)]
    if len(antennas) <= DRAWN_ALL:
        return [Kind((port,)) for port in antennas]
    alike: dict[object, list[Port]] = {}
    for port in antennas:
        alike.setdefault(_essence(netlist, port), []).append(port)
    return [Kind(tuple(ports)) for ports in alike.values()]


def is_output(port: Port) -> bool:
    """Whether a port is that of the main coax; no antenna may have its name."""
    return port.strip == "output"


def parts_of(netlist: Netlist, strip: str, *stages: str) -> tuple[Component, ...]:
    """The parts of a strip, of all stages or of some, in order."""
    return tuple(
        part
        for part in netlist.components
        if part.subject.strip == strip and (part.subject.stage in stages or not stages)
    )


def strip_name(netlist: Netlist, port: Port) -> str:
    """How the strip is called in the names of its nets."""
    return netlist.component[port.ref].value


def _essence(netlist: Netlist, port: Port) -> object:
    """What two antennas have in common whose drawings differ in designators only."""
    name = strip_name(netlist, port)
    return tuple(
        (
            part.subject.stage,
            part.subject.slot,
            part.part.kind,
            "" if kind_of(part.part).outside else part.value,
            part.fitted,
            tuple(sorted((role, short(net, name)) for role, net in netlist.joins[part.ref].items())),
        )
        for part in parts_of(netlist, port.strip)
    )


def strip_sketch(netlist: Netlist, port: Port) -> Sketch:
    """A strip: the signal path from left to right, under it what works its relays and feeds its coax."""
    output = is_output(port)
    signal = _signal(netlist, port, output=output)
    if output:
        signal = signal.mirrored()
    left, _, right, _ = box(signal)
    return _stacked([signal, *_beside(_control(netlist, port), (right - left) / STEP_MM)])


def _signal(netlist: Netlist, port: Port, *, output: bool) -> Sketch:
    name, pair, x = strip_name(netlist, port), (port.centre, port.braid), 0.0
    pieces = []
    for stage, symbol in SIGNAL.items():
        ends = stage == "bus"
        parts = parts_of(netlist, "", stage) if ends and output else parts_of(netlist, port.strip, stage)
        if parts:
            # the bus has its name at its end
            pen = Pen(netlist.joins, name, BUS if output and not ends else ())
            piece = symbol(parts, pen, pair)
            pieces.append(piece.moved(x, 0))
            x, pair = x + piece.right, piece.inward
    return together(pieces)


def _control(netlist: Netlist, port: Port) -> list[Sketch]:
    """The rows of the strip's own lines, the one that selects it first; the output and a port at rest have none."""
    name, parts = strip_name(netlist, port), parts_of(netlist, port.strip, "control entry")
    about = parts_of(netlist, port.strip, "selector", "changeover")
    if not any(part.part.kind == "relay" for part in about):
        return line_rows(netlist, parts, name)
    select = _select(netlist, about)
    line = control_entry.line(parts, Pen(netlist.joins, name), select)
    works, entry = drive(about, Pen(netlist.joins, name), select)
    pieces = [line.moved(0, entry), works.moved(line.right, 0)]
    spare = control_entry.zero(parts, Pen(netlist.joins, name))
    if spare.glyphs:
        pieces.append(spare.moved(0, entry + control_entry.PIN_STEPS))
    return [together(pieces), *line_rows(netlist, parts, name, select)]


def _select(netlist: Netlist, about: tuple[Component, ...]) -> str:
    """The net that works a strip's relays: behind the series diode where there is one, else at the coil itself."""
    relay = next(part for part in about if part.part.kind == "relay")
    coil = netlist.joins[relay.ref]
    switched = coil["coil +"] if coil["coil -"] == "0V" else coil["coil -"]
    for part in about:
        joined = set(netlist.joins[part.ref].values())
        if part.subject.slot == "series diode" and switched in joined:
            (select,) = joined - {switched}
            return select
    return switched


def line_rows(netlist: Netlist, parts: tuple[Component, ...], name: str, select: str = "") -> list[Sketch]:
    """A row for each line but the one that selects; that one only where a fuse hangs on it."""

    def pen() -> Pen:
        return Pen(netlist.joins, name)

    rows = []
    fused = {net for p in parts if p.part.kind == "fuse" for net in netlist.joins[p.ref].values()}
    for net in control_entry.lines(parts, pen()):
        if net == select:
            if net in fused:
                rows.append(control_entry.fused(parts, pen(), net, begins=True))
            continue
        line = control_entry.line(parts, pen(), net)
        if net in fused:
            line = together([line, control_entry.fused(parts, pen(), net, begins=False).moved(line.right, 0)])
        rows.append(line)
    if not select:
        rows.append(control_entry.zero(parts, pen()))
    return [row for row in rows if row.wires]


def common_sketch(netlist: Netlist) -> Sketch | None:
    """The lines that serve the whole board, at terminals or studs."""
    parts = tuple(part for part in parts_of(netlist, "", "control entry") if part.part.kind != "jack")
    rows = line_rows(netlist, parts, "")
    return _stacked(rows) if rows else None


def jack_sketches(netlist: Netlist) -> list[Sketch]:
    """Each jack of the control cable."""
    return [control_entry.jack(part, Pen(netlist.joins)) for part in netlist.of_kind("jack")]


def earth_sketch(netlist: Netlist) -> Sketch | None:
    """The stake's stud and what joins it to 0V."""
    parts = parts_of(netlist, "", "earth")
    return earth.symbol(parts, Pen(netlist.joins), ("", "")) if parts else None


def _beside(pieces: Iterable[Sketch], most: float) -> list[Sketch]:
    """Pieces in rows that are no wider than that, each row as one piece."""
    rows: list[list[Sketch]] = []
    x = 0.0
    for piece in pieces:
        left, _, right, _ = (value / STEP_MM for value in box(piece))
        wide = _whole(right - left) + BESIDE_STEPS
        if not rows or x + wide > most:
            rows.append([])
            x = 0.0
        rows[-1].append(piece.moved(x - _whole(left), 0))
        x += wide
    return [together(row) for row in rows]


def _stacked(pieces: Iterable[Sketch]) -> Sketch:
    """Pieces under each other, their left edges in line, on the raster."""
    placed: list[Sketch] = []
    y = 0.0
    for piece in pieces:
        left, top, _, bottom = (value / STEP_MM for value in box(piece))
        placed.append(piece.moved(-_whole(left), y - _whole(top)))
        y += _whole(bottom) - _whole(top) + GAP_STEPS
        y = float(round(y))
    return together(placed)


def _whole(value: float) -> float:
    return float(round(value))
