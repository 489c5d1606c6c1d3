"""Elements of the network that is solved: an admittance law between nets, with its parameters."""

from __future__ import annotations

from msgspec import Struct

from boardgen.model.figure import Figure, Standing

GROUND = "0V"
"""The reference of every common mode. The stake, and each line that its source holds, count as the same net."""
COPPER = "layout"
"""Stands for a designator where no part brings the element in."""


class Parameter(Struct, frozen=True):
    """One number of an element, SI, with the range it may take; `label` is its name where the law's says too little."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    standing: Standing
    source: str
    label: str = ""

    @property
    def shown(self) -> str:
        """What people call it."""
        return self.label or self.name


class Element(Struct, frozen=True):
    """A law between one pair of nets, or two coupled pairs for windings.

    `owner` is the strip it belongs to, "" for the board; `material` names the permeability table of a core.
    """

    owner: str
    ref: str
    law: str
    pairs: tuple[tuple[str, str], ...]
    parameters: tuple[Parameter, ...]
    material: str = ""

    @property
    def nets(self) -> tuple[str, ...]:
        """Every net it touches."""
        return tuple(net for pair in self.pairs for net in pair)


def parameter(name: str, figure: Figure, share: float = 1.0, label: str = "", unit: str = "") -> Parameter:
    """A figure, or a share of it, as a parameter; `unit` is another than the figure's where the share has one."""
    low, value, high = (share * number for number in (figure.least, figure.value, figure.most))
    return Parameter(name, value, low, high, unit or figure.unit, figure.standing, figure.source, label)


def exact(name: str, value: float, unit: str, source: str) -> Parameter:
    """A number without tolerance, such as turns."""
    return Parameter(name, value, value, value, unit, "computed", source)
