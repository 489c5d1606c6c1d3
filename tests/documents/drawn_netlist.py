"""Reads a schematic back from its geometry alone, with a table of terminals of its own, and judges it by a netlist.

Wires that meet end to end are joined; three or more need a dot; wires that cross are not joined; an end that lies on a
wire without a dot is a fault. Points of one name are joined, and so are the signs of 0V and of earth.
"""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from collections import defaultdict
from dataclasses import dataclass, field

from boardgen.model.netlist import Netlist

SVG = "{http://www.w3.org/2000/svg}"
STEP = 2.54
TERMINALS = {
    **dict.fromkeys(
        ("resistor", "fuse", "capacitor", "choke", "diode", "indicator", "suppressor", "suppressor, one way",
         "gas tube", "link", "coil"), ((0, 0), (4, 0)),
    ),
    "gas tube of three": ((0, 0), (4, 0), (2, 2)),
    "pole": ((0, 0), (4, 0), (4, 2)),
    "transformer": ((0, 0), (0, 12), (3, 0), (3, 12)),
    "bifilar choke": ((0, 0), (4, 0), (0, 3), (4, 3)),
    "coax": ((3, 0), (1, 2)),
    "terminal": ((1, 0),),
    "stud": ((1, 0),),
    "jack": tuple((4, 2 * n) for n in range(8)),
}  # fmt: skip
"""Where wires may reach each symbol, in steps of 2.54 mm."""
ROLES = {
    "diode": ("anode", "cathode"),
    "indicator": ("anode", "cathode"),
    "suppressor, one way": ("anode", "cathode"),
    "coil": ("coil +", "coil -"),
    "gas tube of three": ("line A", "line B", "earth"),
    "transformer": ("primary start", "primary end", "secondary start", "secondary end"),
    "bifilar choke": ("winding A start", "winding A end", "winding B start", "winding B end"),
    "coax": ("centre", "braid"),
}
"""What each terminal of those is whose ends differ."""

KINDS = {
    "pole": "relay",
    "coil": "relay",
    "transformer": "core",
    "coax": "connector",
    "gas tube of three": "gas tube",
    "suppressor, one way": "suppressor",
}
"""The kind of part that a symbol stands for, where it has another name."""

Point = tuple[float, float]
Pin = tuple[str, str]


@dataclass
class Drawn:
    """One sketch: groups of joined pins with their names as written, and what is wrong with the drawing itself."""

    groups: list[tuple[set[str], set[Pin]]] = field(default_factory=list)
    pins: list[Pin] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    ports: list[str] = field(default_factory=list)
    symbols: dict[str, str] = field(default_factory=dict)
    values: list[str] = field(default_factory=list)


