"""One three-electrode tube, or two two-electrode tubes, from both conductors to earth."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import OUTER, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import placed, two_pin


def fitted(request: Request, strip: Strip) -> bool:
    """Only where the strip asks for surge protection."""
    return strip.surge


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Tubes across the outer pair; the pair itself goes straight through."""
    centre, braid = OUTER
    part = choices.part("surge tube", Subject(strip.label, "surge", "tube"))
    if part.attributes.get("electrodes") == "3":
        joins = {"line A": centre, "line B": braid, "earth": "earth"}
        return Wiring((placed(Subject(strip.label, "surge", "tube"), part, joins, strip.fitted),))
    return Wiring(
        (
            two_pin(Subject(strip.label, "surge", "centre tube"), part, part.value, centre, "earth", strip.fitted),
            two_pin(Subject(strip.label, "surge", "braid tube"), part, part.value, braid, "earth", strip.fitted),
        )
    )
