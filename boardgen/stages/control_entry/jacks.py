"""Eight-way jacks in T568 pin order: select and feed lines from pin 1 up, 0V on the last pins."""

from __future__ import annotations

from boardgen.kinds.jack import PINS
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Use
from boardgen.request import Request
from boardgen.stages.lines import lines


def uses(request: Request, choices: Choices) -> list[Use]:
    """As many jacks as cables, or as the lines need; every jack has a 0V of its own on pin 8."""
    part = choices.fixed("jack", Subject("", "control entry", "jack"))
    live = [line.net for line in lines(request) if line.kind != "0V"]
    returns = request.spec.control.returns
    count = max(request.spec.control.cables, -(-len(live) // (PINS - 1)), -(-(len(live) + returns) // PINS))
    share = -(-len(live) // count)
    found = []
    for number in range(count):
        nets = live[number * share : (number + 1) * share]
        grounds = min(PINS - len(nets), max(1, -(-returns // count)))
        pins = {str(pin): net for pin, net in enumerate(nets, 1)}
        pins |= {str(PINS - offset): "0V" for offset in range(grounds)}
        found.append(Use(Subject("", "control entry", f"jack {number + 1}"), part, "not Ethernet", pins))
    return found
