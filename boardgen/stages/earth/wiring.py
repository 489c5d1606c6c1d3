"""The earth stud, and a link, a gas tube or nothing from earth to 0V."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Use, Wiring
from boardgen.request import Request
from boardgen.stages.common import two_pin


def wiring(request: Request, choices: Choices) -> Wiring:
    """Nothing at all on a board without surge protection."""
    if not request.has_earth:
        return Wiring()
    stud_at = Subject("", "earth", "stud")
    stud = choices.fixed("stud", stud_at)
    uses = [Use(stud_at, stud, "earth", {"1": "earth"})]
    if request.spec.protection.earth_to_0v == "linked":
        link_at = Subject("", "earth", "link")
        link = choices.fixed("link", link_at)
        uses.append(two_pin(link_at, link, link.value, "earth", "0V"))
    elif request.spec.protection.earth_to_0v == "gas tube":
        tube_at = Subject("", "earth", "tube")
        tube = choices.part("earth tube", tube_at)
        uses.append(two_pin(tube_at, tube, tube.value, "earth", "0V"))
    return Wiring(tuple(uses))
