"""Writes and reads netlist.net: the export of symbolic expressions that open-source board editors import, version "E".

Its sections are the design, the components with their fields, the library parts with their pins, and the nets with
their nodes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from boardgen.formats.s_expression import ExpressionError, Item, document, named, one, read_expression
from boardgen.model.netlist import Component, Net, Netlist
from boardgen.model.part import Part

LIBRARY = "boardgen"


def netlist_text(netlist: Netlist, program: str, labels: Mapping[str, str], date: str) -> str:
    """The whole file.

    Parameters
    ----------
    netlist : parts and nets, written in its order; footprints and pads are named as the reader knows them
    program : name and version of what writes
    labels : the user's spelling of a strip by its name
    date : ISO date, "" for none

    """
    source = f"{netlist.title}, revision {netlist.revision}"
    parts = {(c.part.key, *c.part.pins.values()): c.part for c in netlist.components}
    export: list[Item] = ["export", ["version", "E"]]
    export.append(["design", ["source", source], ["date", date], ["tool", program]])
    export.append(["components", *(_component(c, labels) for c in netlist.components)])
    export.append(["libparts", *(_library_part(parts[key]) for key in sorted(parts))])
    export.append(["nets", *(_net(code, net) for code, net in enumerate(netlist.nets, 1))])
    return document(export, 2)


def facts(component: Component, labels: Mapping[str, str]) -> dict[str, str]:
    """What is told of a part beside its value: maker, number, strip, place, whether it is fitted."""
    part, subject = component.part, component.subject
    found = {
        "Maker": part.maker,
        "Number": part.number,
        "Strip": labels.get(subject.strip, subject.strip),
        "Place": f"{subject.stage} {subject.place}".strip(),
        "Fitted": "yes" if component.fitted else "no",
    }
    return {name: text for name, text in found.items() if text}


def _component(component: Component, labels: Mapping[str, str]) -> list[Item]:
    part = component.part
    fields: list[Item] = ["fields"]
    fields += [["field", ["name", name], text] for name, text in facts(component, labels).items()]
    item: list[Item] = ["comp", ["ref", component.ref], ["value", component.value], fields]
    item.append(["libsource", ["lib", LIBRARY], ["part", part.key], ["description", part.description]])
    if part.footprint:
        item.append(["footprint", part.footprint])
    return item


def _library_part(part: Part) -> list[Item]:
    pins: list[Item] = [
        "pins",
        *(["pin", ["num", pad], ["name", role], ["type", "passive"]] for role, pad in part.pins.items()),
    ]
    return ["libpart", ["lib", LIBRARY], ["part", part.key], ["description", part.description], pins]


def _net(code: int, net: Net) -> list[Item]:
    nodes: list[Item] = [
        ["node", ["ref", n.ref], ["pin", n.pad], ["pinfunction", n.role], ["pintype", "passive"]] for n in net.nodes
    ]
    return ["net", ["code", str(code)], ["name", net.name], *nodes]


class ReadComponent(Struct, frozen=True):
    """A part as the file has it: value, footprint, fields, and the key of its library part."""

    value: str
    footprint: str
    fields: Mapping[str, str]
    part: str


class ReadNetlist(Struct, frozen=True):
    """What a netlist file says.

    `source` is title and revision in one, `date` "" where none is known. `roles` has for each library part the role of
    each of its pads; a part whose footprints number their pads unlike comes several times. Nets and roles of nodes are
    by designator and pad.
    """

    source: str
    date: str
    components: Mapping[str, ReadComponent]
    roles: Mapping[str, Sequence[Mapping[str, str]]]
    net: Mapping[tuple[str, str], str]
    role: Mapping[tuple[str, str], str]


def read_netlist(text: str) -> ReadNetlist:
    """What a netlist file says. Raises ExpressionError where it is damaged, or names a part or node twice."""
    export = read_expression(text)
    components: dict[str, ReadComponent] = {}
    for each in named(one(export, "components"), "comp"):
        ref = _text(each, "ref")
        if ref in components:
            msg = f"{ref} stands there twice"
            raise ExpressionError(msg)
        fields = {_text(field, "name"): str(field[2]) for field in named(one(each, "fields"), "field")}
        footprint = next((str(name[1]) for name in named(each, "footprint")), "")
        components[ref] = ReadComponent(_text(each, "value"), footprint, fields, _text(one(each, "libsource"), "part"))
    roles: dict[str, list[Mapping[str, str]]] = {}
    for part in named(one(export, "libparts"), "libpart"):
        pins = {_text(pin, "num"): _text(pin, "name") for pin in named(one(part, "pins"), "pin")}
        roles.setdefault(_text(part, "part"), []).append(pins)
    net: dict[tuple[str, str], str] = {}
    role: dict[tuple[str, str], str] = {}
    for each in named(one(export, "nets"), "net"):
        for node in named(each, "node"):
            pin = _text(node, "ref"), _text(node, "pin")
            if pin in net:
                msg = f"{pin[0]}-{pin[1]} is in two nets"
                raise ExpressionError(msg)
            net[pin], role[pin] = _text(each, "name"), _text(node, "pinfunction")
    if not net:
        raise ExpressionError("it holds no nets")
    design = one(export, "design")
    return ReadNetlist(_text(design, "source"), _text(design, "date"), components, roles, net, role)


def _text(item: Sequence[Item], word: str) -> str:
    return str(one(item, word)[1])
