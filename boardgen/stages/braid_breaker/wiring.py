"""A two-winding transformer: primary to the port, secondary to the board."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import INNER, OUTER, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import drain, placed, two_pin


def fitted(request: Request, strip: Strip) -> bool:
    """Only where the strip has a braid breaker."""
    return strip.braid_breaker


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """The transformer, and a bleeder on the port's side where no feed choke carries charge away."""
    subject = Subject(strip.label, "braid breaker", "transformer")
    port_turns = round(choices.choice("port turns", subject).chosen)
    turns = round(choices.choice("turns", subject).chosen)
    joins = {
        "primary start": OUTER[0],
        "primary end": OUTER[1],
        "secondary start": INNER[0],
        "secondary end": INNER[1],
    }
    core = choices.part("turns", subject)
    transformer = placed(subject, core, joins, strip.fitted, f"{port_turns}:{turns} turns")
    if strip.feed is not None:
        return Wiring((transformer,), INNER)
    bleeder_at = Subject(strip.label, "braid breaker", "bleeder")
    part = choices.part("bleeder", Subject("", "board", "bleeder"))
    bleeder = two_pin(bleeder_at, part, part.value, OUTER[1], drain(request), strip.fitted)
    return Wiring((transformer, bleeder), INNER)
