"""The pieces of a schematic, each drawn from the netlist alone: strips, the output, the control entry, the earth."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from boardgen.circuit.sketches import common_rows, control_rows, is_output, parts_of, path_sketch
from boardgen.documents.pictures.sketch import box
from boardgen.kinds import kind_of
from boardgen.model.netlist import Netlist, Port
from boardgen.model.sketch import STEP_MM, Sketch, together
from boardgen.stages.pen import short

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


def _essence(netlist: Netlist, port: Port) -> object:
    """What two antennas have in common whose drawings differ in designators only."""
    return tuple(
        (
            replace(part.subject, strip=""),
            part.part.kind,
            "" if kind_of(part.part).outside else part.value,
            part.fitted,
            tuple(sorted((role, short(netlist, net, port.strip)) for role, net in netlist.pin_nets[part.ref].items())),
        )
        for part in parts_of(netlist, port.strip)
    )


def strip_sketch(netlist: Netlist, port: Port) -> Sketch:
    """A strip: the signal path from left to right, under it what works its relays and feeds its coax."""
    path = path_sketch(netlist, port)
    if is_output(port):
        path = path.mirrored()
    left, _, right, _ = box(path)
    return _stacked([path, *_beside(control_rows(netlist, port), (right - left) / STEP_MM)])


def common_sketch(netlist: Netlist) -> Sketch | None:
    """The lines that serve the whole board, at terminals or studs."""
    rows = common_rows(netlist)
    return _stacked(rows) if rows else None


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
