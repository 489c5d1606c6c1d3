"""The frozen circuit: components, nets, contacts and ports of one board."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from boardgen.model.choice import Subject
from boardgen.model.part import Part


@dataclass(frozen=True, slots=True)
class Component:
    """A part in its place, with its reference designator."""

    ref: str
    subject: Subject
    part: Part
    value: str
    fitted: bool


@dataclass(frozen=True, slots=True, order=True)
class Node:
    """One pin on a net: designator, pad number and role."""

    ref: str
    pad: str
    role: str


@dataclass(frozen=True, slots=True)
class Net:
    """A named set of joined pins. `label` carries the user's own spelling where the name had to differ."""

    name: str
    nodes: tuple[Node, ...]
    label: str = ""


@dataclass(frozen=True, slots=True)
class Contact:
    """One changeover contact of a relay: the nets at its three ends ("" where free) and the strip that works it."""

    ref: str
    pole: str
    common: str
    closed: str
    opened: str
    strip: str


@dataclass(frozen=True, slots=True)
class Port:
    """A coax port: its strip and the nets of its two conductors."""

    ref: str
    strip: str
    centre: str
    braid: str


@dataclass(frozen=True)
class Netlist:
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
