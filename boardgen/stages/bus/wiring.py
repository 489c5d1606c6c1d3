"""What holds the bus pair at DC, and whether its braid is bonded to 0V."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Wiring
from boardgen.request import Request
from boardgen.stages.common import two_pin


def wiring(request: Request, choices: Choices) -> Wiring:
    """A link or a bleeder on the braid, and a bleeder on the centre where no winding holds it."""
    bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
    bonded = request.spec.switching.bus_braid == "bonded"
    if bonded:
        link_at = Subject("", "bus", "bond")
        link = choices.fixed("link", link_at)
        uses = [two_pin(link_at, link, link.value, "bus braid", "0V")]
    else:
        uses = [two_pin(Subject("", "bus", "braid bleeder"), bleeder, bleeder.value, "bus braid", "0V")]
    if not request.output.braid_breaker:
        uses.append(two_pin(Subject("", "bus", "centre bleeder"), bleeder, bleeder.value, "bus centre", "0V"))
    return Wiring(tuple(uses))
