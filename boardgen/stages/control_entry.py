"""The control entry: terminals, studs or jacks where the cable ends, and what guards the lines behind them.

Two-way terminals stand one a strip, so that no line leaves its strip, and some for the common lines; returns take the
screws that are left. Studs stand one a line; eight-way jacks carry lines from pin 1 up and 0V on the last pins, in T568
order. Guards are suppressors to 0V, and a fuse, a capacitor and a bleeder for each feed. It is drawn line by line: a
row from a terminal past what guards it.
"""

from __future__ import annotations

from boardgen.kinds import jack as jacks
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.part import Part
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import Use, Wiring
from boardgen.request import Request
from boardgen.stages.line_nets import Line, feed_line_net, feed_net
from boardgen.stages.pen import Pen, pitch, shown, spread
from boardgen.stages.stage import BoardStage
from boardgen.stages.uses import two_pin

NAME = "control entry"
SPARE = "0V"
"""What a screw that no line takes is joined to."""
LINE_ENDS = ("terminal", "stud")
"""Kinds of part that are drawn at the end of a line; jacks stand apart."""
PIN_STEPS, ZERO_STEPS = 3, 4


def wiring(request: Request, lines: tuple[Line, ...], choices: Choices) -> Wiring:
    """The chosen kind of entry, then suppressors, fuses and capacitors. All nets are the board's own."""
    entry = {"terminals": _terminals, "studs": _studs, "jack": _jacks}[request.spec.control.entry]
    return Wiring((*entry(request, lines, choices), *_suppressors(request, lines, choices), *_feeds(request, choices)))


def _terminals(request: Request, lines: tuple[Line, ...], choices: Choices) -> list[Use]:
    """An antenna's blocks carry its own lines, and 0V on a screw that is left; returns that find none stand in common.

    The common blocks have a screw for 0V even so, where that takes no further block.
    """
    part = choices.fixed("terminal", Subject("", NAME, "terminal"))
    found = []
    antennas = {strip.label: strip for strip in request.antennas}
    returns = request.spec.control.returns
    for strip in antennas.values():
        own = [line.net for line in lines if line.strip == strip.label]
        for number, nets in enumerate(_twos(own), 1):
            subject = Subject(strip.label, NAME, "terminal", number if number > 1 else 0)
            found.append(_block(subject, part, nets, strip.name, strip.fitted))
        returns -= len(own) % 2 if strip.fitted else 0
    live = [line.net for line in lines if line.strip not in antennas and line.kind != "0V"]
    common = [SPARE] * max(returns, 0 if live else 1) + live
    for number, nets in enumerate(_twos(common), 1):
        found.append(_block(Subject("", NAME, "common terminal", number), part, nets, "common"))
    return found


def _twos(nets: list[str]) -> list[list[str]]:
    return [nets[start : start + 2] for start in range(0, len(nets), 2)]


def _block(subject: Subject, part: Part, nets: list[str], value: str, fitted: bool = True) -> Use:
    first, second = [*nets, SPARE][:2]
    return Use(subject, part, value, {"1": first, "2": second}, fitted)


def _studs(request: Request, lines: tuple[Line, ...], choices: Choices) -> list[Use]:
    """One stud for every line; paralleled returns share one, since a stud takes several lugs."""
    part = choices.fixed("stud", Subject("", NAME, "stud"))
    found: dict[str, Use] = {}
    for line in lines:
        subject = Subject(line.strip, NAME, f"{line.kind} stud")
        found.setdefault(line.net, Use(subject, part, line.net, {"1": line.net}, line.fitted))
    return list(found.values())


