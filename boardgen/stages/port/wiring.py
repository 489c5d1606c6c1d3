"""The port: a connector or the pads of a pigtail, one conductor each."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import OUTER, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import placed


def fitted(request: Request, strip: Strip) -> bool:
    """Every strip has a port."""
    return True


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Centre and braid of the coax. The braid touches neither 0V nor earth here."""
    subject = Subject(strip.label, "port", "coax")
    part = choices.fixed("port", subject)
    centre, braid = OUTER
    return Wiring((placed(subject, part, {"centre": centre, "braid": braid}, strip.fitted, strip.name),))
