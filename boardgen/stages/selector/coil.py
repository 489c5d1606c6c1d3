"""The parts about a relay's coil: flyback diode, bypass, series diode, indicator."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Use
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import placed, two_pin

COIL = "coil"
"""The net between the series diode and the coil; without a diode the stage joins it to the select line."""


def switched_net(request: Request) -> str:
    """The coil's switched side: behind the series diode where there is one."""
    return COIL if request.spec.protection.reverse else "select"


def nets(request: Request) -> tuple[str, str]:
    """The nets of a coil's positive and negative pin."""
    return ("coil supply", switched_net(request)) if request.low_side else (switched_net(request), "0V")


def relay_uses(request: Request, strip: Strip, choices: Choices, number: int, stage: str = "selector") -> list[Use]:
    """Flyback diode and bypass of one relay of that stage."""
    plus, minus = nets(request)
    diode_at = Subject(strip.label, stage, f"flyback diode {number}")
    diode = choices.part("flyback diode", Subject("", "selector", "flyback diode"))
    uses = [placed(diode_at, diode, {"cathode": plus, "anode": minus}, strip.fitted)]
    bypass = choices.part("bypass capacitor", Subject("", "selector", "coil bypass"))
    for letter, net in zip("ab", [n for n in (plus, minus) if n != "0V"], strict=False):
        subject = Subject(strip.label, stage, f"coil bypass {number}{letter}")
        uses.append(two_pin(subject, bypass, bypass.value, net, "0V", strip.fitted))
    return uses


def line_uses(request: Request, strip: Strip, choices: Choices, stage: str = "selector") -> list[Use]:
    """What stands once on a select line, however many coils it works."""
    uses: list[Use] = []
    plus, minus = nets(request)
    if request.spec.protection.reverse:
        subject = Subject(strip.label, stage, "series diode")
        part = choices.part("series diode", Subject("", "selector", "series diode"))
        joins = {"anode": COIL, "cathode": "select"} if request.low_side else {"anode": "select", "cathode": COIL}
        uses.append(placed(subject, part, joins, strip.fitted))
    if request.spec.control.indicators:
        resistor = choices.part("indicator", Subject("", "selector", "indicator resistor"))
        lamp = choices.fixed("lamp", Subject("", "selector", "indicator"))
        at = Subject(strip.label, stage, "indicator resistor")
        uses.append(two_pin(at, resistor, resistor.value, plus, "indicator", strip.fitted))
        at = Subject(strip.label, stage, "indicator")
        uses.append(placed(at, lamp, {"anode": "indicator", "cathode": minus}, strip.fitted))
    return uses
