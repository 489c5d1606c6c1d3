"""Writes netlist.net: the export of symbolic expressions that open-source board editors import, version "E".

Its sections are the design, the components with their fields, the library parts with their pins, and the nets with
their nodes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import sexpdata

from boardgen.model.netlist import Component, Net, Netlist
from boardgen.model.part import Part

LIBRARY = "boardgen"
Item = Any
"""A text, or a list whose first item is a word of the grammar."""


def netlist_text(
    netlist: Netlist, program: str, footprint_names: Mapping[str, str], labels: Mapping[str, str], date: str
) -> str:
    """The whole file. Every text is quoted, since a bare t or nil would be read as something else.

    Parameters
    ----------
    netlist : parts and nets, written in its order
    program : name and version of what writes
    footprint_names : a user's own name of a footprint by our key; ours where there is none
    labels : the user's spelling of a strip by its name
    date : ISO date, "" for none

    """
    lines = ['(export (version "E")']
    design = ["design", ["source", f"{netlist.title}, revision {netlist.revision}"], ["date", date], ["tool", program]]
    lines.append(_line(2, design))
    lines += _section("components", (_component(c, footprint_names, labels) for c in netlist.components))
    parts = {c.part.key: c.part for c in netlist.components}
    lines += _section("libparts", (_library_part(parts[key]) for key in sorted(parts)))
    lines += _section("nets", (_net(code, net) for code, net in enumerate(netlist.nets, 1)), last=True)
    return "\n".join(lines) + ")\n"


def _section(name: str, items: Iterable[list[Item]], last: bool = False) -> list[str]:
    body = [_line(4, item) for item in items]
    body[-1] += ")"
    return [f"  ({name}", *body]


def _line(indent: int, item: list[Item]) -> str:
    return " " * indent + _text(item)


def _text(item: Item) -> str:
    """The first of each list is a word of the grammar, everything else is quoted text."""
    if isinstance(item, str):
        return _quoted(item)
    head, *rest = item
    return f"({' '.join([head, *map(_text, rest)])})"


def _quoted(text: str) -> str:
    quoted: str = sexpdata.dumps(text)
    return quoted


def _component(component: Component, footprint_names: Mapping[str, str], labels: Mapping[str, str]) -> list[Item]:
    part, subject = component.part, component.subject
    facts = {
        "Maker": part.maker,
        "Number": part.number,
        "Strip": labels.get(subject.strip, subject.strip),
        "Place": f"{subject.stage} {subject.place}".strip(),
        "Fitted": "yes" if component.fitted else "no",
    }
    fields: list[Item] = ["fields", *(["field", ["name", name], text] for name, text in facts.items() if text)]
    item: list[Item] = ["comp", ["ref", component.ref], ["value", component.value], fields]
    item.append(["libsource", ["lib", LIBRARY], ["part", part.key], ["description", part.description]])
    if part.footprint:
        item.append(["footprint", footprint_names.get(part.footprint, part.footprint)])
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
