"""Where a person puts the two tips of a meter."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from boardgen.commissioning.bench import Bench, pin_node
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import feed_line_net, select_net


class Probe(Struct, frozen=True):
    """Two points: how they are called on the board, and the nodes they are. `strip` is "" for the board itself.

    `when_selected` says that it is also read with the relay pulled in; `live` that a feed is then across it;
    `through_diode` that the meter drives a diode, and its red tip is at the first point. `points` are both as people
    call them, where a diode may lie between. `refs` are the parts whose pins are touched.
    """

    name: str
    where: str
    a: str
    b: str
    strip: str
    refs: tuple[str, ...]
    when_selected: bool = True
    live: bool = False
    through_diode: bool = False
    points: tuple[str, str] = ("", "")


def strip_probes(bench: Bench, strip: Strip) -> tuple[Probe, ...]:
    """What is read of one antenna."""
    return tuple(_of_strip(bench, strip))


def board_probes(bench: Bench) -> tuple[Probe, ...]:
    """What is read once a board: the output and the common lines."""
    return tuple(_of_board(bench))


def _of_strip(bench: Bench, strip: Strip) -> Iterator[Probe]:
    follows = strip.feed is not None and feed_line_net(bench.request, strip) == select_net(strip)
    yield from _port(bench, strip, live=follows)
    yield from _relays(bench, strip, strip.label)
    yield from _line(bench, "select line to 0V", select_net(strip), strip.label)
    if strip.feed is not None and not follows and bench.request.spec.switching.feed_lines != "shared":
        yield from _line(bench, "feed line to 0V", feed_line_net(bench.request, strip), strip.label)


def _relays(bench: Bench, strip: Strip, owner: str) -> Iterator[Probe]:
    """Contacts and coils of the port's relays, and its stages' own lines; `owner` is the strip of the probes."""
    poles: dict[str, list[str]] = {}
    for contact in bench.netlist.contacts:
        if contact.strip != strip.label:
            continue
        pins = bench.netlist.component[contact.ref].part.pins
        common, closed, opened = (
            pins[f"pole {contact.pole} {end}"] for end in ("common", "normally closed", "normally open")
        )
        for throw, pad, net in (("normally open", opened, contact.opened), ("normally closed", closed, contact.closed)):
            if net:
                where = f"{contact.ref} pins {common} and {pad}"
                yield Probe(
                    f"pole {contact.pole}, common to {throw}", where, contact.common, net, owner, (contact.ref,)
                )
        poles.setdefault(contact.ref, []).append(common)
    for ref, commons in poles.items():
        pins, pin_nets = bench.netlist.component[ref].part.pins, bench.netlist.pin_nets[ref]
        where = f"{ref} pins {commons[0]} and {commons[1]}"
        yield Probe("between both commons", where, pin_nets["pole A common"], pin_nets["pole B common"], owner, (ref,))
        where = f"{ref} pins {pins['coil +']} and {pins['coil -']}"
        yield Probe("coil", where, pin_nets["coil +"], pin_nets["coil -"], owner, (ref,), when_selected=False)
    for line in bench.lines_of(strip.label):
        if not line.selects:
            yield from _line(bench, f"line {line.net} to 0V", line.net, strip.label)


def _of_board(bench: Bench) -> Iterator[Probe]:
    request = bench.request
    yield from _port(bench, request.output)
    yield from _relays(bench, request.output, "")
    if request.output.feed is not None and request.spec.switching.feed_lines != "shared":
        yield from _line(bench, "feed line of the output to 0V", feed_line_net(request, request.output), "output")
    if request.spec.switching.feed_lines == "shared":
        yield from _line(bench, "shared feed line to 0V", "feed line shared", "")
    if request.low_side:
        yield from _line(bench, "coil supply to 0V", "coil supply", "")
    if earth := bench.pin_of("earth"):
        zero = bench.pin_of("0V")
        if zero:
            where = f"{shown(bench, earth)} and {shown(bench, zero)}"
            yield Probe("earth to 0V", where, pin_node(*earth), pin_node(*zero), "", (earth[0], zero[0]))


def _port(bench: Bench, strip: Strip, *, live: bool = False) -> Iterator[Probe]:
    port = next(p for p in bench.netlist.ports if p.strip == strip.label)
    label = "" if strip.is_output else strip.label
    name = "output, " if strip.is_output else ""
    centre, braid = pin_node(port.ref, "centre"), pin_node(port.ref, "braid")
    yield Probe(f"{name}centre to braid", f"{port.ref} centre and braid", centre, braid, label, (port.ref,), live=live)
    for net in ("0V", "earth"):
        pin = bench.pin_of(net)
        if pin:
            where = f"{port.ref} braid and {shown(bench, pin)}"
            yield Probe(f"{name}braid to {net}", where, braid, pin_node(*pin), label, (port.ref, pin[0]), live=live)


def _line(bench: Bench, name: str, net: str, strip: str) -> Iterator[Probe]:
    pin, zero = bench.pin_of(net, strip), bench.pin_of("0V")
    if pin and zero:
        points = (shown(bench, pin), shown(bench, zero))
        strip = "" if strip == "output" else strip
        where, nodes = " and ".join(points), (pin_node(*pin), pin_node(*zero))
        yield Probe(name, where, *nodes, strip, (pin[0], zero[0]), when_selected=False, points=points)


def shown(bench: Bench, pin: tuple[str, str]) -> str:
    """A pin as a person calls it; a stud is called by its designator alone."""
    ref, role = pin
    return ref if len(bench.netlist.pin_nets[ref]) == 1 else f"{ref} pin {role}"
