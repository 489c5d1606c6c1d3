"""In what an alternate is not as the part wanted."""

from __future__ import annotations

from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.purchasing.order import Difference
from boardgen.spec import quantity


def differences(wanted: Part, other: Part) -> tuple[Difference, ...]:
    """Value, footprint, attributes, figures and pins, as far as either states them and they are not alike."""
    plain = [("kind", wanted.kind, other.kind), ("value", wanted.value, other.value)]
    plain.append(("footprint", wanted.footprint, other.footprint))
    names = dict.fromkeys((*wanted.attributes, *other.attributes))
    plain += [(name, wanted.attributes.get(name, ""), other.attributes.get(name, "")) for name in names]
    figures = dict.fromkeys((*wanted.figures, *other.figures))
    plain += [(name, _text(wanted.figures.get(name)), _text(other.figures.get(name))) for name in figures]
    roles = dict.fromkeys((*wanted.pins, *other.pins))
    plain += [(f"pin of {role}", wanted.pins.get(role, ""), other.pins.get(role, "")) for role in roles]
    return tuple(Difference(name, one, two) for name, one, two in plain if one != two)


def _text(figure: Figure | None) -> str:
    return "" if figure is None else quantity.format(figure.value, figure.unit)
