"""The pieces of a schematic, drawn by the stages from the netlist alone: paths, control rows, and what stands apart."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.model.netlist import Component, Netlist, Port
from boardgen.model.sketch import Sketch, together
from boardgen.model.wiring import BUS
from boardgen.stages import BOARD_STAGES, STRIP_STAGES
from boardgen.stages import control_entry as entry
from boardgen.stages.pen import Pen
from boardgen.stages.relays import control_net, drive


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


def path_sketch(netlist: Netlist, port: Port) -> Sketch:
    """The signal path of a strip from its port inward; that of the output as far as what hangs on the bus."""
    pair, x, output = (port.centre, port.braid), 0.0, is_output(port)
    pieces = []
    # the bus has its name at its end
    unnamed = BUS if output else ()
    for stage in STRIP_STAGES:
        if parts := parts_of(netlist, port.strip, stage.name):
            piece = stage.symbol(parts, Pen(netlist, port.strip, unnamed), pair)
            pieces.append(piece.moved(x, 0))
            x, pair = x + piece.right, piece.inward
    for end in BOARD_STAGES if output else ():
        parts = parts_of(netlist, "", end.name)
        if end.symbol and end.beside == "bus" and parts:
            piece = end.symbol(parts, Pen(netlist, port.strip), pair)
            pieces.append(piece.moved(x, 0))
            x, pair = x + piece.right, piece.inward
    return together(pieces)


def control_rows(netlist: Netlist, port: Port) -> list[Sketch]:
    """The rows of a strip's own lines: first those that work the relays of a stage, then the others."""
    parts = parts_of(netlist, port.strip, entry.NAME)
    works = [parts_of(netlist, port.strip, stage.name) for stage in STRIP_STAGES]
    works = [about for about in works if any(part.part.kind == "relay" for part in about)]
    rows, controls = [], []
    for about in works:
        control = control_net(about, netlist.pin_nets)
        controls.append(control)
        line = entry.line_row(parts, Pen(netlist, port.strip), control)
        drawn, row = drive(about, Pen(netlist, port.strip), control)
        pieces = [line.moved(0, row), drawn.moved(line.right, 0)]
        zero = entry.zero_row(parts, Pen(netlist, port.strip))
        if zero.glyphs and about is works[0]:
            pieces.append(zero.moved(0, row + entry.PIN_STEPS))
        rows.append(together(pieces))
    return [*rows, *_line_rows(netlist, parts, port.strip, controls)]


def common_rows(netlist: Netlist) -> list[Sketch]:
    """The lines that serve the whole board, at terminals or studs."""
    parts = tuple(part for part in parts_of(netlist, "", entry.NAME) if part.part.kind != "jack")
    return _line_rows(netlist, parts, "", [])


def jack_sketches(netlist: Netlist) -> list[Sketch]:
    """Each jack of the control cable."""
    return [entry.jack(part, Pen(netlist)) for part in netlist.of_kind("jack")]


def apart_sketches(netlist: Netlist) -> Iterator[tuple[str, Sketch]]:
    """Each stage of the board that is drawn by itself, with its name."""
    for stage in BOARD_STAGES:
        parts = parts_of(netlist, "", stage.name)
        if stage.symbol and stage.beside != "bus" and parts:
            yield stage.name, stage.symbol(parts, Pen(netlist), ("", ""))


def drawn_refs(netlist: Netlist) -> set[str]:
    """The designators of all parts that have a symbol in the schematic."""
    sketches = [*common_rows(netlist), *jack_sketches(netlist), *(sketch for _, sketch in apart_sketches(netlist))]
    for port in netlist.ports:
        sketches += [path_sketch(netlist, port), *control_rows(netlist, port)]
    return {glyph.ref for sketch in sketches for glyph in sketch.glyphs}


def _line_rows(netlist: Netlist, parts: tuple[Component, ...], strip: str, controls: list[str]) -> list[Sketch]:
    """A row for each line that is not among `controls`; one of those only where a fuse hangs on it."""

    def pen() -> Pen:
        return Pen(netlist, strip)

    rows = []
    fused = {net for p in parts if p.part.kind == "fuse" for net in netlist.pin_nets[p.ref].values()}
    for net in entry.row_nets(parts, pen()):
        if net in controls:
            if net in fused:
                rows.append(entry.fuse_row(parts, pen(), net, begins=True))
            continue
        line = entry.line_row(parts, pen(), net)
        if net in fused:
            line = together([line, entry.fuse_row(parts, pen(), net, begins=False).moved(line.right, 0)])
        rows.append(line)
    if not controls:
        rows.append(entry.zero_row(parts, pen()))
    return [row for row in rows if row.wires]
