"""A user's own figures of a part that the specification names, in the place of the catalogue's."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec.structs import replace

from boardgen.catalogue.catalogue import Catalogue
from boardgen.catalogue.measurement import Curve
from boardgen.handbook import isolation
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.kinds.relay import CONTACT_INDUCTANCE, RELAY, THROUGH
from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.spec.keys import Spec
from boardgen.spec.values import Range

OWN: Final = "own measurement"
SPREAD: Final = 0.1
"""Share by which winding the next core, and the meter, may differ from one value that was measured: assumed."""
RELAY_CURVES: Final[Mapping[str, str]] = {
    "relay.isolation": THROUGH,
    "relay.coil_isolation": "coil to contact capacitance",
}
"""The figure that is fitted to each curve of isolation, by the curve's key under [measured]."""


def as_measured(part: Part, spec: Spec, curves: Mapping[str, Curve], catalogue: Catalogue) -> Part:
    """A part that the specification names, with what its [measured] says of it."""
    own = {}
    if part.kind == "relay":
        own = _relay(spec, curves)
    elif part.kind == "core" and part.key == spec.parts.core:
        own = _core(part, spec, catalogue)
    return replace(part, figures={**part.figures, **own}) if own else part


def measured_figure(measured: Range, unit: str, source: str = OWN) -> Figure:
    """A figure from a range, or from one value with the spread of the next."""
    low, high = measured.low, measured.high
    if low == high:
        low, high = low * (1 - SPREAD), high * (1 + SPREAD)
    return Figure((measured.low + measured.high) / 2, unit, "measured", source, low, high)


def _relay(spec: Spec, curves: Mapping[str, Curve]) -> dict[str, Figure]:
    """What was measured by itself wins over what a curve gives."""
    relay = spec.measured.relay
    found: dict[str, Figure] = {}
    for key, name in RELAY_CURVES.items():
        if key in curves:
            points = [(frequency_hz, value.real) for frequency_hz, value in curves[key]]
            through = isolation.fitted(points, relay.isolation_impedance)
            source = f"fitted to a curve of isolation in {relay.isolation_impedance:g} ohm: {relay.isolation_source}"
            found[name] = Figure(through.farad, "F", "measured", source, through.least_f, through.most_f)
            if through.henry is not None:
                found[CONTACT_INDUCTANCE] = Figure(through.henry, "H", "measured", source)
    for key, value in relay:
        name = key.replace("_", " ")
        if value is not None and name in RELAY.figures:
            found[name] = Figure(value, RELAY.figures[name].unit, "measured", OWN)
    return found


def _core(part: Part, spec: Spec, catalogue: Catalogue) -> dict[str, Figure]:
    """Inductance factor of the core that was measured, and the path constant that it has with its material's table."""
    measured, turns = spec.measured.transformer.port_winding_inductance, spec.measured.transformer.turns
    table = catalogue.permeability.get(part.attributes.get("material", ""))
    if measured is None or turns is None or table is None:
        return {}
    winding = measured_figure(measured, "H")
    factor, path = 1 / turns.port**2, 1 / (turns.port**2 * MAGNETIC_CONSTANT_H_PER_M * table.initial)
    return {
        name: Figure(share * winding.value, unit, "measured", OWN, share * winding.least, share * winding.most)
        for name, share, unit in (("inductance factor", factor, "H"), ("path constant", path, "m"))
    }