def numbers(text: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?[0-9.]+(?:e-?[0-9]+)?", text)]


def rounded(x: float, y: float) -> Point:
    return round(x, 1) + 0.0, round(y, 1) + 0.0


def placed(transform: str, points: list[Point]) -> list[Point]:
    """The points of a symbol on its sketch."""
    found = points
    if "scale(1 -1)" in transform:
        found = [(x, -y) for x, y in found]
    turn = re.search(r"rotate\((\d+)\)", transform)
    for _ in range(int(turn.group(1)) // 90 if turn else 0):
        found = [(-y, x) for x, y in found]
    dx, dy = numbers(re.search(r"translate\(([^)]*)\)", transform).group(1))
    return [(x + dx, y + dy) for x, y in found]


def line(path: str) -> list[list[Point]]:
    """The straight strokes of a path."""
    strokes = []
    for piece in path.split("M")[1:]:
        values = numbers(piece.replace("L", " "))
        strokes.append(list(zip(values[::2], values[1::2], strict=True)))
    return strokes


def on(point: Point, wire: list[Point]) -> bool:
    for a, b in itertools.pairwise(wire):
        if all(min(p, q) - 0.06 <= v <= max(p, q) + 0.06 for v, p, q in zip(point, a, b, strict=True)):
            return True
    return False


def read_sketch(sketch: ET.Element) -> Drawn:
    """One sketch. A conductor is a wire, a terminal or a sign; `joined` says which are one."""
    drawn = Drawn()
    wires = [line(p.get("d"))[0] for p in sketch.iter(f"{SVG}path") if p.get("class") == "wire"]
    wires = [[rounded(*point) for point in wire] for wire in wires]
    ends: dict[Point, list[object]] = defaultdict(list)
    for number, wire in enumerate(wires):
        for end in (wire[0], wire[-1]):
            ends[end].append(number)
    names: dict[object, set[str]] = defaultdict(set)
    for part in sketch.iter(f"{SVG}g"):
        if part.get("class") == "part":
            for role, point in _terminals(part, drawn):
                ends[point].append((part.get("data-ref"), role))
    for number, mark in enumerate(p for p in sketch.iter(f"{SVG}path") if p.get("class") == "mark"):
        ((x, y),) = placed(mark.get("transform"), [(0.0, 0.0)])
        key = f"mark {number}"
        ends[rounded(x, y)].append(key)
        # one bar is 0V, three of falling length are earth
        names[key].add({2: "0V", 4: "earth"}[mark.get("d").count("M")])
    joined: list[set[object]] = [{conductor} for conductor in _conductors(ends)]
    dots = {rounded(float(c.get("cx")), float(c.get("cy"))) for c in sketch.iter(f"{SVG}circle")}
    _join(joined, ends, wires, dots, drawn)
    _overlaps(wires, drawn)
    _names(sketch, wires, names, drawn)
    for group in joined:
        words = set().union(*(names[c] for c in group))
        drawn.groups.append((words, {c for c in group if isinstance(c, tuple)}))
    drawn.values = [t.text for t in sketch.iter(f"{SVG}text") if t.get("class") == "value"]
    drawn.words = [t.text for t in sketch.iter(f"{SVG}text")]
    return drawn


def _conductors(ends):
    return dict.fromkeys(conductor for there in ends.values() for conductor in there)


def _terminals(part: ET.Element, drawn: Drawn):
    ref, symbol = part.get("data-ref"), part.get("data-symbol")
    roles = part.get("data-pins").split("|")
    points = [(x * STEP, y * STEP) for x, y in TERMINALS[symbol]]
    leads = [
        p for path in part.iter(f"{SVG}path") if path.get("class") == "lead" for s in line(path.get("d")) for p in s
    ]
    for x, y in points:
        if not any(abs(x - a) < 0.02 and abs(y - b) < 0.02 for a, b in leads):
            drawn.faults.append(f"{ref} has no lead at its terminal")
    if symbol in ROLES and tuple(roles) != ROLES[symbol]:
        drawn.faults.append(f"{ref} has its ends in another order: {roles}")
    if symbol == "pole" and [r.split(" ", 2)[2] for r in roles] != ["common", "normally open", "normally closed"]:
        drawn.faults.append(f"{ref} has its contacts in another order: {roles}")
    if symbol == "coax":
        drawn.ports.append(ref)
    drawn.symbols[ref] = symbol
    drawn.pins += [(ref, role) for role in roles]
    at = placed(part.get("transform"), points)
    return [(role, rounded(*point)) for role, point in zip(roles, at, strict=True)]


def _join(joined, ends, wires, dots, drawn) -> None:
    crossings = {point for point in dots if point not in ends and sum(on(point, wire) for wire in wires) > 1}
    for point in dots - set(ends) - crossings:
        drawn.faults.append(f"a dot at {point} where nothing meets")
    for point in (*ends, *crossings):
        there = list(ends.get(point, []))
        passing = [n for n, wire in enumerate(wires) if on(point, wire) and point not in (wire[0], wire[-1])]
        if point in dots:
            there += passing
            if len(there) + len(passing) < 3:
                drawn.faults.append(f"a dot at {point} where two meet")
        elif passing or len(there) > 2:
            drawn.faults.append(f"no dot at {point} where {there + passing} meet")
        for other in there[1:]:
            _unite(joined, there[0], other)


def _unite(joined, one, other) -> None:
    first = next(group for group in joined if one in group)
    if other not in first:
        second = next(group for group in joined if other in group)
        first |= second
        joined.remove(second)


def _overlaps(wires, drawn) -> None:
    pieces = [(n, a, b) for n, wire in enumerate(wires) for a, b in itertools.pairwise(wire)]
    for (n, a, b), (m, c, d) in itertools.combinations(pieces, 2):
        for axis in (0, 1):
            along = 1 - axis
            if a[axis] == b[axis] == c[axis] == d[axis]:
                low = max(min(a[along], b[along]), min(c[along], d[along]))
                high = min(max(a[along], b[along]), max(c[along], d[along]))
                if high - low > 0.2:
                    drawn.faults.append(f"wires {n} and {m} lie on each other at {a}")


def _names(sketch, wires, names, drawn) -> None:
    """A name stands close over its wire, or under it where it is marked so."""
    for text in sketch.iter(f"{SVG}text"):
        kind = text.get("class")
        if kind not in ("net", "net below"):
            continue
        x, y = float(text.get("x")), float(text.get("y"))
        near = (0.5, 1.4) if kind == "net" else (-3.2, -2.2)
        under = [
            n
            for n, wire in enumerate(wires)
            for a, b in itertools.pairwise(wire)
            if a[1] == b[1] and near[0] <= a[1] - y <= near[1] and min(a[0], b[0]) - 0.1 <= x <= max(a[0], b[0]) + 0.1
        ]
        if len(under) != 1:
            drawn.faults.append(f"{text.text!r} names {len(under)} wires")
        for number in under:
            names[number].add(text.text)


def read_tables(root: ET.Element) -> list[list[list[str]]]:
    """Rows of designators of each table, the drawn strip's first; pieces of a wide table are put together again."""
    found = []
    for table in root.iter(f"{SVG}g"):
        if table.get("class") != "table":
            continue
        rows: dict[float, list[tuple[float, str, str]]] = defaultdict(list)
        for text in table.iter(f"{SVG}text"):
            if text.get("class") in ("head", "cell"):
                rows[float(text.get("y"))].append((float(text.get("x")), text.get("class"), text.text))
        chunks: list[list[list[str]]] = []
        for y in sorted(rows):
            if rows[y][0][1] == "head":
                chunks.append([])
            chunks[-1].append([words for _, _, words in sorted(rows[y])])
        found.append([list(itertools.chain(*pieces)) for pieces in zip(*chunks, strict=True)])
    return found


def faults(svg: str, netlist: Netlist) -> list[str]:
    """Everything in which the drawing differs from the netlist, or is not a proper drawing."""
    root = ET.fromstring(svg)
    sketches = [read_sketch(g) for g in root.iter(f"{SVG}g") if g.get("class") == "sketch"]
    found = [fault for sketch in sketches for fault in sketch.faults]
    tables = read_tables(root)
    groups: list[tuple[set[str], set[Pin]]] = []
    pins: list[Pin] = []
    for sketch in sketches:
        for refs in _copies(sketch, tables):
            strip = next((netlist.component[refs.get(port, port)].value for port in sketch.ports), "")
            pins += [(refs.get(ref, ref), role) for ref, role in sketch.pins]
            found += _other_parts(sketch, refs, netlist)
            for names, members in sketch.groups:
                groups.append(({n.replace("…", strip) for n in names}, {(refs.get(r, r), role) for r, role in members}))
    found += _against(netlist, groups, pins)
    return [*found, *_marked(sketches, tables, netlist)]


def bare(words: str) -> str:
    return words.removesuffix("*")


def _copies(sketch: Drawn, tables) -> list[dict[str, str]]:
    """The drawing itself, and once for each row of the table that is about it."""
    drawn = {ref for ref, _ in sketch.pins}
    for rows in tables:
        heads = [bare(ref) for ref in rows[0]]
        if drawn <= set(heads):
            return [dict(zip(heads, map(bare, row), strict=True)) for row in rows]
    return [{}]


def _other_parts(sketch: Drawn, refs: dict[str, str], netlist: Netlist) -> list[str]:
    """Designators that stand at the symbol of another kind of part, or at another value."""
    parts = {ref: netlist.component.get(refs.get(ref, ref)) for ref in sketch.symbols}
    found = [f"{ref} is not a part" for ref, part in parts.items() if part is None]
    known = {ref: part for ref, part in parts.items() if part is not None}
    for ref, part in known.items():
        if KINDS.get(sketch.symbols[ref], sketch.symbols[ref]) != part.part.kind:
            found.append(f"{part.ref} is no {sketch.symbols[ref]}")
    valued = [p.value for p in known.values() if p.part.kind not in ("connector", "terminal", "stud", "jack")]
    if sorted(valued) != sorted(sketch.values):
        found.append(f"values {sorted(sketch.values)} are written, {sorted(valued)} are in the netlist")
    return found


def _against(netlist: Netlist, groups, pins: list[Pin]) -> list[str]:
    found = [f"{names} are names of one wire" for names, _ in groups if len(names) > 1]
    named: dict[str, set[Pin]] = defaultdict(set)
    unnamed = []
    for names, members in groups:
        if names:
            named[min(names)] |= members
        elif members:
            unnamed.append(members)
    wanted = {net.name: {(node.ref, node.role) for node in net.nodes} for net in netlist.nets}
    free = {(node.ref, node.role) for node in netlist.free}
    for name, members in named.items():
        if wanted.get(name) != members:
            found.append(f"{name}: drawn {sorted(members)}, in the netlist {sorted(wanted.get(name, ()))}")
    found += [
        f"joined by no net: {sorted(members)}"
        for members in unnamed
        if members not in wanted.values() and not (len(members) == 1 and members <= free)
    ]
    seen = set().union(*named.values(), *unnamed)
    found += [f"not drawn: {net}" for net, members in wanted.items() if not members <= seen]
    twice = {pin for pin in pins if pins.count(pin) > 1}
    missing = {c.ref for c in netlist.components} - {ref for ref, _ in pins}
    return [*found, *(f"drawn twice: {pin}" for pin in twice), *(f"not there: {ref}" for ref in missing)]


def _marked(sketches, tables, netlist: Netlist) -> list[str]:
    """Designators as written, each once, with the star of what is not fitted."""
    words = [w for sketch in sketches for w in sketch.words] + [
        w for rows in tables for w in itertools.chain(*rows[1:])
    ]
    drawn = {ref for sketch in sketches for ref in sketch.symbols}
    found = []
    for c in netlist.components:
        star = "" if c.fitted else "*"
        wanted = [c.ref]
        if c.ref in drawn and c.part.kind == "relay":
            wanted = [c.ref, f"{c.ref}A", f"{c.ref}B"]
        elif c.ref in drawn and c.part.kind == "terminal" and len(netlist.pin_nets[c.ref]) > 1:
            wanted = [f"{c.ref}.{role}" for role in netlist.pin_nets[c.ref]]
        found += [f"written {words.count(w + star)} times: {w}" for w in wanted if words.count(w + star) != 1]
    return found