def _jacks(request: Request, lines: tuple[Line, ...], choices: Choices) -> list[Use]:
    """As many jacks as cables, or as the lines need; every jack has a 0V of its own on pin 8."""
    part = choices.fixed("jack", Subject("", NAME, "jack"))
    live = [line.net for line in lines if line.kind != "0V"]
    returns = request.spec.control.returns
    count = max(request.spec.control.cables, -(-len(live) // (jacks.PINS - 1)), -(-(len(live) + returns) // jacks.PINS))
    share = -(-len(live) // count)
    found = []
    for number in range(count):
        nets = live[number * share : (number + 1) * share]
        grounds = min(jacks.PINS - len(nets), max(1, -(-returns // count)))
        pins = {str(pin): net for pin, net in enumerate(nets, 1)}
        pins |= {str(jacks.PINS - offset): "0V" for offset in range(grounds)}
        found.append(Use(Subject("", NAME, "jack", number + 1), part, "not Ethernet", pins))
    return found


def _suppressors(request: Request, lines: tuple[Line, ...], choices: Choices) -> list[Use]:
    """From every live line to 0V, where surge protection is on."""
    if not request.spec.protection.surge:
        return []
    part = choices.part("line suppressor", Subject("", NAME, "suppressor"))
    return [
        two_pin(Subject(line.strip, NAME, f"{line.kind} suppressor"), part, part.value, line.net, "0V", line.fitted)
        for line in lines
        if line.kind != "0V"
    ]


def _feeds(request: Request, choices: Choices) -> list[Use]:
    """The fuse, capacitor and bleeder of each feed line."""
    found: dict[str, list[Use]] = {}
    shared = request.spec.switching.feed_lines == "shared"
    for strip in request.strips:
        net = feed_net(request, strip)
        if strip.feed is None or net in found:
            continue
        owner = "" if shared else strip.label
        fitted = shared or strip.fitted
        fuse_at = Subject(owner, NAME, "feed fuse")
        fuse = choices.part("feed fuse", fuse_at)
        capacitor = choices.part("rail capacitor", Subject("", NAME, "feed decoupling"))
        bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
        found[net] = [
            two_pin(fuse_at, fuse, fuse.value, feed_line_net(request, strip), net, fitted),
            two_pin(Subject(owner, NAME, "feed decoupling"), capacitor, capacitor.value, net, "0V", fitted),
            two_pin(Subject(owner, NAME, "feed bleeder"), bleeder, bleeder.value, net, "0V", fitted),
        ]
    return [use for guards in found.values() for use in guards]


def row_nets(parts: tuple[Component, ...], pen: Pen) -> list[str]:
    """The nets that have a row of their own: those of the terminals and of the guards, 0V apart."""
    found: dict[str, None] = {}
    for part in parts:
        joined = pen.pin_nets[part.ref]
        if part.part.kind in LINE_ENDS:
            found |= dict.fromkeys(joined.values())
        elif part.part.kind in ("suppressor", "fuse"):
            found.setdefault(joined[next(iter(part.part.pins))])
    return [net for net in found if net != "0V"]


def line_row(parts: tuple[Component, ...], pen: Pen, net: str) -> Sketch:
    """A line as far as its suppressors; it goes on at the right as the same net."""
    pins = [(p, role) for p in parts if p.part.kind in LINE_ENDS for role, n in pen.pin_nets[p.ref].items() if n == net]
    for number, (part, role) in enumerate(pins):
        y = PIN_STEPS * number
        _pin(part, role, pen, y)
        pen.wire((1, y), (2, y), (2, 0))
    pen.name(net, 1.2 if pins else 0.0, 0)
    right = (1.0 if pins else 0.0) + pen.room(net)
    start, at = (2.0 if pins else 0.0), max(5.0, right)
    for part in parts:
        if part.part.kind == "suppressor" and net in pen.pin_nets[part.ref].values():
            pen.hang(part, at, 0, net)
            at += pitch(part)
            right = max(right, at)
    pen.wire((start, 0), (right, 0))
    return pen.sketch(right, (net, ""))


def zero_row(parts: tuple[Component, ...], pen: Pen) -> Sketch:
    """The terminals on 0V, one under the other."""
    y = 0
    for part in parts:
        for role, net in pen.pin_nets[part.ref].items():
            if part.part.kind in LINE_ENDS and net == "0V":
                _pin(part, role, pen, y)
                pen.wire((1, y), (2, y))
                pen.mark(net, 2, y)
                y += ZERO_STEPS
    return pen.sketch()


def _pin(part: Component, role: str, pen: Pen, y: float) -> None:
    pen.glyph(part, "stud" if part.part.kind == "stud" else "terminal", (0, y), (role,))
    single = len(pen.pin_nets[part.ref]) == 1
    pen.text((-1, y + 0.3), shown(part, "" if single else f".{role}"), "ref", part.ref, "end")


def fuse_row(parts: tuple[Component, ...], pen: Pen, net: str, *, begins: bool) -> Sketch:
    """The fuse of a feed and what holds the line behind it. `begins` where no line leads here."""
    fuse = next(p for p in parts if p.part.kind == "fuse" and net in pen.pin_nets[p.ref].values())
    at = 1.0
    if begins:
        pen.name(net, 0, 0)
        at = pen.room(net)
    at += spread(fuse)
    pen.wire((0, 0), (at, 0))
    behind = pen.across(fuse, at, 0, net)
    at += 6 + spread(fuse)
    pen.wire((at - 2 - spread(fuse), 0), (at, 0))
    for part in parts:
        if part.part.kind in ("capacitor", "resistor") and behind in pen.pin_nets[part.ref].values():
            pen.hang(part, at, 0, behind)
            at += pitch(part)
            pen.wire((at - pitch(part), 0), (at, 0))
    pen.wire((at, 0), (at + pen.room(behind), 0))
    pen.name(behind, at + 0.2, 0)
    return pen.sketch(at + pen.room(behind))


def jack(part: Component, pen: Pen) -> Sketch:
    """A jack with its pins by number, and the net of each that is used."""
    pen.glyph(part, "jack", (0, 0), tuple(str(pin + 1) for pin in range(jacks.PINS)))
    pen.text((1.5, -1.7), shown(part), "ref", part.ref, "middle")
    right = 6.0
    for pin in range(jacks.PINS):
        y = jacks.PIN_STEPS * pin
        net = pen.pin_nets[part.ref].get(str(pin + 1))
        pen.text((2.6, y + 0.3), str(pin + 1), "pin", part.ref, "end")
        if net:
            end = 4 + pen.room(net)
            pen.wire((4, y), (end, y))
            pen.name(net, 4.2, y)
            right = max(right, end)
    return pen.sketch(right)


def guards(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Suppressors first, since they are long, then the rest; no pair reaches them."""
    inner = [part for part in parts if part.part.kind not in (*LINE_ENDS, "jack")]
    ordered = sorted(inner, key=lambda part: part.part.kind != "suppressor")
    return Cell("guards", tuple(map(CellPart, ordered)), place="lines")


def edge(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Wire entry towards the edge, so nothing is turned."""
    ends = (part for part in parts if part.part.kind in (*LINE_ENDS, "jack"))
    return Cell("entry", tuple(CellPart(part, (0,)) for part in ends), place="entry")


CONTROL_ENTRY = BoardStage(NAME, wiring, "lines", (guards, edge))
