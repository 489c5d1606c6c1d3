"""The frozen circuit: components, nets, contacts and ports of one board."""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct

from boardgen.model.choice import Subject
from boardgen.model.part import Part


class Component(Struct, frozen=True):
    """A part in its place, with its reference designator."""

    ref: str
    subject: Subject
    part: Part
    value: str
    fitted: bool


class Node(Struct, frozen=True, order=True):
    """One pin on a net: designator, pad number and role."""

    ref: str
    pad: str
    role: str


class Net(Struct, frozen=True):
    """A named set of joined pins. `label` carries the user's own spelling where the name had to differ."""

    name: str
    nodes: tuple[Node, ...]
    label: str = ""


class Contact(Struct, frozen=True):
    """One changeover contact of a relay: the nets at its three ends ("" where free) and the strip that works it."""

    ref: str
    pole: str
    common: str
    closed: str
    opened: str
    strip: str


class Port(Struct, frozen=True):
    """A coax port: its strip and the nets of its two conductors."""

    ref: str
    strip: str
    centre: str
    braid: str


class Netlist(Struct, frozen=True, dict=True):
    """The whole board. `free` are pins left open on purpose."""

    title: str
    revision: str
    components: tuple[Component, ...]
    nets: tuple[Net, ...]
    contacts: tuple[Contact, ...]
    ports: tuple[Port, ...]
    free: tuple[Node, ...]

    @cached_property
    def component(self) -> dict[str, Component]:
        """Components by designator."""
        return {c.ref: c for c in self.components}

    @cached_property
    def joins(self) -> dict[str, dict[str, str]]:
        """Net name by designator and pin role."""
        found: dict[str, dict[str, str]] = {c.ref: {} for c in self.components}
        for net in self.nets:
            for node in net.nodes:
                found[node.ref][node.role] = net.name
        return found

    def of_kind(self, *kinds: str) -> tuple[Component, ...]:
        """The components of these kinds, in order."""
        return tuple(c for c in self.components if c.part.kind in kinds)
