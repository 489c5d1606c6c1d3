"""Common faults of a freshly built board, one strip and the board's own parts, as changes of its network."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.commissioning.bench import Bench, pin_node
from boardgen.direct_current.elements import OPEN, Curve, Element, Resistor
from boardgen.kinds import kind_of
from boardgen.kinds.direct_current import JOINT_OHM
from boardgen.model.netlist import Component
from boardgen.spec.strip import Strip

DRY_OHM = 1000.0
"""A dry joint that still conducts a little: an assumed figure; a worse one reads open."""


class Fault(Struct, frozen=True):
    """What is wrong, in which parts, and the elements that stand in the place of the whole ones.

    `parted` is a part that passes no direct current and is open: only radio frequencies notice.
    """

    name: str
    refs: tuple[str, ...]
    change: tuple[Element, ...]
    parted: bool = False


def strip_faults(bench: Bench, strip: Strip) -> tuple[Fault, ...]:
    """What can be wrong with the parts of one port."""
    parts = [c for c in bench.fitted if c.subject.strip == strip.label]
    return tuple(fault for part in parts for fault in of_part(bench, part))


def board_faults(bench: Bench) -> tuple[Fault, ...]:
    """What can be wrong with the parts that no antenna has to itself."""
    parts = [c for c in bench.fitted if c.subject.strip in ("", bench.request.output.label)]
    return tuple(fault for part in parts for fault in of_part(bench, part))


def of_part(bench: Bench, part: Component) -> tuple[Fault, ...]:
    """The common faults of one part."""
    joins = bench.netlist.joins[part.ref]
    whole = list(bench.of_part(part))
    return tuple(_of_kind(part, joins, whole))


def _of_kind(part: Component, joins: dict[str, str], whole: list[Element]) -> Iterator[Fault]:
    kind, ref = part.part.kind, part.ref
    if kind in ("resistor", "choke", "fuse", "link"):
        yield _fault(part, "open, or a dry joint", (_open(whole[0]),))
    if kind in ("resistor", "choke"):
        yield _fault(part, "short", (_short(whole[0]),))
    if kind == "capacitor":
        yield Fault("open, or a dry joint", (ref,), (), parted=True)
    if kind in ("capacitor", "gas tube", "suppressor"):
        yield from _shorted(part, joins)
    if kind in ("diode", "indicator"):
        yield _fault(part, "open, or a dry joint", (_open(whole[0]),))
        yield _fault(part, "short", (_short(whole[0]),))
        yield _fault(part, "turned round", (_turned(whole[0]),))
    if kind == "core":
        yield from _core(part, joins, whole)
    if kind == "bifilar choke":
        yield from (_fault(part, f"winding {w.name[-1]} open, or a dry joint", (_open(w),)) for w in whole)
    if kind == "relay":
        yield from _relay(part, whole)
    if kind_of(part.part).outside:
        for role in joins:
            node = pin_node(ref, role)
            joint = f"{node} joint"
            words = "" if len(joins) == 1 else (f" at its {role}" if kind == "connector" else f" at pin {role}")
            yield _fault(part, f"dry joint{words}", (Resistor(joint, node, joins[role], DRY_OHM),))


def _fault(part: Component, name: str, change: tuple[Element, ...]) -> Fault:
    return Fault(name, (part.ref,), change)


def _open(element: Element) -> Element:
    return Resistor(element.name, *element.ends, OPEN)


def _short(element: Element) -> Element:
    return Resistor(element.name, *element.ends, JOINT_OHM)


def _turned(element: Element) -> Element:
    if not isinstance(element, Curve):
        raise TypeError("only a part with a polarity can be turned round")
    return replace(element, a=element.b, b=element.a)


def _shorted(part: Component, joins: dict[str, str]) -> Iterator[Fault]:
    """What passes no current when whole; a tube of three electrodes may fail to either line."""
    roles = list(joins)
    if part.part.kind == "suppressor":
        yield _fault(part, "short", (Resistor(part.ref, joins["1"], joins["2"], JOINT_OHM),))
        return
    pairs = [(role, "earth") for role in roles if role != "earth"] if "earth" in roles else [(roles[0], roles[1])]
    for one, other in pairs:
        words = "short" if len(pairs) == 1 else f"short from {one} to {other}"
        yield _fault(part, words, (Resistor(f"{part.ref} short", joins[one], joins[other], JOINT_OHM),))


def _core(part: Component, joins: dict[str, str], whole: list[Element]) -> Iterator[Fault]:
    for winding in whole:
        yield _fault(
            part, f"{winding.name.removeprefix(part.ref + ' ')} open: enamel left on an end", (_open(winding),)
        )
    touch = Resistor(f"{part.ref} touch", joins["primary start"], joins["secondary start"], JOINT_OHM)
    yield _fault(part, "windings touch: enamel scraped through", (touch,))
    port, board = whole
    crossed = (
        Resistor(port.name, joins["primary start"], joins["secondary end"], getattr(port, "ohm", 0.0)),
        Resistor(board.name, joins["secondary start"], joins["primary end"], getattr(board, "ohm", 0.0)),
    )
    yield _fault(part, "ends of both windings exchanged", crossed)
    turned = (Resistor(port.name, joins["primary end"], joins["primary start"], getattr(port, "ohm", 0.0)),)
    yield _fault(part, "start and end of one winding exchanged", turned)


def _relay(part: Component, whole: list[Element]) -> Iterator[Fault]:
    coil, *contacts = whole
    yield _fault(part, "missing, or no pin soldered", (_open(coil), *map(_open, contacts)))
    yield _fault(part, "coil open, or a dry joint at it", (_open(coil),))
    for pole in "AB":
        throws = {
            c.name.removeprefix(f"{part.ref} {pole} "): c for c in contacts if c.name.startswith(f"{part.ref} {pole} ")
        }
        stuck = tuple((_short if throw == "normally open" else _open)(contact) for throw, contact in throws.items())
        yield _fault(part, f"contact of pole {pole} stuck in the pulled-in place", stuck)
        never = tuple(_open(c) for throw, c in throws.items() if throw == "normally open")
        yield _fault(part, f"contact of pole {pole} does not make, or a dry joint at its pin", never)
